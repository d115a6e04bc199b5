"""Reads the time code of test cards with a reader of other people, as cameras might see it.

Usage: code_reading.py TEXT PICTURE...

Each PICTURE holds one code that says TEXT: as it is, and cut out and taken from afar (modules of 4 and 3 pixels, soft),
from the side, in weak light with noise, and over-exposed. Ends with 0 and a line `N checks held`.
"""

import sys

import numpy
import zxingcpp
from PIL import Image, ImageEnhance, ImageFilter

# Modules of a code with its quiet zone.
MODULES = 33

expected, *files = sys.argv[1:]
checks = 0


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


def codes(picture):
    return zxingcpp.read_barcodes(numpy.asarray(picture.convert("L")), formats=zxingcpp.BarcodeFormat.QRCode)


def says(picture):
    found = codes(picture)
    return found[0].text if len(found) == 1 else f"{len(found)} codes"


def cut_out(picture):
    """The code with as much around it again as a camera sees beside it."""
    at = codes(picture)[0].position
    xs, ys = ([getattr(corner, axis) for corner in (at.top_left, at.top_right, at.bottom_left, at.bottom_right)]
              for axis in "xy")
    side = (max(xs) - min(xs)) * MODULES / (MODULES - 8)
    x, y = sum(xs) / 4, sum(ys) / 4
    box = [round(value) for value in (x - side, y - side, x + side, y + side)]
    return picture.crop(box), side / MODULES


def tilted(picture):
    """Seen from the side, a quarter of its height lost at the far edge."""
    w, h = picture.size
    corners = ((0, 0), (w, h // 8), (w, h - h // 8), (0, h))
    rows = []
    for (x, y), (u, v) in zip(corners, ((0, 0), (w, 0), (w, h), (0, h))):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
    goal = [value for corner in ((0, 0), (w, 0), (w, h), (0, h)) for value in corner]
    bend = numpy.linalg.solve(numpy.array(rows, float), numpy.array(goal, float))
    return picture.transform(picture.size, Image.Transform.PERSPECTIVE, bend.tolist(), Image.Resampling.BICUBIC)


def scaled(picture, module, pixels):
    size = [round(side * pixels / module) for side in picture.size]
    return picture.resize(size, Image.Resampling.LANCZOS)


def noisy(picture):
    chance = numpy.random.default_rng(7)
    pixels = numpy.asarray(picture.convert("L"), float)
    dim = 40 + pixels * 0.3 + chance.normal(0, 6, pixels.shape)
    return Image.fromarray(dim.clip(0, 255).astype(numpy.uint8))


for file in files:
    with Image.open(file) as opened:
        whole = opened.convert("RGB")
    check(says(whole) == expected, f"{file} says {says(whole)}, not {expected}")
    code, module = cut_out(whole)
    near = scaled(code, module, 6)
    seen = {
        "at four pixels a module": scaled(code, module, 4).filter(ImageFilter.GaussianBlur(1.0)),
        "at three pixels a module": scaled(code, module, 3).filter(ImageFilter.GaussianBlur(0.7)),
        "from the side": tilted(near),
        "turned": near.rotate(17, Image.Resampling.BICUBIC),
        "in weak light": noisy(near),
        "over-exposed": ImageEnhance.Brightness(near.filter(ImageFilter.GaussianBlur(1.5))).enhance(1.6),
    }
    for how, picture in seen.items():
        check(says(picture) == expected, f"{file} {how} says {says(picture)}, not {expected}")

print(f"{checks} checks held")
