"""A foreign client of a feed with TLS: headless Chromium, which comes to trust the hall's authority.

Usage: trust_client.py FEED_HTTPS_URL ACCESS_FILE AUTHORITY

Without the authority the browser refuses the feed; the plain address leads to the page that says how to trust it, with
the right fingerprint and the authority's own bytes. With it (put into the browser's own list by NSS's certutil, as a
phone's owner does in the settings) the feed's pages are secure, join over wss, and break no rule of their policy.
Ends with 0 and a line `N checks held`.
"""

import hashlib
import ssl
import subprocess
import sys
import tempfile
import tomllib
import urllib.request
from chromium import chromium
from pathlib import Path

from selenium.common.exceptions import WebDriverException
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

PATIENCE_S = 30

JOIN = """
const [key, done] = arguments;
const socket = new WebSocket(`wss://${location.host}/feed`, "fivemark.v1");
socket.onopen = () => socket.send(JSON.stringify({type: "join", role: "display", access_key: key, device: "chromium"}));
socket.onmessage = (event) => { socket.onclose = null; socket.close(1000); done(JSON.parse(event.data).type); };
socket.onclose = (event) => done(`closed: ${event.code}`);
"""

secure_url, access_file, authority = sys.argv[1:4]
plain_url = secure_url.replace("https://", "http://")
with open(access_file, "rb") as file:
    access_key = tomllib.load(file)["display"]
pem = Path(authority).read_text(encoding="ascii")
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def trust(home):
    folder = home / ".pki" / "nssdb"
    folder.mkdir(parents=True)
    database = f"sql:{folder}"
    subprocess.run(["certutil", "-d", database, "-N", "--empty-password"], check=True)
    subprocess.run(["certutil", "-d", database, "-A", "-t", "C,,", "-n", "hall", "-i", authority], check=True)


def said(driver, of):
    """What the browser complains of."""
    found = [entry["message"] for entry in driver.get_log("browser") if entry["level"] in ("SEVERE", "WARNING")]
    check(not found, f"{of}: {found}")


def shown(driver, selector):
    WebDriverWait(driver, PATIENCE_S).until(lambda page: page.find_element(By.CSS_SELECTOR, selector).text)
    return driver.find_element(By.CSS_SELECTOR, selector).text


with tempfile.TemporaryDirectory() as folder:
    home = Path(folder)
    with chromium(home=home, patience_s=PATIENCE_S) as driver:
        try:
            driver.get(secure_url + "/")
        except WebDriverException as error:
            # Some drivers say so, others show the browser's own page about it.
            check("ERR_CERT" in error.msg, f"the feed is refused: {error.msg}")
        check(driver.execute_script("return location.protocol") != "https:", "a feed of an unknown authority is refused")
        driver.get_log("browser")

        driver.get(plain_url + "/?lang=en")
        check(driver.current_url.startswith(plain_url + "/trust"), f"plain HTTP leads to {driver.current_url}")
        fingerprint = hashlib.sha256(ssl.PEM_cert_to_DER_cert(pem)).hexdigest().upper()
        check(shown(driver, "#fingerprint").replace(":", "").split() and
              "".join(shown(driver, "#fingerprint").split()).replace(":", "") == fingerprint, "the fingerprint")
        links = [link.get_attribute("href") for link in driver.find_elements(By.CSS_SELECTOR, "#addresses a")]
        check(links and links[0] == secure_url + "/", f"the address that was asked for comes first: {links}")
        codes = driver.find_elements(By.CSS_SELECTOR, "figure img")
        check(len(codes) == 2 and all(code.get_property("naturalWidth") > 0 for code in codes), "both codes are drawn")
        said(driver, "the page that says how to trust the feed")
        for language, words in (("de", "Diesem Telefon"), ("es", "Haz que este")):
            driver.get(f"{plain_url}/trust?lang={language}")
            check(shown(driver, "#called") and shown(driver, "h1").startswith(words), f"the words in {language}")
            left = driver.execute_script("return document.documentElement.scrollWidth - innerWidth")
            check(left <= 0, "nothing is wider than the page")

    with urllib.request.urlopen(f"{plain_url}/trust/fivemark-authority.crt") as answer:
        check(answer.headers["Content-Type"] == "application/x-x509-ca-cert", "the certificate's type")
        given = answer.read().decode("ascii")
    check(given == pem and "PRIVATE" not in given, "phones are given the authority's certificate and nothing else")

    trust(home)
    with chromium(home=home, patience_s=PATIENCE_S) as driver:
        for page in ("/", "/trust"):
            driver.get(secure_url + page)
            check(driver.execute_script("return isSecureContext"), f"{page} is secure")
            shown(driver, "h1")
            check(driver.execute_async_script(JOIN, access_key) == "welcome", f"{page} joins over wss")
            check(not driver.get_cookies(), "no page keeps cookies")
            said(driver, page)
        policy = driver.execute_async_script(
            "const done = arguments[0]; fetch('/').then((page) => done(Object.fromEntries(page.headers)))")
        check("strict-transport-security" not in policy, "the host's other services stay reachable in plain HTTP")

print(f"{checks} checks held")
