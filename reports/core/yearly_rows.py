"""What a year is counted from, as plain values: hoods with their status on the day, surveys, and what stands beside them."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date, datetime
from fractions import Fraction
from typing import NamedTuple

from surveys.core.status import Status

VERDICTS = ("pass", "restrict", "fail", "no-verdict")

ROUTINE, OCCASION, REPEAT = "routine", "occasion", "repeat"
GROUPS = (ROUTINE, OCCASION, REPEAT)
WORKING = "working"  # an opening's name and use: what an average is of where nothing else is said
#: Why a survey was made -> what it counts as. A reason that is not here, or none, is an occasion.
GROUP_OF = {
    "annual": ROUTINE,
    "after-repair": REPEAT,
    "retest": REPEAT,
    "complaint": REPEAT,
    "after-an-incident": REPEAT,
}


class Place(NamedTuple):
    """Where a hood stands; empty where it stands nowhere. `order` is the place in the walk."""

    building: str = ""
    room: str = ""
    order: tuple[int | str, ...] = ()


class HoodRow(NamedTuple):
    """A hood that was there in the year, as it stands on the day."""

    key: Hashable
    tag: str
    code: str
    kind: str
    place: Place
    criteria: str  # the set that judges it on the day
    status: Status
    life: str | None  # retired, hibernated or out-of-service, by its events alone; None: in service
    seen_in_service: bool  # in service on some day of the year, by its events
    explained: str = ""  # why its survey is late, as it was last explained
    explained_on: date | None = None
    stood: tuple[tuple[date, str], ...] = ()  # from which day on in which building, by the day

    def left_on(self, building: str) -> date | None:
        """The day from which it stood in this building no more."""
        days = [on for on, name in self.stood if name == building]
        return next((on for on, name in self.stood if days and on >= days[-1] and name != building), None)


class Average(NamedTuple):
    """An average as it was judged: its exact value in its unit, and the digits to show."""

    opening: str
    value: Fraction
    unit: str
    digits: str
    height: str = ""  # of the opening, and what it is used as, where the survey approved it
    use: str = ""

    @property
    def is_named(self) -> bool:
        """Whether the opening is named beside it: it is not the one that is meant where nothing is said."""
        return self.opening != WORKING

    @property
    def elsewhere(self) -> bool:
        """Whether it was measured at no working opening, but at a lower one."""
        return self.use not in ("", WORKING)


class Paper(NamedTuple):
    """That a survey was measured with pen and paper: by whom, as was written then, and who typed it in."""

    measured_by: str
    typed_in_by: Hashable


class SurveyRow(NamedTuple):
    """A signed survey, as far as a year asks."""

    key: Hashable
    hood: Hashable
    record: int
    done_on: date
    measured_until: datetime
    signed_on: date
    reason: str
    as_found: str
    verdict: str
    held: str
    version: Hashable
    instrument: Hashable  # None: nothing was measured
    calibration: Hashable
    covered: bool
    surveyor: Hashable  # who measured; None: somebody who is no person of the ledger, and on paper
    place: Place  # where the hood stood on that day
    amends: Hashable = None
    why: str = ""
    height: str = ""  # the highest opening that it approves
    found: Average | None = None
    left: Average | None = None
    paper: Paper | None = None
    signed_by: Hashable = None

    @property
    def group(self) -> str:
        return GROUP_OF.get(self.reason, OCCASION)


class Stood(NamedTuple):
    """The surveys that count, and those that do not because an amendment stands in their place, or they amend in vain."""

    counted: tuple[SurveyRow, ...]
    replaced: tuple[tuple[SurveyRow, SurveyRow], ...]  # (the one amended, the amendment)


def standing(surveys: tuple[SurveyRow, ...]) -> Stood:
    """Each survey once: an amendment takes the place and the day of what it amends (DEVELOPERS.md, 'Status').

    An amendment without a verdict takes a pass away but never a failure: there the failure goes on counting.
    """
    by_key = {survey.key: survey for survey in surveys}
    counted = dict(by_key)
    in_vain: dict[Hashable, SurveyRow] = {}  # an amendment without a verdict -> the failure that it did not take away
    replaced = []
    for survey in sorted(surveys, key=lambda one: one.record):
        amended = by_key.get(survey.amends) if survey.amends is not None else None
        if amended is None:
            continue
        replaced.append((amended, survey))
        root = in_vain.get(amended.key, amended)
        moved = survey._replace(done_on=root.done_on, measured_until=root.measured_until, place=root.place)
        by_key[survey.key] = moved
        if survey.verdict == "no-verdict" and root.verdict == "fail":
            in_vain[survey.key] = root
            del counted[survey.key]
            continue
        counted.pop(root.key, None)
        counted[survey.key] = moved
    return Stood(tuple(sorted(counted.values(), key=lambda one: (one.measured_until, one.record))), tuple(replaced))
