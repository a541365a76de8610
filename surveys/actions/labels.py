"""Labels: each copy that is printed, and each label that is put on a sash."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Person
from surveys import queries
from surveys.core.status import VALID, label_standing
from surveys.models import LabelCopy, LabelPutOn, Survey

#: The same label put on again by the same person within this time is the same press of the button.
SAME_PRESS = timedelta(minutes=1)


class NoLabel(Refused):
    said = _("This survey gives no label: hang the 'Do not use' sign, or survey the hood again.")


class OtherLabel(Refused):
    said = _("This survey's label has the number %(issue)s: look at the number printed on the one that was put on.")
    field = "issue"


class NotToday(Refused):
    """A label that does not hold is never put on: the next reader would take it for true."""

    said = _("This label does not hold today: take it off if it hangs, and look at the hood's page for what holds.")
    field = "issue"


@transaction.atomic
def record_label_copies(*, surveys: Sequence[Survey], sheet: str, by: Person, at: datetime) -> list[LabelCopy]:
    """Keep that the labels of these surveys were printed, each once, on paper of this code."""
    for survey in surveys:
        if survey.label_issue is None:
            raise NoLabel()
    copies = LabelCopy.objects.bulk_create(LabelCopy(survey=survey, sheet=sheet, at=at, by=by) for survey in surveys)
    Entry.objects.bulk_create(
        Entry(
            at=at, by=by, action="label-printed", thing="hood", thing_id=str(survey.hood_id),
            after={"issue": survey.label_issue, "survey": str(survey.pk), "sheet": sheet},
        )
        for survey in surveys
    )  # fmt: skip
    return copies


@dataclass(frozen=True)
class PutOn:
    """A label that is on the sash: of which survey, by which number, and whether the old one is off."""

    survey: Survey
    issue: int
    old_removed: bool


def label_put_on(*, survey: Survey, issue: int, old_removed: bool, by: Person, at: datetime) -> LabelPutOn:
    """Keep that a survey's label is on the sash, and whether the old one is off it."""
    return labels_put_on(labels=[PutOn(survey, issue, old_removed)], by=by, at=at)[0]


@transaction.atomic
def labels_put_on(*, labels: Sequence[PutOn], by: Person, at: datetime) -> list[LabelPutOn]:
    """Keep that these labels are on their sashes, all or none."""
    rows = Survey.objects.select_for_update(of=("self",), no_key=True).select_related("hood__site").order_by("pk")
    surveys = {row.pk: row for row in rows.filter(pk__in=[one.survey.pk for one in labels])}
    pressed = _pressed(list(surveys), by, at)
    new = [one for one in labels if (one.survey.pk, one.old_removed) not in pressed]
    for one in labels:
        issued = surveys[one.survey.pk].label_issue
        if issued is None:
            raise NoLabel()
        if issued != one.issue:
            raise OtherLabel(issue=issued)
    _refuse_not_valid([(surveys[one.survey.pk], one.issue) for one in new], at)
    kept = LabelPutOn.objects.bulk_create(
        LabelPutOn(survey=surveys[one.survey.pk], issue=one.issue, old_removed=one.old_removed, at=at, by=by)
        for one in new
    )
    Entry.objects.bulk_create(
        Entry.of(
            by=by, at=at, action="label-put-on", what=one.survey.hood,
            after={"issue": one.issue, "survey": str(one.survey.pk), "old_removed": one.old_removed},
        )
        for one in kept
    )  # fmt: skip
    pressed |= {(one.survey.pk, one.old_removed): one for one in kept}
    return [pressed[one.survey.pk, one.old_removed] for one in labels]


def _pressed(surveys: Sequence[Any], by: Person, at: datetime) -> dict[tuple[Any, bool], LabelPutOn]:
    rows = LabelPutOn.objects.filter(survey__in=surveys, by=by, at__gt=at - SAME_PRESS, at__lte=at)
    return {(row.survey_id, row.old_removed): row for row in rows.order_by("-pk")}


def _refuse_not_valid(labels: Sequence[tuple[Survey, int]], at: datetime) -> None:
    days: dict[date, list[tuple[Survey, int]]] = {}
    for survey, issue in labels:
        days.setdefault(survey.hood.site.day_of(at), []).append((survey, issue))
    for on, those in days.items():
        facts = queries.facts_of([survey.hood for survey, _issue in those], on, whole=True)
        if any(label_standing(facts[survey.hood_id], issue, on) != VALID for survey, issue in those):
            raise NotToday()
