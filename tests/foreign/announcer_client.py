"""The announcer's page in headless Chromium through a whole heat, with the link lost in the middle.

Usage: announcer_client.py FEED_HTTP_URL ACCESS_FILE

The feed must be freshly started on the golden competition, at ten times the pace: heat 7 has its lanes set. Ends with 0 and
a line `N checks held`.
"""

import sys
import time
import tomllib

from line import Line
from officials import Person, audited, browser, check, held, size, text, texts, until

feed_url, access_file = sys.argv[1:3]
with open(access_file, "rb") as file:
    access = tomllib.load(file)

# Everything that is added to the log of what is said, with its moment.
LISTEN = """window.said = [];
new MutationObserver((changes) => changes.forEach((change) => change.addedNodes.forEach((node) => {
  if (node.matches && node.matches("#said > p")) {
    const text = node.querySelector(".text").textContent.replace(/[\\u2066-\\u2069]/g, "");
    window.said.push([performance.now(), text]);
  }
}))).observe(document.getElementById("said"), {childList: true});"""
# Whether the page is wider, or higher, than what is seen of it.
OVER = """const root = document.documentElement;
return [root.scrollWidth > root.clientWidth, root.scrollHeight > root.clientHeight]"""

TABLETS = ((1180, 820), (820, 1180))


def fits(driver, when):
    for width, height in TABLETS:
        size(driver, width, height)
        time.sleep(0.3)
        check(driver.execute_script(OVER) == [False, False], f"{when}: all is seen at {width}x{height} without scrolling")
    audited(driver, when)
    size(driver, 360, 740)
    time.sleep(0.3)
    check(driver.execute_script(OVER)[0] is False, f"{when}: a phone scrolls one way only")
    size(driver, *TABLETS[0])


def said(driver):
    return [line for _, line in driver.execute_script("return window.said")]


def runs(driver, head, judges):
    head.floor("on_deck")
    until("on deck is said", lambda: any("on deck" in line for line in said(driver)))
    head.floor("start_countdown")
    head.state("running")
    time.sleep(0.5)
    # Into the first round: the work before it scores only when it is done.
    head.rule(1, {"set_count": {"done": 500}})
    judges[1].call()
    until("the leader stands first", lambda: texts(driver, ".leaders .name") == ["Ilse Varkonyi"])
    until("the lead is said", lambda: "Ilse Varkonyi leads, lane 1." in said(driver))
    whole = head.snapshot["courses"][0]["units"]
    for lane, left in ((2, 40), (3, 30), (4, 6), (5, 90)):
        head.rule(lane, {"set_count": {"done": whole - left}})
    until("three lead by place", lambda: texts(driver, ".leaders .place") == ["1", "2", "3"])
    check(texts(driver, ".leaders .part") == ["14 of 20 burpee over the bar", "5 of 15 pull-up", "400\u00a0m run"], "with their work")
    check("30 behind" not in text(driver, ".leaders .gap"), "the leader is behind nobody")
    judges[4].call()
    until("lane 4 is in the last five", lambda: texts(driver, ".five .count") == ["5 to go"])
    until("it is said", lambda: "Last five: Yuna Arakida, lane 4." in said(driver))
    fits(driver, "running")
    for _ in range(5):
        answer = judges[4].call()
    check(answer["done"] == whole, f"lane 4 has done all: {answer}")
    until("lane 4 has finished", lambda: len(texts(driver, ".done .result")) == 1)
    result = text(driver, ".done .result")
    until("the finish is said", lambda: f"Yuna Arakida has finished: {result}, place 1, lane 4." in said(driver))
    head.rule(4, {"time_penalty": {"add_ms": 10_000}})
    until("a ruling corrects it", lambda: any(line.startswith("Correction: Yuna Arakida, lane 4, now ") for line in said(driver)))


def loses_the_link(driver, line, head):
    line.cut()
    until("the loss is said", lambda: text(driver, "#link").startswith("No link to the feed."))
    head.rule(2, {"set_count": {"done": head.snapshot["courses"][0]["units"] - 3}})
    before = said(driver)
    audited(driver, "without a link")
    check(texts(driver, ".five .name") == [], "without a link the page stands as it was")
    line.mend()
    until("the link is back", lambda: text(driver, "#link") == "")
    until("what was missed is there", lambda: "Marit Okonjo-Lindqvist" in texts(driver, ".five .name"))
    until("what stands is said", lambda: "Last five: Marit Okonjo-Lindqvist, lane 2." in said(driver))
    check(said(driver)[: len(before)] == before, "nothing is said again")


def ends(driver, head):
    head.floor("hold")
    until("a hold is said", lambda: "Stopped. Wait for the head judge." in said(driver))
    audited(driver, "held")
    check(text(driver, "#banner") == "Stopped. Wait for the head judge.", "and stands at the top")
    head.floor("resume")
    head.state("running")
    head.floor("call_time")
    until("results are provisional", lambda: text(driver, ".results h2") == "Results, provisional")
    check(len(texts(driver, ".results .row")) == 9, "everybody has a result")
    check(len(texts(driver, ".start-next .row")) == 20, "the next heat's lanes stand beside it")
    size(driver, 1180, 820)
    head.state("provisional")
    head.floor("sign")
    until("they are official", lambda: text(driver, ".results h2") == "Results, official")
    audited(driver, "after the heat")
    until("which is said", lambda: "The results are official." in said(driver))


def keeps_apart(driver):
    lines = driver.execute_script("return window.said")
    check(len({line for _, line in lines}) == len(lines), f"nothing is said twice: {lines}")
    # Four seconds of the heat are 400 ms here; timers of a busy machine may be late by one look.
    plain = [at for at, line in lines if " has finished: " not in line]
    check(all(later - at > 380 for at, later in zip(plain, plain[1:])), f"facts keep apart: {lines}")


line = Line(feed_url)
with browser() as driver:
    size(driver, *TABLETS[0])
    driver.get(f"{line.url}/announcer#access_key={'0' * 32}")
    until("a wrong access key is refused in words", lambda: "does not open this page" in text(driver, "#entry .fault"))
    audited(driver, "the way in")
    check(driver.execute_script("return location.hash") == "", "an access key does not stay in the address")
    field = driver.find_element("css selector", "#entry input")
    field.send_keys(access["announcer"])
    driver.find_element("css selector", "#entry button").click()
    until("the start list is there", lambda: len(texts(driver, ".start .row")) == 9)
    driver.execute_script(LISTEN)
    check("tan-DEH-ka MOY-oh" in texts(driver, ".start .say"), "with how to say the names")
    check(text(driver, "#next") == "Next: Heat 8 · Breakwater", "and the next heat")
    fits(driver, "before the heat")
    driver.find_element("id", "next").click()
    until("its lanes can be seen before", lambda: len(texts(driver, ".start-next .row")) == 20)
    driver.find_element("id", "next").click()

    head = Person(feed_url, "head_judge", access["head_judge"])
    judges = {lane: Person(feed_url, "lane_judge", access["lane_judge"][str(lane)], lane) for lane in (1, 4)}
    runs(driver, head, judges)
    loses_the_link(driver, line, head)
    ends(driver, head)
    keeps_apart(driver)
    driver.refresh()
    until("a reload needs no access key", lambda: text(driver, "#state") == "official")
held()
