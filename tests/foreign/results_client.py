"""The results page of a spectator's phone in headless Chromium through a heat: live, provisional, official, opened again.

Usage: results_client.py FEED_HTTP_URL ACCESS_FILE [PICTURE]

The feed must be freshly started on the golden competition, at ten times the pace. Ends with 0 and a line `N checks held`.
"""

import sys
import tomllib

from officials import Person, audited, browser, check, held, size, text, texts, until

feed_url, access_file = sys.argv[1:3]
with open(access_file, "rb") as file:
    access = tomllib.load(file)

OVER = "const root = document.documentElement; return root.scrollWidth > root.clientWidth"


def rows(driver, section):
    """The rows of a section: place, name and result."""
    found = [texts(driver, f"#{section} li .{part}") for part in ("place", "name", "result b")]
    return list(zip(*found))


with browser() as driver:
    size(driver, 390, 844)
    driver.get(f"{feed_url}/results")
    until("the heat stands on the page", lambda: text(driver, "#heat") == "Heat 7")
    check(text(driver, "#state") == "lanes set", "with its state")
    names = [name for _, name, _ in rows(driver, "floor")]
    check(len(names) == 9 and names[0] == "Ilse Varkonyi", f"everybody in lane order: {names}")
    check(driver.execute_script("return location.search + location.hash") == "", "nobody asks for a key")
    head = Person(feed_url, "head_judge", access["head_judge"])
    judge = Person(feed_url, "lane_judge", access["lane_judge"]["2"], lane=2)
    head.floor("on_deck")
    head.floor("start_countdown")
    head.state("running")
    whole = head.snapshot["courses"][0]["units"]
    for lane, left in ((1, 30), (2, 1), (3, 7)):
        head.rule(lane, {"set_count": {"done": whole - left}})
    until("counts are live", lambda: rows(driver, "floor")[0][2] != "0 of 141")
    check([name for _, name, _ in rows(driver, "floor")] == names, "lanes stay where the floor has them")
    audited(driver, "running")
    judge.call()
    head.floor("call_time")
    head.state("provisional")
    until("results are provisional", lambda: text(driver, "#state").startswith("Provisional: provisional."))
    until("in order of their places", lambda: [place for place, _, _ in rows(driver, "floor")][:3] == ["1", "2", "3"])
    first = rows(driver, "floor")[0]
    check(":" in first[2], f"the winner has a time: {first}")
    until("standings have come", lambda: rows(driver, "standings"))
    check(rows(driver, "standings")[0][:2] == first[:2], "with the same winner")
    check(texts(driver, "#standings li .result small")[0] == "provisional", "and provisional too")
    audited(driver, "provisional")
    head.rule(2, {"time_penalty": {"add_ms": 60_000}})
    until("a ruling is seen", lambda: "penalty" in texts(driver, "#floor li .result small")[0])
    head.floor("sign")
    until("results turn official", lambda: text(driver, "#state") == "official")
    until("standings do", lambda: texts(driver, "#standings li .result small")[0] == "")
    audited(driver, "official")
    check(not driver.execute_script(OVER), "a phone scrolls one way only")
    if len(sys.argv) > 3:
        driver.save_screenshot(sys.argv[3])
    head.floor({"reopen": {"reason": "seen on video"}})
    until("and provisional again", lambda: text(driver, "#state").startswith("Provisional"))
    for language, words in (("de", "Vorläufig"), ("es", "Provisional")):
        driver.get(f"{feed_url}/results?lang={language}")
        until(f"in {language}", lambda: text(driver, "#state").startswith(words))
        audited(driver, language)
held()
