"""A survey that was measured with pen and paper: typed in later, of the day on which it was measured, and marked so."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, Person
from surveys.actions.surveyable import NotToBeSurveyed, refuse_if_no_part, refuse_if_not_there, version_in_force
from surveys.models import CriteriaVersion, Draft, Survey, Transcription


class WrongDay(Refused):
    """The day that is written on the paper cannot be the day of this survey."""

    field = "measured_on"


class NobodyMeasured(Refused):
    said = _("Say who measured: choose a person of the site, or write the name that stands on the paper.")
    field = "measured_by"


@transaction.atomic
def start_transcription(
    *, hood: Hood, measured_on: date, by: Person, at: datetime, person: Person | None = None, measured_by: str = "",
) -> Draft:  # fmt: skip
    """Start a survey from paper, of the day on which it was measured; one of that day that is begun is gone on with.

    It takes the first moment of that day as the one at which it was measured, since paper keeps none: whatever was
    measured by a tablet on that day came after it. So it is refused where a survey of that day is signed already.
    """
    Hood.objects.select_for_update(no_key=True).get(pk=hood.pk)
    if begun := Draft.objects.open().filter(hood=hood, done_on=measured_on, transcription__isnull=False).first():
        return begun
    name = person.name if person else measured_by.strip()
    if not name:
        raise NobodyMeasured()
    version = _version(hood, measured_on, hood.site.day_of(at))
    draft = Draft.objects.create(hood=hood, version=version, done_on=measured_on, started_at=at, started_by=by)
    Transcription.objects.create(draft=draft, measured_by=name, person=person, at=at, by=by)
    Entry.objects.add(
        by=by, at=at, action="transcription-started", what=draft,
        after={"hood": hood.tag, "done_on": measured_on.isoformat(), "measured_by": name, "criteria": str(version)},
    )  # fmt: skip
    return draft


def _version(hood: Hood, on: date, today: date) -> CriteriaVersion:
    """The version that judges: the one in force for the hood on the day measured, whatever was adopted since."""
    if on > today:
        raise WrongDay(_("%(day)s has not come yet here: write the day on which it was measured."), day=on.isoformat())
    try:
        refuse_if_not_there(hood, today)
        refuse_if_no_part([hood])
    except NotToBeSurveyed as refusal:
        refusal.field = "name"
        raise
    try:
        refuse_if_not_there(hood, on)
        then = version_in_force(hood, on)
    except NotToBeSurveyed as refusal:
        raise WrongDay(_("%(why)s Compare the day with the paper."), why=str(refusal)) from refusal
    if Survey.objects.filter(hood=hood, done_on=on).exists():
        raise WrongDay(
            _(
                "A survey of this hood on %(day)s is signed already, and paper does not say which of the two came first. "
                "If that one was wrong, amend it."
            ),
            day=on.isoformat(),
        )  # fmt: skip
    return then
