"""Parts of a whole, written so that a percentage never hides a remainder."""

from __future__ import annotations

from fractions import Fraction

from surveys.core.rounding import plain, rounded


def percent(part: int, whole: int) -> str:
    """The part in percent with one decimal, or as many as keep it apart from 0 and 100; a dash of nothing."""
    if not whole:
        return "–"
    value, places = Fraction(100 * part, whole), 1
    while places < 9 and any((rounded(value, places) == end) != (value == end) for end in (0, 100)):
        places += 1
    text = plain(value, places)
    return text if "." in text else f"{text}.0"
