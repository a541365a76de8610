"""What an earlier record says in digits: points and averages, read exactly. Nothing of it is judged."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from surveys.core import units
from surveys.core.codes import CANDIDATE_USES
from surveys.core.messages import Message
from surveys.core.units import SPEED, NotANumber, Quantity

MOST_POINTS = 400  # of an opening: more is no traverse
EXAMPLE = "98 101 95 / 103 99 98 ft/min"
_ROWS = re.compile(r"(?<=\s)/(?=\s)|[\r\n]+")


class Points(NamedTuple):
    """The points of an opening, rows from the top, each as its digits were written, in one unit."""

    rows: tuple[tuple[str, ...], ...]
    unit: str

    @property
    def values(self) -> list[Fraction]:
        return [units.number(text) for row in self.rows for text in row]

    @property
    def average(self) -> Fraction:
        """The sum of all points over their number [unit of the points]."""
        return sum(self.values, Fraction()) / len(self.values)

    def __str__(self) -> str:
        return f"{' / '.join(' '.join(row) for row in self.rows)} {self.unit}"


def points(text: str) -> Points:
    """Points as written: digits parted by blanks, rows by ` / ` or a line each, their unit at the end. Raises NotANumber."""
    written, unit = _parted(text)
    rows = tuple(tuple(row.split()) for row in _ROWS.split(f" {written} "))
    every = [one for row in rows for one in row]
    if not all(rows) or len(every) > MOST_POINTS:
        raise NotANumber("points-unreadable", text=_short(text), example=EXAMPLE)
    for one in every:
        if units.number(one) < 0:
            raise NotANumber("number-negative", text=one)
    return Points(rows, unit)


def _parted(text: str) -> tuple[str, str]:
    """The numbers, and the code of the unit that follows them."""
    found = re.fullmatch(r"(.*?)\s*(\S+)", text.strip(), re.DOTALL)
    if found is None or re.fullmatch(r"[-0-9.,/]+", found[2]):
        raise NotANumber("points-without-unit", text=_short(text), example=EXAMPLE)
    unit = units.unit_code(found[2], SPEED)
    if units.UNIT[unit].kind != SPEED:
        raise NotANumber("unit-wrong-kind", text=found[2], units=units.unit_words(SPEED))
    return found[1], unit


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"


class Said(NamedTuple):
    """A velocity that is shown of an earlier record, and whether it was written there or made from its points."""

    text: str  # '98 ft/min'
    from_points: bool


def average(written: str, of: Points | None) -> Said | None:
    """The average as the record has it; where it has none, that of its points."""
    if written:
        return Said(written, False)
    return Said(f"{units.shown(of.average, of.unit)} {of.unit}", True) if of else None


def lowest(written: str, of: Points | None) -> Said | None:
    if written:
        return Said(written, False)
    return Said(f"{_lowest(of)} {of.unit}", True) if of else None


def _lowest(of: Points) -> str:
    return min((text for row in of.rows for text in row), key=units.number)


def why_not_together(written: str, lowest: str, of: Points | None) -> tuple[str, Message] | None:
    """What of an average, a lowest value and points cannot be true together, and at which of them it is said.

    An average that was written down is as good as its last digit, however that was made: rounded or cut off.
    """
    known = units.quantity(written, SPEED) if written else None
    if known and of and not _agrees(known, of):
        values = {"text": str(known), "points": units.with_unit(units.shown(of.average, of.unit), of.unit)}
        return "average", Message("average-not-of-points", values)
    low = units.quantity(lowest, SPEED) if lowest else None
    if low and (known or of) and low.value > _most(known, of, low.unit) + _step(low):
        return "lowest", Message("lowest-above-average", {"text": str(low)})
    return None


def _agrees(known: Quantity, of: Points) -> bool:
    return abs(of.average * units.factor(of.unit, known.unit) - known.value) < _step(known)


def _most(known: Quantity | None, of: Points | None, unit: str) -> Fraction:
    """What a lowest value cannot be above, in a unit: the average, as well as it is known."""
    if known:
        return (known.value + _step(known)) * units.factor(known.unit, unit)
    assert of is not None
    return of.average * units.factor(of.unit, unit)


def _step(known: Quantity) -> Fraction:
    """One of the last digit that was written [unit of the quantity]."""
    return Fraction(1, 10 ** units.decimals(known.text))


def why_nowhere(kind: str, control: str, state: str) -> str:
    """Why no record of such a hood lets anybody use it, whatever else it says; empty where one can.

    A canopy is for heat and steam alone. Of a filtered hood a list says nothing of the filter's type, date, approved
    materials and breakthrough, without which none passes; of a two-state hood it may leave out which state was tested.
    """
    if kind in ("canopy", "filtered"):
        return kind
    return "two-state" if control == "two-state" and not state else ""


def approves(verdict: str, height: str, now: str, use: str) -> bool:
    """Whether a record lets a hood be used at an opening: one that people work at, and never higher than it is."""
    if verdict not in ("pass", "restrict") or use not in CANDIDATE_USES or not height or not now:
        return False
    return units.length(height) <= units.length(now)
