"""A campus: many signed at once beside one at a time; its pages beside what they read, and beside an empty page; its year."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from time import process_time

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from hoods.models import Building, Person
from surveys.actions.drafts import start_drafts
from surveys.actions.signing import Seen, Signature, sign_round, sign_survey
from tests import surveying
from tests.bench.conftest import HOODS
from tests.bench.ratio import bare, ratio, said
from tests.making import make_building, make_hood, make_person, make_room, make_site

ROOT = Path(__file__).resolve().parents[2]
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


# --- the pages of 5,000 hoods of ten years ----------------------------------------------------------------------------

#: Judge every hood that somebody may see: held to what loading the same facts takes.
JUDGED_WHOLE = ("/", "/due/", "/due/?page=40")
#: Show at most a hundred hoods, or what is told of them, however many there are.
OF_A_HUNDRED = (
    "/hoods/", "/hoods/?page=37", "/hoods/?q=FH-000", "/hoods/?show=retired", "/rooms/", "/rooms/?page=37",
    "/buildings/{building}/", "/rooms/{room}/", "/findings/", "/certificates/", "/certificates/?page=40", "/mails/", "/labels/",
    "/labels/?building={building}", "/inventory/", "/criteria/", "/criteria/assign/",
)  # fmt: skip


def page(client: Client, address: str) -> Callable[[], str]:
    def fetch() -> str:
        response = client.get(address)
        assert response.status_code == 200, address
        return response.content.decode()

    return fetch


def signed_in() -> tuple[Client, Client]:
    """The programme manager, and the technician."""
    manager, technician = Client(), Client()
    manager.force_login(Person.objects.get(name="Henrik Sole"))
    technician.force_login(Person.objects.get(name="Ruth Okafor"))
    return manager, technician


def judged_whole(manager: Client, technician: Client, where: str, at_most: float) -> None:
    """Pages that judge every hood: their queries, and their time beside that of the rows which they read."""
    for client, who in ((manager, "programme manager"), (technician, "technician")):
        for address in JUDGED_WHOLE:
            whole = page(client, address)
            whole()
            with CaptureQueriesContext(connection) as asked:
                whole()
            said(f"queries of {address} for {HOODS} hoods{where}, {who}", len(asked), at_most=12)
            said(
                f"{address} of {HOODS} hoods{where}, {who}, beside bare tuples",
                ratio(whole, bare(asked), clock=process_time),
                at_most=at_most,
            )


def bench_pages_of_hoods_that_rest_on_earlier_results(brought_in):
    """Fewer rows are read of each hood than of surveys that were signed here, and as much is judged: the aim is 2 here, too."""
    judged_whole(*signed_in(), " brought in", at_most=2.8)


def bench_pages_of_five_thousand_hoods(thousands):
    manager, technician = signed_in()
    judged_whole(manager, technician, "", at_most=2)
    empty = page(technician, reverse("surveys:start"))
    place = Building.objects.all()[7]
    for address in OF_A_HUNDRED:
        fetch = page(manager, address.format(building=place.pk, room=place.rooms.first().pk))
        shown = set(re.findall(r"FH-\d{5}", fetch()))
        said(f"hoods on {address}", len(shown), at_most=100)
        said(f"{address}, beside an empty page", ratio(fetch, empty, clock=process_time), at_most=15)


# --- a campus by actions, and its year, in processes of their own -----------------------------------------------------


@pytest.fixture(scope="session")
def campuses(asked_size, tmp_path_factory) -> dict[int, dict[str, str]]:
    """Ledgers in files, loaded by the command that anybody runs: a tenth of the size, and the size. Their environments."""
    many, years = asked_size
    folder = tmp_path_factory.mktemp("campus")
    made = {}
    for hoods in (many // 10, many):
        made[hoods] = os.environ | {
            "DJANGO_SETTINGS_MODULE": "config.settings", "HOOD_LEDGER_DEMO": "1", "HOOD_LEDGER_DATABASE": str(folder / f"{hoods}.sqlite3"), "DATABASE_URL": "",
            "HOOD_LEDGER_SECRET_KEY": "k" * 60, "HOOD_LEDGER_DEBUG": "", "SITE_URL": "http://127.0.0.1:8000",
        }  # fmt: skip
        for command in (
            ("migrate", "--verbosity=0"),
            ("createcachetable", "--verbosity=0"),
            ("demo", f"--hoods={hoods}", f"--years={years}"),
        ):
            run(made[hoods], "manage.py", *command)
    return made


def run(environment: dict[str, str], *command: str) -> str:
    done = subprocess.run(  # noqa: S603
        [sys.executable, *command], env=environment, cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def bench_the_year_of_a_campus(campuses):
    """Page, print and tables of the last year: memory at its peak, and the time for a hood at ten times the size."""
    few, many = campuses
    year = timezone.now().year - 1
    for address in (f"/year/?from={year}", f"/year/report.pdf?from={year}", f"/year/tables.zip?from={year}"):
        taken = {hoods: json.loads(run(campuses[hoods], "-m", "tests.bench.peak", address)) for hoods in campuses}
        said(f"{address} of {many} hoods: MB at its peak", taken[many]["megabytes"], at_most=400)
        times = taken[many]["seconds"] / many / (taken[few]["seconds"] / few)
        said(f"{address}: time for a hood at {many} over that at {few}", times, at_most=1.25)
