"""What a page of the feed prints, on A4 and on Letter: made by the browser, and read by Poppler and zxing-cpp."""

import base64
import pathlib
import re
import shutil
import subprocess
import tempfile

import zxingcpp
from officials import check
from PIL import Image

# Inches, as the browser takes them.
PAPERS = {"a4": (8.27, 11.69), "letter": (8.5, 11.0)}


def printed(driver, name, pictures=None):
    """The paper as PDF on both sizes: for each its text by page, and the codes on it. Pages are kept in the folder
    `pictures`, if one is given."""
    found = {}
    for paper, (width, height) in PAPERS.items():
        asked = {"paperWidth": width, "paperHeight": height, "preferCSSPageSize": False, "printBackground": False}
        pdf = base64.b64decode(driver.execute_cdp_cmd("Page.printToPDF", asked)["data"])
        with tempfile.TemporaryDirectory() as work:
            file = pathlib.Path(work) / "paper.pdf"
            file.write_bytes(pdf)
            said = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, check=True).stdout.decode()
            subprocess.run(["pdftoppm", "-r", "150", "-png", file, f"{work}/page"], check=True)
            files = sorted(pathlib.Path(work).glob("page*.png"))
            codes = [code for page in files for code in read(page)]
            if pictures:
                for page in files:
                    shutil.copy(page, pictures / f"{name}-{paper}-{page.name}")
        pages = [re.sub("[\u2066-\u2069]", "", page) for page in said.split("\f")][:len(files)]
        check(all(page.strip() for page in pages), f"{name}, {paper}: no page is empty")
        found[paper] = (pages, codes)
    return found


def close(words):
    """Words as they are compared: Poppler takes the marks that isolate names for spaces, or for none."""
    return "".join(words.split())


def read(page):
    with Image.open(page) as picture:
        return [code.text for code in zxingcpp.read_barcodes(picture.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)]
