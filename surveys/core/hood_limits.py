"""Limits on figures of the hood as a whole: what each says of what was measured in one state."""

from __future__ import annotations

from collections.abc import Iterator

from surveys.core.checks import CHECK
from surveys.core.criteria import Criteria, Limit
from surveys.core.entry import Answer, Document
from surveys.core.facts import Facts, HoodFacts
from surveys.core.hood_figures import AtHood, at_hood
from surveys.core.judged import LimitJudged
from surveys.core.messages import Message
from surveys.core.outcomes import held, not_tested
from surveys.core.units import FLOW, UNITS

#: The unit in which the function of a figure answers, by its kind: the first of that kind, but a flow in SI.
_UNITS = {unit.kind: unit.code for unit in reversed(UNITS)} | {FLOW: "m**3/s"}
OF_ALARM = ("alarm-ratio", "alarm-seconds")


def judge_hood_limits(
    document: Document, facts: Facts, criteria: Criteria, state: str, answers: tuple[Answer, ...]
) -> tuple[LimitJudged, ...]:
    """The limits on figures of the hood; those that it cannot have are taken away."""
    return tuple(_judged(document, facts, criteria, state, answers))


def _judged(
    document: Document, facts: Facts, criteria: Criteria, state: str, answers: tuple[Answer, ...]
) -> Iterator[LimitJudged]:
    measured, without_alarm = at_hood(document, facts.hood, state), _has_no_alarm(answers, facts.hood)
    for index, limit in enumerate(criteria.limits):
        figure = limit.figure
        if not figure.of_hood or not figure.is_for(facts.hood) or (without_alarm and figure.code in OF_ALARM):
            continue
        value = figure.function(measured)
        if value is None:
            yield not_tested(index, limit, _why_not_tested(limit, measured))
        else:
            yield held(index, limit, value, unit_of(figure.kind), criteria.compare, covers=True)


def unit_of(kind: str) -> str:
    """The unit of a figure of this kind, as its function gives it."""
    return _UNITS[kind]


def _has_no_alarm(answers: tuple[Answer, ...], hood: HoodFacts) -> bool:
    """Whether the check of the alarm was answered 'does not apply', where that is an answer."""
    works = CHECK["alarm-works"]
    return works.may_be_not_applicable(hood) and any(
        one.check == works.code and one.answer == "not-applicable" for one in answers
    )


def _why_not_tested(limit: Limit, measured: AtHood) -> Message:
    if limit.figure.code == "alarm-ratio" and not measured.alarm_point:
        return Message("alarm-point-missing")
    if limit.figure.code == "alarm-ratio" and measured.alarm and measured.alarm.trip:
        return Message("alarm-point-otherwise", {"trip": measured.alarm.trip, "point": measured.alarm_point})
    return Message("hood-figure-missing", {"figure": limit.figure.code})
