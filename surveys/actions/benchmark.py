"""The benchmark of an opening: the average that it had when the hood was shown to contain."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions import keeping
from hoods.actions.refusal import Refused
from hoods.models import Opening, Person, Placement
from surveys import wording
from surveys.models import Benchmark


class BeforeTheHood(Refused):
    said = _("The hood was placed on %(on)s: write that day or a later one.")
    field = "from_on"


@transaction.atomic
def set_benchmark(
    *, opening: Opening, value: str, from_on: date, by: Person, at: datetime, source: str = "", why: str = ""
) -> Benchmark:
    """Sets the benchmark of an opening from a day on; the last one holds [value: text with unit]."""
    if from_on > opening.hood.site.day_of(at):
        raise Refused(_("This day is still to come: write the day of the test."), field="from_on")
    placed = Placement.objects.filter(hood=opening.hood_id).order_by("from_on", "pk").first()
    if placed is not None and from_on < placed.from_on:
        raise BeforeTheHood(on=wording.day(placed.from_on.isoformat()))
    benchmark = Benchmark(opening=opening, value=value, source=source, from_on=from_on, at=at, by=by)
    keeping.add(benchmark, refusal=Refused, action="benchmark-set", by=by, at=at, why=why, what=opening.hood)
    return benchmark
