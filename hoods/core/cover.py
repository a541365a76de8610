"""What covers a part of an opening: a fixed panel, a closed one, a shelf. Its words, and the rectangle that it takes away.

The rectangle is measured as the opening is seen: from its left side and from its lower edge. A measure that is not written
reaches to the side: a panel that is 40 in from the left and nothing else covers all that is right of 40 in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from hoods.core.quantity import millimetres

MEASURES = ("left", "up", "width", "height")
FIELDS = tuple(f"cover_{name}" for name in MEASURES)  # as the inventory keeps them


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A part of an opening, in mm from its left side and from its lower edge."""

    left: Fraction
    right: Fraction
    bottom: Fraction
    top: Fraction

    @property
    def area(self) -> Fraction:
        """How large it is [mm**2]."""
        return (self.right - self.left) * (self.top - self.bottom)

    def holds(self, across: Fraction, up: Fraction) -> bool:
        """Whether a point lies within it or on its edge, where no probe can be held."""
        return self.left <= across <= self.right and self.bottom <= up <= self.top

    def square_of_distance(self, across: Fraction, up: Fraction) -> Fraction:
        """How far a point lies from it, squared [mm**2]."""
        aside = max(self.left - across, across - self.right, Fraction(0))
        apart = max(self.bottom - up, up - self.top, Fraction(0))
        return aside * aside + apart * apart


@dataclass(frozen=True, slots=True)
class Cover:
    """What covers a part of an opening, in words, and its measures as texts with their units; an empty one is to the side."""

    by: str
    left: str = ""
    up: str = ""
    width: str = ""
    height: str = ""

    @classmethod
    def from_dict(cls, given: Mapping[str, str | None]) -> Cover:
        return cls(given["by"] or "", *(given.get(name) or "" for name in MEASURES))

    def as_dict(self) -> dict[str, str | None]:
        """As a record keeps it: only what is written."""
        return {"by": self.by} | {name: text for name in MEASURES if (text := getattr(self, name))}

    def within(self, width: str, height: str) -> Rectangle | None:
        """What it takes of an opening of this size; None where it lies outside, or where the size is no length."""
        wide, high = _length(width), _length(height)
        if wide is None or high is None:
            return None
        left, right = _reach(self.left, self.width, wide)
        bottom, top = _reach(self.up, self.height, high)
        return Rectangle(left, right, bottom, top) if left < right and bottom < top else None


def _(text: str) -> str:
    """Marks a text for translation: core never translates."""
    return text


_SAID = {
    "left": _("%(size)s from the left side"), "up": _("%(size)s from the lower edge"), "width": _("%(size)s wide"),
    "height": _("%(size)s high"),
}  # fmt: skip


def said(cover: Cover, words: Callable[[str], str]) -> str:
    """What covers a part of an opening and where, in the language of `words`: 'fixed panel, 40 in from the left side'."""
    written = ((name, getattr(cover, name)) for name in MEASURES)
    return ", ".join([cover.by, *(words(_SAID[name]) % {"size": size} for name, size in written if size)])


def share(cover: Cover | None, width: str, height: str) -> tuple[Fraction, Fraction, Fraction, Fraction] | None:
    """What of an opening is covered, as it is drawn: left, top, width and height as parts of the opening's own [1]."""
    taken, wide, high = cover and cover.within(width, height), _length(width), _length(height)
    if not taken or not wide or not high:
        return None
    return taken.left / wide, 1 - taken.top / high, (taken.right - taken.left) / wide, (taken.top - taken.bottom) / high


def _length(text: str) -> Fraction | None:
    found = millimetres(text)
    return None if found is None else Fraction(found)


def _reach(start: str, size: str, side: Fraction) -> tuple[Fraction, Fraction]:
    """From where to where it covers a side, no further than the side goes."""
    begins = _length(start) or Fraction(0)
    reaches = _length(size)
    return begins, side if reaches is None else min(begins + reaches, side)


def field_of(measure: str) -> str:
    """The field of the inventory that holds a measure of a cover, or its words."""
    return "cover" if measure == "by" else f"cover_{measure}"


def why_not(cover: Cover, width: str, height: str) -> tuple[str, str] | None:
    """Which measure is wrong and how: `words`, `nowhere`, `negative`, `nothing`, `outside`, `all`; None where it can be."""
    written = {name: length for name in MEASURES if (length := _length(getattr(cover, name))) is not None}
    if not cover.by:
        return ("by", "words") if written else None
    if not written:
        return "left", "nowhere"
    for name, length in written.items():
        if length < 0:
            return name, "negative"
        if length == 0 and name in ("width", "height"):
            return name, "nothing"
    for name, along, side in (("left", "width", width), ("up", "height", height)):
        length = _length(side)
        if length is None:
            return None  # the size of the opening is refused at its own place
        begins = _length(getattr(cover, name)) or Fraction(0)
        if begins >= length:
            return name, "outside"
        if begins + (_length(getattr(cover, along)) or Fraction(0)) > length:
            return along, "outside"
    taken = cover.within(width, height)
    whole = (_length(width) or Fraction(0)) * (_length(height) or Fraction(0))
    return ("left", "all") if taken is not None and taken.area >= whole else None
