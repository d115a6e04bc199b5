"""The lane judge's page in headless Chromium, touched as a judge would, on a real feed.

Usage: judge_client.py FEED_HTTP_URL ACCESS_FILE SPEED [PICTURES]

One lane through a whole heat: in by a code, good reps by touch and by key, a no-rep with its fault, undo, the last one
was a no-rep, double taps, the last five, the finish and the initials; a line that is cut in the middle, with a reload
meanwhile. Then heats with a finish line and without an end, on a page that was left open; a second phone; a phone that
keeps nothing; a clock that is set back. Each face is held against axe-core in both lights. Heat time runs SPEED times
faster. PICTURES is a folder for a picture of each face. Ends with 0 and a line `N checks held`.
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
# Taps are further apart than the page's floor for double taps, in real seconds.
APART_S = 0.17
# What the stamps of taps may miss the moments by at which this program made them, in real seconds: its own and the
# browser's way on a busy machine.
SLACK_S = 1.5

feed_url, access_file, speed = sys.argv[1], sys.argv[2], float(sys.argv[3])
pictures = pathlib.Path(sys.argv[4]) if len(sys.argv) > 4 else None
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


def address(fragment=""):
    return f"{line.url}/judge{fragment}"


def code(lane=LANE):
    return f"#access_key={keys['lane_judge'][str(lane)]}&lane={lane}"


def face(driver):
    return driver.execute_script("return document.body.dataset.face")


def shows(driver, wanted):
    until(lambda: face(driver) == wanted, lambda: f"the face {wanted}, not {face(driver)}")


def number(driver):
    return text(driver, "#number")


def reps(driver, many):
    for _ in range(many):
        touch(driver, "#good")
        time.sleep(APART_S)


def at_once(driver, *selectors):
    """Touches made within one moment of the page, however slow the machine: an undo has its time only."""
    driver.execute_script("""
      for (const selector of arguments[0]) {
        const element = document.querySelector(selector);
        element.dispatchEvent(new PointerEvent("pointerdown", {bubbles: true, pointerType: "touch"}));
        element.click();
      }""", selectors)


def done():
    return desk.lane(LANE)["done"]


def calls():
    """The lane's calls in its record."""
    return [entry for entry in desk.record(LANE)["entries"] if "call" in entry["what"]]


def counted(units):
    until(lambda: done() == units, lambda: f"{units} units counted, not {done()}")


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
        turn(driver, 360, 740)


def comes_in(driver):
    driver.get(address())
    shows(driver, "join")
    looked_at(driver, "join")
    driver.execute_script("document.querySelector('#lane').value = '3'; document.querySelector('#key').value = 'no key'")
    driver.find_element("css selector", "#key-form button").click()
    until(lambda: "does not open this lane" in text(driver, "#join-fault"), "a wrong key is told in words")
    driver.get("about:blank")
    driver.get(address(code()))
    shows(driver, "ready")
    check(driver.current_url == address(), f"the key leaves the address: {driver.current_url}")
    check(text(driver, "#ready-lane") == "Lane 3" and "Fellabær" in text(driver, "#ready-name"), "whose lane it is")
    brief = text(driver, "#ready-brief")
    check("12-9 Front squat" in brief and "40 kg" in brief and "Hips not below knees" in brief, f"the brief: {brief}")
    check("Start: Standing tall, the bar on the shoulders" in brief and "Finish: Hips below the knees" in brief, f"its standards: {brief}")
    press(driver, "PageDown", 34)
    until(lambda: "PageDown means: good rep" in text(driver, "#ready-checks"), "the clicker is tried")
    check(desk.lane(LANE)["done"] == 0, "and counts nothing yet")
    until(lambda: "Linked;" in text(driver, "#ready-checks"), "the link is told")
    looked_at(driver, "ready")


def counts_steps(driver):
    shows(driver, "count")
    touch(driver, "#good")
    check(number(driver) == "25", f"a touch is a step, shown at once: {number(driver)}")
    counted(25)
    time.sleep(APART_S)
    touch(driver, "#several button")
    check(number(driver) == "150", "five steps at once")
    counted(150)
    time.sleep(APART_S)
    driver.execute_script("document.querySelector('#several button:last-child').click()")
    counted(250)
    until(lambda: "of 12 Front squat · 40 kg" in text(driver, "#of"), "the next part")
    check("then 12 Burpee over the bar" in text(driver, "#then"), "and the one after it")


def corrects(driver):
    reps(driver, 2)
    press(driver, " ", 32)
    time.sleep(APART_S)
    counted(253)
    check(number(driver) == "3", "a key counts")
    before = number(driver)
    at_once(driver, "#good", "#good")
    until(lambda: "Double tap" in text(driver, "#count-bar"), "a double tap is held back and told")
    check(number(driver) == str(int(before) + 1), "and counts once")
    counted(254)
    time.sleep(APART_S)
    at_once(driver, "#good", "#undo")
    check(number(driver) == "4", "undo shows at once")
    until(lambda: "undo" in [call["what"]["call"]["call"] for call in calls()], "the undo is recorded")
    counted(254)
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    until(lambda: driver.execute_script("return !document.querySelector('#faults').hidden"), "the faults open")
    driver.find_element("css selector", "#faults button").click()
    until(lambda: any(one["fault"] == "Hips not below knees" for one in desk.no_reps), "the fault is told")
    check(desk.lane(LANE)["no_reps"] == 1 and done() == 254, "a no-rep takes nothing from the count")
    time.sleep(APART_S)
    touch(driver, "#last")
    check(number(driver) == "3", "the last one was a no-rep: shown at once")
    counted(253)
    check(desk.lane(LANE)["no_reps"] == 2, "and is a no-rep")
    # A second touch on no-rep names no fault, and the next good rep does not wait for a name either.
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    until(lambda: desk.lane(LANE)["no_reps"] == 3, "a no-rep without a name")
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    time.sleep(APART_S)
    touch(driver, "#good")
    counted(254)
    until(lambda: desk.lane(LANE)["no_reps"] == 4, "and one that is interrupted by the next rep")
    time.sleep(APART_S)
    touch(driver, "#no-rep")
    looked_at(driver, "faults")
    until(lambda: desk.lane(LANE)["no_reps"] == 5, "and one that nobody names in time")


def goes_on_without_a_link(driver):
    """Thirty-one reps, a heat second apart, without a link and with a reload in the middle."""
    time.sleep(APART_S)
    line.cut(pages_too=True)
    until(lambda: text(driver, "#count-bar").startswith("No link"), "the lost link is told")
    tapped = []

    def taps(many):
        for _ in range(many):
            tapped.append(time.monotonic())
            touch(driver, "#good")
            time.sleep(max(APART_S, 1 / speed))

    taps(19)
    until(lambda: "19 calls are kept" in text(driver, "#count-bar"), lambda: f"what waits is told: {text(driver, '#count-bar')}")
    check((number(driver), text(driver, "#of")) == ("11", "of 12 Burpee over the bar"), "and counted on the page")
    looked_at(driver, "no-link")
    driver.refresh()
    shows(driver, "count")
    check(number(driver) == "11", "a reload without a link brings page and count back")
    taps(12)
    check(number(driver) == "2", f"and counts on: {number(driver)}")
    check(done() == 254, "nothing has reached the feed")
    line.mend()
    counted(285)
    until(lambda: "All calls are with the feed" in text(driver, "#count-bar"), "and the page says so")
    return tapped


def stamps_hold(tapped):
    """The calls of the outage, in the record of the lane: in order, at the times of the taps."""
    late = calls()[-len(tapped):]
    check(all(entry["what"]["call"]["call"] == "good" and "counted" in entry["what"]["call"]["verdict"] for entry in late), "all of them counted")
    first, heat_0 = tapped[0], late[0]["at_ms"]
    off = [abs((entry["at_ms"] - heat_0) / 1000 / speed - (at - first)) for entry, at in zip(late, tapped)]
    check(max(off) < SLACK_S, f"each at its time: {max(off):.2f} s off")
    check(late[-1]["received_ms"] - late[0]["received_ms"] < late[-1]["at_ms"] - late[0]["at_ms"], "and received at once")
    epochs = [entry["what"]["call"]["epoch"] for entry in late]
    check(len(set(epochs)) == 2 and epochs == sorted(epochs, key=epochs.index), "of two page loads, one after the other")


def finishes(driver):
    reps(driver, 1)
    check(driver.execute_script("return document.body.dataset.mark") != "last-five", "not yet the last five")
    reps(driver, 2)
    until(lambda: driver.execute_script("return document.body.dataset.mark") == "last-five", "the last five")
    check("Raise your hand" in text(driver, "#raise") and "4 to go" in text(driver, "#raise"), text(driver, "#raise"))
    looked_at(driver, "last-five")
    desk.floor("hold")
    until(lambda: "the clock stands" in text(driver, "#raise"), "a hold is told")
    looked_at(driver, "held")
    touch(driver, "#good")
    until(lambda: "clock stood" in text(driver, "#count-bar"), "a call during a hold is recorded and told")
    desk.floor("resume")
    until(lambda: desk.state() == "running", "it goes on")
    until(lambda: driver.execute_script("return !document.querySelector('#good').classList.contains('waits')"), "on the page too")
    reps(driver, 3)
    # The stop by hand and the last rep are one moment: neither holds the other back.
    looked_at(driver, "stop")
    at_once(driver, "#stop", "#good")
    shows(driver, "ended")
    until(lambda: desk.lane(LANE).get("stop_ms"), "a stop by hand is noted")
    until(lambda: desk.lane(LANE)["status"] == "finished", "the finish")
    until(lambda: text(driver, "#ended-result") == desk.lane(LANE)["result"]["text"], "the official time is shown")
    apart = desk.lane(LANE)["result"]["official_ms"] - desk.lane(LANE)["stop_ms"]
    check(0 <= apart <= 1000 and desk.lane(LANE)["done"] == 292, f"and decides nothing: {apart} ms before the finish")
    until(lambda: driver.execute_script("return !document.querySelector('#initials').hidden"), "initials are asked for")
    looked_at(driver, "ended")


def signs(driver):
    driver.find_element("css selector", "#athlete").send_keys("of")
    driver.find_element("css selector", "#judge").send_keys("am")
    driver.find_element("css selector", "#initials-go").click()
    until(lambda: desk.lane(LANE).get("confirmed"), "the result is confirmed")
    until(lambda: driver.execute_script("return !document.querySelector('#confirmed').hidden"), "and the page says so")
    looked_at(driver, "confirmed")
    driver.find_element("css selector", "#ended [data-opens=menu]").click()
    until(lambda: "good rep – counted" in text(driver, "#log"), "the menu has the last calls")
    looked_at(driver, "menu")
    driver.find_element("css selector", "#menu-close").click()


def left_open_over_heats(driver):
    """Another heat: the same page, another epoch; this one ends at a line."""
    desk.floor("call_time")
    desk.floor("close")
    desk.floor("open_heat", heat=3)
    shows(driver, "ready")
    desk.run()
    shows(driver, "count")
    reps(driver, 6)
    until(lambda: "touch at the finish" in text(driver, "#of"), "the finish is another touch")
    looked_at(driver, "finish-line")
    # The phone's wall clock is set back an hour, and stands still for a second of the page's own.
    driver.execute_script("const now = Date.now; Date.now = () => now() - 3_600_000")
    at_once(driver, "#good", "#ended-undo")
    shows(driver, "count")
    until(lambda: desk.lane(LANE)["status"] == "racing", "an undo reopens the lane")
    time.sleep(APART_S)
    touch(driver, "#good")
    until(lambda: desk.lane(LANE)["status"] == "finished", "and crossed")
    desk.floor("call_time")
    desk.floor("close")


def keeps_nothing():
    """A phone that refuses its storage says so, and counts all the same; this heat has no end."""
    desk.floor("open_heat", heat=2)
    with browser() as driver:
        driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": """
          Object.defineProperty(window, "indexedDB", {get() { throw new DOMException("no", "SecurityError"); }});"""})
        driver.get(address(code(4)))
        shows(driver, "ready")
        check("keeps nothing" in text(driver, "#ready-checks"), "a refused storage is told")
        desk.run()
        shows(driver, "count")
        reps(driver, 10)
        until(lambda: desk.lane(4)["done"] == 10, "and calls are sent")
        check((number(driver), text(driver, "#of")) == ("1", "of 6 Burpee over the bar"), "the count of the part")
        check("round 1" in text(driver, "#then") and "then 9 Front squat" in text(driver, "#then"), text(driver, "#then"))


def second_phone():
    """A second phone on the lane counts nothing and is told who decides."""
    with browser() as driver:
        driver.get(address(code()))
        shows(driver, "aside")
        until(lambda: "Standing by" in text(driver, "#aside-title"), "it stands by")
        check("head judge" in text(driver, "#aside-text") and "phone-" in text(driver, "#aside-text"), "and says who decides")
        looked_at(driver, "standing-by")


with browser() as judge:
    comes_in(judge)
    desk.run()
    counts_steps(judge)
    looked_at(judge, "count")
    corrects(judge)
    tapped = goes_on_without_a_link(judge)
    stamps_hold(tapped)
    finishes(judge)
    signs(judge)
    second_phone()
    left_open_over_heats(judge)
keeps_nothing()

print(f"{checks} checks held")
