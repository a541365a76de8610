"""What the rows of a list of hoods say, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.core.cover import Cover
from hoods.core.quantity import shown

ROOM_COLUMNS = {
    "name": "room name", "floor": "floor", "department": "department", "responsible": "answers for the room",
    "hazards": "hazards", "access": "access",
}  # fmt: skip
PLACE_COLUMNS = {"exhaust": "exhaust", "position": "position", "order": "order in the room"}


def opening_column(number: int, name: str) -> str:
    said = "every survey" if name == "tested_every_survey" else name.replace("_", " ")
    return f"opening {number} {said}"


@dataclass(frozen=True)
class SaidOpening:
    """An opening as a row says it: the number in its headings, its name, and what else stands there."""

    number: int
    name: str
    what: Mapping[str, Any]

    @property
    def tested_every_survey(self) -> bool:
        """Whether it would be measured at every survey if it is new: it is, unless the list says no."""
        return bool(self.what.get("tested_every_survey", True))

    @property
    def covered(self) -> Cover | None:
        """What would cover a part of it if it is new; None where nothing does."""
        by, *measures = (self.what.get(name, "") for name in ("cover", *COVER_MEASURES))
        return Cover(by, *measures) if by else None

    @property
    def said(self) -> str:
        """What is said of it if it is new, column by column, in a line."""
        every = {"every survey": "yes" if self.tested_every_survey else "no"}
        return _in_a_line({name: value for name, value in self.what.items() if name != "tested_every_survey"} | every)


@dataclass(frozen=True)
class Said:
    """What a row of a list says of one hood: only the columns that the list has."""

    row: int
    tag: str
    on: date | None = None
    building: str = ""
    room: str = ""
    of_room: Mapping[str, Any] = field(default_factory=dict)
    place: Mapping[str, Any] = field(default_factory=dict)  # exhaust (its name), position, order
    hood: Mapping[str, Any] = field(default_factory=dict)
    openings: tuple[SaidOpening, ...] = ()
    absent: tuple[str, ...] = ()  # columns that a new hood needs and the list does not have

    @property
    def what(self) -> str:
        """What is said of the hood itself, column by column, in a line; without what is empty or no."""
        return _in_a_line(self.hood)

    @property
    def where(self) -> str:
        """Where it stands, beside building and room, in a line."""
        return _in_a_line({PLACE_COLUMNS[name]: value for name, value in self.place.items()})


@dataclass(frozen=True)
class Problem:
    """What is wrong in a row and a column, and what would be right. Row 0: of the whole list."""

    row: int
    column: str
    said: Any
    of_column: bool = False  # what is wrong is the column, in each such row alike


def _in_a_line(said: Mapping[str, Any]) -> str:
    """What is said, column by column; without what is empty or no."""
    return "; ".join(f"{name.replace('_', ' ')}: {_written(value)}" for name, value in said.items() if value)


def _written(value: Any) -> str:
    """A value in a running line, where no measure is parted from its unit."""
    if value is True:
        return "yes"
    text = shown(str(value))
    return text.replace(" ", "\N{NO-BREAK SPACE}") if text[:1].isdigit() and len(text) < 24 else text


def said_once(problems: Iterable[Problem]) -> list[Problem]:
    """What is wrong with a column is said at the first row alone."""
    met: set[tuple[str, str]] = set()
    left = []
    for problem in problems:
        key = (problem.column, str(problem.said))
        if not problem.of_column or key not in met:
            left.append(problem)
        if problem.of_column:
            met.add(key)
    return left


def alike(other: str) -> Any:
    """Said of a name that looks like another."""
    return _("This looks like “%(other)s”, which is there already: write it the same way.") % {"other": other}
