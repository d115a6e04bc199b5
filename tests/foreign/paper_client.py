"""What is printed of a heat, in headless Chromium, as PDF on A4 and on Letter, read by Poppler and zxing-cpp; and the digest on
the result sheet, worked out anew from a copy of the journal.

Usage: paper_client.py FEED_HTTP_URL ACCESS_FILE FEED_PROGRAM [FOLDER]

The feed must be freshly started on the golden competition with initials wanted, its competition file and journal beside the
access file. Pages are kept as pictures in FOLDER, if that is given. Ends with 0 and a line `N checks held`.
"""

import hashlib
import pathlib
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import tomllib

from officials import Person, audited, browser, check, held, size, text, texts, until
from printing import close, printed

feed_url, access_file, program = sys.argv[1:4]
pictures = pathlib.Path(sys.argv[4]) if len(sys.argv) > 4 else None
folder = pathlib.Path(access_file).parent
with open(access_file, "rb") as file:
    access = tomllib.load(file)

with open(folder / "competition.toml", "rb") as file:
    HEATS = {heat["number"]: heat for heat in tomllib.load(file)["heat"]}

def standing(heat):
    """The lanes of a heat on which somebody stands."""
    return [lane["lane"] for lane in HEATS[heat]["lanes"] if "athlete" in lane]


def opened(driver, what, heat):
    driver.get("about:blank")
    driver.get(f"{feed_url}/print?what={what}&heat={heat}#access_key={access['head_judge']}")
    until(f"{what} of heat {heat}", lambda: driver.execute_script(
        "return document.getElementById('paper').dataset.paper") == what and texts(driver, ".sheet"))


def copied():
    """A copy of the journal, which a running feed keeps for itself."""
    work = pathlib.Path(tempfile.mkdtemp())
    for file in folder.glob("heat.journal*"):
        shutil.copy(file, work)
    return work / "heat.journal"


def chain(journal, heat):
    """Every link of a heat's chain, by the format that the documentation gives."""
    link = hashlib.sha256(f"fivemark record 1\nheat {heat}\n".encode()).hexdigest()
    links = []
    rows = sqlite3.connect(journal).execute(
        "SELECT at_ms, wall_ms, boot_ms, kind, body, device FROM entry WHERE heat = ? ORDER BY seq", (heat,))
    for at_ms, wall_ms, boot_ms, kind, body, device in rows:
        lines = [link, at_ms, wall_ms, boot_ms, kind, len(body.encode()), body, device]
        link = hashlib.sha256("".join(f"{line}\n" for line in lines).encode()).hexdigest()
        links.append(link)
    return links


def verified(journal, heat, digest):
    run = [program, "verify", "--competition", folder / "competition.toml", "--journal", journal,
           "--heat", str(heat), "--digest", digest]
    done = subprocess.run(run, capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


def pin_cards(driver, judges):
    opened(driver, "pins", 7)
    until("all cards", lambda: len(texts(driver, ".pin-cards .code svg")) == 2 * judges)
    audited(driver, "PIN cards")
    pins = [pin.replace(" ", "") for pin in texts(driver, ".pin-cards .pin")]
    wanted = {f"{feed_url}/judge#pin={pin}" for pin in pins[:judges]}
    wanted |= {f"{feed_url}/judge#pin={pin}&role=shadow_judge" for pin in pins[judges:]}
    for paper, (pages, codes) in printed(driver, "pins", pictures).items():
        check(sorted(codes) == sorted(wanted), f"every card's code is read from {paper}: {len(codes)} of {len(wanted)}")
        check("".join(pages).count("/judge") >= len(wanted), "with its address")
    return f"{feed_url}/judge#pin={pins[0]}"


def judge_comes_in(driver, address):
    """A phone that scans a card stands on its lane, and its address keeps nothing."""
    driver.get("about:blank")
    driver.get(address)
    until("the judge is in", lambda: driver.execute_script("return document.body.dataset.face") == "ready")
    check("pin" not in driver.current_url, "the PIN is out of the address")


def brief(driver):
    for heat, wanted in ((7, ("For time, cap 10:00.", "35 kg", "raises a hand for the last five", "At the cap the result is the work done")),
                         (9, ("As many rounds as possible in 8:00.", "The result is whole rounds", "tie-break time"))):
        opened(driver, "brief", heat)
        audited(driver, f"brief of heat {heat}")
        for paper, (pages, _) in printed(driver, f"brief-{heat}", pictures).items():
            check(len(pages) == 1, f"the brief of heat {heat} is one page of {paper}: {len(pages)}")
            whole = close(pages[0])
            for words in (*wanted, "counts each good rep aloud and upward", "medics and floor staff stop a heat"):
                check(close(words) in whole, f"{words!r} stands on the brief: {whole}")


def score_cards(driver):
    for heat in (7, 9):
        opened(driver, "cards", heat)
        audited(driver, f"score cards of heat {heat}")
        count = len(texts(driver, ".score-card"))
        check(count == len(standing(heat)), f"a card for each lane of heat {heat}: {count}")
        for paper, (pages, _) in printed(driver, f"cards-{heat}", pictures).items():
            check(len(pages) == count, f"each card of heat {heat} is one page of {paper}: {len(pages)}")
    opened(driver, "cards", 7)
    marked = driver.execute_script("return document.querySelector('.score-card').querySelectorAll('i.five').length")
    check(marked == 5, f"the last five are marked: {marked}")
    reps = driver.execute_script("return document.querySelector('.score-card').querySelectorAll('.group i').length")
    # 500 m by 100 m, three rounds with a run of one box, and 20 burpees.
    check(reps == 5 + 3 * (12 + 1 + 15) + 20, f"a box for each rep: {reps}")


def heat_is_signed(driver, head, judge):
    """Works heat 7 to its signing; the head judge who signed."""
    opened(driver, "result", 7)
    check("PROVISIONAL" in text(driver, ".banner"), "an unsigned sheet says so")
    check(texts(driver, ".digest") == [], "and has no digest")
    head.floor("on_deck")
    head.floor("start_countdown")
    head.state("running")
    whole = head.snapshot["courses"][0]["units"]
    for lane in standing(7):
        head.rule(lane, {"set_count": {"done": whole - lane}})
    judge.call()
    head.rule(2, {"time_penalty": {"add_ms": 5_000}})
    head.floor("call_time")
    counts = {}
    head.state("provisional")
    again = Person(feed_url, "head_judge", access["head_judge"])
    for count in again.snapshot["lanes"]:
        counts[count["lane"]] = count
    for lane in standing(7):
        confirm = {"type": "confirm", "heat": 7, "lane": lane, "run": counts[lane]["run"],
                   "result": counts[lane]["result"]["text"], "athlete": "AB", "judge": "CD", "reason": "from the card"}
        answer = again.ask(confirm)
        check(answer["type"] == "ack", f"lane {lane} is confirmed: {answer}")
    again.floor("sign")
    until("the sheet turns official", lambda: "OFFICIAL" in text(driver, ".banner") and text(driver, ".digest"))
    return again


def result_sheet(driver, head):
    audited(driver, "result sheet")
    digest = "".join(texts(driver, ".digest span"))
    journal = copied()
    links = chain(journal, 7)
    check(digest in links, "Python works out the same digest from the journal")
    check(links[-1] == digest, "and nothing came after the signing")
    for paper, (pages, codes) in printed(driver, "result", pictures).items():
        check(codes == [f"fivemark record 1\nheat 7\n{digest}"], f"the digest is in the code on {paper}: {codes}")
        whole = close(" ".join(pages))
        for group in re.findall(".{8}", digest):
            check(group in whole, f"{group} stands in figures")
        for words in ("OFFICIAL", "AB / CD", "seen on the floor", "Signed by: head judge"):
            check(close(words) in whole, f"{words} stands on the sheet: {whole}")
    code, said = verified(journal, 7, digest)
    check(code == 0 and "is that of the signed record" in said, f"the program agrees: {said}")
    code, said = verified(folder / "heat.journal", 7, digest)
    check(code == 2 and "verify the copy" in said, f"a running feed's journal is refused in words: {said}")
    head.floor({"reopen": {"reason": "lane 3 was counted on video"}})
    head.rule(3, {"add_units": {"add": 1}})
    answer = head.ask({"type": "confirm", "heat": 7, "lane": 3, "run": 1, "athlete": "AB", "judge": "CD",
                       "result": "lane 3", "reason": "from the card"})
    check(answer["type"] == "refusal", "another result is not confirmed")
    return digest


def signed_again(driver, head, first):
    count = next(one for one in Person(feed_url, "head_judge", access["head_judge"]).snapshot["lanes"] if one["lane"] == 3)
    head = Person(feed_url, "head_judge", access["head_judge"])
    head.ids = 500
    answer = head.ask({"type": "confirm", "heat": 7, "lane": 3, "run": 1, "athlete": "AB", "judge": "CD",
                       "result": count["result"]["text"], "reason": "from the card"})
    check(answer["type"] == "ack", f"the new result is confirmed: {answer}")
    head.floor("sign")
    until("the sheet has another digest", lambda: "".join(texts(driver, ".digest span")) not in ("", first))
    last = "".join(texts(driver, ".digest span"))
    check("lane 3 was counted on video" in text(driver, ".earlier"), "the earlier signing is named with its reason")
    journal = copied()
    links = chain(journal, 7)
    check(first in links and last == links[-1], "both digests are links of the chain")
    check(verified(journal, 7, last)[0] == 0, "the last one is that of the record")
    code, said = verified(journal, 7, first)
    check(code == 1 and "earlier signing" in said and last in said, f"the first one is named: {said}")
    printed(driver, "signed-again", pictures)


with browser() as driver:
    size(driver, 1280, 900)
    judge_comes_in(driver, pin_cards(driver, len(HEATS[7]["lanes"])))
    brief(driver)
    score_cards(driver)
    head = Person(feed_url, "head_judge", access["head_judge"])
    judge = Person(feed_url, "lane_judge", access["lane_judge"]["5"], lane=5)
    head = heat_is_signed(driver, head, judge)
    signed_again(driver, head, result_sheet(driver, head))
    for language in ("es", "de"):
        for what in ("result", "brief", "cards", "pins"):
            driver.get("about:blank")
            driver.get(f"{feed_url}/print?lang={language}&what={what}#access_key={access['head_judge']}")
            until(f"{what} in {language}", lambda: texts(driver, ".sheet"))
            audited(driver, f"{what} in {language}")
    size(driver, 390, 844)
    audited(driver, "on a phone")
    check(driver.execute_script("const root = document.documentElement; return root.scrollWidth <= root.clientWidth"),
          "a phone scrolls the paper, and not the page")
    if pictures:
        driver.save_screenshot(str(pictures / "phone.png"))
held()
