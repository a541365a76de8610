"""Which set of criteria judges a hood, from a day on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import AnotherSite, Refused
from hoods.models import Entry, Hood, Person
from surveys.models import Assignment, CriteriaSet


class NotInForce(Refused):
    said = _("No version of this set is in force on that day: adopt one first, or choose a later day.")
    field = "from_on"


class AssignedInThePast(Refused):
    said = _("This day is past, and what was judged then stays judged: write today or a later day.")
    field = "from_on"


class EvidenceMissing(Refused):
    said = _(
        "This set judges a hood only with evidence that it may be judged so: write what shows it, such as the report of "
        "its tracer gas test, with its day and its result."
    )
    field = "evidence"


class AssignedAlready(Refused):
    said = _("This set judges these hoods on that day already: choose another set, another day or other hoods.")
    field = "hoods"


@transaction.atomic
def assign_criteria(
    *, hoods: Sequence[Hood], set: CriteriaSet, from_on: date, why: str, by: Person, at: datetime, evidence: str = ""
) -> list[Assignment]:
    """Assigns a set to hoods from a day on, with the reason; earlier days keep the set that they had.

    A hood that the set was given from that very day keeps it, and nothing is written of it.
    What was judged stays judged: a hood that failed does not pass by another set before a new survey. Where the version
    in force on that day demands evidence, none is judged by it without.
    """
    if any(hood.site_id != set.site_id for hood in hoods):
        raise AnotherSite(field="hoods")
    if from_on < set.site.day_of(at):
        raise AssignedInThePast()
    version = set.in_force(from_on)
    if version is None:
        raise NotInForce()
    if version.document.get("evidence_required") and not evidence.strip():
        raise EvidenceMissing()
    that_day = Assignment.objects.filter(hood__in=hoods, from_on=from_on).order_by("pk")
    last = {row.hood_id: row.set_id for row in that_day}
    hoods = [hood for hood in hoods if last.get(hood.pk) != set.pk]
    if not hoods:
        raise AssignedAlready()
    assigned = Assignment.objects.bulk_create(
        Assignment(hood=hood, set=set, from_on=from_on, why=why, evidence=evidence, by=by, at=at) for hood in hoods
    )
    after = {"set": {"id": set.pk, "name": set.name}, "from_on": from_on.isoformat()}
    if evidence:
        after["evidence"] = evidence
    Entry.objects.bulk_create(
        Entry(at=at, by=by, action="criteria-assigned", thing="hood", thing_id=str(hood.pk), after=after, why=why)
        for hood in hoods
    )
    return assigned
