"""Plain rows of a year, made for tests and by chance."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from itertools import count
from typing import Any

from hypothesis import strategies as st

from reports.core.yearly_rows import GROUP_OF, VERDICTS, Average, HoodRow, Place, SurveyRow
from surveys.core.due import Due
from surveys.core.status import DO_NOT_USE, HIBERNATED, OUT_OF_SERVICE, OVERDUE, RETIRED, STATUSES, Flag, Status

_numbers = count(1)
HELD = ("held", "not-held", "not-tested", "no-label")
BUILDINGS = ("North Range", "Mill House", "")


def status(code: str = "met-criteria", *, due: date | None = date(2027, 1, 1), overdue: date | None = None) -> Status:
    flags = (Flag(OVERDUE, overdue),) if overdue else ()
    made = Due(due, due, None) if due else None
    return Status(code, date(2026, 3, 1), flags, (), (), None, made, None, None, None)


def life_by(code: str) -> str | None:
    return code if code in (RETIRED, HIBERNATED, OUT_OF_SERVICE) else None


def hood(key: Any = None, building: str = "North Range", **fields: Any) -> HoodRow:
    number = next(_numbers)
    place = Place(building, "2.14", (0, building, 0, "2.14", number)) if building else Place()
    made = {
        "key": number if key is None else key, "tag": f"FH-{number:04}", "code": f"{number:08}", "kind": "general",
        "place": place, "criteria": "General hoods", "status": status(), "seen_in_service": True,
    }  # fmt: skip
    return HoodRow(**(made | {"life": life_by((fields.get("status") or made["status"]).code)} | fields))


def survey(hood: Any = 1, on: date = date(2026, 3, 12), verdict: str = "pass", **fields: Any) -> SurveyRow:
    number = next(_numbers)
    until = datetime.combine(on, time(10), UTC) + timedelta(seconds=number)
    made = {
        "key": number, "hood": hood, "record": number, "done_on": on, "measured_until": until, "signed_on": on,
        "reason": "annual", "as_found": verdict, "verdict": verdict, "held": "held", "version": 1, "instrument": 1,
        "calibration": 1, "covered": True, "surveyor": 1, "place": Place("North Range", "2.14"),
        "left": Average("working", Fraction(98), "ft/min", "98"),
    }  # fmt: skip
    return SurveyRow(**(made | fields))


statuses = st.builds(
    status, st.sampled_from(STATUSES), due=st.sampled_from([None, date(2026, 6, 1), date(2027, 6, 1)]),
    overdue=st.sampled_from([None, date(2026, 6, 2)]),
)  # fmt: skip


def lives(made: Status) -> st.SearchStrategy[str | None]:
    """What the events of a hood of this status can say: 'do not use' hides an outage."""
    if made.code == DO_NOT_USE:
        return st.sampled_from([None, OUT_OF_SERVICE])
    return st.just(life_by(made.code))


@st.composite
def years(draw: Any) -> tuple[list[HoodRow], list[SurveyRow]]:
    """Hoods of a few buildings and surveys of some years, some of them amending others."""
    hoods = [
        hood(building=draw(st.sampled_from(BUILDINGS)), status=made, life=draw(lives(made)),
             seen_in_service=draw(st.booleans()))
        for made in draw(st.lists(statuses, max_size=8))
    ]  # fmt: skip
    surveys: list[SurveyRow] = []
    for _ in range(draw(st.integers(0, 25)) if hoods else 0):
        its = draw(st.sampled_from(hoods))
        amended = draw(st.sampled_from([None, None, None, *(one for one in surveys if one.hood == its.key)]))
        free = amended is None or all(one.amends != amended.key for one in surveys)
        surveys.append(survey(
            its.key, draw(st.dates(date(2025, 10, 1), date(2027, 3, 31))), draw(st.sampled_from(VERDICTS)),
            as_found=draw(st.sampled_from(VERDICTS)), held=draw(st.sampled_from(HELD)),
            reason=draw(st.sampled_from([*GROUP_OF, "initial", "after-a-move", "", "something-new"])),
            place=Place(draw(st.sampled_from(BUILDINGS)), "1"), instrument=draw(st.sampled_from([None, 1, 2])),
            calibration=draw(st.sampled_from([1, 2])), covered=draw(st.booleans()), surveyor=draw(st.integers(1, 3)),
            amends=amended.key if amended is not None and free else None,
        ))  # fmt: skip
    return hoods, surveys
