"""A foreign client of the feed: headless Chromium, driven by Selenium.

Usage: browser_client.py FEED_HTTP_URL ACCESS_FILE

Opens the feed's own page, joins from its JavaScript as a display, and reads the snapshot. Then does the same from
a page of another origin, which the feed must turn away. Ends with 0 and a line `N checks held`.
"""

import http.server
import sys
import threading
import tomllib

from chromium import chromium

PATIENCE_S = 30

# Joins, collects messages until the snapshot has come, and answers with them; or says how the socket closed.
JOIN = """
const [url, key, done] = arguments;
const heard = [];
const socket = new WebSocket(url, "fivemark.v1");
socket.onopen = () => socket.send(JSON.stringify(
  {type: "join", role: "display", access_key: key, device: "chromium"}));
socket.onmessage = (event) => {
  heard.push(JSON.parse(event.data));
  if (heard.at(-1).type === "snapshot" || heard.at(-1).type === "refusal") {
    socket.onclose = null; socket.close(1000); done({protocol: socket.protocol, heard});
  }
};
socket.onclose = (event) => done({closed: event.code, heard});
"""

feed_url, access_file = sys.argv[1:3]
socket_url = feed_url.replace("http://", "ws://") + "/feed"
with open(access_file, "rb") as file:
    access_key = tomllib.load(file)["display"]
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


class ElsewherePage(http.server.BaseHTTPRequestHandler):
    """An empty page on another port: another origin."""

    def do_GET(self):
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!doctype html><title>elsewhere</title>")

    def log_message(self, *_):
        pass


with chromium(patience_s=PATIENCE_S) as driver:
    driver.get(feed_url + "/")
    joined = driver.execute_async_script(JOIN, socket_url, access_key)
    check(joined.get("protocol") == "fivemark.v1", f"a browser gets the subprotocol: {joined}")
    check([m["type"] for m in joined["heard"]] == ["welcome", "snapshot"], "welcome, then the snapshot")
    check(joined["heard"][1]["entries"], "the snapshot names the lanes")

    wrong = driver.execute_async_script(JOIN, socket_url, "0" * 32)
    check([m["type"] for m in wrong["heard"]] == ["refusal"], "a wrong access key is refused in words")
    check(wrong["heard"][0]["code"] == "wrong_access_key", "with its code")

    elsewhere = http.server.ThreadingHTTPServer(("127.0.0.1", 0), ElsewherePage)
    threading.Thread(target=elsewhere.serve_forever, daemon=True).start()
    driver.get(f"http://127.0.0.1:{elsewhere.server_port}/")
    turned_away = driver.execute_async_script(JOIN, socket_url, access_key)
    check("closed" in turned_away and not turned_away["heard"], "a page of another origin is turned away")
    elsewhere.shutdown()

print(f"{checks} checks held")
