"""Labels: each copy that is printed, and each label that is put on a sash."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Person
from surveys import queries
from surveys.core.status import VALID
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


@transaction.atomic
def label_put_on(*, survey: Survey, issue: int, old_removed: bool, by: Person, at: datetime) -> LabelPutOn:
    """Keep that a survey's label is on the sash, and whether the old one is off it."""
    survey = Survey.objects.select_for_update(of=("self",), no_key=True).select_related("hood").get(pk=survey.pk)
    if survey.label_issue is None:
        raise NoLabel()
    if survey.label_issue != issue:
        raise OtherLabel(issue=survey.label_issue)
    pressed = survey.labels_put_on.filter(by=by, old_removed=old_removed, at__gt=at - SAME_PRESS, at__lte=at)
    if put_on := pressed.first():
        return put_on
    if queries.label_standing(survey.hood, issue, survey.hood.site.day_of(at)) != VALID:
        raise NotToday()
    put_on = LabelPutOn.objects.create(survey=survey, issue=issue, old_removed=old_removed, at=at, by=by)
    Entry.objects.add(
        by=by, at=at, action="label-put-on", what=survey.hood,
        after={"issue": issue, "survey": str(survey.pk), "old_removed": old_removed},
    )  # fmt: skip
    return put_on
