"""A posted 'do not use': posted by one reason, its sign hung, lifted by a signed survey, or withdrawn as mistaken."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, Person
from surveys import queries
from surveys.actions import notices
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.models import Draft, Stop, StopChange, Survey

#: The same reason again by the same person within this time is the same press of the button.
SAME_PRESS = timedelta(minutes=1)
GRANTING = ("pass", "restrict")


class NoReason(Refused):
    said = _("Say why the hood must not be used: choose a reason from the list.")
    field = "reason"


class NoWhy(Refused):
    said = _("Say why this was posted by mistake.")
    field = "why"


class StopOver(Refused):
    said = _("This 'do not use' is over already.")


class NotTheSurveyor(Refused):
    said = _("Only the surveyor who signed this survey confirms that the sign is taken down.")


class LiftsNothing(Refused):
    said = _("This survey lifts nothing: it did not meet the criteria, or another one came after it.")


@transaction.atomic
def post_stop(
    *, hood: Hood, reason: str, by: Person, at: datetime, words: str = "", draft: Draft | None = None
) -> Stop:
    """Say that a hood must not be used from now on. A reason is enough; whether a sign hangs is confirmed later."""
    if reason not in REASONS_THAT_STOP_A_HOOD:
        raise NoReason()
    Hood.objects.select_for_update(no_key=True).get(pk=hood.pk)
    pressed = hood.stops.up().filter(reason=reason, words=words, by=by, draft=draft, at__gt=at - SAME_PRESS, at__lte=at)
    if stop := pressed.order_by("pk").first():
        return stop
    stop = Stop.objects.create(hood=hood, reason=reason, words=words, draft=draft, at=at, by=by)
    after = {"stop": stop.pk, "reason": reason}
    Entry.objects.add(by=by, at=at, action="stop-posted", what=hood, after=after, why=words)
    notices.tell(kind="stop-posted", hood=hood, stop=stop, by=by, at=at)
    return stop


def sign_hung(*, stop: Stop, by: Person, at: datetime) -> StopChange:
    """Confirm that the sign hangs on the hood."""
    return _change(stop, "hung", "stop-sign-hung", by=by, at=at)


def withdraw_stop(*, stop: Stop, why: str, by: Person, at: datetime) -> StopChange:
    """Take back a stop that was posted by mistake, with the reason."""
    if not why.strip():
        raise NoWhy()
    return _change(stop, "withdrawn", "stop-withdrawn", by=by, at=at, why=why)


def lift_stops(*, survey: Survey, by: Person, at: datetime) -> list[StopChange]:
    """Lift what was posted before a survey began to measure; part of its signing, when its sign was taken down."""
    up = survey.hood.stops.up().filter(at__lt=survey.measured_from)
    lifted = StopChange.objects.bulk_create(
        StopChange(stop=stop, kind="lifted", survey=survey, at=at, by=by) for stop in up
    )
    for change in lifted:
        Entry.objects.add(
            by=by, at=at, action="stop-lifted", what=survey.hood,
            after={"stop": change.stop_id, "survey": str(survey.pk)},
        )  # fmt: skip
    if lifted:
        notices.tell(kind="stop-lifted", hood=survey.hood, stop=lifted[-1].stop, survey=survey, by=by, at=at)
    return lifted


@transaction.atomic
def take_sign_down(*, survey: Survey, by: Person, at: datetime) -> list[StopChange]:
    """Confirm after signing that the sign is off the hood: it lifts what ticking it at signing would have lifted."""
    rows = Survey.objects.select_for_update(of=("self",), no_key=True).select_related("hood__site")
    survey = rows.get(pk=survey.pk)
    if survey.signed_by_id != by.pk:
        raise NotTheSurveyor()
    if survey.verdict not in GRANTING or queries.status_of(survey.hood, survey.hood.site.day_of(at)).survey != survey.pk:
        raise LiftsNothing()
    return lift_stops(survey=survey, by=by, at=at)


@transaction.atomic
def _change(stop: Stop, kind: str, action: str, *, by: Person, at: datetime, why: str = "") -> StopChange:
    """What became of a stop, once: said again, it is what was said before."""
    stop = Stop.objects.select_for_update(of=("self",), no_key=True).select_related("hood").get(pk=stop.pk)
    changes = {change.kind: change for change in stop.changes.all()}
    if kind in changes:
        return changes[kind]
    if "lifted" in changes or "withdrawn" in changes:
        raise StopOver()
    change = StopChange.objects.create(stop=stop, kind=kind, why=why, at=at, by=by)
    Entry.objects.add(by=by, at=at, action=action, what=stop.hood, after={"stop": stop.pk}, why=why)
    if kind == "withdrawn":
        notices.tell(kind="stop-withdrawn", hood=stop.hood, stop=stop, by=by, at=at)
    return change
