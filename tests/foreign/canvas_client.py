"""A foreign client of a display: headless Chromium shows the page of its canvas feed.

Usage: canvas_client.py DISPLAY_BINARY FOLDER

FOLDER holds `before.json` and `after.json`, two snapshots of a heat that has ended. This script plays a feed that
sends them, starts the display without a window, and opens its page. What the page's canvas holds is read back and
compared with the picture that `DISPLAY_BINARY still` writes of the same snapshot, on the theme's ground and on none.

Tolerance: alpha is equal, and colours differ by at most 1 of 255 once they are multiplied with alpha; a browser keeps
its canvas so, and rounds on the way in and out. Ends with 0 and a line `N checks held`.
"""

import atexit
import base64
import http.server
import json
import os
import struct
import subprocess
import sys
import threading
import time
import zlib

from chromium import chromium
from selenium.webdriver.common.by import By
from websockets.exceptions import ConnectionClosed
from websockets.sync.server import serve

PATIENCE_S = 60
SIZE = (1280, 720)
KEY = "4f1c60b2d8e94a7fa1b35c7d2e9f8061"
display, folder = sys.argv[1:3]
checks = 0

READ_BACK = """
const board = document.getElementById("board");
const data = board.getContext("2d").getImageData(0, 0, board.width, board.height).data;
let text = "";
for (let at = 0; at < data.length; at += 32768) text += String.fromCharCode(...data.subarray(at, at + 32768));
return [board.width, board.height, btoa(text)];
"""


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def eventually(what, look):
    until = time.monotonic() + PATIENCE_S
    while not (found := look()):
        if time.monotonic() > until:
            sys.exit(f"check failed: not within {PATIENCE_S} s: {what}")
        time.sleep(0.1)
    return found


def read_png(path):
    """Width, height and straight RGBA of a PNG of eight bits a channel, without interlacing (W3C PNG, 3rd edition)."""
    with open(path, "rb") as file:
        data = file.read()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    at, packed = 8, b""
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + length]
        if kind == b"IHDR":
            width, height, depth, color, _, _, interlace = struct.unpack(">IIBBBBB", body)
            assert (depth, color, interlace) == (8, 6, 0)
        elif kind == b"IDAT":
            packed += body
        at += 12 + length
    raw, row_bytes = zlib.decompress(packed), width * 4
    above, pixels = bytearray(row_bytes), bytearray()
    for start in range(0, len(raw), row_bytes + 1):
        kind, row = raw[start], bytearray(raw[start + 1:start + 1 + row_bytes])
        unfilter(kind, row, above)
        pixels += row
        above = row
    return width, height, bytes(pixels)


def unfilter(kind, row, above):
    if kind == 2:
        row[:] = bytes((value + up) & 255 for value, up in zip(row, above))
    elif kind:
        for at in range(len(row)):
            left, corner = (row[at - 4], above[at - 4]) if at >= 4 else (0, 0)
            up = above[at]
            if kind == 1:
                guess = left
            elif kind == 3:
                guess = (left + up) // 2
            else:
                near = left + up - corner
                distances = (abs(near - left), abs(near - up), abs(near - corner))
                guess = (left, up, corner)[distances.index(min(distances))]
            row[at] = (row[at] + guess) & 255


def alike(shown, expected):
    """None, or where two pictures of the same size differ beyond the tolerance."""
    if shown == expected:
        return None
    for at in range(0, len(expected), 4):
        here, there = shown[at:at + 4], expected[at:at + 4]
        if here != there:
            alpha = there[3]
            off = max(abs(a - b) * alpha for a, b in zip(here[:3], there[:3]))
            if here[3] != alpha or off > 255:
                x, y = at // 4 % SIZE[0], at // 4 // SIZE[0]
                return f"at {x}, {y}: {tuple(here)} should be {tuple(there)}"
    return None


def still(snapshot, ground):
    out = os.path.join(folder, f"{snapshot}-{ground}.png")
    subprocess.run([display, "still", "--snapshot", os.path.join(folder, f"{snapshot}.json"), "--background", ground,
                    "--size", "%dx%d" % SIZE, "--out", out], check=True, stdout=subprocess.DEVNULL)
    width, height, pixels = read_png(out)
    assert (width, height) == SIZE
    return pixels


class Feed:
    """A feed that sends one snapshot after the other."""

    def __init__(self):
        self.snapshot = "before"
        self.server = serve(self.follow, "127.0.0.1", 0, subprotocols=["fivemark.v1"])
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.url = "ws://127.0.0.1:%d/feed" % self.server.socket.getsockname()[1]

    def follow(self, socket):
        sent = None
        try:
            while True:
                try:
                    said = json.loads(socket.recv(timeout=0.05))
                    if said["type"] == "join":
                        socket.send(json.dumps({"type": "welcome", "role": "display", "stream": "played",
                                                "speed_milli": 1000, "version": "0"}))
                        sent = ""
                    elif said["type"] == "clock":
                        socket.send(json.dumps({"type": "clock", "t1_us": said["t1_us"],
                                                "t2_us": said["t1_us"], "t3_us": said["t1_us"]}))
                except TimeoutError:
                    pass
                if sent is not None and sent != self.snapshot:
                    sent = self.snapshot
                    with open(os.path.join(folder, f"{sent}.json")) as file:
                        socket.send(file.read())
        except ConnectionClosed:
            pass


class Display:
    """The program, without a window."""

    def __init__(self, feed, ground, port=0):
        command = [display, "board", "--feed", feed.url, "--canvas", f"127.0.0.1:{port}", "--background", ground,
                   "--size", "%dx%d" % SIZE]
        environment = dict(os.environ, FIVEMARK_ACCESS_KEY=KEY)
        self.process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)
        # A check that fails ends this script, and nothing that it started may outlive it.
        atexit.register(self.process.kill)
        line = self.process.stdout.readline()
        check(line.startswith("canvas on http://127.0.0.1:"), f"it says where its page is: {line}")
        self.url = line.removeprefix("canvas on ").strip()
        self.port = int(self.url.rstrip("/").rsplit(":", 1)[1])

    def stop(self):
        self.process.terminate()
        said, _ = self.process.communicate(timeout=PATIENCE_S)
        check(self.process.returncode == 0, "it ends cleanly")
        check("encoded" in said and "bytes" in said, f"it says what encoding has cost: {said}")


def shown(driver):
    width, height, text = driver.execute_script(READ_BACK)
    return base64.b64decode(text) if (width, height) == SIZE else b""


def shows(driver, expected, what):
    """Waits for the picture, whose last motions may still be under way; gives its frame's number."""
    difference = ["nothing yet"]

    def look():
        pixels = shown(driver)
        difference[0] = alike(pixels, expected) if pixels else "nothing yet"
        return difference[0] is None

    until = time.monotonic() + PATIENCE_S
    while not look():
        if time.monotonic() > until:
            sys.exit(f"check failed: {what}: {difference[0]}")
        time.sleep(0.2)
    check(True, what)
    return int(driver.find_element(By.ID, "board").get_attribute("data-frame"))


def is_shown(driver, name):
    return driver.find_element(By.ID, name).is_displayed()


def asks_for_the_key(driver, url, expected):
    driver.switch_to.new_window("tab")
    driver.get(url)
    eventually("a page without a key asks for it", lambda: is_shown(driver, "entry"))
    check(not driver.find_element(By.ID, "why").text, "and blames nobody")
    for key, right in (("0" * 32, False), (KEY, True)):
        driver.find_element(By.ID, "key").send_keys(key)
        driver.find_element(By.CSS_SELECTOR, "#entry button").click()
        if not right:
            eventually("a wrong key is told in words", lambda: "does not open" in driver.find_element(By.ID, "why").text)
    shows(driver, expected, "the right key opens it")
    check(not is_shown(driver, "entry") and not is_shown(driver, "notice"), "and no words lie over the board")
    requests = driver.execute_script("return performance.getEntriesByType('resource').map((entry) => entry.name)")
    check(sorted(requests) == [url + "page.css", url + "page.js"], f"it loads its own two files only: {requests}")


def fits_a_phone(driver):
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride",
                           {"width": 390, "height": 844, "deviceScaleFactor": 3, "mobile": True})
    sizes = driver.execute_script(
        "const box = document.getElementById('board').getBoundingClientRect();"
        "return [box.left, box.top, box.width, box.height,"
        " document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    # As wide as the phone, at its own proportions, in the middle.
    height = 390 * SIZE[1] / SIZE[0]
    check(sizes == [0, (844 - height) / 2, 390, height, 390, 844], f"the board fits a phone, and nothing scrolls: {sizes}")
    driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


class ElsewherePage(http.server.BaseHTTPRequestHandler):
    """An empty page on another port: another origin."""

    def do_GET(self):
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!doctype html><title>elsewhere</title>")

    def log_message(self, *_):
        pass


def turns_pages_from_elsewhere_away(driver, url):
    elsewhere = http.server.ThreadingHTTPServer(("127.0.0.1", 0), ElsewherePage)
    threading.Thread(target=elsewhere.serve_forever, daemon=True).start()
    driver.switch_to.new_window("tab")
    driver.get(f"http://127.0.0.1:{elsewhere.server_port}/")
    ended = driver.execute_async_script(
        "const [url, done] = arguments; const socket = new WebSocket(url, 'fivemark.canvas.v2');"
        "socket.onopen = () => done('open'); socket.onclose = () => done('closed');",
        url.replace("http://", "ws://") + "canvas")
    check(ended == "closed", "a page of another origin is turned away")
    elsewhere.shutdown()


def main():
    opaque = {snapshot: still(snapshot, "theme") for snapshot in ("before", "after")}
    clear = still("after", "clear")
    check(set(opaque["before"][3::4]) == {255}, "the theme's ground has no holes")
    check(0 in clear[3::4] and len(set(clear[3::4])) > 10, "without a ground there are holes and soft edges")
    check(alike(opaque["after"], opaque["before"]) is not None, "the two pictures differ")

    feed = Feed()
    running = Display(feed, "theme")
    with chromium(patience_s=PATIENCE_S) as driver:
        driver.get(f"{running.url}#access_key={KEY}")
        first = shows(driver, opaque["before"], "the page shows the picture file's pixels")
        tabs = [driver.current_window_handle]
        for _ in range(3):
            driver.switch_to.new_window("tab")
            driver.get(f"{running.url}#access_key={KEY}")
            shows(driver, opaque["before"], "so does another page")
            tabs.append(driver.current_window_handle)
        feed.snapshot = "after"
        for tab in tabs:
            driver.switch_to.window(tab)
            number = shows(driver, opaque["after"], "every page shows what has changed")
            check(number > first, "as a later frame")
        fits_a_phone(driver)
        asks_for_the_key(driver, running.url, opaque["after"])
        turns_pages_from_elsewhere_away(driver, running.url)

        running.stop()
        for tab in tabs:
            driver.switch_to.window(tab)
            eventually("a page without its display says so", lambda: is_shown(driver, "notice"))
            check("No link" in driver.find_element(By.ID, "notice").text, "in words")
        running = Display(feed, "clear", running.port)
        for tab in tabs:
            driver.switch_to.window(tab)
            shows(driver, clear, "every page comes back by itself, and has the picture's alpha")
            check(not is_shown(driver, "notice"), "and the words are gone")
        faults = [entry for entry in driver.get_log("browser")
                  if entry["level"] == "SEVERE" and "WebSocket" not in entry["message"]]
        check(not faults, f"no page has a fault: {faults}")
    running.stop()
    print(f"{checks} checks held")


main()
