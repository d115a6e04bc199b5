"""A mixer's browser source: headless Chromium lays a canvas page over backgrounds that are known.

Usage: mixing_client.py PAGE_URL TABLE PATCH_PX

The page shows the sources of TABLE (`tests/data/source_over.json`) side by side, each PATCH_PX wide and high, on
nothing. The browser's own ground is made clear, as a mixer's browser source has it; screenshots then have the page's
alpha. They are taken of the patches alone, and with each backdrop of the table behind its patch as the page's own
background, and compared in the middle of each patch.

Tolerance: 1 of 255 on premultiplied channels. The canvas keeps colours multiplied in eight bits and the compositor
rounds once more; over the table both together cost at most one step. Ends with 0 and a line `N checks held`.
"""

import base64
import io
import json
import sys
import time

from PIL import Image
from chromium import chromium

PATIENCE_S = 60
TOLERANCE = 1

url, table, patch_px = sys.argv[1], sys.argv[2], int(sys.argv[3])
with open(table) as file:
    rows = json.load(file)["rows"]
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def css(color):
    red, green, blue, alpha = color
    # A fraction that comes back as the same of 255 steps.
    return f"rgb({red} {green} {blue} / {alpha / 255:.6f})"


def seen(driver):
    """The middle of each patch on a screenshot: straight red, green, blue and alpha."""
    # Two frames, so that what was just asked for is on the screen.
    driver.execute_async_script("const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(done));")
    png = base64.b64decode(driver.execute_cdp_cmd("Page.captureScreenshot", {"format": "png"})["data"])
    picture = Image.open(io.BytesIO(png)).convert("RGBA")
    check(picture.size == (patch_px * len(rows), patch_px), f"one pixel for one: {picture.size}")
    return [picture.getpixel((at * patch_px + patch_px // 2, patch_px // 2)) for at in range(len(rows))]


def compare(row, found, what):
    *color, alpha = found
    premultiplied = [channel * alpha / 255 for channel in color] + [alpha]
    off = max(abs(a - b) for a, b in zip(premultiplied, row["over"]))
    check(off < TOLERANCE + 0.5, f"{what}: {row}: found {found}, off by {off:.2f}")
    return off


def main():
    worst = 0
    with chromium("--hide-scrollbars", patience_s=PATIENCE_S) as driver:
        driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": patch_px * len(rows), "height": patch_px, "deviceScaleFactor": 1, "mobile": False})
        driver.get(url)
        until = time.monotonic() + PATIENCE_S
        while not driver.execute_script("return document.getElementById('board').dataset.frame"):
            check(time.monotonic() < until, "the page shows a frame")
            time.sleep(0.1)

        driver.execute_cdp_cmd("Emulation.setDefaultBackgroundColorOverride",
                               {"color": {"r": 0, "g": 0, "b": 0, "a": 0}})
        for row, found in zip(rows, seen(driver)):
            alone = [round(channel * row["source"][3] / 255) for channel in row["source"][:3]] + [row["source"][3]]
            compare({"source": row["source"], "over": alone}, found, "over nothing")

        stripes = ", ".join(f"{css(row['backdrop'])} {at * patch_px}px {(at + 1) * patch_px}px"
                            for at, row in enumerate(rows))
        driver.execute_script("document.documentElement.style.background = arguments[0];",
                              f"linear-gradient(to right, {stripes})")
        for row, found in zip(rows, seen(driver)):
            worst = max(worst, compare(row, found, "over the page's background"))
    print(f"off by at most {worst:.2f} of 255")
    print(f"{checks} checks held")


main()
