"""The life of a finding: each survey that found it again or closed it, with the limit of which version it broke or met."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from surveys.core.criteria import Criteria
from surveys.core.findings import is_as_strict, that_decide
from surveys.history import Figure
from surveys.models import Finding, FindingChange, Judgement, Survey
from surveys.views.finding_told import Told, told, with_all
from surveys.wording import sentence


def tell_life(found: Finding, changes: Sequence[FindingChange]) -> None:
    """Adds to each change by a survey what it did (`said`) and by what (`measure`)."""
    rows: dict[Any, list[Judgement]] = {}
    judged = Judgement.objects.filter(
        survey__in=[change.survey_id for change in changes if change.survey_id],
        figure=found.figure, check_code=found.check_code, opening_name=found.opening_name,
    )  # fmt: skip
    for row in judged.order_by("pk"):
        rows.setdefault(row.survey_id, []).append(row)
    for change in changes:
        if change.survey is not None:
            of_thing = rows.get(change.survey_id, [])
            told_by = _again if change.kind == "found-again" else _closed
            change.said, change.measure = told_by(found, change.survey, of_thing)  # type: ignore[attr-defined]


def _again(found: Finding, survey: Survey, rows: Sequence[Judgement]) -> tuple[str, str]:
    broken = _last_state([row for row in rows if row.outcome == "not-met"])
    broken = [row for row in broken if row.consequence == found.kind] or broken
    measure = _measure(survey, broken) if found.figure else ""
    if found.check_code:
        measure = _("not as it should be, by %(version)s") % {"version": survey.version}
    return _("Found again by a survey"), measure


def _closed(found: Finding, survey: Survey, rows: Sequence[Judgement]) -> tuple[str, str]:
    """What is said never claims that a limit was met which the criteria of that day no longer hold."""
    if found.check_code:
        said = _("as it should be, by %(version)s") % {"version": survey.version}
        return _("Closed by a survey that met it"), said
    if not found.figure:
        return _closed_whole(found, survey)
    final = _last_state(rows)
    kept = [{"consequence": row.consequence, "row": row} for row in final]
    met: list[Judgement] = [one["row"] for one in that_decide(kept, found.kind)]
    now, then = _criteria(survey), _criteria(found.survey)
    limits = [row.limit or 0 for row in met]
    if is_as_strict(now, limits, then, found.limit or 0):
        return _("Closed by a survey that met it"), _measure(survey, met)
    return _("Closed by a survey that met the criteria that judge it now"), _measure(survey, met)


def _closed_whole(found: Finding, survey: Survey) -> tuple[str, str]:
    """What is of the whole survey: how it ended, or whether the label held."""
    if not found.ended:
        return _("Closed by a survey that found that the label held"), ""
    if survey.verdict == "pass":
        return _("Closed by a survey that met its criteria"), str(survey.version)
    return _("Closed by a survey that met its criteria within a restriction"), str(survey.version)


def _last_state(rows: Sequence[Judgement]) -> list[Judgement]:
    """As left where something was adjusted, else as found, which is both."""
    left = [row for row in rows if row.state == "as-left"]
    return left or list(rows)


def _measure(survey: Survey, rows: Sequence[Judgement]) -> str:
    """What was measured and which limits it met or broke, with digits enough that it says so."""
    if not rows or not rows[0].value:
        return str(survey.version)
    limits = [_criteria(survey).limits[row.limit or 0] for row in rows]
    bounds = tuple(bound.to(rows[0].unit) for limit in limits for bound in limit.bounds)
    return _("%(value)s, %(limits)s by %(version)s") % {
        "value": Figure(rows[0].value, rows[0].unit, bounds),
        "limits": ", ".join(sentence(limit.said()) for limit in limits),
        "version": survey.version,
    }


def _criteria(survey: Survey) -> Criteria:
    return Criteria.from_dict(survey.version.document)


@dataclass(frozen=True)
class Done:
    """A finding, and what one survey did to it."""

    did: str
    line: Told
    closed_it: bool = False


def done_by(survey: Survey) -> list[Done]:
    """The findings that a survey opened, found again and closed."""
    today = survey.hood.site.today()
    made = [Done(_("opened"), line) for line in told(with_all(survey.findings.all()), today)]
    changes = FindingChange.objects.filter(survey=survey, kind__in=("found-again", "closed"))
    kinds = dict(changes.values_list("finding", "kind"))
    rows = with_all(Finding.objects.filter(pk__in=kinds)).order_by("pk") if kinds else ()
    for line in told(rows, today):
        closed = kinds[line.finding.pk] == "closed"
        made.append(Done(_("closed by this survey") if closed else _("found again"), line, closed))
    return made
