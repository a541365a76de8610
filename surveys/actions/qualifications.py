"""What somebody was found able to measure, by whom and until when: written down, and from then on part of records."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Person, Site
from surveys.models import Qualification


class EndsBefore(Refused):
    said = _("The last day is before the first: write a later one, or leave it empty.")
    field = "until_on"


class StillToCome(Refused):
    said = _("This day is still to come: write the day on which it was found.")
    field = "from_on"


class WrittenDown(Refused):
    said = _("This is written down already, with the same days.")
    field = "method"


@transaction.atomic
def record_qualification(
    *, person: Person, site: Site, method: str, qualified_by: str, from_on: date, by: Person, at: datetime,
    until_on: date | None = None,
) -> Qualification:  # fmt: skip
    """Write down a method that somebody is qualified for, from a day until a day (both inclusive), or without end.

    Records that are signed keep what they say of it; those signed from now on say this too.
    """
    if until_on is not None and until_on < from_on:
        raise EndsBefore()
    if from_on > site.day_of(at):
        raise StillToCome()
    person = Person.objects.select_for_update().get(pk=person.pk)
    same = {"site": site, "method": method, "qualified_by": qualified_by, "from_on": from_on, "until_on": until_on}
    if person.qualifications.filter(**same).exists():
        raise WrittenDown()
    made = Qualification.objects.create(person=person, at=at, by=by, **same)
    Entry.objects.add(
        by=by, at=at, action="qualification-recorded", what=person,
        after={
            "method": method, "qualified_by": qualified_by, "from_on": from_on.isoformat(),
            "until_on": until_on.isoformat() if until_on else None,
        },
    )  # fmt: skip
    return made
