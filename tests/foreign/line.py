"""A line between a browser and the feed that a test can cut: for sockets alone, or for pages as well."""

import socket
import threading

HEAD_END = b"\r\n\r\n"
CHUNK = 65536


class Line:
    """Listens on a port of its own and passes everything on to the feed."""

    def __init__(self, feed_url):
        host, port = feed_url.removeprefix("http://").split(":")
        self.feed = (host, int(port))
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self.listener.getsockname()[1]}"
        self.lock = threading.Lock()
        self.is_cut = False
        self.loads_pages = True
        # What the feed says on sockets is lost on the way.
        self.is_deaf = False
        self.sockets = set()
        threading.Thread(target=self.accept, daemon=True).start()

    def cut(self, pages_too=False):
        """Ends all sockets, and lets none come back until `mend`; pages still load, if they are not to be cut too."""
        with self.lock:
            self.is_cut = True
            self.loads_pages = not pages_too
            ended, self.sockets = self.sockets, set()
        for end in ended:
            hang_up(end)

    def deafen(self):
        """From here on the feed hears the page, and the page not the feed."""
        self.is_deaf = True

    def mend(self):
        self.is_deaf = False
        self.is_cut = False
        self.loads_pages = True

    def accept(self):
        while True:
            page, _ = self.listener.accept()
            threading.Thread(target=self.serve, args=(page,), daemon=True).start()

    def serve(self, page):
        head = b""
        while HEAD_END not in head:
            more = page.recv(CHUNK)
            if not more:
                page.close()
                return
            head += more
        is_socket = b"upgrade: websocket" in head.lower()
        with self.lock:
            if self.is_cut and (is_socket or not self.loads_pages):
                page.close()
                return
            feed = socket.create_connection(self.feed)
            if is_socket:
                self.sockets |= {page, feed}
        feed.sendall(head)
        threading.Thread(target=pass_on, args=(feed, page, lambda: is_socket and self.is_deaf), daemon=True).start()
        pass_on(page, feed, lambda: False)


def pass_on(source, sink, is_lost):
    try:
        while data := source.recv(CHUNK):
            if not is_lost():
                sink.sendall(data)
    except OSError:
        pass
    hang_up(source)
    hang_up(sink)


def hang_up(end):
    try:
        end.shutdown(socket.SHUT_RDWR)
    except OSError:
        pass
    end.close()
