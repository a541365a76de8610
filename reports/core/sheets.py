"""Where labels stand on paper, and how large the modules of a QR code are. All lengths are in mm, from the top left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

MM_PER_INCH = Fraction(254, 10)
QUIET_ZONE = 4  # modules left white around a QR code on each side: ISO/IEC 18004
LEAST_MODULE_MM = 0.5  # a label is read through scratches and at arm's length: common practice, no source
PRINTERS_DPI = (203, 300)  # the two resolutions of label printers
SLACK_MM = 1e-6  # lengths are sums of decimal fractions


class DoesNotFit(ValueError):
    """A sheet whose labels would lie over its edge or over one another."""


@dataclass(frozen=True)
class Place:
    """Where one label goes: the page, counted from 0, and its top left corner [mm]."""

    page: int
    x: float
    y: float


@dataclass(frozen=True)
class Sheet:
    """Paper with labels in columns and rows [mm]. It refuses to exist if the labels do not fit."""

    code: str
    page_width: float
    page_height: float
    label_width: float = 100
    label_height: float = 50
    columns: int = 1
    rows: int = 1
    left: float = 0
    top: float = 0
    gap_x: float = 0
    gap_y: float = 0

    def __post_init__(self) -> None:
        lengths = (self.page_width, self.page_height, self.label_width, self.label_height)
        if min(lengths) <= 0 or min(self.columns, self.rows) < 1:
            raise DoesNotFit(f"{self.code}: paper and labels need a size, and at least one label")
        if min(self.left, self.top, self.gap_x, self.gap_y) < 0:
            raise DoesNotFit(f"{self.code}: labels would lie over the edge or over one another")
        if self.left + self._span(self.columns, self.label_width, self.gap_x) > self.page_width + SLACK_MM:
            raise DoesNotFit(f"{self.code}: {self.columns} labels are wider than the paper")
        if self.top + self._span(self.rows, self.label_height, self.gap_y) > self.page_height + SLACK_MM:
            raise DoesNotFit(f"{self.code}: {self.rows} labels are higher than the paper")

    @staticmethod
    def _span(count: int, size: float, gap: float) -> float:
        return count * size + (count - 1) * gap

    @property
    def per_page(self) -> int:
        """How many labels a page takes."""
        return self.columns * self.rows

    @property
    def is_roll(self) -> bool:
        """Whether a page is one label, as on a roll."""
        return self.per_page == 1

    def box(self, index: int) -> tuple[float, float]:
        """The top left corner of a place on its page, counted from 0 along the rows [mm]."""
        if not 0 <= index < self.per_page:
            raise IndexError(f"{self.code} has places 0 to {self.per_page - 1}, not {index}")
        row, column = divmod(index, self.columns)
        return (
            self.left + column * (self.label_width + self.gap_x),
            self.top + row * (self.label_height + self.gap_y),
        )

    def places(self, count: int, start: int = 1) -> Iterator[Place]:
        """Where so many labels go, the first at place `start` of the first page, counted from 1 as on the paper."""
        if not 1 <= start <= self.per_page:
            raise IndexError(f"{self.code} has places 1 to {self.per_page}, not {start}")
        for number in range(start - 1, start - 1 + count):
            page, index = divmod(number, self.per_page)
            yield Place(page, *self.box(index))


SINGLE = Sheet("100x50", page_width=100, page_height=50)
ROLL_INCH = Sheet("4x2in", page_width=101.6, page_height=50.8, left=0.8, top=0.4)  # the label in its middle
A4 = Sheet("a4-2x5", page_width=210, page_height=297, columns=2, rows=5, left=5, top=23.5)
LETTER = Sheet("letter-2x5", page_width=215.9, page_height=279.4, columns=2, rows=5, left=7.95, top=14.7)
SHEETS: dict[str, Sheet] = {sheet.code: sheet for sheet in (SINGLE, ROLL_INCH, A4, LETTER)}


def module_dots(dpi: int, at_least_mm: float = LEAST_MODULE_MM) -> int:
    """How many whole dots of a printer make a module of at least this size: a part of a dot would blur its edge."""
    dots = Fraction(str(at_least_mm)) * dpi / MM_PER_INCH
    return max(1, -(-dots.numerator // dots.denominator))


def qr_module_mm(dpi: int, at_least_mm: float = LEAST_MODULE_MM) -> float:
    """The side of a QR module of whole printer dots [mm]."""
    return float(module_dots(dpi, at_least_mm) * MM_PER_INCH / dpi)


def qr_side_mm(modules: int, dpi: int, at_least_mm: float = LEAST_MODULE_MM) -> float:
    """The side of a QR code with its quiet zone [mm]."""
    return (modules + 2 * QUIET_ZONE) * qr_module_mm(dpi, at_least_mm)


def on_dot_mm(length_mm: float, dpi: int) -> float:
    """The length moved to the nearest whole dot of a printer, so that modules begin on one [mm]."""
    dots = Decimal(str(length_mm)) * dpi / Decimal("25.4")
    return float(dots.to_integral_value(ROUND_HALF_UP) * MM_PER_INCH.numerator / MM_PER_INCH.denominator / dpi)
