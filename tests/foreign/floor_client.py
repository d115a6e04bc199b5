"""The floor operator's page in headless Chromium: what screens show, a heat moved on, a lost link, a refusal.

Usage: floor_client.py FEED_HTTP_URL ACCESS_FILE

The feed must be freshly started on the golden competition, at ten times the pace. Ends with 0 and a line `N checks held`.
"""

import sys
import time
import tomllib

from selenium.webdriver.common.by import By
from selenium.webdriver.support.select import Select

from line import Line
from officials import Person, audited, browser, check, held, size, text, texts, until

feed_url, access_file = sys.argv[1:3]
with open(access_file, "rb") as file:
    access = tomllib.load(file)


def press(driver, label, within="main"):
    """Presses the button with this label."""
    buttons = driver.find_elements(By.CSS_SELECTOR, f"{within} button")
    next(button for button in buttons if button.text.strip().removeprefix("✓ ") == label and button.is_displayed()).click()


def shows(board):
    return board.hear(lambda message: message["type"] == "delta" and "shows" in message)["shows"]


def on_screens(driver, board):
    press(driver, "Ribbon")
    check(shows(board)["overlay"]["ribbon"] is True, "the ribbon comes")
    pressed = "return document.querySelector('#parts .part').getAttribute('aria-pressed')"
    until("and the page says so", lambda: driver.execute_script(pressed) == "true")
    Select(driver.find_element(By.ID, "left")).select_by_value("3")
    Select(driver.find_element(By.ID, "right")).select_by_value("7")
    press(driver, "Show the duel")
    check(shows(board)["overlay"]["duel"] == {"left": 3, "right": 7}, "a duel comes")
    until("and is told", lambda: text(driver, "#duel-now") == "Duel: lane 3 and lane 7.")
    press(driver, "End the duel")
    check("duel" not in shows(board)["overlay"], "and goes")
    press(driver, "Show this order")
    audited(driver, "with a fault")
    until("an empty card is not shown", lambda: text(driver, "#draft-fault").startswith("Step 1: write a title or a text."))
    driver.find_element(By.CSS_SELECTOR, "[data-field=title]").send_keys("Lunch")
    driver.find_element(By.CSS_SELECTOR, "[data-field=text]").send_keys("Back at one.")
    press(driver, "Add a card")
    Select(driver.find_elements(By.CSS_SELECTOR, "[data-field=card]")[1]).select_by_value("event")
    press(driver, "Show this order")
    board_shows = shows(board)["board"]
    check(board_shows["steps"][0]["card"] == {"words": {"title": "Lunch", "text": "Back at one."}}, board_shows)
    check(board_shows["again"] and len(board_shows["steps"]) == 2, board_shows)
    until("the page shows where it stands", lambda: texts(driver, "#steps [aria-current] .what") == ["Own words · Lunch"])
    press(driver, "Follow the heats")
    check("next_heat" in shows(board)["board"]["steps"][0]["card"], "the heats have the boards again")


def moves_on(driver, board):
    press(driver, "On deck")
    board.state("on_deck")
    until("the start is offered", lambda: texts(driver, "#commands button") == ["Start the countdown"])
    press(driver, "Start the countdown", "#commands")
    check(text(driver, "#sure-says") == "Start the countdown now?", "a slip starts nothing")
    audited(driver, "with a question")
    press(driver, "Not now")
    press(driver, "Start the countdown", "#commands")
    press(driver, "Start the countdown", "#sure")
    board.state("running")
    until("a running heat can be held", lambda: "Hold" in texts(driver, "#commands button"))
    press(driver, "Hold")
    board.state("held")
    until("and resumed", lambda: "Resume" in texts(driver, "#commands button"))


def loses_the_link(driver, line, board, head):
    until("everything is answered", lambda: texts(driver, "#answers [data-state=waiting]") == [])
    line.cut()
    until("the loss is said", lambda: text(driver, "#link").startswith("No link to the feed."))
    press(driver, "Ribbon")
    until("a command waits", lambda: texts(driver, "#answers [data-state=waiting] .how") == ["waits for the feed"])
    press(driver, "Resume")
    # The page's own clock is put on: what made sense then is old now.
    driver.execute_script("const real = Date.now; Date.now = () => real() + 20000;")
    line.mend()
    check(shows(board)["overlay"]["ribbon"] is False, "what screens show is sent again")
    until("a change of the heat is not, without a word", lambda: len(texts(driver, "#answers [data-state=unsure]")) == 1)
    audited(driver, "with something unsure")
    head.floor("call_time")
    board.state("time_called")
    press(driver, "Send it again")
    until("a refusal stands in words", lambda: texts(driver, "#answers [data-state=refused] .how"))
    board.state("provisional")
    until("nothing of the head judge's is offered", lambda: texts(driver, "#commands button") == [])
    press(driver, "Bring it on the floor", "#open")
    press(driver, "Bring the heat on the floor", "#sure")
    until("the next heat is on the floor", lambda: text(driver, "#heat") == "Heat 8 · Breakwater")


line = Line(feed_url)
with browser() as driver:
    size(driver, 1180, 820)
    driver.get(f"{line.url}/floor#access_key={access['floor_operator']}")
    until("the heat is there", lambda: text(driver, "#heat") == "Heat 7 · Breakwater")
    board = Person(feed_url, "display", access["display"])
    head = Person(feed_url, "head_judge", access["head_judge"])
    on_screens(driver, board)
    moves_on(driver, board)
    loses_the_link(driver, line, board, head)
    for width, height in ((1180, 820), (820, 1180), (360, 740)):
        size(driver, width, height)
        time.sleep(0.3)
        wide = "return document.documentElement.scrollWidth > document.documentElement.clientWidth"
        check(driver.execute_script(wide) is False, f"the page fits a width of {width}")
        audited(driver, f"at {width}")
held()
