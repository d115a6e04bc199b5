"""The head judge's page in headless Chromium: a heat from lanes set to signed, run and ruled on through the page alone.

Usage: head_judge_page.py FEED_HTTP_URL ACCESS_FILE

Judges are connections of Python's `websockets`, and so is the display by which every count is read back: what the page
shows is held against what the feed says to others. The feed must be freshly started on the golden competition, at a
speed of 2: the heat's ten minutes are long enough for a slow machine then. With PICTURES set, pictures of the page are
written into that folder. Ends with 0 and a line `N checks held`.
"""

import contextlib
import json
import os
import sys
import threading
import time
import tomllib

from selenium import webdriver
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

from line import Line

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

    def focused(self, attribute):
        return seen(self.driver.switch_to.active_element.get_attribute(attribute) or "")

    def until(self, holds, what):
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
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
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for flag in ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--lang=en",
                 "--disable-background-networking", "--disable-component-update", "--disable-sync",
                 "--window-size=1280,900"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    return webdriver.Chrome(options=options, service=Service("/usr/bin/chromedriver"))


def comes_in(page):
    page.open()
    check(page.find("#entry").is_displayed(), "without an access key the page asks for it")
    page.find("#entry-key").send_keys("0" * 32 + Keys.ENTER)
    page.until(lambda: page.text("#entry .fault"), "a wrong access key is told")
    # Another fragment alone would load nothing anew.
    page.driver.get("about:blank")
    page.open(f"#access_key={access['head_judge']}")
    page.is_state("lanes_set")
    check("access_key" not in page.driver.current_url, "the access key leaves the address")
    page.driver.refresh()
    page.is_state("lanes_set")
    check(len(page.all("#lanes tbody tr")) == 10, "every lane has a row")
    check("empty" in page.text("tr[data-lane='9'] td.athlete"), "an empty lane says so")
    page.picture("lanes-set")


def starts(page, judges):
    page.step("on_deck")
    page.is_state("on_deck")
    off = [button.text for button in page.all("#strip [data-what='judge-off'] button")]
    check(off == ["8", "10"], f"the strip names the lanes whose judges are off the line, not {off}")
    page.picture("on-deck")
    # A double touch starts nothing, and neither does a no.
    page.driver.execute_script("document.querySelector('[data-step=start_countdown]').click();"
                               "document.querySelector('#ask button.main').click();")
    time.sleep(SECOND_TOUCH_S)
    check(page.state() == "on_deck" and page.find("#ask").is_displayed(), "a double touch starts no countdown")
    page.picture("asked")
    page.driver.switch_to.active_element.send_keys(Keys.ESCAPE)
    check(not page.find("#ask").is_displayed(), "Escape takes the question away")
    check(page.focused("data-step") == "start_countdown", "the focus goes back")
    page.step("start_countdown")
    # A false start: recalled at once, and started anew.
    page.until(lambda: page.state() in ("countdown", "running"), "the countdown runs")
    page.step("recall")
    page.is_state("on_deck")
    page.until(lambda: "run 2" in page.text("#workout"), "a new run is told")
    page.step("start_countdown")
    page.is_state("running")
    for judge in judges:
        judge.until(lambda: judge.picture["heat"]["state"] == "running" and judge.lane(1)["run"] == 2, "a judge sees the second run")


def works(page, judges, display):
    # Nobody finishes a rep in the clock's error after go.
    time.sleep(0.3)
    judges[1].taps(20)
    judges[2].taps(12)
    judges[3].taps(8)
    judges[2].call("no-rep", fault="lockout")
    page.until(lambda: page.text("tr[data-lane='2'] td.no-reps b") == "1", "a no-rep is counted")
    check("lockout" in page.text("tr[data-lane='2'] td.no-reps"), "with its fault")
    marks = [mark.get_attribute("data-kind") for mark in page.all("tr[data-lane='2'] td.calls .marks i")]
    check(marks[-1] == "no_rep" and set(marks[:-1]) == {"good"}, f"the last calls stand in the row: {marks}")
    # Five rows of 100 m give 10, twelve thrusters 12, the run 10: 20 taps are 34 along the way.
    check(page.count(1) == f"{display.lane(1)['score']} of {display.picture['courses'][0]['score_units']}", page.count(1))
    page.picture("running")


def loses_the_link(page, line, display):
    before = display.lane(1)["done"]
    # The feed hears a ruling and the page not its answer; the link is cut, and the page asks again with the same id.
    preview = page.rule(1, "add_units", reason="counted on video", units="1", before_it=line.deafen)
    check("→" in preview and preview.startswith("Lane 1: "), f"what is ruled stands beside what stood: {preview}")
    display.until(lambda: display.lane(1)["done"] == before + 1, "a ruling that is not answered is done")
    check("waiting" in page.text("#answers li"), "unanswered, it waits")
    line.cut()
    page.until(lambda: page.find("body").get_attribute("data-link") == "down", "a lost link is told")
    # Given without a link, and the page reloaded before there is one.
    page.rule(2, "unit_penalty", reason="stepped off the line", units="2")
    page.picture("link-lost")
    page.driver.refresh()
    page.until(lambda: len(page.all("#answers li[data-state='waiting']")) == 2, "both wait after a reload")
    line.mend()
    page.until(lambda: len(page.all("#answers li[data-state='done']")) == 2, "both are answered when the link is back")
    display.until(lambda: display.lane(2).get("ruled"), "a ruling that waited is done")
    check(display.lane(1)["done"] == before + 1, "what was done already is not done twice")
    check(page.find("body").get_attribute("data-link") == "up", "the link is back")


def holds(page, line, display):
    page.find("body").send_keys(Keys.F8)
    page.is_state("held")
    page.said("done")
    page.picture("held")
    check("rerun" in page.steps() and "recall" not in page.steps(), "only what a held heat allows is offered")
    page.step("resume")
    page.is_state("running")
    # A hold while the link is away is sent when it is back: it is a moment later only.
    line.cut()
    page.until(lambda: page.find("body").get_attribute("data-link") == "down", "the link is lost again")
    page.find("#hold").click()
    page.said("waiting")
    line.mend()
    page.is_state("held")
    page.step("resume")
    page.is_state("running")


def rules_at_work(page, judges, display):
    course = display.picture["courses"][0]
    before = {lane: display.lane(lane)["done"] for lane in range(1, 9)}
    units = course["parts"][0]["amount"]

    def comes(lane, holds, what):
        page.until(lambda: holds(display.lane(lane)), what)

    page.rule(2, "add_units", less=True, units="2")
    comes(2, lambda count: count["done"] == before[2] - 2, "units are taken away")
    preview = page.rule(3, "set_count", part="1", done="7")
    comes(3, lambda count: count["done"] == units + 7, "a count is set by its place")
    check("thruster 3 of 12 → round 1, thruster 7 of 12" in preview, preview)
    page.rule(4, "from_paper", part="0", done="400", reason="the phone died")
    comes(4, lambda count: count["done"] == 400, "a paper count goes on")
    page.rule(5, "credit", time="12.5", reason="the rower's chain came off")
    comes(5, lambda count: count.get("credit_ms") == 12_500, "failed equipment is credited")
    page.until(lambda: "credit 0:12.5" in page.text("tr[data-lane='5'] td.athlete"), "and the row says so")
    page.rule(6, "status", status="did_not_finish", reason="walked off")
    comes(6, lambda count: count["status"] == "did_not_finish", "a status is given")
    preview = page.rule(8, "move_athlete", to="9", reason="the rig is loose")
    comes(9, lambda count: count["status"] == "racing", "an athlete moves to an empty lane")
    check(preview == "Lane 8: lane 8 → lane 9", preview)
    # What is wrong is told before it is sent.
    page.open_lane(3)
    Select(page.find("#ruling-kind")).select_by_value("time_penalty")
    page.find("#ruling-time").send_keys("7:99")
    page.find("#lane .ruling > button.main").click()
    check("Give a time" in page.text("#lane .fault"), "a time that is none is told")
    check(page.focused("id") == "ruling-time", "and its field is gone to")
    page.find("#ruling-time").clear()
    page.find("#ruling-time").send_keys("10")
    page.find("#lane .ruling > button.main").click()
    check("needs a reason" in page.text("#lane .fault"), "a ruling without a reason is not sent")
    page.picture("ruling")
    page.find("#lane").send_keys(Keys.ESCAPE)
    check(page.focused("aria-label").startswith("Lane 3"), "the focus goes back to the lane")


def ends(page, judges, display):
    course = display.picture["courses"][0]
    # Lane 1 does the rest: taps by the steps of each part.
    done, taps = display.lane(1)["done"], 0
    for part in course["parts"]:
        left = part["amount"] - max(0, min(done, part["amount"]))
        done -= min(done, part["amount"])
        taps += -(-left // part["step"])
    judges[1].taps(taps)
    page.until(lambda: display.lane(1)["status"] == "finished", "lane 1 finishes")
    # With a judge off the line the heat does not become provisional by itself.
    judges[5].socket.close()
    page.until(lambda: "5" in [button.text for button in page.all("#strip [data-what='judge-off'] button")], "a judge is lost")
    page.step("call_time")
    page.is_state("time_called")
    # The finish is typed as the clock reads; one after the clock is refused, in words.
    page.rule(1, "move_finish", time="9:59:59")
    page.said("A finish lies between")
    check(page.find("#said").get_attribute("data-state") == "refused", "a refusal looks like one")
    official = display.lane(1)["result"]["official_ms"]
    minutes, rest = divmod(official - 1_000, 60_000)
    preview = page.rule(1, "move_finish", time=f"{minutes}:{rest / 1000:04.1f}")
    page.until(lambda: display.lane(1)["result"]["official_ms"] == official - 1_000, "a finish is moved")
    check(page.count(1) == display.lane(1)["result"]["text"], "the row has the feed's own result")
    check(display.lane(1)["result"]["text"] in preview, f"as it was said before: {preview}")
    preview = page.rule(1, "time_penalty", time="10", reason="bar dropped")
    page.until(lambda: display.lane(1)["result"].get("penalty_ms") == 10_000, "a time penalty is given")
    check(display.lane(1)["result"]["text"] in preview, f"as it was said before: {preview}")
    page.until(lambda: "→" in page.text("#answers li .note"), "the feed's own before and after stand with it")


def signs(page, judges, display):
    page.rule(7, "status", status="under_review", reason="appeal")
    page.until(lambda: display.lane(7)["status"] == "under_review", "a lane is put under review")
    page.step("close")
    page.is_state("provisional")
    page.picture("provisional")
    page.step("sign")
    page.said("Lane 7 is under review")
    check(page.state() == "provisional", "a heat under review is not signed")
    page.rule(7, "status", status="reinstated", reason="appeal turned down")
    page.until(lambda: display.lane(7)["status"] != "under_review", "a lane is reinstated")
    page.step("rerun_lane", lane="7", reason="the rower broke")
    page.is_state("on_deck")
    check("lane 7 alone" in page.text("#state"), "one lane runs again alone")
    page.step("cancel")
    page.is_state("provisional")
    page.step("sign")
    page.is_state("signed")
    check(page.steps()[0] == "open_heat", "the next heat comes next")
    page.open_lane(1)
    check("Reopen it" in page.text("#lane"), "a signed heat takes no ruling")
    page.find("#lane .close").click()
    page.picture("signed")
    page.step("reopen", reason="appeal of lane 2")
    page.is_state("provisional")
    page.step("sign")
    page.is_state("signed")
    page.step("open_heat")
    page.until(lambda: page.text("#heat") == "Heat 8", "the next heat is on the floor")
    check(len(page.all("#lanes tbody tr")) == 20, "with its own lanes")
    page.picture("next-heat")


line = Line(feed_url)
with browser() as driver, connections:
    page = Page(driver, line)
    display = Client(role="display", access_key=access["display"])
    comes_in(page)
    judges = {lane: Judge(lane) for lane in (1, 2, 3, 4, 5, 6, 7)}
    starts(page, list(judges.values()))
    works(page, judges, display)
    loses_the_link(page, line, display)
    holds(page, line, display)
    rules_at_work(page, judges, display)
    ends(page, judges, display)
    signs(page, judges, display)
    wrong = [entry for entry in driver.get_log("browser") if entry["level"] == "SEVERE" and "WebSocket" not in entry["message"]]
    check(not wrong, f"the browser has nothing to complain of: {wrong}")

print(f"{checks} checks held")
