"""Outcomes of limits and checks, for the figures of an opening: `met`, `not-met`, or `not-tested` where the figure is missing.

Design and order are those of judging.py.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from surveys.core import traverse
from surveys.core.criteria import Asked, Limit
from surveys.core.entry import Answer
from surveys.core.facts import Facts
from surveys.core.judged import CheckJudged, LimitJudged, Number
from surveys.core.messages import Message
from surveys.core.rounding import plain, rounded, rounded_root
from surveys.core.said import lacks_what_it_says
from surveys.core.units import (
    Quantity,
    decimals,
    factor,
    with_unit,
)

MET, NOT_MET, NOT_TESTED = "met", "not-met", "not-tested"


# --- a limit ----------------------------------------------------------------------------------------------------------


def judge_limit(
    index: int,
    limit: Limit,
    figures: Mapping[str, Number | None],
    points: traverse.Traverse | None,
    missing: tuple[Message, ...],
    opening: str,
    facts: Facts,
    compare: str,
) -> LimitJudged:
    """Hold a figure against a limit, in the unit of the limit."""
    number = figures[limit.figure.code]
    broken = _broken_already(limit, points, compare) if number is None and points else None
    if number is None and broken is None:
        absent = limit.figure.plain and points is not None  # it is not made of the points that are missing
        return not_tested(
            index, limit, missing[0] if missing and not absent else _why_not_tested(limit, opening, points, facts)
        )
    covers = limit.figure.plain or facts.calibration_covers is True
    if number is None:
        return _judged(index, limit, broken or Fraction(0), NOT_MET, compare, covers)
    return held(index, limit, number.value, number.unit, compare, covers)


def held(index: int, limit: Limit, value: Fraction, unit: str, compare: str, covers: bool) -> LimitJudged:
    """A figure in some unit held against a limit; without a calibration that covers the day it is not met."""
    value = _in_unit_of(limit, value, unit)
    return _judged(index, limit, value, _held_against(limit, value, compare), compare, covers)


def not_tested(index: int, limit: Limit, because: Message) -> LimitJudged:
    return LimitJudged(limit.figure.code, index, None, NOT_TESTED, limit.consequence, limit.restriction, because)


def _judged(index: int, limit: Limit, value: Fraction, outcome: str, compare: str, covers: bool) -> LimitJudged:
    because = None
    if outcome == MET and not covers:
        outcome, because = NOT_TESTED, Message("calibration-does-not-cover")
    return LimitJudged(
        figure=limit.figure.code,
        limit=index,
        value=Number(value, limit.unit, limit.figure.root, limit.bounds),
        outcome=outcome,
        consequence=limit.consequence,
        restriction=limit.restriction,
        because=because,
        compared=_compared(limit, value) if compare == "rounded" else None,
    )


def _in_unit_of(limit: Limit, value: Fraction, unit: str) -> Fraction:
    """A figure in the unit of its limit, exactly; a square takes the square of the factor."""
    if unit == limit.unit:
        return value
    times = factor(unit, limit.unit)
    return value * times * times if limit.figure.root else value * times


def _held_against(limit: Limit, value: Fraction, compare: str) -> str:
    """Whether a value, in the unit of the limit, is met: as measured, or rounded half to even to each bound's last digit."""
    for bound, sign in ((limit.at_least, 1), (limit.at_most, -1)):
        if bound is not None and _is_beyond(limit, value, bound, sign, compare):
            return NOT_MET
    return MET


def _is_beyond(limit: Limit, value: Fraction, bound: Quantity, sign: int, compare: str) -> bool:
    """Whether the value is under a least (sign 1) or over a most (sign -1)."""
    if bound.unit != limit.unit:
        times = factor(limit.unit, bound.unit)
        value = value * times * times if limit.figure.root else value * times
    edge = bound.value
    if compare == "rounded":
        places = decimals(bound.text)
        value = rounded_root(value, places) if limit.figure.root else rounded(value, places)
    elif limit.figure.root:
        edge = edge * abs(edge)
    return value < edge if sign > 0 else value > edge


def _compared(limit: Limit, value: Fraction) -> str:
    """The rounded value that was held against the limit, as it is printed beside the one measured."""
    bound = limit.at_least or limit.at_most
    places = decimals(bound.text) if bound else 0
    held = rounded_root(value, places) if limit.figure.root else rounded(value, places)
    return with_unit(plain(held, places), limit.unit)


def _broken_already(limit: Limit, points: traverse.Traverse, compare: str) -> Fraction | None:
    """The lowest or highest so far, in the unit of the limit, where it breaks it whatever the missing points may be."""
    value, bound, sign = None, None, 1
    if limit.figure.code == "lowest":
        bound, value = limit.at_least, traverse.lowest_so_far(points)
    elif limit.figure.code == "highest":
        bound, value, sign = limit.at_most, traverse.highest_so_far(points), -1
    if bound is None or value is None:
        return None
    value = _in_unit_of(limit, value, points.unit)
    return value if _is_beyond(limit, value, bound, sign, compare) else None


_MISSING = {
    "benchmark-ratio": "benchmark-missing",
    "monitor-error-percent": "monitor-missing",
    "monitor-mark-ratio": "monitor-missing",
    "lowest": "points-excluded",
}


def _why_not_tested(limit: Limit, opening: str, points: traverse.Traverse | None, facts: Facts) -> Message:
    """Why a figure of a full grid cannot be had."""
    code, values = limit.figure.code, {"opening": opening}
    if code == "monitor-mark-ratio" and not facts.hood.set_point:
        return Message("mark-missing", values)
    absent = points is not None and {
        "benchmark-ratio": points.benchmark is None,
        "monitor-error-percent": points.monitor is None,
        "monitor-mark-ratio": True,
        "lowest": True,
    }.get(code, False)
    if absent:
        return Message(_MISSING[code], values)
    if points is not None and points.number < 2 and code in ("standard-deviation", "coefficient-of-variation"):
        return Message("one-point", values)
    return Message("average-zero", values)


# --- a check ----------------------------------------------------------------------------------------------------------


def judge_checks(
    asked: Iterable[Asked], answers: tuple[Answer, ...], opening: str | None, facts: Facts
) -> tuple[CheckJudged, ...]:
    """The checks asked of an opening, or of the hood where none is named; those that do not apply are taken away."""
    judged = []
    for item in asked:
        if not item.check.is_for(facts.hood):
            continue
        here = [a for a in answers if a.check == item.check.code and a.opening == opening]
        given = [a.answer for a in here]
        answer = next((kind for kind in ("no", "not-tested", "not-applicable", "yes") if kind in given), None)
        if answer == "not-applicable" and item.check.may_be_not_applicable(facts.hood):
            continue
        outcome = {"yes": MET, "no": NOT_MET}.get(answer or "", NOT_TESTED)
        unsaid = outcome == MET and all(lacks_what_it_says(a) for a in here)
        judged.append(
            CheckJudged(
                item.check.code, answer, NOT_TESTED if unsaid else outcome, item.consequence, item.restriction, unsaid
            )
        )
    return tuple(judged)
