"""The head judge's page in headless Chromium: a heat from lanes set to signed, run and ruled on through the page alone.

Usage: head_judge_page.py FEED_HTTP_URL ACCESS_FILE

Judges are connections of Python's `websockets`, and so is the display by which every count is read back: what the page
shows is held against what the feed says to others. The feed must be freshly started on the golden competition with
initials, at a speed of 1: the heat's ten minutes are long enough for a slow machine then. With PICTURES set, pictures of
the page are written into that folder. Ends with 0 and a line `N checks held`.
"""

import time

from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from head_judge_hands import SECOND_TOUCH_S, Client, Judge, Page, access, browser, check, connections, feed_url, held, seen
from line import Line


def comes_in(page):
    page.driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": """
      window.lockAsked = 0;
      if (navigator.wakeLock) {
        const ask = navigator.wakeLock.request.bind(navigator.wakeLock);
        navigator.wakeLock.request = (kind) => { window.lockAsked += 1; return ask(kind); };
      }"""})
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
    check(page.driver.execute_script("return window.lockAsked") > 0, "the screen is kept awake")
    check(len(page.all("#lanes tbody tr")) == 10, "every lane has a row")
    check("empty" in page.text("tr[data-lane='9'] td.athlete"), "an empty lane says so")
    page.picture("lanes-set")


def lets_judges_in(page):
    """A judge comes in with a PIN from the page, and a second phone stands by and is given the lane."""
    page.find("#show-pins").click()
    page.until(lambda: len(page.all("#pins li")) == 20, "every lane has a PIN for its judge and its shadow judge")
    cards = {seen(card.find_element(By.CSS_SELECTOR, "b").text): card for card in page.all("#pins li")}
    pin = cards["Lane 5"].find_element(By.CSS_SELECTOR, ".pin").text.replace(" ", "")
    page.picture("pins")
    page.find("#pins").send_keys(Keys.ESCAPE)
    check(page.focused("id") == "show-pins", "the focus goes back to where the PINs were asked for")
    first = Client(role="lane_judge", pin=pin, device="phone-first")
    first.say({"type": "phone", "charge_percent": 12, "charging": False, "waiting": 0, "stays_awake": True})
    page.until(lambda: page.all("#strip [data-what='phone-low']"), "a low phone is named")
    second = Client(role="lane_judge", pin=pin, device="phone-second", stand_by=True)
    page.until(lambda: page.all("#strip [data-what='stands-by']"), "a phone that stands by is named")
    page.open_lane(5)
    check("12 % charged" in page.text("#lane .phones"), "a lane's phones are shown with their charge")
    page.driver.execute_script("const give = document.querySelector('#lane .phones button:not([hidden])'); give.focus();"
                               "give.click(); give.click();")
    check("phone-first · holds" in page.text("#lane .phones"), "a double touch hands nothing over")
    time.sleep(SECOND_TOUCH_S)
    page.find("#lane .phones button:not([hidden])").click()
    page.until(lambda: "phone-second · holds the lane" in page.text("#lane .phones"), "the lane is handed over")
    page.find("#lane .close").click()
    # Back to the lane's own judge.
    first.socket.close()
    second.socket.close()


def sets_lanes(page, display):
    """Two lanes are exchanged, an athlete is taken out and another one comes in; then all is put back."""
    def bib(lane):
        return next(entry["bib"] for entry in display.picture["entries"] if entry["lane"] == lane)

    def touch(lane):
        page.find(f"#set-lanes .places [data-lane='{lane}']").click()

    def send(reason):
        preview = page.text("#set-lanes .preview")
        page.find("#set-lanes-reason").clear()
        page.find("#set-lanes-reason").send_keys(reason)
        page.find("#set-lanes .sending button.main").click()
        return preview

    first, second, last = bib(1), bib(2), bib(10)
    page.find("#show-lanes").click()
    check(len(page.all("#set-lanes .places li")) == 10, "every lane has its place")
    touch(1)
    page.picture("lane-chosen")
    touch(2)
    check("Lane 1: " in page.text("#set-lanes .preview"), "what changes stands beside what it replaces")
    page.find("#set-lanes .sending button.main").click()
    check("Say in a few words why" in page.text("#set-lanes .fault"), "lanes are not set without a reason")
    send("lanes were mixed up")
    display.until(lambda: (bib(1), bib(2)) == (second, first), "two lanes change places")
    page.until(lambda: not page.find("#set-lanes .sending").is_displayed(), "what has come true is not offered any more")
    touch(2)
    touch(1)
    touch(10)
    page.find("#set-lanes > button").click()
    check("is taken out" in page.text("#set-lanes .preview"), "who is taken out is named")
    touch(9)
    page.until(lambda: len(page.all("#set-lanes .found button")) > 1, "athletes are offered who could come in")
    page.picture("set-lanes")
    page.find("#set-lanes-find").send_keys("no such athlete")
    page.until(lambda: "Nobody is found" in page.text("#set-lanes .finding"), "nobody is found by a name that nobody has")
    page.find("#set-lanes-find").clear()
    page.find("#set-lanes-find").send_keys("1")
    page.until(lambda: len(page.all("#set-lanes .found button")) > 1, "athletes are found by a part of their bib")
    page.click_last("#set-lanes .found button")
    preview = send("injured")
    check("Lane 9: empty → " in preview, preview)
    display.until(lambda: bib(1) == first and bib(9) and not bib(10), "who is taken out is out, and another one is in")
    page.until(lambda: "empty" in page.text("tr[data-lane='10'] td.athlete"), "the row says so")
    touch(9)
    page.find("#set-lanes > button").click()
    touch(10)
    offered = lambda: [said for said in page.texts("#set-lanes .found button") if last in said]
    page.until(lambda: offered() and "taken out of this heat" in offered()[0], "who was taken out is offered")
    page.click_last("#set-lanes .found button", last)
    send("not injured after all")
    display.until(lambda: bib(10) == last and not bib(9), "and comes back")
    page.find("#set-lanes").send_keys(Keys.ESCAPE)
    check(page.focused("id") == "show-lanes", "the focus goes back to where the lanes were asked for")


def starts(page, judges):
    page.step("on_deck")
    page.is_state("on_deck")
    off = page.texts("#strip [data-what='judge-off'] button")
    check(off == ["8", "10"], f"the strip names the lanes whose judges are off the line, not {off}")
    check("no judge on the line: lanes 8, 10" in page.text("#readiness"), "before the start it is said which lanes are not fit")
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
    # Two lanes have no judge: a yes is asked for once more, and says which.
    page.find("[data-step='start_countdown']").click()
    time.sleep(SECOND_TOUCH_S)
    page.find("#ask button.main").click()
    check("lanes 8, 10. Start all the same?" in page.text("#ask-what"), "what is missing is named by the question")
    check(page.state() == "on_deck", "nothing has started yet")
    page.driver.switch_to.active_element.send_keys(Keys.ESCAPE)
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
    marks = page.driver.execute_script("return Array.from(document.querySelectorAll(arguments[0]), (mark) => mark.dataset.kind)", "tr[data-lane='2'] td.calls .marks i")
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
    page.until(lambda: "5" in page.texts("#strip [data-what='judge-off'] button"), "a judge is lost")
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
    minutes, rest = divmod(official - 600, 60_000)
    shown = f"{minutes}:{rest / 1000:04.1f}"
    page.rule(1, "note_stop", time=shown, reason="the desk's stopwatch")
    page.until(lambda: display.lane(1).get("stop_ms") == official - 600, "a stop by hand is noted")
    page.open_lane(1)
    check(f"stopped by hand {shown} (+0.4 s)" in page.text("#lane .stands"), page.text("#lane .stands"))
    page.find("#lane .close").click()
    page.until(lambda: "→" in page.text("#answers li .note"), "the feed's own before and after stand with it")


def has_initials(page, display):
    """Enters everybody's initials from paper."""
    page.step("sign")
    page.said("no initials under")
    check(page.state() == "provisional", "a heat without initials is not signed")
    for count in display.picture["lanes"]:
        if count["status"] in ("empty", "did_not_start") or count.get("confirmed"):
            continue
        page.open_lane(count["lane"])
        page.find("#initials-athlete").send_keys("AB")
        page.find("#initials-judge").send_keys("CD")
        page.find("#lane .initials button").click()
        page.until(lambda: display.lane(count["lane"]).get("confirmed"), f"lane {count['lane']} is confirmed")
        page.find("#lane .close").click()


def takes_a_card(page, display):
    """A whole paper card in one form: the count beside what it replaces, and both initials under what came of it."""
    page.open_lane(6)
    Select(page.find("#ruling-kind")).select_by_value("from_paper")
    for field, value in (("done", "400"), ("card-athlete", "EF"), ("reason", "the phone died")):
        page.find(f"#ruling-{field}").clear()
        page.find(f"#ruling-{field}").send_keys(value)
    page.find("#lane .ruling > button.main").click()
    check("initials of both" in page.text("#lane .fault"), "half of the initials are not sent")
    check(display.lane(6)["done"] != 400, "and neither is the count")
    page.find("#lane .close").click()
    preview = page.rule(6, "from_paper", part="0", done="400", reason="the phone died", **{"card-athlete": "EF", "card-judge": "GH"})
    check("then initials EF / GH" in preview and "→" in preview, f"all of it is seen before it is sent: {preview}")
    page.until(lambda: display.lane(6)["done"] == 400 and display.lane(6).get("confirmed"), "count and initials are in the record")
    page.open_lane(6)
    page.until(lambda: "initials EF and GH" in page.text("#lane .record"), "with the reason for both")
    page.find("#lane .close").click()


def says_why(page):
    """The record of a lane: what was called and ruled, with what became of it."""
    page.open_lane(2)
    page.until(lambda: page.all("#lane .record li"), "the record comes")
    record = page.text("#lane .record")
    for words in ("no-rep, lockout", "along the course", "stepped off the line", "17 of 141 → 15 of 141", "seen from the floor"):
        check(words in record, f"{words!r} stands in the record: {record}")
    page.picture("record")
    page.find("#lane .close").click()


def signs(page, judges, display):
    page.rule(7, "status", status="under_review", reason="appeal")
    page.until(lambda: display.lane(7)["status"] == "under_review", "a lane is put under review")
    preview = page.rule(7, "review", minutes="5", reason="appeal")
    check("to be decided within 5 min" in preview, preview)
    page.until(lambda: "review: 4:" in page.text("tr[data-lane='7'] td.athlete"), "the time that is left of a review runs down")
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
    takes_a_card(page, display)
    has_initials(page, display)
    page.picture("confirmed")
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
    sets_lanes(page, display)
    lets_judges_in(page)
    judges = {lane: Judge(lane) for lane in (1, 2, 3, 4, 5, 6, 7)}
    starts(page, list(judges.values()))
    works(page, judges, display)
    loses_the_link(page, line, display)
    holds(page, line, display)
    rules_at_work(page, judges, display)
    ends(page, judges, display)
    says_why(page)
    signs(page, judges, display)
    wrong = [entry for entry in driver.get_log("browser") if entry["level"] == "SEVERE" and "WebSocket" not in entry["message"]]
    check(not wrong, f"the browser has nothing to complain of: {wrong}")

held()
