"""I10: a year is of one state, read with a fixed number of queries."""

from __future__ import annotations

import re
import threading
from datetime import date, timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reports.queries.snapshot import snapshot
from surveys.models import Record, Survey
from tests import surveying
from tests.agreement import html_of
from tests.reports.pdf import reading
from tests.reports.year.loading import NOW, PAGE, loaded
from tests.surveys import rows
from tests.surveys.words import plain

pytestmark = pytest.mark.django_db


# Queries, and one state of the ledger ---------------------------------------------------------------------------------


def asked_of(client: Client, address: str) -> int:
    client.get(address)
    with CaptureQueriesContext(connection) as asked:
        response = client.get(address)
        b"".join(response) if response.streaming else response.content
    return len(asked)


ADDRESSES = ("year", "year_report", "year_months", "year_averages", "year_archive", "year_book")


def test_the_queries_do_not_rise_with_hoods_or_years(auditor, ready, version, technician, signed_in):
    client, counts = signed_in(auditor), []
    for hoods in (1, 6):
        for _hood in range(hoods):
            hood = ready()
            for on, verdict in ((date(2025, 4, 1), "pass"), (date(2026, 4, 1), "fail"), (date(2026, 4, 9), "pass")):
                rows.survey(hood, version, technician, on, verdict)
        counts.append({name: asked_of(client, reverse(f"reports:{name}")) for name in ADDRESSES})
    assert counts[0] == counts[1]
    assert max(counts[0].values()) <= 40, counts[0]


def test_a_page_that_only_reads_opens_no_transaction_that_shuts_writers_out(auditor, ready, version, technician):
    rows.survey(ready(), version, technician, date(2026, 3, 12))
    with CaptureQueriesContext(connection) as asked:
        loaded(auditor.roles.get().site, auditor)
    assert not [query["sql"] for query in asked.captured_queries if "IMMEDIATE" in query["sql"]]


class Elsewhere(threading.Thread):
    """Writes one survey over a connection of its own."""

    def __init__(self, hood, version, by) -> None:
        super().__init__()
        self.made, self.failure = (hood, version, by), None

    def run(self) -> None:
        try:
            with time_machine.travel(NOW, tick=False):
                rows.survey(*self.made, date(2026, 5, 1))
        except Exception as error:
            self.failure = error
        finally:
            connection.close()


def write(hood, version, by) -> None:
    other = Elsewhere(hood, version, by)
    other.start()
    other.join(30)
    assert not other.is_alive(), "the writer was kept waiting"
    assert other.failure is None


@pytest.mark.django_db(transaction=True)
def test_i10_a_report_sees_one_state_while_others_sign(ready, version, technician):
    hood = ready()
    with snapshot():
        before = (Survey.objects.count(), Record.objects.count())
        write(hood, version, technician)
        assert (Survey.objects.count(), Record.objects.count()) == before
    assert Survey.objects.count() == before[0] + 1


@pytest.mark.django_db(transaction=True)
def test_i10_control_without_the_snapshot_the_parts_are_of_two_states(ready, version, technician):
    hood = ready()
    before = Record.objects.count()
    write(hood, version, technician)
    assert (Survey.objects.count(), Record.objects.count()) == (1, before + 1)


@pytest.mark.django_db(transaction=True)
def test_i10_the_page_works_outside_a_transaction_and_says_its_last_record(
    auditor, ready, version, technician, signed_in
):
    hood = ready()
    rows.survey(hood, version, technician, date(2026, 3, 12))
    last = Record.objects.order_by("-number").first()
    page = html_of(signed_in(auditor).get(PAGE))
    assert f"the last was number {last.number}." in plain(page)
    assert last.sha256 in page
    write(hood, version, technician)  # nothing was left open
    assert f"the last was number {last.number + 1}." in plain(html_of(signed_in(auditor).get(PAGE)))


def test_the_hood_page_shows_the_same_averages_as_its_plot(
    site, auditor, make_hood, technician, programme_manager, signed_in
):
    version = surveying.make_version(site, programme_manager)
    hood = make_hood(tag="FH-0142")
    surveying.assign(hood, version, programme_manager)
    instrument = surveying.make_instrument(site, programme_manager)
    surveying.survey(hood, surveying.entered(instrument), technician)
    slow = surveying.entered(instrument, surveying.SLOW)
    surveying.survey(hood, slow, technician, surveying.SURVEYED + timedelta(days=30))
    client = signed_in(auditor)
    page = html_of(client.get(reverse("surveys:hood", args=[hood.pk])))
    table = plain(re.search(r'(?s)aria-labelledby="h-trend".*?</section>', page)[0])
    drawn = client.get(reverse("reports:trend_drawing", args=[hood.pk]))
    print_ = reading.quick_text(client.get(reverse("reports:trend_print", args=[hood.pk])).content)
    assert drawn.headers["Content-Type"] == "image/svg+xml"
    for said in ("99.6 ft/min", "72 ft/min"):
        assert said in table
        assert said in drawn.content.decode()
        assert said in print_
    assert "from 80 ft/min to 120 ft/min (fail)" in table


def test_a8_the_averages_of_another_room_are_not_found(lab_manager, ready, other_room, signed_in):
    hood = ready(room=other_room)
    for view in ("reports:trend_drawing", "reports:trend_print"):
        assert signed_in(lab_manager).get(reverse(view, args=[hood.pk])).status_code == 404
