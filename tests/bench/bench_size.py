"""A campus by rounds: many signed at once beside one at a time, and what pages ask and show of all its hoods."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from config.demo import campus
from hoods.models import Hood, Person
from surveys.actions.drafts import start_drafts
from surveys.actions.signing import Seen, Signature, sign_round, sign_survey
from tests import surveying
from tests.bench.ratio import ratio, said
from tests.making import make_building, make_hood, make_person, make_room, make_site

HOODS, YEARS = 150, 1
TOGETHER = 40


@pytest.mark.django_db(transaction=True)
def bench_a_round_signed_at_once_beside_one_at_a_time():
    site = make_site()
    by = make_person("Ruth Okafor", site, "technician")
    version = surveying.make_version(site, by)
    anemometer = surveying.make_instrument(site, by)
    room = make_room(make_building(site))
    hoods = [make_hood(room=room, by=by) for _ in range(TOGETHER)]
    for hood in hoods:
        surveying.assign(hood, version, by)
    days = iter(surveying.SURVEYED + timedelta(days=number) for number in range(20))

    def drafts() -> tuple[list[Signature], datetime]:
        at = next(days)
        begun = start_drafts(hoods=hoods, by=by, at=at)
        for draft in begun:
            surveying.save(draft, surveying.entered(anemometer), by, at)
        return [Signature(draft, Seen(1, version.pk)) for draft in begun], at + timedelta(minutes=20)

    waiting = iter([drafts() for _ in range(8)])

    def at_once() -> None:
        signatures, at = next(waiting)
        sign_round(signatures=signatures, by=by, at=at)

    def one_by_one() -> None:
        signatures, at = next(waiting)
        for one in signatures:
            sign_survey(draft=one.draft, seen=one.seen, by=by, at=at)

    said(f"signing {TOGETHER} at once, beside one at a time", ratio(at_once, one_by_one, rounds=3), at_most=0.7)


@pytest.mark.django_db
def bench_what_pages_ask_of_a_campus():
    campus.build(hoods=HOODS, years=YEARS, now=timezone.now().astimezone(UTC), say=lambda words: None)
    assert Hood.objects.count() == HOODS
    client = Client()
    client.force_login(Person.objects.get(email="henrik@skua.example"))
    for name in ("home", "surveys:due_list"):
        client.get(reverse(name))
        with CaptureQueriesContext(connection) as asked:
            assert client.get(reverse(name)).status_code == 200
        said(f"queries of {name} for {HOODS} hoods", len(asked), at_most=12)
    for name in (
        "surveys:due_list",
        "surveys:hood_list",
        "surveys:room_list",
        "surveys:finding_list",
        "hoods:inventory",
    ):
        page = client.get(reverse(name))
        assert page.status_code == 200
        shown = set(re.findall(r"FH-\d{5}", page.content.decode()))
        said(f"hoods on a page of {name}", len(shown), at_most=100)
