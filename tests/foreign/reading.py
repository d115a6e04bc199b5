"""Reads boards as a seat sees them, with Tesseract.

Usage: reading.py FOLDER

FOLDER holds pictures of boards and for each a file `NAME.json` with its texts: what is written (`text`), what it is
(`role`: clock, count, place or name), left, right, baseline and height of capitals in pixels, and `theme`.

Clocks, counts and places are seen from one seat, names from another: the farthest from which the lowest capitals among
them are 16 minutes of arc high, the least that ISO 9241-303 calls legible (as quoted by NUREG-0700 1.3.1-4). The
picture is blurred by an eye that resolves one minute (visual acuity 1.0 of ISO 8596, from memory), in linear light, and
taken at two samples a minute, as a fovea's cones stand (from memory).

Tesseract was made for lines of scanned prose. Of lone figures it misreads some in perfect print; so each text is read
in a few sizes and weights, and what most readings say counts. Letters are compared without their accents, whose kinds
Tesseract confuses, and I, l and i as the strokes that context alone parts; marks that it puts before or after a word are
not looked at, and neither are spaces.

At least 99 % of clocks, counts and places and 97 % of names have to be read, in each theme. Ends with 0 and a line
`N checks held`.
"""

import collections
import json
import pathlib
import subprocess
import sys
import unicodedata

import numpy
from PIL import Image, ImageFilter

LEGIBLE_ARCMIN = 16
SAMPLES_PER_ARCMIN = 2
# A full width at half maximum of one minute of arc.
BLUR_ARCMIN = 1 / 2.355
SEATS = {"clock": "far", "count": "far", "place": "far", "name": "near"}
LEAST = {"clock": 0.99, "count": 0.99, "place": 0.99, "name": 0.97}
# Height of capitals in pixels, how often strokes are thinned, and Tesseract's page segmentation (7: a line, 10: a
# single character).
READINGS = {
    "far": [(32, 0, 7), (24, 0, 7), (32, 1, 7), (40, 1, 7), (40, 0, 10)],
    "near": [(32, 0, 7), (26, 0, 7), (40, 1, 7)],
}
MARGIN = 10
FIGURES = "0123456789:.,+R"
STRAY = "„‚‘’'\":;.,|_-"

folder = pathlib.Path(sys.argv[1])


def linear(picture):
    codes = numpy.asarray(picture.convert("RGB"), dtype=numpy.float64) / 255
    light = numpy.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)
    return light @ [0.2126, 0.7152, 0.0722]


def codes(light):
    light = numpy.clip(light, 0, 1)
    return numpy.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


def blurred(light, sigma):
    """A Gaussian blur, along one side after the other."""
    reach = max(1, int(3 * sigma))
    kernel = numpy.exp(-0.5 * (numpy.arange(-reach, reach + 1) / sigma) ** 2)
    kernel /= kernel.sum()
    for axis in (0, 1):
        padded = numpy.pad(light, [(reach, reach) if side == axis else (0, 0) for side in (0, 1)], mode="edge")
        light = numpy.apply_along_axis(lambda line: numpy.convolve(line, kernel, mode="valid"), axis, padded)
    return light


def seen(light, text, pixels_per_arcmin):
    """The text as its seat sees it: ink on paper, and the height of its capitals in samples."""
    height = text["cap_height"]
    # As close as no neighbour is in it; names reach below their line and, with accents, above their capitals.
    above, below = (0.3, 0.33) if text["role"] == "name" else (0.1, 0.1)
    # The clock's tenths stand close, and smaller.
    after = 0 if text["role"] == "clock" else 0.2
    left, right = text["left"] - 0.3 * height, text["right"] + after * height
    top, bottom = text["baseline"] - (1 + above) * height, text["baseline"] + below * height
    box = [max(0, round(side)) for side in (left, top, right, bottom)]
    cut = blurred(light[box[1]:box[3], box[0]:box[2]], BLUR_ARCMIN * pixels_per_arcmin)
    samples = SAMPLES_PER_ARCMIN / pixels_per_arcmin
    size = [max(8, round(side * samples)) for side in reversed(cut.shape)]
    retina = Image.fromarray(cut.astype(numpy.float32), mode="F").resize(size, Image.Resampling.BOX)
    levels = codes(numpy.asarray(retina))
    # The ground white, and what differs most from it black.
    away = numpy.abs(levels - numpy.median(levels))
    paper = 1 - away / max(away.max(), 1e-6)
    return Image.fromarray((paper * 255).astype(numpy.uint8), mode="L"), height * samples


def page(paper, cap_height, thinned):
    size = [max(1, round(side * cap_height)) for side in paper.size]
    text = paper.resize(size, Image.Resampling.LANCZOS)
    framed = Image.new("L", [side + 2 * MARGIN for side in text.size], 255)
    framed.paste(text, (MARGIN, MARGIN))
    for _ in range(thinned):
        framed = framed.filter(ImageFilter.MaxFilter(3))
    return framed


def read(pages, segmentation, figures):
    """What Tesseract finds on pages of one line each."""
    names = []
    for number, each in enumerate(pages):
        names.append(folder / f"page-{number}.tif")
        each.save(names[-1])
    listing = folder / "pages.txt"
    listing.write_text("".join(f"{name}\n" for name in names))
    command = ["tesseract", str(listing), "-", "--psm", str(segmentation),
               "-l", "eng" if figures else "Latin"]
    if figures:
        command += ["-c", f"tessedit_char_whitelist={FIGURES}"]
    said = subprocess.run(command, check=True, capture_output=True, text=True, timeout=900,
                          env={"OMP_THREAD_LIMIT": "1", "PATH": "/usr/bin:/bin"}).stdout
    # A page ends with a form feed.
    return [plain(found) for found in said.split("\f")[:len(pages)]]


def plain(text):
    letters = "".join(c for c in unicodedata.normalize("NFD", text) if not unicodedata.combining(c))
    return "".join(letters.split()).strip(STRAY).translate({ord("I"): "l", ord("i"): "l"})


def boards():
    """Every text of every board with what its seat sees, by seat."""
    texts = {"far": [], "near": []}
    for described in sorted(folder.glob("*.json")):
        light = linear(Image.open(described.with_suffix(".png")))
        listed = json.loads(described.read_text())
        for seat, gathered in texts.items():
            there = [text for text in listed if SEATS[text["role"]] == seat]
            lowest = min(text["cap_height"] for text in there)
            gathered += [(text, *seen(light, text, lowest / LEGIBLE_ARCMIN), described.stem) for text in there]
    return texts


def main():
    total, right = collections.Counter(), collections.Counter()
    for seat, texts in boards().items():
        votes = [collections.Counter() for _ in texts]
        for cap_height, thinned, segmentation in READINGS[seat]:
            pages = [page(paper, cap_height / height, thinned) for _, paper, height, _ in texts]
            for vote, found in zip(votes, read(pages, segmentation, seat == "far"), strict=True):
                vote.update([found] if found else [])
        for (text, _, _, board), vote in zip(texts, votes):
            key = (text["theme"], text["role"])
            found = vote.most_common(1)[0][0] if vote else ""
            total[key] += 1
            right[key] += found == plain(text["text"])
            if found != plain(text["text"]):
                print(f"{board}: the {text['role']} {text['text']!r} was read as {dict(vote)}")
    checks = 0
    for (theme, role), count in sorted(total.items()):
        share = right[theme, role] / count
        print(f"{theme}, {role}: {right[theme, role]} of {count} read, {share:.1%}")
        if share < LEAST[role]:
            sys.exit(f"check failed: {theme}: each {role} has to be read {LEAST[role]:.0%} of the time")
        checks += 1
    print(f"{checks} checks held")


main()
