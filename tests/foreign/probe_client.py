"""A foreign client of feed and display together: a browser measures a wall by the feed's camera page.

Usage: probe_client.py DISPLAY_BINARY FEED_HTTP_URL ACCESS_FILE

Wall and browser stand on one virtual screen. What the page takes for the camera is that screen, captured by the browser
itself: so the whole way is real, from the display's clock to its window to a picture that the page's own reader reads.
How late this is depends on the machine and is not judged; a display that runs 400 ms late must be measured so much later.
Ends with 0 and a line `N checks held`.
"""

import atexit
import os
import subprocess
import sys
import tempfile
import time
import tomllib

from chromium import chromium
from selenium.webdriver.common.by import By

PATIENCE_S = 200
SCREEN = (1280, 720)
LATER_MS = 400
BAND_MS = 120
CODES = 20
# Of a test card, the part around its code, shown in the middle of the screen.
SCREENS_FILE = """
[[picture]]
name = "north wall"
screen = "test-card"
size = "1920x1080"
delay_ms = {delay}

[[output]]
name = "north wall"
picture = "north wall"
part = {{ x = 1448, y = 700, width = 472, height = 380 }}
to = "window"
at = {{ x = 520, y = 170 }}
"""
# A page is given the screen for a camera.
SCREEN_AS_CAMERA = """
navigator.mediaDevices.getUserMedia = () => navigator.mediaDevices.getDisplayMedia({video: {frameRate: 30}});
"""
NO_CAMERA = """
navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException("", "%s"));
"""

display, feed_url, access_file = sys.argv[1:4]
with open(access_file, "rb") as file:
    keys = tomllib.load(file)
folder = tempfile.TemporaryDirectory()
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def eventually(what, look, patience_s=PATIENCE_S):
    until = time.monotonic() + patience_s
    while not (found := look()):
        if time.monotonic() > until:
            sys.exit(f"check failed: not within {patience_s} s: {what}")
        time.sleep(0.1)
    return found


def started(command, **more):
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, **more)
    # A check that fails ends this script, and nothing that it started may outlive it.
    atexit.register(process.kill)
    return process


def virtual_screen():
    server = started(["Xvfb", "-displayfd", "1", "-noreset", "-screen", "0", "%dx%dx24" % SCREEN],
                     stderr=subprocess.DEVNULL)
    os.environ["DISPLAY"] = f":{server.stdout.readline().strip()}"
    os.environ.pop("WAYLAND_DISPLAY", None)
    return server


def wall(delay):
    path = os.path.join(folder.name, "screens.toml")
    with open(path, "w") as file:
        file.write(SCREENS_FILE.format(delay=delay))
    environment = dict(os.environ, FIVEMARK_ACCESS_KEY=keys["display"])
    return started([display, "screens", "--feed", feed_url, path], env=environment)


def opened(driver, camera, address="/probe", key=keys["announcer"]):
    """The page in a tab of its own, with this in place of a camera."""
    driver.switch_to.new_window("tab")
    driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": camera})
    driver.get(f"{feed_url}{address}#access_key={key}")
    button = driver.find_element(By.ID, "open")
    eventually("the feed's time is known", button.is_enabled)
    button.click()


def text(driver, part):
    return driver.find_element(By.ID, part).text


def measured(driver, delay):
    """What the page measures of a wall that runs so late: the delay, and the command that it proposes."""
    process = wall(delay)
    opened(driver, SCREEN_AS_CAMERA)
    figure = driver.find_element(By.ID, "delay")
    try:
        # On a machine that is busy the page may call it no result yet, for want of frames; this test knows better.
        eventually(f"{CODES} codes at {delay} ms", lambda: int(figure.get_attribute("data-codes") or 0) >= CODES)
    finally:
        print(text(driver, "says"), "|", text(driver, "trouble"), "|", text(driver, "measured"))
    found, enough, command = driver.execute_script(
        "const figure = document.getElementById('delay'), command = document.getElementById('command');"
        "return [Number(figure.dataset.ms), figure.dataset.enough === 'true', command.textContent];")
    if enough:
        check(abs(int(command.removeprefix("--ahead-ms ")) - found) <= 0.6, f"{found} ms make {command}")
    check("NORTH-WALL" in text(driver, "says"), "the page names the wall")
    tap(driver)
    process.kill()
    process.wait()
    driver.close()
    driver.switch_to.window(driver.window_handles[0])
    return found


def tap(driver):
    for _ in range(3):
        driver.find_element(By.ID, "tap").click()
        time.sleep(0.2)
    rows = eventually("taps are in the sum", lambda: [
        row for row in text(driver, "parts").splitlines() if "tap" in row])
    check(len(rows) == 2 and all("ms" in row for row in rows), f"a tap's way and the sum: {rows}")


def trouble_in_words(driver):
    for name, words in (("NotAllowedError", "not allowed"), ("NotFoundError", "No camera"),
                        ("NotReadableError", "could not be started")):
        opened(driver, NO_CAMERA % name)
        eventually(f"{name} is told in words", lambda: words in text(driver, "trouble"))
        check(driver.find_element(By.ID, "open").is_enabled(), "and can be tried again")
        driver.close()
        driver.switch_to.window(driver.window_handles[0])
    driver.switch_to.new_window("tab")
    driver.get(f"{feed_url}/probe#access_key={'0' * 32}")
    eventually("a wrong access key is told in words", lambda: "does not open this page" in text(driver, "entry"))


def main():
    screen = virtual_screen()
    with chromium("--window-position=0,0", "--window-size=500,700",
                  "--auto-select-desktop-capture-source=Entire screen", headless=False) as driver:
        at_once, later = measured(driver, 0), measured(driver, LATER_MS)
        difference = later - at_once
        check(abs(difference - LATER_MS) <= BAND_MS, f"{LATER_MS} ms more are measured as {difference:.0f}")
        trouble_in_words(driver)
        faults = [entry for entry in driver.get_log("browser")
                  if entry["level"] == "SEVERE" and "WebSocket" not in entry["message"]]
        check(not faults, f"no page has a fault: {faults}")
    screen.kill()
    print(f"{checks} checks held")


main()
