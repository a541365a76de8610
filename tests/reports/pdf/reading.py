"""What a printed page says and shows, read by programs that had no part in printing it."""

import io
import itertools
import math
import subprocess
import sys
from dataclasses import dataclass

import numpy
import pypdf
import pypdfium2
import zxingcpp

MM = 72 / 25.4


def text(pdf: bytes) -> str:
    """The words of all pages with single spaces, as pypdf extracts them."""
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


def quick_text(pdf: bytes) -> str:
    """The same as pdfium extracts them, which is much quicker."""
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def pages(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def size(pdf: bytes) -> tuple[float, float]:
    """Width and height of the first page's MediaBox [mm]."""
    box = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    return float(box.width) / MM, float(box.height) / MM


def catalog(pdf: bytes) -> dict:
    return pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]


def title(pdf: bytes) -> str:
    return pypdf.PdfReader(io.BytesIO(pdf)).metadata.title


def picture(pdf: bytes, dpi: int, page: int = 0) -> numpy.ndarray:
    """A page as grey dots of a printer, 0 black and 255 white."""
    sheet = pypdfium2.PdfDocument(pdf)[page]
    wide, high = (math.ceil(side * dpi / 72 - 1e-6) * 72 / dpi for side in (sheet.get_width(), sheet.get_height()))
    sheet.set_mediabox(
        0, sheet.get_height() - high, wide, sheet.get_height()
    )  # whole dots, or the renderer would stretch the page to them
    return sheet.render(scale=dpi / 72, grayscale=True).to_numpy().squeeze()


def codes(picture: numpy.ndarray) -> list[tuple[str, tuple[int, int]]]:
    """The square codes of a picture, and the top left corner of each."""
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    return [(each.text, (each.position.top_left.x, each.position.top_left.y)) for each in found]


@dataclass(frozen=True)
class Ink:
    """A line of type where it stands: left, top, right, bottom from the page's top left corner [mm]."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def overlap(self, other: "Ink") -> float:
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return min(wide, high)


def inks(pdf: bytes, page: int = 0) -> list[Ink]:
    """Every line of type on a page by the bounds of its strokes."""
    sheet = pypdfium2.PdfDocument(pdf)[page]
    high, reader = sheet.get_height(), sheet.get_textpage()
    found = []
    for thing in sheet.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT], textpage=reader):
        left, bottom, right, top = thing.get_bounds()
        found.append(Ink(thing.extract().strip(), left / MM, (high - top) / MM, right / MM, (high - bottom) / MM))
    return found


def collisions(lines: list[Ink], slack: float = 0.12) -> list[tuple[str, str]]:
    """Lines of type whose strokes run into each other by more than `slack` both ways [mm]."""
    return [(one.text, other.text) for one, other in itertools.combinations(lines, 2) if one.overlap(other) > slack]


def outside(lines: list[Ink], wide: float, high: float, margin: float = 0) -> list[str]:
    """Lines of type that leave the page, or come nearer its edge than the margin [mm]."""
    return [
        line.text
        for line in lines
        if line.left < margin or line.top < margin or line.right > wide - margin or line.bottom > high - margin
    ]


def without_accelerator(program: str) -> bytes:
    """What a program writes to its standard output when reportlab runs without its compiled part."""
    blocked = f"import sys; sys.modules['_rl_accel'] = None\n{program}"
    return subprocess.run([sys.executable, "-c", blocked], capture_output=True, check=True).stdout
