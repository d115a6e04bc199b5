"""A judge's phone for tests: headless Chromium of a phone's size that is touched and not clicked."""

import time

from chromium import chromium

PATIENCE_S = 30


def browser(width=360, height=740):
    driver = chromium(patience_s=PATIENCE_S)
    turn(driver, width, height)
    driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": True})
    return driver


def turn(driver, width, height):
    """Gives the screen another size."""
    metrics = {"width": width, "height": height, "deviceScaleFactor": 2, "mobile": True}
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)


def touch(driver, selector):
    """A finger comes down in the middle of an element and is lifted again."""
    middle = driver.execute_script(
        "const box = document.querySelector(arguments[0]).getBoundingClientRect();"
        "return {x: box.x + box.width / 2, y: box.y + box.height / 2}", selector)
    driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [middle]})
    driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def press(driver, key, code):
    """A key of a keyboard or clicker, as the browser names it."""
    event = {"key": key, "windowsVirtualKeyCode": code}
    if len(key) == 1:
        event["text"] = key
    driver.execute_cdp_cmd("Input.dispatchKeyEvent", {"type": "keyDown", **event})
    driver.execute_cdp_cmd("Input.dispatchKeyEvent", {"type": "keyUp", **event})


def text(driver, selector):
    """An element's text, without the marks that keep a name's direction to itself."""
    said = driver.execute_script("return document.querySelector(arguments[0]).textContent", selector)
    return said.replace("\u2068", "").replace("\u2069", "")


def until(holds, what):
    """Waits for something that has to come, however slow the machine."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        value = holds()
        if value:
            return value
        time.sleep(0.02)
    raise SystemExit(f"check failed: waited {PATIENCE_S} s for this: {what() if callable(what) else what}")
