"""Which opening has the size of another that the same parts make: they are one opening, so one of the two was mistyped."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from hoods.core.cover import Cover
from hoods.core.part import part_of
from hoods.core.quantity import millimetres

PANELS = ("left panel", "centre panel", "right panel")  # of several together a size does not say which ones


class Slid(NamedTuple):
    """An opening by the part that moves for it, its width and height as text with their units, its cover and its use."""

    name: str
    way: str
    width: str
    height: str
    cover: Cover | None = None
    use: str = ""


def of_one_size(one: Slid, others: Iterable[Slid], sash: str = "") -> Slid | None:
    """The first other opening of the same part, size and cover; None where there is none, or no size that can be read.

    Of a sash or a frame that is raised, two are one only where people work at both: one that is set back, fully open or
    lower may be as high as a working one.
    """
    size, works = _size(one), is_raised(one, sash)
    if None in size or not (one.way in PANELS or (works and one.use == "working")):
        return None
    like = (other for other in others if other.way == one.way and other.cover == one.cover and _size(other) == size)
    return next((other for other in like if not works or other.use == "working"), None)


def is_raised(one: Slid, sash: str) -> bool:
    """Whether a sash or a frame is raised for it, so that its height says how far."""
    return sash == "vertical" or (sash == "combination" and part_of(one.way) == "frame")


def _size(one: Slid) -> tuple[object, object]:
    return millimetres(one.width), millimetres(one.height)
