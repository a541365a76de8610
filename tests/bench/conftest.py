"""What big measures start from: a campus as rows; and the sizes of `make bench HOODS=5000 YEARS=10`."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection, transaction
from django.utils import timezone

from hoods.models import Hood, HoodEvent, Opening, Person, Placement, Site
from surveys.models import (
    Approval,
    CriteriaVersion,
    Draft,
    EarlierBatch,
    EarlierChange,
    EarlierCounted,
    EarlierOpening,
    EarlierResult,
    Record,
    Survey,
)
from tests.making import make_building, make_person, make_room, make_site
from tests.surveys import rows

HOODS, YEARS = 5000, 10  # of the campus of rows
BEFORE = 3  # years of earlier results, of a campus that has just brought them in
IN_ROOM, IN_BUILDING = 10, 10


@pytest.fixture
def thousands(db) -> Site:
    """5,000 hoods of 500 rooms in 50 buildings, surveyed in each of ten years; some failed last, some are overdue."""
    site, by, version, hoods, openings = _campus()
    with transaction.atomic():
        for year in range(YEARS):
            _surveyed(hoods, openings, version, by, site.today() - timedelta(days=365 * (YEARS - year) - 300), year)
    _analysed()
    return site


@pytest.fixture
def brought_in(db) -> Site:
    """The same hoods on the day after everything was brought in: nothing is signed here, all rests on accepted results."""
    site, by, version, hoods, openings = _campus()
    with transaction.atomic():
        for year in range(BEFORE):
            _accepted(hoods, openings, version, by, site.today() - timedelta(days=365 * (BEFORE - year) - 300), year)
    _analysed()
    return site


def _campus() -> tuple[Site, Person, CriteriaVersion, list[Hood], list[Opening]]:
    """5,000 hoods where they stand, each with its opening; nothing is known of them yet."""
    site = make_site()
    by = make_person("Henrik Sole", site, "programme-manager")
    make_person("Ruth Okafor", site, "technician")
    version = rows.criteria(site, by)
    at = datetime(2015, 1, 5, 9, tzinfo=UTC)
    buildings = [make_building(site, f"Range {number:02}") for number in range(HOODS // IN_ROOM // IN_BUILDING)]
    rooms = [make_room(buildings[number // IN_BUILDING], f"{number:03}") for number in range(HOODS // IN_ROOM)]
    with transaction.atomic():
        hoods = Hood.objects.bulk_create(
            Hood(site=site, tag=f"FH-{number:05}", code=f"{number:08}") for number in range(HOODS)
        )
        Placement.objects.bulk_create(
            Placement(hood=hood, room=rooms[place // IN_ROOM], order=place % IN_ROOM, from_on=at.date(), at=at, by=by)
            for place, hood in enumerate(hoods)
        )
        HoodEvent.objects.bulk_create(
            HoodEvent(hood=hood, kind="installed", on=at.date(), at=at, by=by) for hood in hoods
        )
        openings = Opening.objects.bulk_create(
            Opening(hood=hood, name="working", width="60 in", height="18 in") for hood in hoods
        )
    return site, by, version, hoods, openings


def _analysed() -> None:
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _accepted(
    hoods: list[Hood], openings: list[Opening], version: CriteriaVersion, by: Person, on: date, year: int
) -> None:
    """A list of a year's results, one a hood, accepted; in the last one every fiftieth failed, and every fortieth is missing."""
    last = year == BEFORE - 1
    made = [place for place in range(HOODS) if not (last and place % 40 == 0)]
    at = timezone.now() - timedelta(hours=24 - year)
    batch = EarlierBatch.objects.create(site=hoods[0].site, name=f"{on.year}.csv", sha256="0" * 64, at=at, by=by)
    results = EarlierResult.objects.bulk_create(
        EarlierResult(
            batch=batch, row=row, hood=hoods[place], measured_on=on, measured_by="Ruth Okafor",
            verdict="fail" if last and place % 50 == 1 else "pass",
        )
        for row, place in enumerate(made, start=2)
    )  # fmt: skip
    EarlierOpening.objects.bulk_create(
        EarlierOpening(
            result=result, opening=openings[place], opening_name="working", height="18 in", average="98 ft/min",
            approves=result.verdict == "pass",
        )
        for place, result in zip(made, results, strict=True)
    )  # fmt: skip
    change = EarlierChange.objects.create(batch=batch, kind="accepted", why="Seen and found right.", at=at, by=by)
    EarlierCounted.objects.bulk_create(
        EarlierCounted(change=change, result=result, version=version) for result in results
    )


def _surveyed(
    hoods: list[Hood], openings: list[Opening], version: CriteriaVersion, by: Person, on: date, year: int
) -> None:
    """Each hood surveyed once; in the last year every fiftieth failed, and every fortieth was left out and is overdue."""
    last = year == YEARS - 1
    made = [place for place in range(HOODS) if not (last and place % 40 == 0)]
    drafts = Draft.objects.bulk_create(
        Draft(hood=hoods[place], version=version, done_on=on, started_at=_at(on, place), started_by=by)
        for place in made
    )
    number = Record.objects.count()
    surveys = [
        Survey(
            draft=draft, hood_id=draft.hood_id, version=version, reason="annual", done_on=on, full=True,
            measured_from=draft.started_at, measured_until=draft.started_at, signed_at=draft.started_at, signed_by=by,
            held="held", record_id=number + place, **_ended(last and made[place - 1] % 50 == 1, year),
        )
        for place, draft in enumerate(drafts, start=1)
    ]  # fmt: skip
    Survey.objects.bulk_create(surveys)
    Approval.objects.bulk_create(
        Approval(
            survey=survey, opening=openings[place], opening_name="working", use="working", width="60 in", height="18 in"
        )
        for place, survey in zip(made, surveys, strict=True)
        if survey.label_issue
    )
    Record.objects.bulk_create(
        Record(number=survey.record_id, kind="survey", format=1, content="{}", sha256="0" * 64, at=survey.signed_at)
        for survey in surveys
    )


def _at(on: date, place: int) -> datetime:
    return datetime(on.year, on.month, on.day, 8, tzinfo=UTC) + timedelta(seconds=place)


def _ended(failed: bool, year: int) -> dict[str, object]:
    verdict = "fail" if failed else "pass"
    return {"verdict": verdict, "as_found": verdict, "label_issue": None if failed else year + 1}


@pytest.fixture(scope="session")
def asked_size() -> tuple[int, int]:
    """How many hoods and years the campus of actions has: a small one, unless a whole one is asked for."""
    return int(os.environ.get("HOODS") or 300), int(os.environ.get("YEARS") or 1)
