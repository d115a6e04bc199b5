"""Reads screens as a seat sees them, with Tesseract.

Usage: reading.py FOLDER

FOLDER holds pictures of screens and for each a file `NAME.json`: `screen` and `theme`, by which results are gathered;
`side`, the shorter side of the picture on which it is watched, pixels, or null for its own; and its `texts`, each with
what is written (`text`), what it is (`role`: clock, count, place or name), left, right, baseline and height of capitals
in pixels, the sides of the row or plate that it stands on (`ground`), and `seat_cap`, the height of capitals in pixels
that its seat sees under 16 minutes of arc, the least that ISO 9241-303 calls legible (as quoted by NUREG-0700 1.3.1-4).

A picture that is watched smaller is shrunk first, as a stream is. Then it is blurred by an eye that resolves one minute
(visual acuity 1.0 of ISO 8596, from memory), in linear light, and taken at two samples a minute, as a fovea's cones
stand (from memory).

Tesseract was made for lines of scanned prose. Of lone figures it misreads some in perfect print; so each text is read
in a few sizes and weights, and what most readings say counts. Letters are compared without their accents, whose kinds
Tesseract confuses, and I, l and i as the strokes that context alone parts; marks that it puts before or after a word are
not looked at, and neither are spaces.

At least 99 % of clocks, counts and places and 97 % of names have to be read: in each theme of each role over all
screens, and in each theme of each screen over clocks, counts and places together, and over names. Ends with 0 and a
line `N checks held`.
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
GROUPS = {"clock": "figures", "count": "figures", "place": "figures", "name": "names"}
LEAST = {"clock": 0.99, "count": 0.99, "place": 0.99, "figures": 0.99, "name": 0.97, "names": 0.97}
# Height of capitals in pixels, how often strokes are thinned, and Tesseract's page segmentation (7: a line, 10: a
# single character).
READINGS = {
    "figures": [(32, 0, 7), (24, 0, 7), (32, 1, 7), (40, 1, 7), (40, 0, 10)],
    "names": [(32, 0, 7), (26, 0, 7), (40, 1, 7)],
}
MARGIN = 10
FIGURES = "0123456789:.,+R"
STRAY = "„‚‘’'\":;.,…|_-"
# Of the codes of sRGB, in linear light.
LINEAR = numpy.array([c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
                      for c in (code / 255 for code in range(256))])

folder = pathlib.Path(sys.argv[1])


def luminance(picture):
    return LINEAR[numpy.asarray(picture)] @ [0.2126, 0.7152, 0.0722]


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


def seen(picture, text):
    """The text as its seat sees it: ink on paper, and the height of its capitals in samples."""
    left, right, baseline, height, seat_cap = (
        text[side] for side in ("left", "right", "baseline", "cap_height", "seat_cap"))
    # As close as no neighbour is in it; names reach below their line and, with accents, above their capitals.
    above, below = (0.3, 0.33) if text["role"] == "name" else (0.1, 0.1)
    # The clock's tenths stand close, and smaller.
    after = 0 if text["role"] == "clock" else 0.2
    # Nor what lies around its row or plate, whose edge is a pixel soft.
    ground = [side + inset for side, inset in zip(text["ground"], (1, 1, -1, -1), strict=True)]
    box = (max(ground[0], left - 0.3 * height), max(ground[1], baseline - (1 + above) * height),
           min(ground[2], right + after * height), min(ground[3], baseline + below * height))
    pixels_per_arcmin = seat_cap / LEGIBLE_ARCMIN
    cut = blurred(luminance(picture.crop([round(side) for side in box])), BLUR_ARCMIN * pixels_per_arcmin)
    samples = SAMPLES_PER_ARCMIN / pixels_per_arcmin
    size = [max(8, round(side * samples)) for side in reversed(cut.shape)]
    retina = Image.fromarray(cut.astype(numpy.float32), mode="F").resize(size, Image.Resampling.BOX)
    levels = codes(numpy.asarray(retina))
    # The ground, which is all around, white, and what differs most from it black.
    around = numpy.concatenate([levels[0], levels[-1], levels[:, 0], levels[:, -1]])
    away = numpy.abs(levels - numpy.median(around))
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


def screens():
    """Every text of every screen with what its seat sees, by what is read of it."""
    texts = {"figures": [], "names": []}
    for described in sorted(folder.glob("*.json")):
        screen = json.loads(described.read_text())
        picture = Image.open(described.with_suffix(".png")).convert("RGB")
        if screen["side"]:
            # Shrunk as a stream is, and enlarged to the viewer's screen as a player does.
            small = [round(side * screen["side"] / min(picture.size)) for side in picture.size]
            picture = picture.resize(small, Image.Resampling.BOX).resize(picture.size, Image.Resampling.BICUBIC)
        for text in screen["texts"]:
            paper, height = seen(picture, text)
            texts[GROUPS[text["role"]]].append((screen, text, paper, height, described.stem))
    return texts


def votes_on(texts, group):
    """What the readings of each text say; one that is decided is not read again."""
    votes = [collections.Counter() for _ in texts]
    for done, (cap_height, thinned, segmentation) in enumerate(READINGS[group]):
        left = len(READINGS[group]) - done
        open_ones = []
        for (_, _, paper, height, _), vote in zip(texts, votes, strict=True):
            first, second = [count for _, count in vote.most_common(2)] + [0] * (2 - len(vote))
            if first - second <= left:
                open_ones.append((page(paper, cap_height / height, thinned), vote))
        found = read([each for each, _ in open_ones], segmentation, group == "figures") if open_ones else []
        for (_, vote), says in zip(open_ones, found, strict=True):
            vote.update([says] if says else [])
    return votes


def main():
    total, right = collections.Counter(), collections.Counter()
    for group, texts in screens().items():
        for (screen, text, _, _, name), vote in zip(texts, votes_on(texts, group), strict=True):
            found = vote.most_common(1)[0][0] if vote else ""
            for key in [(screen["theme"], "all screens", text["role"]), (screen["theme"], screen["screen"], group)]:
                total[key] += 1
                right[key] += found == plain(text["text"])
            if found != plain(text["text"]):
                print(f"{name}: the {text['role']} {text['text']!r} was read as {dict(vote)}")
    short = []
    for (theme, screen, what), count in sorted(total.items()):
        share = right[theme, screen, what] / count
        print(f"{theme}, {screen}, {what}: {right[theme, screen, what]} of {count} read, {share:.1%}")
        if share < LEAST[what]:
            short.append(f"{theme}, {screen}: {LEAST[what]:.0%} of {what} have to be read")
    if short:
        sys.exit("check failed: " + "; ".join(short))
    print(f"{len(total)} checks held")


main()
