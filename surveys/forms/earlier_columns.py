"""The columns of a list of earlier results: a row is what a record says of one hood on one day."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods.core.quantity import LENGTH, LONGEST, SPEED
from hoods.forms.fields import Choice, Day, Line, Measure, Paragraph
from hoods.forms.hood import HoodOf
from hoods.forms.inventory_columns import OPENING, ROW, Column, Columns
from hoods.inventory_said import opening_column
from surveys.core import earlier
from surveys.core.units import NotANumber
from surveys.wording import sentence
from surveys.words import EARLIER_RESULTS, FLOW_STATES, FLOW_STATES_OF

SHEET = "results"  # of a workbook: the one that is read where there are several
TESTED = 10_000  # characters that the points of an opening may have


class Velocity(Measure):
    """A velocity that was written down; zero is one."""

    def __init__(self) -> None:
        super().__init__(SPEED, above_zero=False, required=False)

    def clean(self, value: str) -> str:
        text = super().clean(value)
        if text.startswith("-"):
            raise ValidationError(_("“%(text)s” is negative: write what was measured."), "negative", {"text": text})
        return text


class Points(Paragraph):
    """The points of an opening, kept as they were written, with single blanks."""

    def __init__(self) -> None:
        super().__init__(max_length=TESTED)

    def clean(self, value: str) -> str:
        text = super().clean(value)
        try:
            return str(earlier.points(text)) if text else ""
        except NotANumber as wrong:
            raise ValidationError(sentence(wrong.message), wrong.message.code) from wrong


_STATES = {state: FLOW_STATES[state] for state in FLOW_STATES_OF["two-state"]}


def _line(length: int = 120) -> Line:
    return Line(max_length=length, required=False)


COLUMNS = (
    Column("tag", ROW, "tag", HoodOf.base_fields["tag"], needed=True),
    Column("measured on", ROW, "measured_on", Day(), needed=True, example="2023-05-09"),
    Column("result", ROW, "verdict", Choice(EARLIER_RESULTS), needed=True),
    Column("state", ROW, "flow_state", Choice(_STATES, empty=""), example=f"{', '.join(_STATES)}, of a two-state hood"),
    Column("restriction", ROW, "restriction", _line(200), example="not for highly toxic materials"),
    Column("measured by", ROW, "measured_by", _line()),
    Column("judged by", ROW, "judged_by", _line(), example="rules of the site of 2021"),
    Column("record", ROW, "reference", _line(), example="folder 12, sheet 4"),
    Column("notes", ROW, "notes", Paragraph(max_length=1000)),
)
_OPENING = {
    "name": (Line(max_length=60), "working"),
    "height": (Measure(LENGTH, required=False, most=LONGEST), ""),
    "average": (Velocity(), "98 ft/min, 0.5 m/s"),
    "lowest": (Velocity(), "91 ft/min"),
    "points": (Points(), earlier.EXAMPLE),
}


def opening_columns(number: int) -> list[Column]:
    return [
        Column(opening_column(number, name), OPENING, name, box, example=example)
        for name, (box, example) in _OPENING.items()
    ]


columns = Columns(COLUMNS, opening_columns)
