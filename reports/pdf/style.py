"""The typeface, inks, shapes and measures of every print. Places are in mm from the top left corner of the page."""

import io
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import IO, Literal

from font_source_sans_pro import font_files_ttf
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from reports.pdf.shapes import SHAPES

Words = Callable[[str], str]
Ink = tuple[float, float, float]
Align = Literal["left", "right", "middle"]

MM = 72 / 25.4  # points in a millimetre

REGULAR, SEMIBOLD, BOLD = "HoodLedger-Regular", "HoodLedger-Semibold", "HoodLedger-Bold"
_FILES = {REGULAR: "SourceSansPro", SEMIBOLD: "SourceSansProSemibold", BOLD: "SourceSansProBold"}
for _name, _file in _FILES.items():
    pdfmetrics.registerFont(TTFont(_name, font_files_ttf[_file]))
_DRAWN = frozenset.intersection(*(frozenset(pdfmetrics.getFont(name).face.charToGlyph) for name in _FILES))

CAP_HEIGHT = 0.66  # of a capital letter, as a part of the type's size (OS/2 table of the typeface)
DESCENT = 0.25  # the deepest stroke under the line, as a part of the type's size

BLACK: Ink = (0, 0, 0)
WHITE: Ink = (1, 1, 1)


def _ink(code: str) -> Ink:
    red, green, blue = (int(code[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return (red, green, blue)


INK, SOFT, HAIR, EDGE, STOP = (_ink(code) for code in ("#14202a", "#4a5661", "#b9c0c0", "#717d85", "#a5201a"))
GLASS = _ink("#dfe3e3")
SLOW = (_ink("#e0ebf6"), _ink("#bfd6ee"))
FAST = (_ink("#f6ebd3"), _ink("#ecd6a6"))

PAPERS: dict[str, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # [mm]


def same(text: str) -> str:
    """The words as they stand: what a print says where no translation is handed in."""
    return text


def month(number: int, words: Words) -> str:
    """The short name of a month, in capitals so that no day is taken for a month."""
    _ = words
    names = (
        _("JAN"), _("FEB"), _("MAR"), _("APR"), _("MAY"), _("JUN"), _("JUL"), _("AUG"), _("SEP"), _("OCT"), _("NOV"), _("DEC"),
    )  # fmt: skip
    return names[number - 1]


# Characters ------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=8192)
def shown(text: str) -> str:
    """The text as the typeface can set it on one line: what it cannot set is named by its number, never dropped."""
    if text.isascii() and text.isprintable() and "  " not in text:
        return text
    pieces: list[str] = []
    unset: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        blank = character.isspace() and character != "\u00a0"
        if not blank and (ord(character) not in _DRAWN or unicodedata.category(character) in ("Cc", "Cf")):
            unset.append(f"U+{ord(character):04X}")
            continue
        if unset:
            pieces.append(f"[{' '.join(unset)}]")
            unset = []
        pieces.append(" " if blank else character)
    if unset:
        pieces.append(f"[{' '.join(unset)}]")
    return " ".join(word for word in "".join(pieces).split(" ") if word)


@lru_cache(maxsize=16384)
def _ems(text: str, weight: str) -> float:
    return pdfmetrics.stringWidth(text, weight, 1)


def width(text: str, size: float, weight: str = REGULAR) -> float:
    """How wide a line stands [mm]."""
    return _ems(shown(text), weight) * size


def wrap(text: str, measure: float, size: float, weight: str = REGULAR) -> list[str]:
    """The text in lines no wider than the measure; a word that is wider is broken between letters, and nothing is left out."""
    text = shown(text)
    if _ems(text, weight) * size <= measure:
        return [text]
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if _ems(longer, weight) * size <= measure:
            line = longer
            continue
        if line:
            lines.append(line)
        while _ems(word, weight) * size > measure and len(word) > 1:
            cut = next((n for n in range(len(word) - 1, 0, -1) if _ems(word[:n], weight) * size <= measure), 1)
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    return [*lines, line]


@dataclass(frozen=True)
class Fitted:
    """Lines and the size at which they fit their box."""

    lines: tuple[str, ...]
    size: float
    leading: float
    fits: bool = True

    @property
    def height(self) -> float:
        return CAP_HEIGHT * self.size + (len(self.lines) - 1) * self.leading


@lru_cache(maxsize=4096)
def fit(text: str, measure: float, height: float, largest: float, least: float, weight: str = REGULAR) -> Fitted:
    """The largest type, from `largest` down to `least`, whose lines fit a box of this measure and height [mm]."""
    size = largest
    while True:
        fitted = Fitted(tuple(wrap(text, measure, size, weight)), size, 1.14 * size)
        if fitted.height <= height + 1e-6:
            return fitted
        if size <= least:
            return Fitted(fitted.lines, size, fitted.leading, fits=False)
        size = max(least, size - 0.1)


def one_line(text: str, measure: float, largest: float, weight: str = REGULAR) -> Fitted:
    """The text on one line, as large as it may be and as small as it must be to fit the measure: nothing is cut off."""
    text = shown(text)
    ems = _ems(text, weight)
    return Fitted((text,), min(largest, measure / ems) if ems else largest, largest)


@lru_cache(maxsize=256)
def _colour(ink: Ink) -> str:
    return " ".join(f"{part:.4g}" for part in ink)


# The page ----------------------------------------------------------------------------------------------------------


class Pages:
    """A document in the making; everything is drawn from the top left corner, in mm."""

    def __init__(
        self, paper: tuple[float, float], *, title: str, subject: str = "", language: str = "en",
        file: IO[bytes] | None = None,
    ):  # fmt: skip
        self.width, self.height = paper
        self._file = file or io.BytesIO()
        self.canvas = Canvas(
            self._file,
            pagesize=(self.width * MM, self.height * MM),
            pageCompression=0,
            invariant=1,
            lang=language,
            initialFontName=REGULAR,
        )
        self.canvas.setTitle(shown(title))
        self.canvas.setSubject(shown(subject))
        self.canvas.setAuthor("Hood Ledger")
        self.canvas.setCreator("Hood Ledger")
        self.canvas.setViewerPreference("PrintScaling", "None")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")

    def text(
        self, x: float, y: float, text: str, size: float, weight: str = REGULAR, ink: Ink = INK,
        align: Align = "left", spacing: float = 0, squeeze: float = 1,
    ) -> None:  # fmt: skip
        """One line, standing on y; `squeeze` narrows the letters and leaves their height."""
        text = shown(text)
        if not text:
            return
        if align != "left":
            wide = (_ems(text, weight) * size + spacing * len(text)) * squeeze
            x -= wide if align == "right" else wide / 2
        operators = ["BT", f"1 0 0 1 {x * MM:.3f} {(self.height - y) * MM:.3f} Tm", f"{_colour(ink)} rg"]
        if spacing:
            operators.append(f"{spacing * MM:.3f} Tc")
        if squeeze != 1:
            operators.append(f"{100 * squeeze:.3f} Tz")
        font, document, size = pdfmetrics.getFont(weight), self.canvas._doc, size * MM
        # the blank parts the line from what is drawn next, for who copies or searches the text
        for subset, letters in font.splitString(f"{text} ", document):
            operators.append(
                f"{font.getSubsetInternalName(subset, document)} {size:.3f} Tf ({self.canvas._escape(letters)}) Tj"
            )
        if spacing:
            operators.append("0 Tc")
        if squeeze != 1:
            operators.append("100 Tz")
        self._draw(*operators, "ET")

    def _draw(self, *operators: str) -> None:
        """Operators as they stand in the file. No public way of the canvas takes them ready, and its own ways are slow."""
        self.canvas._code.append(" ".join(operators))

    def lines(
        self,
        x: float,
        y: float,
        lines: Sequence[str],
        size: float,
        leading: float,
        weight: str = REGULAR,
        ink: Ink = INK,
        align: Align = "left",
    ) -> float:
        """Lines under each other, the first standing on y; the answer is where the next would stand."""
        for line in lines:
            self.text(x, y, line, size, weight, ink, align)
            y += leading
        return y

    def fitted(self, x: float, y: float, fitted: Fitted, weight: str = REGULAR, ink: Ink = INK) -> float:
        """Lines that were fitted to a box whose top is y."""
        return self.lines(x, y + CAP_HEIGHT * fitted.size, fitted.lines, fitted.size, fitted.leading, weight, ink)

    def rule(
        self, x: float, y: float, to_x: float, to_y: float | None = None, thick: float = 0.25, ink: Ink = INK
    ) -> None:
        ends = (x * MM, (self.height - y) * MM, to_x * MM, (self.height - (y if to_y is None else to_y)) * MM)
        self._draw(f"{_colour(ink)} RG {thick * MM:.3f} w", "{:.3f} {:.3f} m {:.3f} {:.3f} l S".format(*ends))

    def box(
        self,
        x: float,
        y: float,
        wide: float,
        high: float,
        *,
        fill: Ink | None = None,
        edge: Ink | None = None,
        thick: float = 0.2,
    ) -> None:
        paint = {(True, True): "B", (True, False): "f", (False, True): "S"}[fill is not None, edge is not None]
        if fill is not None:
            self._draw(f"{_colour(fill)} rg")
        if edge is not None:
            self._draw(f"{_colour(edge)} RG {thick * MM:.3f} w")
        self._draw(f"{x * MM:.3f} {(self.height - y - high) * MM:.3f} {wide * MM:.3f} {high * MM:.3f} re {paint}")

    def shape(self, name: str, x: float, y: float, size: float, ink: Ink = INK) -> None:
        """A shape whose field has its top left corner here."""
        self.marks(f"{SHAPES[name]} f*", x, y, size / 24, ink)

    def marks(self, operators: str, x: float, y: float, scale: float, ink: Ink = BLACK) -> None:
        """Ready path operators on a field whose y runs down from here, one unit `scale` mm wide."""
        unit = scale * MM
        self._draw(
            "q",
            f"{_colour(ink)} rg",
            f"{unit:.8g} 0 0 -{unit:.8g} {x * MM:.5f} {(self.height - y) * MM:.5f} cm",
            operators,
            "Q",
        )

    def double_rule(self, x: float, y: float, to_x: float, scale: float = 1, ink: Ink = INK) -> None:
        """The thick and the thin rule that head every print."""
        self.rule(x, y, to_x, thick=0.8 * scale, ink=ink)
        self.rule(x, y + 1.1 * scale, to_x, thick=0.22 * scale, ink=ink)

    def next_page(self) -> None:
        self.canvas.showPage()

    def finish(self) -> bytes:
        """The document; nothing can be drawn after this. Empty where it was written to a file of the caller's."""
        self.next_page()
        self.canvas.save()
        return self._file.getvalue() if isinstance(self._file, io.BytesIO) else b""


Draw = Callable[[Pages, float, float], None]  # draws from the left edge of a column and its own top [mm]
