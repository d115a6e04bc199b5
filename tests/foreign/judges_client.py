"""A shadow judge's page and the head judge's tables of judges in headless Chromium, on a real feed.

Usage: judges_client.py FEED_HTTP_URL ACCESS_FILE [PICTURES]

A shadow judge comes in by the lane's second PIN, counts alone, corrects and reloads; the lane's own count never moves for
it. The lane's judge, by hand over the wire, sees the same reps a moment later, and one of them otherwise. The head judge's
page then has both judges' rates, how the two agree, and what is flagged on a lane that is called too fast. Faces are held
against axe-core. The feed must be freshly started on the lane competition, at a speed of 1. PICTURES is a folder for
pictures of the pages. Ends with 0 and a line `N checks held`.
"""

import pathlib
import sys
import time
import tomllib

from desk import Desk
from officials import PATIENCE_S, Person, audited, check, held, size, text, texts, until
from phone import browser, touch

from chromium import chromium

LANE = 3
# Taps are further apart than the page's floor for double taps.
APART_S = 0.2
# How much later the lane's judge taps, milliseconds.
LATER_MS = 200

feed_url, access_file = sys.argv[1], sys.argv[2]
pictures = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
with open(access_file, "rb") as file:
    keys = tomllib.load(file)
desk = Desk(feed_url.replace("http://", "ws://") + "/feed", keys["head_judge"], heat=1)


def picture(driver, name):
    if pictures:
        driver.save_screenshot(str(pictures / f"{name}.png"))


def face(driver):
    return driver.execute_script("return document.body.dataset.face")


def shadow_pin():
    head = Person(feed_url, "head_judge", keys["head_judge"])
    head.say({"type": "ask_pins"})
    pins = head.hear(lambda message: message["type"] == "pins")["pins"]
    head.socket.close()
    return next(pin["pin"] for pin in pins if pin["lane"] == LANE and pin["shadow"])


def shadow_calls():
    """The shadow's calls in the record of the lane: each with its time and what was said."""
    calls = [(entry["at_ms"], entry["what"]["call"]) for entry in desk.record(LANE)["entries"] if "call" in entry["what"]]
    return [(at, call["call"]) for at, call in calls if call["verdict"] == "shadow"]


def comes_in(driver):
    driver.get(f"{feed_url}/judge")
    until("the page asks who is there", lambda: face(driver) == "join")
    driver.find_element("css selector", "#shadow").click()
    driver.find_element("css selector", "#pin").send_keys(shadow_pin())
    driver.find_element("css selector", "#pin-form button").click()
    until("the shadow is let in", lambda: face(driver) == "ready")
    check(text(driver, "#ready-lane") == "Lane 3", "on its lane")


def number(driver):
    return text(driver, "#number")


def tap(driver, selector):
    touch(driver, selector)
    time.sleep(APART_S)


def counts_alone(driver, judge):
    """Three reps, a tap too many, a no-rep, a rep that was none: 2 reps and 2 no-reps of its own."""
    until("the shadow counts", lambda: face(driver) == "count")
    for count in (1, 2, 3):
        tap(driver, "#good")
        check(number(driver) == str(count), f"it sees its own count: {number(driver)}")
    driver.execute_script("""
      for (const id of ["good", "undo"]) {
        const element = document.getElementById(id);
        element.dispatchEvent(new PointerEvent("pointerdown", {bubbles: true, pointerType: "touch"}));
        element.click();
      }""")
    until("an undo is the shadow's own", lambda: number(driver) == "3")
    time.sleep(APART_S)
    tap(driver, "#no-rep")
    driver.find_element("css selector", "#faults button").click()
    time.sleep(APART_S)
    tap(driver, "#last")
    until("the last one was a no-rep", lambda: number(driver) == "2" and text(driver, "#no-reps") == "2")
    until("all of it is recorded", lambda: len(shadow_calls()) == 7)
    check((desk.lane(LANE)["done"], desk.lane(LANE)["no_reps"]) == (0, 0), "and nothing of it counts")
    audited(driver, "the shadow's page")
    picture(driver, "shadow")
    driver.refresh()
    until("a reload keeps the shadow's count", lambda: face(driver) == "count" and number(driver) == "2")
    judge_follows(judge)
    until("the lane's judge counts", lambda: (desk.lane(LANE)["done"], desk.lane(LANE)["no_reps"]) == (3, 1))
    check(text(driver, "#count-lane") == "Lane 3, shadow", "the page says that it is a shadow's")
    check(number(driver) == "2", f"and the shadow does not see it: {number(driver)}")
    tap(driver, "#good")
    until("it counts on", lambda: number(driver) == "3")


def judge_follows(judge):
    """The lane's judge sees the same reps and the no-rep, and takes the third rep for good."""
    said = shadow_calls()
    check([call for _, call in said] == ["good", "good", "good", "good", "undo", "no-rep", "last-was-no-rep"], f"in order: {said}")
    for at_ms, call in [said[0], said[1], said[2], said[5]]:
        stamp_ms = at_ms + LATER_MS - judge.offset["add_us"] // 1000
        judge.call(call, stamp_ms=stamp_ms, **({"fault": "depth"} if call == "no-rep" else {}))


def calls_too_fast(other):
    """Three squats on another lane a tenth of a second apart."""
    first_ms = other.now_us() // 1000
    for index in range(4):
        other.call(stamp_ms=first_ms + index * 100)
    until("the calls count", lambda: desk.lane(4)["done"] == 4)


def tables(driver):
    driver.get(f"{feed_url}/head-judge#access_key={keys['head_judge']}")
    until("the head judge is in", lambda: text(driver, "#heat") == "Heat 2")
    driver.find_element("css selector", "#show-judges").click()
    until("the tables come", lambda: texts(driver, "#judges .agreement li"))
    check(text(driver, "#judges .briefing") == "", "nobody stands out of two judges with four calls each")
    said = text(driver, "#judges")
    check("No judge lies outside of the field." in said and "comparisons hardly one" in said, f"in words: {said}")
    rates = texts(driver, "#judges .rates li")
    check(len(rates) == 2 and any("Ada Merrowby" in rate and "1 of 4: 25%" in rate for rate in rates), f"the rates: {rates}")
    check(any(rate.startswith("lane_judge-4") and "0 of 4: 0%" in rate for rate in rates), f"a judge without a name: {rates}")
    agreement = text(driver, "#judges .agreement li")
    check("Front squat" in agreement and "3 of 5 decisions alike: 60%" in agreement, f"the agreement: {agreement}")
    check("1 judged differently, 0 called by the lane judge alone, 1 by the shadow judge alone" in agreement, f"in full: {agreement}")
    check("Kappa 0.2" in agreement, f"with its kappa: {agreement}")
    audited(driver, "the tables of judges")
    for width, height in ((1280, 900), (820, 1180), (390, 844)):
        size(driver, width, height)
        driver.execute_script("document.querySelector('#judges').scrollIntoView()")
        time.sleep(0.3)
        wide = driver.execute_script("const all = document.querySelector('main'); return all.scrollWidth - all.clientWidth")
        check(wide <= 0, f"nothing hangs over at {width}: {wide}")
        picture(driver, f"judges-{width}")
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    check(driver.execute_script("return getComputedStyle(document.querySelector('#lanes')).display") == "none", "printed alone")
    picture(driver, "judges-print")
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    size(driver, 1280, 900)
    driver.find_element("css selector", "#judges .close").click()
    check(driver.switch_to.active_element.get_attribute("id") == "show-judges", "the focus goes back")


def flags(driver):
    until("the strip names the lane", lambda: "Calls faster than a human" in text(driver, "#strip"))
    check("too fast" in text(driver, "tr[data-lane='4'] td.athlete"), "and its row")
    driver.find_elements("css selector", "#strip li[data-what='too-fast'] button")[-1].click()
    check(text(driver, "#lane-title").startswith("Lane 4"), "a touch opens it")
    until("the opened lane says why", lambda: "3 s are expected" in text(driver, "#lane .flags"))
    audited(driver, "a flagged lane")
    picture(driver, "flagged")


desk.floor("open_heat", heat=2)
judge = Person(feed_url, "lane_judge", keys["lane_judge"][str(LANE)], LANE)
other = Person(feed_url, "lane_judge", keys["lane_judge"]["4"], 4)
with browser(390, 844) as shadow:
    comes_in(shadow)
    desk.run()
    counts_alone(shadow, judge)
with chromium("--hide-scrollbars", "--window-size=1280,900", patience_s=PATIENCE_S) as head:
    calls_too_fast(other)
    tables(head)
    flags(head)
    wrong = [entry for entry in head.get_log("browser") if entry["level"] == "SEVERE"]
    check(not wrong, f"the browser has nothing to complain of: {wrong}")

held()
