"""The front of a hood as a drawing: the sash at the height up to which it may be opened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from surveys.core import units
from surveys.core.front import where as where_it_stands
from surveys.core.sash import PLACES

# The frame on its ground, in the units of the drawing.
LEFT, RIGHT, TOP, SILL = 14, 254, 10, 250
Share = tuple[Fraction, Fraction, Fraction, Fraction]
PANE_LEAST = 40  # some of the pane is always seen above a sash that is quite open


@dataclass(frozen=True, slots=True)
class Box:
    """A part of a drawing."""

    left: int
    top: int
    wide: int
    high: int


@dataclass(frozen=True, slots=True)
class Mark:
    """A height that was measured and not approved."""

    y: int
    height: str


@dataclass(frozen=True, slots=True)
class Front:
    """What the drawing's template places; heights are from the sill."""

    sash_y: int
    height: str
    width: str
    marks: tuple[Mark, ...]
    covered: Box | None = None  # what something covers of the opening

    @property
    def pane(self) -> int:
        """How far the pane is down."""
        return self.sash_y - TOP

    @property
    def middle(self) -> int:
        return (self.sash_y + SILL) // 2

    @property
    def first(self) -> str:
        """The height as measured."""
        return str(units.quantity(self.height))

    @property
    def second(self) -> str:
        """The same in the other unit, rounded down, in brackets."""
        return units.both(self.height).removeprefix(self.first).strip()


def front(
    height: str, width: str, others: Iterable[str] = (), *, known: Iterable[str] = (), taken: Share | None = None
) -> Front | None:
    """The drawing for a sash at a height, beside others higher than it that are not approved; None without a height.

    It is drawn to the highest of the openings that are known, so that a low sash looks low.
    """
    sash = millimetres(height)
    if sash is None:
        return None
    higher = {text: found for text in others if (found := millimetres(text)) is not None and found > sash}
    highest = max([sash, *higher.values(), *(found for text in known if (found := millimetres(text)) is not None)])
    scale = (SILL - TOP - PANE_LEAST) / max(highest, 1)
    marks = tuple(Mark(round(SILL - found * scale), text) for text, found in sorted(higher.items()))
    sash_y = round(SILL - sash * scale)
    covered = _within(taken, LEFT, sash_y, RIGHT - LEFT, SILL - sash_y) if taken else None
    return Front(sash_y, height, width, marks, covered)


@dataclass(frozen=True, slots=True)
class Place:
    """Where an opening stands in the front, and whether it may be used; `approved` is None where nothing is said of it."""

    name: str
    approved: bool | None
    left: int
    top: int
    wide: int
    high: int
    covered: Box | None = None


def place(name: str, way: str, kind: str, approved: bool | None = None, taken: Share | None = None) -> Place | None:
    """Where an opening stands, seen from the front; None of a vertical sash, whose height is drawn to scale.

    `taken` is what of it is covered, as parts of its own width and height.
    """
    if kind == "vertical":
        return None
    where = where_it_stands(kind, way, name)
    return Place(name, approved, *where, covered=_within(taken, *where) if taken else None)


def seen(name: str, way: str, kind: str, taken: Share | None) -> Place | None:
    """Where an opening of a record stands; of a vertical sash only where something covers a part of it."""
    if kind == "vertical" and taken is None:
        return None
    where = PLACES[""] if kind == "vertical" else where_it_stands(kind, way, name)
    return Place(name, None, *where, covered=_within(taken, *where) if taken else None)


def _within(taken: Share, left: int, top: int, wide: int, high: int) -> Box:
    """What is covered, in the units of the drawing, from its parts of an opening that stands there."""
    across, down, width, height = taken
    return Box(left + round(across * wide), top + round(down * high), round(width * wide), round(height * high))


def millimetres(length: str) -> int | None:
    """A length for drawing alone; None where it is none."""
    try:
        return round(units.quantity(length, units.LENGTH).to("mm"))
    except ValueError:
        return None
