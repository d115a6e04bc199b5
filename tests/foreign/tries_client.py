"""The lane judge's page in headless Chromium where attempts and holds are judged, touched as a judge would.

Usage: tries_client.py FEED_HTTP_URL ACCESS_FILE [PICTURES]

A heat of three attempts: nothing is judged before a load is declared; loads are typed and stepped; good, failed with a
fault, undo, a line that is cut; the end. Then holds: start, stop, an undo that lets the hold go on; and a lift in pounds.
The head judge's page has the attempts with their loads. Each face is held against axe-core in both lights. PICTURES is a
folder for a picture of each. Ends with 0 and a line `N checks held`.
"""

import pathlib
import sys
import time
import tomllib

from audit import violations
from desk import Desk
from line import Line
from phone import browser, press, text, touch, turn, until

LANE = 3
# Touches are further apart than the page's floor for double taps, in seconds.
APART_S = 0.17

feed_url, access_file = sys.argv[1], sys.argv[2]
pictures = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
with open(access_file, "rb") as file:
    keys = tomllib.load(file)
feed_port = int(feed_url.rstrip("/").rsplit(":", 1)[1])
line = Line(feed_url.rstrip("/"))
desk = Desk(f"ws://127.0.0.1:{feed_port}/feed", keys["head_judge"], heat=1)
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def face(driver):
    return driver.execute_script("return document.body.dataset.face")


def shows(driver, wanted):
    until(lambda: face(driver) == wanted, lambda: f"the face {wanted}, not {face(driver)}")


def looked_at(driver, name):
    """Holds the face against axe-core in both lights, and takes its picture."""
    for light in ("", "sun"):
        driver.execute_script("document.documentElement.dataset.light = arguments[0]", light)
        found = violations(driver)
        check(not found, f"{name} {light}: {'; '.join(found)}")
        if pictures:
            driver.save_screenshot(str(pictures / f"{name}{'-' if light else ''}{light}.png"))
    driver.execute_script("document.documentElement.dataset.light = ''")
    if pictures:
        turn(driver, 740, 360)
        time.sleep(0.2)
        driver.save_screenshot(str(pictures / f"{name}-wide.png"))
        turn(driver, 390, 844)


def waits(driver):
    return driver.execute_script("return document.querySelector('#good').classList.contains('waits')")


def button(driver, said):
    """Touches a button of the loads by what stands on it."""
    found = driver.execute_script("""
      const button = [...document.querySelectorAll('#load button')].find((one) => one.textContent === arguments[0]);
      if (!button || button.disabled) return false;
      button.dispatchEvent(new PointerEvent("pointerdown", {bubbles: true, pointerType: "touch"}));
      return true;""", said)
    check(found, f"a button {said} that can be touched")


def typed(driver, load):
    driver.execute_script("document.querySelector('#load button:last-child').click()")
    driver.find_element("css selector", "#load-typed").clear()
    driver.find_element("css selector", "#load-typed").send_keys(load)
    driver.find_element("css selector", "#load-form .main").click()


def number(driver):
    return text(driver, "#number")


def tried(lane=LANE):
    return desk.lane(lane).get("tries", {})


def loads():
    return [(one["load_g"], one["good"]) for one in tried().get("attempts", [])]


def lifts(driver):
    shows(driver, "ready")
    check("Snatch" in text(driver, "#ready-brief") and "3 attempts" in text(driver, "#ready-brief"), text(driver, "#ready-brief"))
    desk.run()
    shows(driver, "count")
    check(number(driver) == "–" and waits(driver), "nothing to judge before a load is declared")
    touch(driver, "#good")
    until(lambda: "Declare the load" in text(driver, "#count-bar"), "and a touch says so")
    check(desk.lane(LANE)["done"] == 0, "and counts nothing")
    looked_at(driver, "lift-first")
    typed(driver, "heavy")
    check("Type a load in kg" in text(driver, "#load-fault"), "what is no load is told")
    looked_at(driver, "lift-typing")
    driver.find_element("css selector", "#load-cancel").click()
    typed(driver, "97,5")
    check(number(driver) == "97.5" and not waits(driver), f"the load stands in the target: {number(driver)}")
    until(lambda: tried().get("declared_g") == 97_500, "and on every screen")
    button(driver, "+2.5")
    until(lambda: tried().get("declared_g") == 100_000, "a step on it")
    check("attempt 1 of 3" in text(driver, "#then"), text(driver, "#then"))
    looked_at(driver, "lift-declared")
    time.sleep(APART_S)
    touch(driver, "#good")
    check(number(driver) == "–" and "best 100\u00a0kg" in text(driver, "#then"), f"judged at once: {text(driver, '#then')}")
    until(lambda: loads() == [(100_000, True)] and desk.lane(LANE)["score"] == 100_000, "with its load")
    time.sleep(APART_S)
    button(driver, "+10")
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    until(lambda: driver.execute_script("return !document.querySelector('#faults').hidden"), "the faults open")
    looked_at(driver, "lift-faults")
    driver.find_element("css selector", "#faults button").click()
    until(lambda: loads() == [(100_000, True), (110_000, False)], lambda: f"a failed one: {loads()}")
    until(lambda: any(one["fault"] == "Pressed out" for one in desk.no_reps), "with its fault")
    touch(driver, "#undo")
    until(lambda: loads() == [(100_000, True)] and tried().get("declared_g") == 110_000, "undo brings its load back")
    check(number(driver) == "110", "on the page too")
    time.sleep(APART_S)


def ends(driver):
    """The rest of the attempts, without a link."""
    line.cut(pages_too=True)
    until(lambda: text(driver, "#count-bar").startswith("No link"), "the lost link is told")
    press(driver, " ", 32)
    check("best 110\u00a0kg" in text(driver, "#then"), f"a key judges, kept: {text(driver, '#then')}")
    time.sleep(APART_S)
    driver.refresh()
    shows(driver, "count")
    check("best 110\u00a0kg" in text(driver, "#then") and "attempt 3 of 3" in text(driver, "#then"), text(driver, "#then"))
    button(driver, "Same")
    check(number(driver) == "110", "the same load again")
    button(driver, "+5")
    check(loads() == [(100_000, True)], "nothing has reached the feed")
    line.mend()
    until(lambda: loads() == [(100_000, True), (110_000, True)], "the kept attempt")
    until(lambda: tried().get("declared_g") == 115_000, "and what was declared since")
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    shows(driver, "ended")
    until(lambda: text(driver, "#ended-result") == "110 kg", lambda: f"the result: {text(driver, '#ended-result')}")
    check(loads() == [(100_000, True), (110_000, True), (115_000, False)], f"all three: {loads()}")
    looked_at(driver, "lift-ended")


def head_judge_sees_loads():
    with browser(1280, 800) as driver:
        driver.get(f"{feed_url.rstrip('/')}/head-judge#access_key={keys['head_judge']}")
        until(lambda: "3 of 3 tried: 100, 110, 115\u00a0✗" in text(driver, "#lanes"), lambda: text(driver, "#lanes"))
        driver.find_element("css selector", "#lanes tbody tr button").click()
        until(lambda: "attempt failed 115\u00a0kg" in text(driver, "#lane .record"), lambda: text(driver, "#lane .record"))
        kinds = driver.execute_script("return [...document.querySelectorAll('#ruling-kind option')].map((one) => one.value)")
        check("set_best_load" in kinds and "set_count" not in kinds, f"rulings that fit: {kinds}")
        driver.execute_script("const kind = document.querySelector('#ruling-kind'); kind.value = 'set_best_load'; kind.dispatchEvent(new Event('input', {bubbles: true}))")
        driver.find_element("css selector", "#ruling-load").send_keys("115")
        driver.find_element("css selector", "#ruling-reason").send_keys("seen on video")
        until(lambda: "110\u00a0kg → 115\u00a0kg" in text(driver, "#ruling-preview"), lambda: text(driver, "#ruling-preview"))
        found = violations(driver)
        check(not found, f"the head judge's page: {'; '.join(found)}")
        if pictures:
            driver.save_screenshot(str(pictures / "head-judge.png"))
        driver.find_element("css selector", "form.ruling button.main").click()
        until(lambda: desk.lane(LANE)["result"]["text"] == "115 kg", "an attempt that is ruled good")


def holds(driver):
    desk.floor("call_time")
    desk.floor("close")
    desk.floor("open_heat", heat=2)
    shows(driver, "ready")
    check("2 holds" in text(driver, "#ready-brief") and "60 kg" in text(driver, "#ready-brief"), text(driver, "#ready-brief"))
    desk.run()
    shows(driver, "count")
    check("hold 1 of 2" in text(driver, "#then"), text(driver, "#then"))
    looked_at(driver, "hold-before")
    touch(driver, "#good")
    until(lambda: "holding_ms" in tried(), "the hold has begun")
    first = number(driver)
    until(lambda: number(driver) > first and number(driver) != "0:00.0", lambda: f"its time runs: {number(driver)}")
    check("Touch when it ends" in text(driver, "#raise"), text(driver, "#raise"))
    looked_at(driver, "hold-under-way")
    touch(driver, "#good")
    until(lambda: "holding_ms" not in tried() and desk.lane(LANE)["score"] > 0, "and has ended")
    until(lambda: "best 0:" in text(driver, "#then") and "hold 2 of 2" in text(driver, "#then"), lambda: text(driver, "#then"))
    touch(driver, "#undo")
    until(lambda: "holding_ms" in tried(), "an undo lets it go on")
    time.sleep(APART_S)
    touch(driver, "#good")
    time.sleep(APART_S)
    touch(driver, "#good")
    time.sleep(APART_S)
    touch(driver, "#good")
    shows(driver, "ended")
    until(lambda: desk.lane(LANE).get("result") and text(driver, "#ended-result") == desk.lane(LANE)["result"]["text"], "the result")
    looked_at(driver, "hold-ended")


def pounds(driver):
    desk.floor("call_time")
    desk.floor("close")
    desk.floor("open_heat", heat=3)
    shows(driver, "ready")
    desk.run()
    shows(driver, "count")
    typed(driver, "225")
    until(lambda: tried().get("declared_g") == 102_058, "pounds are kept in grams")
    button(driver, "+10")
    check(number(driver) == "235" and text(driver, "#of").startswith("lb"), "and shown as declared")
    time.sleep(APART_S)
    touch(driver, "#good")
    until(lambda: desk.lane(LANE)["score"] == 106_594, "235 lb")
    check("attempt 2" in text(driver, "#then") and "of 3" not in text(driver, "#then"), text(driver, "#then"))
    desk.floor("call_time")
    until(lambda: text(driver, "#ended-result") == "235 lb", lambda: text(driver, "#ended-result"))


with browser(390, 844) as judge:
    judge.get(f"{line.url}/judge#access_key={keys['lane_judge'][str(LANE)]}&lane={LANE}")
    lifts(judge)
    ends(judge)
    head_judge_sees_loads()
    holds(judge)
    pounds(judge)

print(f"{checks} checks held")
