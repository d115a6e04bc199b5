"""The browser that the foreign clients look through: Debian's Chromium under its own driver, without anything that asks the
network for more than the page does."""

import os

from selenium import webdriver
from selenium.webdriver.chrome.service import Service

QUIET = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--lang=en",
         "--disable-background-networking", "--disable-component-update", "--disable-sync")


def chromium(*flags, headless=True, home=None, patience_s=30):
    """A browser with these flags as well. `home` is where it keeps its lists of authorities; scripts may take
    `patience_s`. What pages say on their consoles is kept."""
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for flag in (*QUIET, *(["--headless"] if headless else []), *flags):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    env = {**os.environ, "HOME": str(home)} if home else None
    driver = webdriver.Chrome(options=options, service=Service("/usr/bin/chromedriver", env=env))
    driver.set_script_timeout(patience_s)
    return driver
