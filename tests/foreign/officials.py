"""What the tests of the announcer's and the floor operator's pages share: checks, a browser at a set size, and people at the
floor who speak the wire by hand."""

import json
import sys
import time

from audit import violations
from chromium import chromium
from websockets.sync.client import connect

PATIENCE_S = 30
SUBPROTOCOL = "fivemark.v1"
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def until(what, found, patience_s=PATIENCE_S):
    """Waits until `found` gives something, and gives it back."""
    deadline = time.monotonic() + patience_s
    while time.monotonic() < deadline:
        value = found()
        if value:
            check(True, what)
            return value
        time.sleep(0.05)
    check(False, what)


def audited(driver, face):
    """Holds the page as it stands against axe-core."""
    check(violations(driver) == [], f"{face}: {violations(driver)}")


def held():
    print(f"{checks} checks held")


class Person:
    """Somebody at the floor: joined in a role, with a clock that runs as fast as the feed's."""

    def __init__(self, feed_url, role, access_key, lane=None):
        self.lane, self.number, self.ids = lane, 0, 0
        # Snapshots with long standings are larger than the library's own bound.
        url = feed_url.replace("http://", "ws://") + "/feed"
        self.socket = connect(url, subprotocols=[SUBPROTOCOL], max_size=4 * 1024 * 1024)
        join = {"type": "join", "role": role, "access_key": access_key, "device": f"{role}-{lane or 0}"}
        self.say({**join, "lane": lane} if lane else join)
        self.speed_milli = self.hear(lambda message: message["type"] == "welcome")["speed_milli"]
        self.snapshot = self.hear(lambda message: message["type"] == "snapshot")
        self.heat = self.snapshot["titles"]["heat"]
        sent_us = self.now_us()
        self.say({"type": "clock", "t1_us": sent_us})
        reply = self.hear(lambda message: message["type"] == "clock")
        back_us = self.now_us()
        add_us = ((reply["t2_us"] - sent_us) + (reply["t3_us"] - back_us)) // 2
        self.offset = {"add_us": add_us, "delay_us": max(0, (back_us - sent_us) - (reply["t3_us"] - reply["t2_us"]))}

    def now_us(self):
        return time.monotonic_ns() // 1000 * self.speed_milli // 1000

    def say(self, message):
        self.socket.send(json.dumps(message))

    def hear(self, wanted):
        deadline = time.monotonic() + PATIENCE_S
        while True:
            message = json.loads(self.socket.recv(timeout=max(0.0, deadline - time.monotonic())))
            if wanted(message):
                return message

    def ask(self, message):
        """Gives a command with an id, and its answer back."""
        self.ids += 1
        self.say({**message, "id": self.ids})
        of = {message["type"]: {"id": self.ids}}
        return self.hear(lambda answer: answer["type"] in ("ack", "refusal") and answer["of"] == of)

    def floor(self, command, heat=None):
        answer = self.ask({"type": "floor", "heat": heat or self.heat, "command": command})
        check(answer["type"] == "ack", f"{command} is done: {answer}")

    def rule(self, lane, kind):
        ruling = {"type": "ruling", "heat": self.heat, "lane": lane, "reason": "seen on the floor", "kind": kind}
        answer = self.ask(ruling)
        check(answer["type"] == "ack", f"{kind} is done: {answer}")

    def call(self, call="good", **more):
        """A judge's call; the answer."""
        self.number += 1
        tally = {"type": "tally", "heat": self.heat, "run": 1, "lane": self.lane, "epoch": 900 + self.lane,
                 "number": self.number, "call": call, "stamp_ms": self.now_us() // 1000, "offset": self.offset, **more}
        self.say(tally)
        number = self.number
        return self.hear(lambda answer: answer["type"] == "ack" and answer["of"].get("tally", {}).get("number") == number)

    def state(self, name):
        """Waits until the heat is in a state."""
        return self.hear(lambda message: message["type"] == "delta" and message.get("heat", {}).get("state") == name)


def browser():
    return chromium("--hide-scrollbars", patience_s=PATIENCE_S)


def size(driver, width, height):
    metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)


# Texts as people read them: without the marks that keep names from turning the words around them about (UAX #9).
READ = """return Array.from(document.querySelectorAll(arguments[0]), (element) =>
  element.textContent.replace(/[\\u2066-\\u2069]/g, ""))"""


def texts(driver, selector):
    return driver.execute_script(READ, selector)


def text(driver, selector):
    return (texts(driver, selector) or [""])[0]
