"""Soft questions about the size of an opening: what was written is far from what the register says, or from its others.

A label grants the height that was measured, so a slip of a key there would grant what nobody looked at. A sash stop that
was moved or an opening that was never measured well differs from the register by some millimetres; a slip, or a number in
another unit, by much more than a tenth. Common practice, no source.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from hoods.core.part import part_of
from hoods.core.quantity import LONGEST
from surveys.core.codes import CANDIDATE_USES
from surveys.core.entry import Document
from surveys.core.facts import Facts, OpeningFacts
from surveys.core.rounding import plain
from surveys.core.units import LENGTH, UNIT, Quantity, both, quantity, quantity_or_none, with_unit

SIDES = ("width", "height")
FAR_MM = 25  # both: a tenth of a low opening is less than a thumb
FAR_PART = Fraction(1, 10)


class Off(NamedTuple):
    """A size that is asked about: which side, how it was written, and what stands beside it in the register."""

    code: str
    side: str
    text: str
    values: Mapping[str, str]


def off_register(document: Document, facts: Facts) -> Iterator[tuple[int, Off]]:
    """Each size that is far from the register's, with the place of its opening in the document."""
    for index, opening in enumerate(document.openings):
        known = facts.opening(opening.name)
        for side in SIDES:
            text = getattr(opening, side) or ""
            size, register = _size(text), _size(getattr(known, side) if known else "")
            if size and register and _is_far(size, register):
                yield index, _off(f"{side}-off-register", side, text, size, register)


def off_the_others(new: OpeningFacts, others: Sequence[OpeningFacts], sash: str) -> Iterator[Off]:
    """What of an opening that is new differs from all that the hood has: how wide its one sash is, how high a part opens."""
    width, height = _size(new.width), _size(new.height)
    wide = [found for one in others if (found := _size(one.width))]
    if sash == "vertical" and width and wide and all(_is_far(width, one) for one in wide):
        yield _off("width-off-others", "width", new.width, width, wide[0])
    part = part_of(new.way, new.name) if sash != "vertical" else ""
    alike = [one for one in others if sash == "vertical" or (part and part_of(one.way, one.name) == part)]
    high = [found for one in alike if (found := _size(one.height))]
    if new.use in CANDIDATE_USES and height and high:
        highest = max(high, key=_mm)
        if _mm(height) > _mm(highest) and _is_far(height, highest):
            yield _off("height-off-others", "height", new.height, height, highest)


def _off(code: str, side: str, text: str, size: Quantity, register: Quantity) -> Off:
    return Off(
        code, side, text, {"text": str(size), "register": both_from(f"{register.text} {register.unit}", size.unit)}
    )


def both_from(text: str, unit: str) -> str:
    """A length with this unit first, to the nearest step, and as it was written behind: "457 mm" from in is "18 in (457 mm)"."""
    measured = quantity(text, LENGTH)
    if measured.unit == unit:
        return both(text)
    return f"{with_unit(plain(measured.to(unit), UNIT[unit].places), unit)} ({measured})"


def above_most(size: Quantity) -> str:
    """The largest length that an opening may have, in the unit of one that is larger; empty where it is not."""
    most = LONGEST[size.unit]
    return f"{most} {size.unit}" if size.value > Fraction(most) else ""


def _size(text: str) -> Quantity | None:
    """The length that a text says; None where it says none, or is refused."""
    size = quantity_or_none(text, LENGTH)
    return size if size is not None and size.value > 0 and not above_most(size) else None


def _is_far(size: Quantity, register: Quantity) -> bool:
    off = abs(_mm(size) - _mm(register))
    return off > FAR_MM and off > FAR_PART * _mm(register)


def _mm(size: Quantity) -> Fraction:
    return size.to("mm")
