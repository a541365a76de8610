"""The status of 5,000 hoods of ten years beside loading the same facts as bare tuples."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from hoods.models import Hood, HoodEvent, Opening, Placement
from surveys.models import Approval, Draft, Record, Survey
from surveys.queries import statuses
from tests.bench.ratio import ratio, said
from tests.making import make_building, make_person, make_room, make_site
from tests.surveys import rows

HOODS, YEARS, TODAY = 5000, 10, date(2026, 3, 12)


@pytest.fixture
def campus(db):
    site = make_site()
    by = make_person("Henrik Sole", site, "programme-manager")
    room = make_room(make_building(site))
    version = rows.criteria(site, by)
    at = datetime(2015, 1, 5, 9, tzinfo=UTC)
    with transaction.atomic():
        hoods = Hood.objects.bulk_create(
            Hood(site=site, tag=f"FH-{number:05}", code=f"{number:08}") for number in range(HOODS)
        )
        Placement.objects.bulk_create(
            Placement(hood=hood, room=room, from_on=at.date(), at=at, by=by) for hood in hoods
        )
        HoodEvent.objects.bulk_create(
            HoodEvent(hood=hood, kind="installed", on=at.date(), at=at, by=by) for hood in hoods
        )
        openings = Opening.objects.bulk_create(
            Opening(hood=hood, name="working", width="60 in", height="18 in") for hood in hoods
        )
        number = Record.objects.count()
        for year in range(YEARS):
            on = TODAY - timedelta(days=365 * (YEARS - year) - 300)
            at = datetime(on.year, on.month, on.day, 10, tzinfo=UTC)
            drafts = Draft.objects.bulk_create(
                Draft(hood=hood, version=version, done_on=on, started_at=at, started_by=by) for hood in hoods
            )
            surveys = [
                Survey(
                    draft=draft, hood=hood, version=version, reason="annual", done_on=on, measured_from=at,
                    measured_until=at, verdict="pass", as_found="pass", held="held", full=True, label_issue=year + 1,
                    signed_at=at, signed_by=by, record_id=number + place,
                )
                for place, (draft, hood) in enumerate(zip(drafts, hoods, strict=True), start=1)
            ]  # fmt: skip
            Survey.objects.bulk_create(surveys)
            Approval.objects.bulk_create(
                Approval(
                    survey=survey, opening=opening, opening_name="working", use="working", width="60 in", height="18 in"
                )
                for survey, opening in zip(surveys, openings, strict=True)
            )
            Record.objects.bulk_create(
                Record(number=survey.record_id, kind="survey", format=1, content="{}", sha256="0" * 64, at=at)
                for survey in surveys
            )
            number += len(surveys)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    return Hood.objects.filter(site=site)


def bench_status_of_five_thousand_hoods_of_ten_years(campus):
    with CaptureQueriesContext(connection) as asked:
        found = statuses(campus.all(), TODAY)
    assert {status.code for status in found.values()} == {"met-criteria"}
    queries = [query["sql"] for query in asked.captured_queries]

    def bare() -> None:
        with connection.cursor() as cursor:
            for sql in queries:
                cursor.execute(sql)
                cursor.fetchall()

    said(
        f"status of {HOODS} hoods, {len(queries)} queries, beside bare tuples",
        ratio(lambda: statuses(campus.all(), TODAY), bare),
        at_most=2,
    )
