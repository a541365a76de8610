"""What the calibrations of an instrument say: whether a day is covered, and which days came into doubt."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple


class Calibrated(NamedTuple):
    """One calibration: from the day it was done until the day it is due, both days included."""

    done_on: date
    due_on: date
    in_tolerance: bool | None = None  # as found at this calibration, before any adjustment; None: not said


class Doubt(NamedTuple):
    """Days on which an instrument may have read wrongly, because it was found out of tolerance after them."""

    from_on: date
    until_on: date
    found_on: date


def governing(calibrations: Iterable[Calibrated], on: date) -> Calibrated | None:
    """The last calibration done by a day, whether or not it still covers it; of two on one day, the later given."""
    last = None
    for calibration in calibrations:
        if calibration.done_on <= on and (last is None or calibration.done_on >= last.done_on):
            last = calibration
    return last


def covers(calibrations: Iterable[Calibrated], on: date) -> bool:
    """Whether the calibration that governs a day covers it: the day it was done and the day it is due are covered."""
    last = governing(calibrations, on)
    return last is not None and on <= last.due_on


def doubts(calibrations: Iterable[Calibrated]) -> tuple[Doubt, ...]:
    """The days in doubt: from the calibration before until the one that found the instrument out of tolerance.

    Whatever was measured between the two may be wrong; nobody knows when the instrument went astray. After the finding
    it was adjusted, so a new span begins there. Without a calibration before, every earlier day is in doubt.
    """
    found = []
    since = date.min
    for done_on, _due_on, in_tolerance in sorted(calibrations, key=lambda calibration: calibration.done_on):
        if in_tolerance is False:
            found.append(Doubt(since, done_on, done_on))
        since = done_on
    return tuple(found)


def in_doubt(doubts: Iterable[Doubt], done_on: date, on: date) -> date | None:
    """Since when (as known on a day) what was measured on `done_on` is in doubt; None where it is not."""
    found = [doubt.found_on for doubt in doubts if doubt.from_on <= done_on <= doubt.until_on and doubt.found_on <= on]
    return min(found, default=None)
