"""The year as tests load it."""

from __future__ import annotations

from datetime import UTC, datetime

from django.urls import reverse

from hoods.models import Person
from reports.core.period import Period
from reports.queries.yearly import Scope, year

NOW = datetime(2026, 11, 25, 14, tzinfo=UTC)
YEAR = Period.of("2026")
PAGE = reverse("reports:year")


def loaded(site, person, asked: str = "2026", building=None):
    return year(Scope(site, Person.objects.get(pk=person.pk), building), Period.of(asked), NOW.date(), NOW)
