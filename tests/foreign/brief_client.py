"""The brief of every workout of a competition, in every language, as one page of A4 and one of Letter.

Usage: brief_client.py FEED_HTTP_URL ACCESS_FILE [FOLDER]

Pages are kept as pictures in FOLDER, if that is given. Ends with 0 and a line `N checks held`.
"""

import pathlib
import sys
import tomllib

from officials import browser, check, held, text, texts, until
from printing import close, printed

feed_url, access_file = sys.argv[1:3]
pictures = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
with open(access_file, "rb") as file:
    access = tomllib.load(file)
with open(pathlib.Path(access_file).with_name("competition.toml"), "rb") as file:
    competition = tomllib.load(file)
# A heat of each workout.
HEATS = {heat["workout"]: heat["number"] for heat in competition["heat"]}
NAMES = {workout["id"]: workout["name"] for workout in competition["workout"]}

with browser() as driver:
    for language in ("en", "es", "de"):
        for workout, heat in HEATS.items():
            driver.get("about:blank")
            address = f"{feed_url}/print?lang={language}&what=brief&heat={heat}"
            driver.get(f"{address}#access_key={access['head_judge']}")
            until(f"the brief of {workout} in {language}", lambda: NAMES[workout] in text(driver, ".brief h2"))
            faults = texts(driver, ".brief .movement li")
            for paper, (pages, _) in printed(driver, f"brief-{language}-{workout}", pictures).items():
                check(len(pages) == 1, f"the brief of {workout} in {language} is one page of {paper}: {len(pages)}")
                whole = close(pages[0])
                check(all(close(fault.split("(")[0]) in whole for fault in faults), f"with every fault: {faults}")
held()
