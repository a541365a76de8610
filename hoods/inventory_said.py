"""What the rows of a list of hoods say, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

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
        said = {name.replace("_", " "): "yes" if value is True else value for name, value in self.hood.items() if value}
        return "; ".join(f"{column}: {value}" for column, value in said.items())


@dataclass(frozen=True)
class Problem:
    """What is wrong in a row and a column, and what would be right. Row 0: of the whole list."""

    row: int
    column: str
    said: Any
