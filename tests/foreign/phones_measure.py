"""Measures judges' phones, as pages in headless Chromium, on a real feed; judges nothing.

Usage: phones_measure.py one FEED_HTTP_URL ACCESS_FILE REPS CANVAS_URL CANVAS_KEY
       phones_measure.py many FEED_HTTP_URL ACCESS_FILE REPS LANES

`one`: a phone is touched, with its link and then for REPS seconds without, once a second; another one, on the line,
finishes after it. `many`: LANES phones in the tabs of one browser through a whole heat of REPS repetitions, each at its own
pace, seen or not; each is seen in its turn.
The last line is one JSON object of figures; times are in milliseconds, memory in MB of 1,000,000 bytes.
"""

import itertools
import json
import pathlib
import random
import struct
import sys
import threading
import time
import tomllib
import warnings

from chromium import chromium
from desk import Desk
from line import Line
from phone import browser, touch, until
from websockets.sync.client import connect

# From one touch to the next: the board has come to rest by then, milliseconds.
APART_S = 0.7
TOUCHES = 30
LANE, OTHER = 12, 11

# From the finger, as the browser stamps it, to the frame after the one in which the number changed.
WATCH = """
window.touched = [];
let at = null;
addEventListener("pointerdown", (event) => { at ??= event.timeStamp; }, true);
const changes = new MutationObserver(() => {
  if (at === null) return;
  const down = at;
  at = null;
  requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => touched.push([performance.timeOrigin + down, performance.now() - down]);
    port2.postMessage(null);
  });
});
changes.observe(document.querySelector("#number"), { childList: true, characterData: true, subtree: true });
// The last one brings another face.
changes.observe(document.body, { attributes: true });
"""

# A judge who counts at this pace until the lane has ended.
JUDGE = """
const [reps, apart] = arguments;
window.calls = 0;
const good = document.querySelector("#good");
const call = () => {
  if (calls === reps) return;
  good.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true, pointerType: "touch" }));
  good.click();
  calls += 1;
  setTimeout(call, apart * (0.7 + 0.6 * Math.random()));
};
setTimeout(call, apart * Math.random());
"""

feed_url, access_file, reps = sys.argv[2].rstrip("/"), sys.argv[3], int(sys.argv[4])
with open(access_file, "rb") as file:
    keys = tomllib.load(file)
warnings.simplefilter("ignore", DeprecationWarning)
desk = Desk(f"{feed_url.replace('http', 'ws')}/feed", keys["head_judge"], heat=1)


def join(driver, url, lane):
    driver.get(f"{url}/judge#access_key={keys['lane_judge'][str(lane)]}&lane={lane}")
    until(lambda: face(driver) in ("ready", "count"), lambda: f"lane {lane} is joined: {face(driver)}")


def face(driver):
    return driver.execute_script("return document.body.dataset.face")


class Board:
    """A program that takes a display's frames and notes when the lower half of the picture changed."""

    def __init__(self, url, key):
        self.changes = []
        self.socket = connect(f"{url.replace('http', 'ws').rstrip('/')}/canvas",
                              subprotocols=["fivemark.canvas.v2"], max_size=None)
        self.socket.send(json.dumps({"type": "join", "access_key": key}))
        threading.Thread(target=self.listen, daemon=True).start()

    def listen(self):
        frame = b""
        for message in self.socket:
            if isinstance(message, str):
                if json.loads(message)["type"] == "alive":
                    self.socket.send(message)
                continue
            frame += message
            packed, number = struct.unpack_from("<IQ", frame, 4)
            _, height, _, top, _, _, rects, _ = struct.unpack_from("<8H", frame, 16)
            if len(frame) < 32 + 8 * rects + packed:
                continue
            if any(top + struct.unpack_from("<4H", frame, 32 + 8 * at)[1] > height // 2 for at in range(rects)):
                self.changes.append(time.time() * 1000)
            self.socket.send(json.dumps({"type": "shown", "frame": number}))
            frame = b""


def touches(driver, many, apart_s):
    """Touches the target, and gives what the page noted of each."""
    before = driver.execute_script("return touched.length")
    for _ in range(many):
        began = time.monotonic()
        touch(driver, "#good")
        time.sleep(max(0, apart_s - (time.monotonic() - began)))
    until(lambda: driver.execute_script("return touched.length") >= before + many, "the page noted every touch")
    return driver.execute_script("return touched.slice(arguments[0])", before)


def one(canvas_url, canvas_key):
    line, board = Line(feed_url), Board(canvas_url, canvas_key)
    with browser() as phone, browser() as other:
        join(phone, line.url, LANE)
        join(other, feed_url, OTHER)
        desk.run()
        until(lambda: face(phone) == "count", "the phone counts")
        phone.execute_script(WATCH)
        up = touches(phone, TOUCHES, APART_S)
        time.sleep(1)
        to_board = []
        for at, _ in up:
            seen = [change for change in board.changes if change > at]
            to_board.append(seen[0] - at)
        line.cut(pages_too=True)
        other.execute_script(JUDGE, reps - 1, 500)
        down = touches(phone, reps - TOUCHES, 1.0)
        reached = desk.lane(LANE)["done"]
        until(lambda: desk.lane(OTHER)["done"] == reps - 1, "the other lane is almost done")
        touch(other, "#good")
        until(lambda: desk.lane(OTHER)["status"] == "finished", "the other lane finishes")
        line.mend()
        until(lambda: desk.lane(LANE)["status"] == "finished", "the lane finishes")
        until(lambda: desk.lane(LANE).get("result"), "its result")
        calls = [entry for entry in desk.record(LANE)["entries"] if "call" in entry["what"]][-len(down):]
        first = calls[0]["at_ms"] - down[0][0]
        off = [abs(entry["at_ms"] - at - first) for entry, (at, _) in zip(calls, down)]
        times = [desk.lane(lane)["result"]["official_ms"] for lane in (LANE, OTHER)]
    return {
        "touch_up_ms": [ms for _, ms in up], "touch_down_ms": [ms for _, ms in down], "to_board_ms": to_board,
        "waited": len(down), "counted_late": desk.lane(LANE)["done"] - reached, "stamps_off_ms": off,
        "first_in_first": times[0] < times[1],
    }


def processes(root):
    """A process and everything that it started."""
    parents = {}
    for stat in pathlib.Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rsplit(")", 1)[1].split()
        except OSError:
            continue
        parents.setdefault(int(fields[1]), []).append(int(stat.parent.name))
    found = [root]
    for number in found:
        found += parents.get(number, [])
    return found


def shared_fairly_mb(numbers):
    """Proportional set size: what processes share is counted once, in equal parts."""
    total_kb = 0
    for number in numbers:
        try:
            text = pathlib.Path(f"/proc/{number}/smaps_rollup").read_text()
        except OSError:
            continue
        total_kb += sum(int(line.split()[1]) for line in text.splitlines() if line.startswith("Pss:"))
    return total_kb * 1024 / 1e6


def many(lanes):
    awake = ("--disable-background-timer-throttling", "--disable-renderer-backgrounding",
             "--disable-backgrounding-occluded-windows", "--window-size=360,740")
    with chromium(*awake, patience_s=60) as driver:
        windows = []
        for lane in range(1, lanes + 1):
            if lane > 1:
                driver.switch_to.new_window("tab")
            join(driver, feed_url, lane)
            windows.append(driver.current_window_handle)
        desk.run()
        for window in windows:
            driver.switch_to.window(window)
            until(lambda: face(driver) == "count", "every phone counts")
            driver.execute_script(JUDGE, reps, random.randint(900, 1400))
        most_mb, turns = 0, itertools.cycle(windows)
        until_s = time.monotonic() + reps * 2.5
        while time.monotonic() < until_s and any(desk.lane(lane)["status"] == "racing" for lane in range(1, lanes + 1)):
            driver.switch_to.window(next(turns))
            driver.execute_cdp_cmd("Page.bringToFront", {})
            time.sleep(1)
            most_mb = max(most_mb, shared_fairly_mb(processes(driver.service.process.pid)))
        calls = 0
        for window in windows:
            driver.switch_to.window(window)
            calls += driver.execute_script("return calls")
        time.sleep(2)
        counted = sum(desk.lane(lane)["done"] for lane in range(1, lanes + 1))
    return {"pages": lanes, "calls": calls, "counted": counted, "pss_mb_a_page": most_mb / lanes}


print(json.dumps(one(*sys.argv[5:7]) if sys.argv[1] == "one" else many(int(sys.argv[5]))))
