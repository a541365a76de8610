"""The trend of a hood, from the history that its page has loaded already."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from hoods.models import Hood
from reports.core import trend as core
from reports.core.trend import Judged, Measured, Trend
from reports.wording import limit_said
from surveys import wording
from surveys.core import units
from surveys.history import Figure, History
from surveys.models import Benchmark


def measured(history: History, unit: str) -> tuple[Measured, ...]:
    """Every opening that a survey measured, the oldest first; a survey that was amended is left to its amendment."""
    found: list[Measured] = []
    for told in _standing(history):
        survey = told.survey
        document = survey.version.document
        said = tuple(
            f"{limit_said(limit.get('at_least') or '', limit.get('at_most') or '')} ({_cost(limit)})"
            for limit in _limits(document)
        )
        for opening in dict.fromkeys(opening for _state, opening in told.averages):
            as_found = told.averages.get(("as-found", opening))
            left = told.averages.get(("as-left", opening)) or (None if _was_left(told) else as_found)
            found.append(Measured(
                survey.done_on, survey.record_id, survey.reason, opening, _value(as_found, unit), _value(left, unit),
                _said(as_found), _said(left), survey.as_found, survey.verdict, str(survey.version), said,
                from_paper=survey.draft.from_paper is not None,
            ))  # fmt: skip
    return tuple(sorted([*_from_before(history, unit), *found], key=lambda one: one.on))


def _from_before(history: History, unit: str) -> list[Measured]:
    """What earlier records say of averages, the oldest first: not signed here, and held against nothing that is kept here."""
    found = []
    for one in reversed(history.earlier):
        result = one.result
        for opening, average, _lowest, _points in one.lines:
            if average is None:
                continue
            measured = units.quantity(average.text)
            found.append(Measured(
                result.measured_on, 0, "", opening.opening_name, measured.to(unit), None, str(measured), "",
                result.verdict, result.verdict, result.judged_by, (), signed_here=False,
            ))  # fmt: skip
    return found


def trend(hood: Hood, history: History, today: date) -> Trend:
    """All that the drawing needs: what was measured, the limits then, restrictions and benchmarks."""
    unit = hood.site.speed_unit
    judged = [
        Judged(
            told.survey.done_on, str(told.survey.version), told.survey.version.first_day,
            tuple(_bounds(told.survey.version.document, unit)), told.survey.verdict,
            wording.restriction(told.survey.restriction) if told.survey.verdict == "restrict" else "",
        )
        for told in _standing(history)
    ]  # fmt: skip
    rows = Benchmark.objects.filter(opening__hood=hood).order_by("from_on", "pk")
    columns = ("opening__name", "from_on", "value", "source")
    benchmarks = [
        (opening, from_on, units.quantity(value).to(unit), str(units.quantity(value)), source)
        for opening, from_on, value, source in rows.values_list(*columns)
    ]
    return Trend(
        unit, today, measured(history, unit), core.bands(judged, today), core.restricted(judged, today),
        core.benchmarked(benchmarks, today),
    )  # fmt: skip


def _standing(history: History) -> list[Any]:
    """The surveys that no other amends, the oldest first."""
    amended = {told.survey.amends_id for told in history.surveys}
    return [told for told in reversed(history.surveys) if told.survey.pk not in amended]


def _was_left(told: Any) -> bool:
    """Whether the survey has a set as left of its own."""
    return any(state == "as-left" for state, _opening in told.averages)


def _value(figure: Figure | None, unit: str) -> Fraction | None:
    return Fraction(figure.value) * units.factor(figure.unit, unit) if figure else None


def _said(figure: Figure | None) -> str:
    return str(figure) if figure else ""


def _limits(document: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    return [limit for limit in document.get("limits", ()) if limit.get("figure") == "average"]


def _cost(limit: Mapping[str, Any]) -> str:
    return wording.coded("consequence", limit.get("consequence") or "")


def _bounds(document: Mapping[str, Any], unit: str) -> list[core.Bound]:
    return [
        (units.quantity(limit[key]).to(unit), end, limit.get("consequence") or "")
        for limit in _limits(document)
        for end, key in (("least", "at_least"), ("most", "at_most"))
        if limit.get(key)
    ]
