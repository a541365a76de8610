"""Why an overdue hood was not surveyed: said on a day, and changing nothing of its status."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, HoodEvent, Person
from surveys import queries
from surveys.core.status import OVERDUE

KIND = "overdue-explained"


class NotOverdue(Refused):
    said = _("%(hood)s is not overdue: there is nothing to explain.")


class NoWhy(Refused):
    said = _("Say why this hood was not surveyed in time.")
    field = "why"


@transaction.atomic
def explain_overdue(*, hood: Hood, why: str, by: Person, at: datetime) -> HoodEvent:
    """Write down why a hood that is overdue was not surveyed; said again in the same words, it is what was said."""
    if not why.strip():
        raise NoWhy()
    hood = Hood.objects.select_for_update(of=("self",), no_key=True).select_related("site").get(pk=hood.pk)
    on = hood.site.day_of(at)
    if not queries.status_of(hood, on).flag(OVERDUE):
        raise NotOverdue(hood=hood.tag)
    if said := hood.events.filter(kind=KIND, on=on, why=why).first():
        return said
    event = HoodEvent.objects.create(hood=hood, kind=KIND, on=on, at=at, by=by, why=why)
    Entry.objects.add(by=by, at=at, action=KIND, what=hood, after={"on": on.isoformat()}, why=why)
    return event
