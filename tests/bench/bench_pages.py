"""Room, hood and home pages of 100 hoods beside a signed-in empty page of this site; their queries at 1, 5 and 50 hoods."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.bench.ratio import ratio, said
from tests.making import make_building, make_hood, make_person, make_room, make_site
from tests.surveys import rows


@pytest.fixture
def floor(db):
    """Rooms of 1, 5, 50 and 100 hoods, each surveyed twice."""
    site = make_site()
    manager = make_person("Henrik Sole", site, "programme-manager")
    surveyor = make_person("Ruth Okafor", site, "technician")
    version = rows.criteria(site, manager)
    today = timezone.now().date()
    rooms = {}
    for many in (1, 5, 50, 100):
        rooms[many] = make_room(make_building(site), str(many))
        for _ in range(many):
            hood = make_hood(room=rooms[many], by=manager)
            rows.assign(hood, version, manager)
            for year in (today.year - 2, today.year - 1):
                rows.survey(hood, version, surveyor, date(year, 12, 1))
    return site, surveyor, rooms


@pytest.fixture
def signed_in(floor):
    client = Client()
    client.force_login(floor[1])
    return client


def _page(client: Client, address: str):
    def fetch() -> None:
        assert client.get(address).status_code == 200

    return fetch


def bench_pages_of_a_hundred_hoods_beside_an_empty_one(floor, signed_in):
    _site, _person, rooms = floor
    empty = _page(signed_in, reverse("surveys:start"))
    hood = rooms[100].placements.first().hood_id
    pages = {
        "room": reverse("surveys:room", args=[rooms[100].pk]),
        "hood": reverse("surveys:hood", args=[hood]),
        "home": reverse("home"),
    }
    for name, address in pages.items():
        page = _page(signed_in, address)
        said(f"{name} page of 100 hoods, beside an empty page", ratio(page, empty), at_most=15)


def bench_queries_do_not_rise_with_the_hoods(floor, signed_in):
    _site, _person, rooms = floor
    for name in ("room", "hood"):
        counts = {}
        for many in (1, 5, 50):
            room = rooms[many]
            key = room.pk if name == "room" else room.placements.first().hood_id
            page = _page(signed_in, reverse(f"surveys:{name}", args=[key]))
            page()
            with CaptureQueriesContext(connection) as asked:
                page()
            counts[many] = len(asked)
        assert len(set(counts.values())) == 1, counts
        said(f"queries of the {name} page for 1, 5 and 50 hoods", max(counts.values()), at_most=12)
