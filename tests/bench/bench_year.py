"""The year of 500 hoods beside one of 100: the time for a hood does not rise; loading beside the same rows as bare tuples."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from hoods.models import Building, Hood, Person, Site
from reports.core.period import Period
from reports.queries.yearly import Scope, year
from tests.bench.ratio import ratio, said
from tests.making import make_building, make_hood, make_person, make_room, make_site
from tests.surveys import rows

FEW, MANY = 100, 500


@pytest.fixture
def campus(db) -> tuple[Site, Person, dict[int, Building]]:
    """Buildings of 100 and of 500 hoods, each surveyed in this year and in the one before; every tenth one failed and was retested."""
    site = make_site()
    manager = make_person("Henrik Sole", site, "programme-manager")
    auditor = make_person("Ines Maduro", site, "auditor")
    version = rows.criteria(site, manager)
    this = timezone.now().year
    buildings = {}
    for many in (FEW, MANY):
        buildings[many] = make_building(site, f"{many} hoods")
        room = make_room(buildings[many], "1")
        for number in range(many):
            hood = make_hood(room=room, by=manager)
            rows.assign(hood, version, manager)
            rows.survey(hood, version, manager, date(this - 1, 1 + number % 12, 3))
            if number % 10 == 0:
                rows.survey(hood, version, manager, date(this, 1, 2), "fail")
            rows.survey(hood, version, manager, date(this, 1, 9), average=str(80 + number % 40))
    return site, auditor, buildings


def bench_the_year_of_five_hundred_hoods(campus):
    site, auditor, buildings = campus
    client = Client()
    client.force_login(auditor)

    def fetched(name: str, many: int):
        address = f"{reverse(f'reports:{name}')}?building={buildings[many].pk}"

        def fetch() -> None:
            response = client.get(address)
            assert response.status_code == 200
            b"".join(response) if response.streaming else response.content

        return fetch

    for name, what in (("year", "page"), ("year_report", "PDF"), ("year_archive", "archive")):
        times = ratio(fetched(name, MANY), fetched(name, FEW), rounds=3)
        said(f"year {what}: time for a hood at {MANY} over that at {FEW}", times * FEW / MANY, at_most=1.5)

    person = Person.objects.get(pk=auditor.pk)
    period, today = Period.beginning(date(timezone.now().year, 1, 1)), site.today()

    def load() -> None:
        year(Scope(site, person), period, today, datetime.now(UTC))

    with CaptureQueriesContext(connection) as asked:
        load()
    queries = [query["sql"] for query in asked.captured_queries if query["sql"].startswith("SELECT")]

    def bare() -> None:
        with connection.cursor() as cursor:
            for sql in queries:
                cursor.execute(sql)
                cursor.fetchall()

    assert Hood.objects.count() == FEW + MANY
    said(f"loading and counting {FEW + MANY} hoods, {len(queries)} queries, beside bare tuples",
         ratio(load, bare, rounds=3), at_most=6)  # fmt: skip
