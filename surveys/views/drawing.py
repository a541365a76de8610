"""The front of a hood as a drawing: the sash at the height up to which it may be opened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from surveys.core import units

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


def millimetres(length: str) -> int | None:
    """A length for drawing alone; None where it is none."""
    try:
        return round(units.quantity(length, units.LENGTH).to("mm"))
    except ValueError:
        return None
