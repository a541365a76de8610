"""The front of a hood as a drawing: the sash at the height up to which it may be opened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from surveys.core import units
from surveys.core.sash import part_of

# The frame on its ground, in the units of the drawing.
LEFT, RIGHT, TOP, SILL = 14, 254, 10, 250
PANE_LEAST = 40  # some of the pane is always seen above a sash that is quite open


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


def front(height: str, width: str, others: Iterable[str] = (), *, known: Iterable[str] = ()) -> Front | None:
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
    return Front(round(SILL - sash * scale), height, width, marks)


@dataclass(frozen=True, slots=True)
class Place:
    """Where an opening stands in the front, and whether it may be used; `approved` is None where nothing is said of it."""

    name: str
    approved: bool | None
    left: int
    top: int
    wide: int
    high: int


# Of a small drawing, 120 by 90: the parts that a sash can open, from the left, from the top.
PLACES = {
    "frame": (6, 54, 108, 30), "left": (6, 30, 36, 54), "centre": (42, 30, 36, 54), "right": (78, 30, 36, 54),
    "panels": (24, 30, 72, 54), "": (6, 30, 108, 54),
}  # fmt: skip


def place(name: str, way: str, kind: str, approved: bool | None = None) -> Place | None:
    """Where an opening stands, seen from the front; None of a vertical sash, whose height is drawn to scale."""
    return None if kind == "vertical" else Place(name, approved, *PLACES[part_of(way, name)])


def millimetres(length: str) -> int | None:
    """A length for drawing alone; None where it is none."""
    try:
        return round(units.quantity(length, units.LENGTH).to("mm"))
    except ValueError:
        return None
