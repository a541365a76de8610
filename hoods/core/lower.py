"""Which lower opening would be higher than every working one, which fully open one lower: one of the two was mistyped."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from hoods.core.quantity import millimetres


class Sized(NamedTuple):
    """An opening by its name and use, and its height as text with its unit."""

    name: str
    use: str
    height: str
    way: str = ""


class Higher(NamedTuple):
    """The lower opening that is too high, and the highest working one."""

    lower: Sized
    most: Sized


def higher_than_working(openings: Iterable[Sized]) -> Higher | None:
    """The first lower opening above all working ones; None where there is none, or no working one with a height."""
    sizes = [(one, high) for one in openings if (high := millimetres(one.height)) is not None]
    working = [(high, one) for one, high in sizes if one.use == "working"]
    if not working:
        return None
    most, highest = max(working, key=lambda found: found[0])
    return next((Higher(one, highest) for one, high in sizes if one.use == "lower" and high > most), None)


class Lower(NamedTuple):
    """The fully open opening that is too low, and the working one of the same parts that is higher."""

    full: Sized
    working: Sized


def lower_than_working(openings: Iterable[Sized]) -> Lower | None:
    """The first fully open opening below a working one that the same parts of the sash make; None where there is none."""
    sizes = [(one, high) for one in openings if (high := millimetres(one.height)) is not None]
    working = [(one, high) for one, high in sizes if one.use == "working"]
    for full, high in sizes:
        above = [(most, one) for one, most in working if one.way == full.way and most > high]
        if full.use == "full-open" and above:
            return Lower(full, max(above, key=lambda found: found[0])[1])
    return None
