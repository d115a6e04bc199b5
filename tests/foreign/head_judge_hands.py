"""Hands and eyes for the test of the head judge's page: a display and judges at the feed, and the page in a browser as the
head judge uses it."""

import contextlib
import json
import os
import sys
import threading
import time
import tomllib

from chromium import chromium
from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import Select
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

import audit

PATIENCE_S = 30
# A second touch counts only after this: the page's own 0.4 s, and a little more.
SECOND_TOUCH_S = 0.5

feed_url, access_file = sys.argv[1:3]
with open(access_file, "rb") as file:
    access = tomllib.load(file)
checks = 0
connections = contextlib.ExitStack()


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


class Client:
    """One connection to the feed, joined; it keeps the picture that it is told."""

    def __init__(self, **join):
        address = feed_url.replace("http://", "ws://") + "/feed"
        self.socket = connections.enter_context(connect(address, subprotocols=["fivemark.v1"]))
        self.heard = threading.Condition()
        self.picture = None
        self.speed_milli = 1000
        self.offset = None
        self.acks = []
        self.say({"type": "join", "device": f"python-{join['role']}-{join.get('lane', 0)}", **join})
        threading.Thread(target=self.read, daemon=True).start()
        self.until(lambda: self.picture, "a picture comes")

    def say(self, message):
        self.socket.send(json.dumps(message))

    def read(self):
        with contextlib.suppress(ConnectionClosed):
            for text in self.socket:
                message = json.loads(text)
                with self.heard:
                    self.take(message)
                    self.heard.notify_all()

    def take(self, message):
        if message["type"] == "welcome":
            self.speed_milli = message["speed_milli"]
        elif message["type"] == "snapshot":
            self.picture = message
        elif message["type"] == "delta":
            self.picture = {**self.picture, **{part: message[part] for part in ("heat",) if part in message}}
            changed = {count["lane"]: count for count in message.get("lanes", [])}
            self.picture["lanes"] = [changed.get(count["lane"], count) for count in self.picture["lanes"]]
        elif message["type"] == "clock":
            add_us = ((message["t2_us"] - message["t1_us"]) + (message["t3_us"] - self.now_us())) // 2
            self.offset = {"add_us": add_us, "delay_us": self.now_us() - message["t1_us"]}
        elif message["type"] in ("ack", "gap", "refusal"):
            self.acks.append(message)

    def now_us(self):
        return time.monotonic_ns() // 1000 * self.speed_milli // 1000

    def until(self, holds, what):
        with self.heard:
            check(self.heard.wait_for(holds, PATIENCE_S), what)

    def lane(self, number):
        return next(count for count in self.picture["lanes"] if count["lane"] == number)


class Judge(Client):
    """A lane's judge, who taps through the course."""

    def __init__(self, lane):
        super().__init__(role="lane_judge", lane=lane, access_key=access["lane_judge"][str(lane)])
        self.number = lane
        self.tapped = 0
        self.say({"type": "clock", "t1_us": self.now_us()})
        self.until(lambda: self.offset, "the clock is known")

    def call(self, call="good", **more):
        self.tapped += 1
        self.say({"type": "tally", "heat": self.picture["titles"]["heat"], "run": self.lane(self.number)["run"],
                  "lane": self.number, "epoch": 1000 + self.number, "number": self.tapped, "call": call,
                  "stamp_ms": self.now_us() // 1000, "offset": self.offset, **more})

    def taps(self, count):
        for _ in range(count):
            self.call()
            # A rep takes a while; the feed takes 50 messages a second for long.
            time.sleep(0.025)
        self.until(lambda: len(self.acks) >= self.tapped, "every tap is answered")


class Page:
    """The head judge's page."""

    def __init__(self, driver, line):
        self.driver, self.line = driver, line
        self.pictures = os.environ.get("PICTURES")

    def open(self, fragment=""):
        self.driver.get(f"{self.line.url}/head-judge{fragment}")

    def find(self, selector):
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector):
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def text(self, selector):
        return seen(self.driver.execute_script("return document.querySelector(arguments[0])?.textContent ?? ''", selector))

    def texts(self, selector):
        """The texts of all that are found, read at one moment: the page may put others in their place at any time."""
        read = "return Array.from(document.querySelectorAll(arguments[0]), (found) => found.textContent)"
        return [seen(text) for text in self.driver.execute_script(read, selector)]

    def focused(self, attribute):
        return seen(self.driver.switch_to.active_element.get_attribute(attribute) or "")

    def click_last(self, selector, words=""):
        """Clicks the last of those that are found and hold these words, in one moment of the page."""
        self.driver.execute_script("""
          const found = Array.from(document.querySelectorAll(arguments[0]));
          found.filter((one) => one.textContent.includes(arguments[1])).pop().click();""", selector, words)

    def until(self, holds, what):
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            # The page may put another element in the place of one that is looked at: then it is looked at again.
            with contextlib.suppress(StaleElementReferenceException):
                if holds():
                    check(True, what)
                    return
            time.sleep(0.05)
        check(False, f"{what}; the page says: {self.text('#state')} / {self.text('#said')} / {self.text('#answers')}")

    def state(self):
        return self.find("body").get_attribute("data-state")

    def is_state(self, state):
        self.until(lambda: self.state() == state, f"the page comes to {state}")

    def step(self, name, **asked):
        self.find(f"#steps [data-step='{name}']").click()
        if not self.find("#ask").is_displayed():
            return
        for field, value in asked.items():
            control = self.find(f"#ask-{field}")
            if control.tag_name == "select":
                Select(control).select_by_value(value)
            else:
                control.send_keys(value)
        time.sleep(SECOND_TOUCH_S)
        self.find("#ask button.main").click()
        # A start that lanes are not fit for is asked for once more.
        if self.find("#ask").get_attribute("data-unfit"):
            self.picture("asked-again")
            time.sleep(SECOND_TOUCH_S)
            self.find("#ask button.main").click()

    def steps(self):
        return [button.get_attribute("data-step") for button in self.all("#steps button")]

    def said(self, words):
        self.until(lambda: words in self.text("#said"), f"the page says {words!r}")

    def open_lane(self, lane):
        self.find(f"tr[data-lane='{lane}'] button.lane").click()
        check(self.focused("id") == "lane", "the focus goes to the opened lane")

    def rule(self, lane, kind, reason="seen from the floor", less=False, before_it=lambda: None, **typed):
        """Rules on a lane through the form, and gives what stood beside it before it was sent. `before_it` happens at the
        last moment before that."""
        self.open_lane(lane)
        Select(self.find("#ruling-kind")).select_by_value(kind)
        if less:
            self.find("label[for='way-less']").click()
        for field, value in typed.items():
            control = self.find(f"#ruling-{field}")
            if control.tag_name == "select":
                Select(control).select_by_value(value)
            else:
                control.clear()
                control.send_keys(value)
        self.find("#ruling-reason").send_keys(reason)
        preview = self.text("#ruling-preview")
        send = self.find("#lane .ruling > button.main")
        before_it()
        send.click()
        self.find("#lane .close").click()
        return preview

    def count(self, lane):
        return self.text(f"tr[data-lane='{lane}'] td.count b")

    def picture(self, name):
        """Holds the page as it stands against axe-core, and takes its picture."""
        wrong = audit.violations(self.driver)
        check(not wrong, f"{name} is accessible: {wrong}")
        if not self.pictures:
            return
        for width, height in ((1280, 800), (820, 1180), (360, 740)):
            metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 1000}
            self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
            time.sleep(0.3)
            self.driver.save_screenshot(f"{self.pictures}/{name}-{width}.png")
        self.driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


def seen(text):
    """A text without the marks that isolate names in it, which are not seen."""
    return "".join(mark for mark in text if mark not in "\u2066\u2067\u2068\u2069")


def browser():
    return chromium("--window-size=1280,900")


def held():
    print(f"{checks} checks held")
