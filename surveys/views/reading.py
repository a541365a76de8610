"""How a status is put into words: which hoods may be used, and how high the sash may be."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from surveys.core import sash, units
from surveys.core.approval import highest, lowest_average
from surveys.core.front import called
from surveys.core.messages import Message
from surveys.core.status import DO_NOT_USE, HIBERNATED, NOT_SURVEYED, OVERDUE, RETIRED, Status
from surveys.history import Told
from surveys.queries import Line
from surveys.standing import Named, Standing
from surveys.wording import sentence

OneOf = TypeVar("OneOf", Line, Standing)  # what is counted and ordered, loaded whole or not


_MEASURE = re.compile(r"(\d) (in|ft|mm|cm|m)\b")


@dataclass(frozen=True, slots=True)
class Sash:
    """Up to which height the sash may be opened, as measured; of any sash but a vertical one a line for each opening."""

    height: str  # '18 in'; empty where lines say it instead
    lines: tuple[str, ...] = ()
    limited: bool = False

    @property
    def number(self) -> str:
        return self.height.partition(" ")[0]

    @property
    def rest(self) -> str:
        """What follows the number: its unit, and the other unit behind it, rounded down."""
        return units.both(self.height).partition(" ")[2]

    @property
    def shape(self) -> str:
        return "sash-low" if self.limited else "sash-high"


@dataclass(frozen=True, slots=True)
class Together:
    """Hoods of one room that may be used alike."""

    tags: tuple[str, ...]
    sash: Sash
    use: str


def sash_of(status: Status, kind: str, above: str = "") -> Sash | None:
    """How far a sash of this kind may be open; None where the hood must not be used.

    `above` is what heights are measured from, on a page that says it nowhere else.
    """
    if not status.grants or not status.approved:
        return None
    limited = "largest_opening" in (status.restriction or {})
    told = sash.lines(status.approved, kind, status.restriction, above)
    if told:
        return Sash("", tuple(_unbroken(sentence(line)) for line in told), limited)
    return Sash(highest(status.approved).height, (), limited)


def _unbroken(line: str) -> str:
    """A line whose measures are never broken: no number ends a row without its unit."""
    return _MEASURE.sub("\\1\u00a0\\2", line)


def height_of(status: Status, sash: Sash | None, kind: str) -> str:
    """The height to which a vertical sash may be opened, be more said beside it or not; empty for any other."""
    top = highest(status.approved) if sash and kind == "vertical" else None
    return top.height if top else ""


@dataclass(frozen=True, slots=True)
class AverageTold:
    """An average with the opening that it is of; of several that may be open the lowest."""

    text: str
    at: str
    is_lowest: bool

    @property
    def plain(self) -> str:
        """In the unit that it was read in."""
        return str(units.quantity(self.text))


def average_of(status: Status, told: Told | None, kind: str) -> AverageTold | None:
    """The average that belongs to what a hood may be used at; None where there is none."""
    found = lowest_average(status.approved, kind, told.averages_left) if told and status.grants else None
    if found is None or found.opening.height not in {one.height for one in told.approved}:
        return None  # of a height that a later record tells nothing was measured here
    at = units.both(found.opening.height) if kind == "vertical" else sentence(called(found.opening, kind))
    return AverageTold(found.average, at, found.of > 1)


def excluded_use(status: Status) -> str:
    """The words of a restriction on use: 'not for highly toxic materials'."""
    return (status.restriction or {}).get("use") or ""


def together(lines: Iterable[Line]) -> list[Together]:
    """The hoods that may be used, gathered by height and restriction, in the order in which they stand."""
    groups: dict[tuple[Sash, str], list[str]] = {}
    for line in lines:
        told = sash_of(line.status, line.hood.sash) if line.status.in_use else None
        if told is not None:
            # A hood restricted to a height and one measured at it say the same to who sets the sash.
            key = (Sash(told.height, told.lines), excluded_use(line.status))
            groups.setdefault(key, []).append(line.hood.tag)
    return [Together(tuple(tags), told, use) for (told, use), tags in groups.items()]


@dataclass(frozen=True, slots=True)
class Shown:
    """A line of a list with what its template says of it."""

    line: Line
    sash: Sash | None
    use: str

    @property
    def hood(self) -> Any:
        return self.line.hood

    @property
    def status(self) -> Status:
        return self.line.status

    @property
    def place(self) -> Any:
        return self.line.placement

    @property
    def failed(self) -> bool:
        """Whether the last survey ended fail, so that its paper is a report and no certificate."""
        return any(reason.code == "last-survey-failed" for reason in self.status.reasons)


def shown(lines: Iterable[Line]) -> list[Shown]:
    """Lines as lists show them: the sash of a hood that has no valid label stays closed."""
    return [Shown(line, _sash_shown(line), excluded_use(line.status)) for line in lines]


def _sash_shown(line: Line) -> Sash | None:
    if line.status.is_canopy:
        return Sash("", (sentence(Message("open-canopy-front" if line.hood.sash == "none" else "open-canopy")),))
    return sash_of(line.status, line.hood.sash) if line.status.in_use else None


def in_service(lines: Iterable[OneOf]) -> list[OneOf]:
    """The hoods that surveys are owed for: those neither retired nor hibernated."""
    return [line for line in lines if line.status.code not in (RETIRED, HIBERNATED)]


def overdue(lines: Iterable[OneOf]) -> list[OneOf]:
    return [line for line in lines if line.status.flag(OVERDUE)]


def waiting(lines: Iterable[OneOf]) -> list[OneOf]:
    """Those for whose survey no due day counts: beside the overdue ones, and never among them."""
    return [line for line in in_service(lines) if line.status.waits]


def stopped(lines: Iterable[OneOf]) -> list[OneOf]:
    return [line for line in lines if line.status.code == DO_NOT_USE]


def by_due(lines: Iterable[OneOf]) -> list[OneOf]:
    """Those to be surveyed first come first: never surveyed since it stands there, then by the day due, then as walked."""
    return sorted(in_service(lines), key=owed_on)


def owed_on(line: Line | Standing) -> date:
    """The day by which a survey is owed; long ago where there has been none that counts."""
    due = line.status.due
    return date.min if line.status.code == NOT_SURVEYED or due is None else due.on


@dataclass(frozen=True, slots=True)
class Month:
    year: int
    month: int

    @property
    def first(self) -> date:
        return date(self.year, self.month, 1)


def months_from(today: date, number: int) -> list[Month]:
    """This month and those after it."""
    return [
        Month(year + today.year, month + 1)
        for year, month in (divmod(today.month - 1 + ahead, 12) for ahead in range(number))
    ]


@dataclass(frozen=True, slots=True)
class Count:
    """What is owed in one building."""

    building: Named | None
    in_service: int
    overdue: int
    unsurveyed: int
    due: tuple[int, ...]  # by month


def due_by_building(lines: Iterable[Standing], months: Sequence[Month]) -> list[Count]:
    """Hoods in service, overdue, and due in each month, for each building in walking order."""
    numbers: dict[Named | None, Counter[Any]] = {}
    for line in in_service(lines):
        number = numbers.get(line.building)
        if number is None:
            number = numbers[line.building] = Counter()
        status = line.status
        number["in service"] += 1
        if status.flag(OVERDUE):
            number["overdue"] += 1
        elif status.waits:
            number["unsurveyed"] += 1
        elif status.due:
            number[status.due.on.year, status.due.on.month] += 1
    return [
        Count(
            building,
            number["in service"],
            number["overdue"],
            number["unsurveyed"],
            tuple(number[month.year, month.month] for month in months),
        )
        for building, number in numbers.items()
    ]


def summed(counts: Sequence[Count]) -> Count:
    return Count(
        None,
        sum(count.in_service for count in counts),
        sum(count.overdue for count in counts),
        sum(count.unsurveyed for count in counts),
        tuple(map(sum, zip(*(count.due for count in counts), strict=True))) if counts else (),
    )
