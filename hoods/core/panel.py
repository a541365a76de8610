"""Which opening of a panel has the size of another: opened alike they are one opening, so one of the two was mistyped.

Of a sash that is raised nothing is asked: a wide hood may have two of one size side by side, and some have one on each face.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from hoods.core.cover import Cover
from hoods.core.quantity import millimetres

PANELS = ("left panel", "centre panel", "right panel")  # of several together a size does not say which ones


class Slid(NamedTuple):
    """An opening by the panel that slides aside for it, its width and height as text with their units, its cover."""

    name: str
    way: str
    width: str
    height: str
    cover: Cover | None = None


def of_one_size(one: Slid, others: Iterable[Slid]) -> Slid | None:
    """The first other opening of the same panel, size and cover; None where there is none, or no size that can be read."""
    size = _size(one)
    if one.way not in PANELS or None in size:
        return None
    return next(
        (other for other in others if other.way == one.way and other.cover == one.cover and _size(other) == size), None
    )


def _size(one: Slid) -> tuple[object, object]:
    return millimetres(one.width), millimetres(one.height)
