"""What is entered in one survey, as plain values. `document.py` reads it from JSON, `content.py` says what is wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as typed, its moment, and the reason for which it was struck."""

    value: str
    at: str | None = None
    struck: str | None = None

    def as_json(self) -> str | dict[str, str | None]:
        if self.at is None and self.struck is None:
            return self.value
        return {"value": self.value, "at": self.at, "struck": self.struck}

    @property
    def counts(self) -> bool:
        return self.struck is None


Cell = tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Traverse:
    """The readings of one opening in one state: rows from the top, columns from the left, repeats of a point in a cell."""

    opening: str
    state: str
    unit: str | None
    readings: tuple[tuple[Cell, ...], ...]
    monitor: str | None = None
    struck: str | None = None

    def as_dict(self) -> dict[str, Any]:
        rows = [[_cell_json(cell) for cell in row] for row in self.readings]
        made = {
            "opening": self.opening,
            "state": self.state,
            "unit": self.unit,
            "monitor": self.monitor,
            "readings": rows,
        }
        return made if self.struck is None else made | {"struck": self.struck}

    @property
    def begun(self) -> bool:
        """Whether a reading that counts was taken."""
        return any(reading.counts for row in self.readings for cell in row for reading in cell)


def _cell_json(cell: Cell) -> Any:
    if not cell:
        return None
    return cell[0].as_json() if len(cell) == 1 else [reading.as_json() for reading in cell]


@dataclass(frozen=True, slots=True)
class MeasuredOpening:
    """The size of an opening as measured this time."""

    name: str
    width: str | None
    height: str | None


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered to a check; without an opening it answers for the hood, without a state for both states."""

    check: str
    answer: str | None
    opening: str | None = None
    state: str | None = None
    said: str | None = None  # what is written beside it, where its check asks for words or a day

    def as_dict(self) -> dict[str, str | None]:
        made = {"check": self.check, "opening": self.opening, "state": self.state, "answer": self.answer}
        return made | ({"said": self.said} if self.said else {})


@dataclass(frozen=True, slots=True)
class OfHood:
    """A plain figure of the hood with its unit, as a meter or a gauge showed it; without a state for both states."""

    figure: str
    value: str
    state: str | None = None

    def as_dict(self) -> dict[str, str | None]:
        return {"figure": self.figure, "state": self.state, "value": self.value}


@dataclass(frozen=True, slots=True)
class AlarmForced:
    """How the alarm was forced, what the monitor showed when it tripped, after how long, and what it then did."""

    state: str | None = None
    forced: str | None = None
    trip: str | None = None
    after: str | None = None
    sound: str | None = None
    light: str | None = None

    def as_dict(self) -> dict[str, str | None]:
        return {
            "state": self.state,
            "forced": self.forced,
            "trip": self.trip,
            "after": self.after,
            "sound": self.sound,
            "light": self.light,
        }


@dataclass(frozen=True)
class Document:
    """What was entered in one survey."""

    openings: tuple[MeasuredOpening, ...] = ()
    traverses: tuple[Traverse, ...] = ()
    answers: tuple[Answer, ...] = ()
    adjusted: bool | None = None  # None: not answered, judged as no
    ended_early: str | None = None
    ended_words: str | None = None
    reason: str | None = None
    instrument: str | None = None
    conditions: Mapping[str, Any] = field(default_factory=dict)
    found: Mapping[str, Any] = field(default_factory=dict)
    questions: tuple[Mapping[str, Any], ...] = ()
    struck_traverses: tuple[Traverse, ...] = ()
    last: Mapping[str, Any] = field(default_factory=dict)
    stop_and_mark_moved: str | bool | None = None
    notes: str | None = None
    of_hood: tuple[OfHood, ...] = ()
    alarms: tuple[AlarmForced, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """The document as JSON can hold it; `parse` gives the same document back.

        Plain figures of the hood and the test of its alarm are keys only where something was entered there.
        """
        ended = None
        if self.ended_early is not None:
            ended = {"reason": self.ended_early} | ({"words": self.ended_words} if self.ended_words else {})
        return {
            "openings": [{"name": o.name, "width": o.width, "height": o.height} for o in self.openings],
            "traverses": [traverse.as_dict() for traverse in self.traverses],
            "answers": [answer.as_dict() for answer in self.answers],
            "adjusted": self.adjusted,
            "ended_early": ended,
            "reason": self.reason,
            "instrument": self.instrument,
            "conditions": dict(self.conditions),
            "found": dict(self.found),
            "questions": [dict(question) for question in self.questions],
            "struck_traverses": [traverse.as_dict() for traverse in self.struck_traverses],
            "last": dict(self.last),
            "stop_and_mark_moved": self.stop_and_mark_moved,
            "notes": self.notes,
            **({"of_hood": [one.as_dict() for one in self.of_hood]} if self.of_hood else {}),
            **({"alarms": [one.as_dict() for one in self.alarms]} if self.alarms else {}),
        }

    def opening(self, name: str) -> MeasuredOpening | None:
        return next((opening for opening in self.openings if opening.name == name), None)
