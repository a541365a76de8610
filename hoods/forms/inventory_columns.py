"""The columns of a list of hoods: what each says of which part of a row, and the box that checks it, as on the pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django import forms

from hoods import words
from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.forms.fields import Choice, Day, Line, Measure
from hoods.forms.hood import HoodOf, NewHood, OpeningOf, Where
from hoods.forms.place import BuildingOf, RoomOf
from hoods.inventory_said import ROOM_COLUMNS, opening_column

MOST_OPENINGS = 15  # of a hood, in a list: with more it would have more columns than a file may


@dataclass(frozen=True)
class Column:
    """A column: its heading, which part of a row it says, the name of what it says, and the box that checks it."""

    heading: str
    part: str  # hood, place, of_room, opening, or the row itself
    name: str
    box: forms.Field
    needed: bool = False  # by a hood that is new
    example: str = ""  # of what may stand there, where its box does not say it

    @property
    def takes(self) -> str:
        """What may stand there, for who fills it in."""
        if self.example:
            return self.example
        if isinstance(self.box, forms.BooleanField):
            return "yes, no"
        if isinstance(self.box, Choice):
            return ", ".join(str(code) for code, _words in self.box.choices if code and code not in words.NOT_KEPT)
        if isinstance(self.box, Day):
            return "2027-03-12"
        if self.name == "way":
            return ", ".join(sorted({way for ways in words.WAYS.values() for way in ways}))
        return "18 in, 457 mm" if isinstance(self.box, Measure) else EXAMPLES.get(self.heading, "")


class Columns:
    """All columns of a kind of list: those of its rows, and those of an opening by its number."""

    def __init__(self, of_row: Sequence[Column], of_opening: Callable[[int], Sequence[Column]]) -> None:
        self.of_row, self.of_opening = of_row, of_opening
        self._found = {column.heading: (column, 0) for column in of_row}
        for number in range(1, MOST_OPENINGS + 1):
            self._found |= {column.heading: (column, number) for column in of_opening(number)}

    def __call__(self, openings: int) -> list[Column]:
        """Every column, with so many openings: as our own files have them."""
        return [*self.of_row, *(each for number in range(1, openings + 1) for each in self.of_opening(number))]

    def find(self, heading: str) -> tuple[Column, int] | None:
        """The column that a heading names, and the number of its opening; 0 where it is of none."""
        return self._found.get(heading)


EXAMPLES = {
    "tag": "FH-0142", "building": "North Range", "room": "214", "exhaust": "EF-3", "position": "second from the door",
    "order in the room": "2", "set point": "100 ft/min, 0.5 m/s, 800 ft³/min", "alarm point": "80 ft/min, 0.4 m/s",
    "opening 1 name": "working", "opening 1 cover": "fixed panel", "floor": "2",
}  # fmt: skip
ROW, HOOD, PLACE, OF_ROOM, OPENING = "row", "hood", "place", "of_room", "opening"
_HOOD, _ROOM = HoodOf.base_fields, RoomOf.base_fields
_OPENING = {
    **OpeningOf.base_fields,
    "way": Line(max_length=60, required=False),
}  # which ways a sash has, the plan knows

COLUMNS = (
    Column("tag", ROW, "tag", _HOOD["tag"], needed=True),
    Column("building", ROW, "building", BuildingOf.base_fields["name"], needed=True),
    Column("room", ROW, "room", _ROOM["number"], needed=True),
    *(Column(said, OF_ROOM, name, _ROOM[name]) for name, said in ROOM_COLUMNS.items()),
    Column("installed on", ROW, "on", NewHood.base_fields["on"], needed=True),
    Column("exhaust", PLACE, "exhaust", Line(max_length=60, required=False)),
    Column("position", PLACE, "position", Where.base_fields["position"]),
    Column("order in the room", PLACE, "order", Where.base_fields["order"]),
    *(
        Column(name.replace("_", " "), HOOD, name, _HOOD[name], needed=name in ("kind", "control", "sash", "monitor"))
        for name in (
            "kind", "control", "sash", "powered", "glass", "maker", "model", "serial", "interior_width",
            "work_surface_height", "monitor", "set_point", "alarm_point", "uses_forbidden",
        )
    ),
)  # fmt: skip
OF_OPENING = ("name", "use", "width", "height", "way", "tested_every_survey", "cover", *COVER_MEASURES)


def opening_columns(number: int) -> list[Column]:
    return [
        Column(opening_column(number, name), OPENING, name, _OPENING[name], number == 1 and name not in OF_OPENING[4:])
        for name in OF_OPENING
    ]


columns = Columns(COLUMNS, opening_columns)
