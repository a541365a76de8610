"""The year with the database: each survey in one year by the site's midnight, the sum of the parts, who sees what of it."""

from __future__ import annotations

import csv
import io
import re
import threading
import zipfile
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import openpyxl
import pytest
import time_machine
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoods.models import HoodEvent, Person, Placement
from reports.core.period import Period
from reports.core.yearly_counts import Tally
from reports.core.yearly_tables import NAMES, TABLES
from reports.files.cells import restored
from reports.queries.snapshot import snapshot
from reports.queries.yearly import Scope, counted, year, years_with_surveys
from surveys.models import Assignment, Qualification, Record, Survey
from tests import making, surveying
from tests.agreement import html_of
from tests.reports.core.test_yearly import parts_are_the_whole
from tests.reports.pdf import reading
from tests.surveys import rows
from tests.surveys.words import first_line, plain

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 14, tzinfo=UTC)
YEAR = Period.of("2026")
PAGE = reverse("reports:year")


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


def loaded(site, person, asked: str = "2026", building=None):
    return year(Scope(site, Person.objects.get(pk=person.pk), building), Period.of(asked), NOW.date(), NOW)


# I9, T1: the site's midnight ----------------------------------------------------------------------------------------

ZONES = ("Europe/London", "America/Los_Angeles", "Asia/Kathmandu", "Pacific/Auckland", "Pacific/Kiritimati")
MIDNIGHT = [
    # by the site's clock, the year that it is in
    ((date(2025, 12, 31), time(23, 30)), 2025),
    ((date(2026, 1, 1), time(0, 30)), 2026),
]


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize(("local", "in_year"), MIDNIGHT, ids=["before", "after"])
def test_i9_t1_a_survey_at_midnight_is_in_the_year_of_the_sites_clock(
    site, technician, auditor, programme_manager, make_hood, zone, local, in_year, signed_in
):
    site.time_zone = zone
    site.save()
    on, clock = local
    at = datetime.combine(on, clock, ZoneInfo(zone)).astimezone(UTC)
    version = surveying.make_version(site, programme_manager)
    hood = make_hood()
    surveying.assign(hood, version, programme_manager)
    content = surveying.entered(surveying.make_instrument(site, programme_manager))
    survey = surveying.survey(hood, content, technician, at)
    assert (survey.done_on.year, survey.done_on.day) == (in_year, on.day)
    found = {number: loaded(site, auditor, str(number)).counts for number in (2025, 2026)}
    assert {number: len(counts.surveys) for number, counts in found.items()} == {2025: 0, 2026: 0} | {in_year: 1}
    told = found[in_year].hoods[0].last
    assert told is not None
    assert told.done_on == on
    month = next(line for line in found[in_year].months if line.as_found.all)
    assert (month.month.year, month.month.month) == (in_year, on.month)
    page = signed_in(auditor).get(PAGE, {"from": f"{in_year}-01"})
    assert "Of 1 routine survey none ended in fail" in plain(html_of(page))
    label = signed_in(technician).post(reverse("reports:label", args=[hood.pk]))
    said = f"{in_year} {'DEC' if in_year == 2025 else 'JAN'} {on.day}"  # labels write the year first
    assert said in reading.quick_text(label.content)


def test_i9_t1_control_the_moment_by_another_clock_would_count_it_in_another_year():
    """By UTC a survey of 23:30 in Los Angeles is in the next year: what the site's own day prevents."""
    at = datetime(2025, 12, 31, 23, 30, tzinfo=ZoneInfo("America/Los_Angeles"))
    assert at.astimezone(UTC).year == 2026


days = st.dates(date(2025, 6, 1), date(2027, 3, 31))
surveys_ = st.lists(
    st.tuples(st.integers(0, 3), days, st.sampled_from(["pass", "restrict", "fail", "no-verdict"]),
              st.sampled_from(["annual", "initial", "retest", "complaint", ""]), st.booleans()),
    max_size=8,
)  # fmt: skip


@settings(max_examples=10, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(surveys_, days)
def test_i9_the_sum_of_the_parts_is_the_whole_with_the_database(site, programme_manager, version, made, moved_on):
    with transaction.atomic():
        houses = [making.make_building(site, name) for name in ("North Range", "Mill House")]
        happened(houses, programme_manager, version, made, moved_on)
        seen, today = [], date(2027, 4, 1)
        for asked in ("2025", "2026", "2027"):
            whole, *apart = (
                counted(Scope(site, programme_manager, house), Period.of(asked), today) for house in (None, *houses)
            )
            seen += [one.key for one in whole.surveys]
            for one in (whole, *apart):
                parts_are_the_whole(one)
            assert {one.key for part in apart for one in part.surveys} == {one.key for one in whole.surveys}
            by_name = {line.building: line.as_left for line in whole.buildings}
            for house, part in zip(houses, apart, strict=True):
                assert by_name.get(house.name, Tally()) == part.as_left
        assert len(seen) == len(set(seen))
        replaced = Survey.objects.filter(amends__isnull=False).count()
        assert len(seen) == Survey.objects.count() - replaced
        transaction.set_rollback(True)


def happened(houses, by, version, made, moved_on) -> None:
    """Four hoods in two buildings: one moves from one to the other, one is hibernated, and surveys are made and amended."""
    rooms = [making.make_room(house, "1") for house in houses]
    hoods = [making.make_hood(room=rooms[number % 2], by=by) for number in range(4)]
    Placement.objects.create(hood=hoods[0], room=rooms[1], from_on=moved_on, at=NOW, by=by)
    HoodEvent.objects.create(hood=hoods[0], kind="moved", on=moved_on, at=NOW, by=by)
    HoodEvent.objects.create(hood=hoods[3], kind="hibernated", on=moved_on, at=NOW, by=by)
    last: dict[int, Survey] = {}
    for number, on, verdict, reason, amends in made:
        old = last.get(number) if amends else None
        last[number] = rows.survey(
            hoods[number], version, by, on, verdict, reason=reason, amends=old, why="wrong hood" if old else ""
        )


# What it says -------------------------------------------------------------------------------------------------------


def test_the_first_line_says_within_overdue_and_failed(site, auditor, ready, version, technician, signed_in):
    for number in range(3):
        rows.survey(ready(tag=f"FH-{number}"), version, technician, date(2026, 3, 12))
    late = ready(tag="FH-LATE")
    rows.survey(late, version, technician, date(2025, 3, 12))
    failed = ready(tag="FH-FAIL")
    rows.survey(failed, version, technician, date(2026, 5, 1), "fail")
    assert first_line(signed_in(auditor).get(PAGE)) == (
        "3 of 5 hoods in service are surveyed within their interval today (60.0 %). One is overdue. Of 4 routine surveys "
        "one ended in fail as found, one as left."
    )
    assert first_line(signed_in(auditor).get(PAGE, {"from": "2025-01"})) == (
        "1 of 5 hoods in service had been surveyed within their interval on 31 DEC 2025 (20.0 %). None was overdue. Of 1 "
        "routine survey none ended in fail as found, none as left."
    )


def test_an_empty_site_has_a_page(site, auditor, signed_in):
    response = signed_in(auditor).get(PAGE)
    assert first_line(response) == "No hood is in service today. No routine survey was made."
    assert reading.quick_text(signed_in(auditor).get(reverse("reports:year_report")).content)


def test_the_exceptions_stand_on_page_and_print(
    site, auditor, ready, version, technician, programme_manager, signed_in
):
    hood, late = ready(tag="FH-0142"), ready(tag="FH-0150")
    rows.survey(hood, version, technician, date(2026, 3, 2), "fail")
    rows.survey(hood, version, technician, date(2026, 3, 14), reason="after-repair")
    old = rows.survey(late, version, technician, date(2025, 10, 1))
    rows.survey(late, version, technician, date(2025, 10, 1), "restrict", amends=old, why="Read at the wrong hood.")
    rows.survey(late, version, technician, date(2026, 11, 20), "no-verdict", full=False)
    HoodEvent.objects.create(
        hood=late,
        kind="overdue-explained",
        on=date(2026, 11, 2),
        at=NOW,
        by=programme_manager,
        why="Room closed for works",
    )
    other = rows.criteria(site, programme_manager, name="Acids")
    Assignment.objects.create(
        hood=hood, set=other.set, from_on=date(2026, 6, 1), at=NOW, by=programme_manager, why="Acids moved in",
        evidence="Tracer test of May",
    )  # fmt: skip
    Qualification.objects.create(
        person=technician, site=site, method="face velocity by traverse", qualified_by="Skua course",
        from_on=date(2026, 1, 1), at=NOW, by=programme_manager,
    )  # fmt: skip
    client = signed_in(auditor)
    page = plain(html_of(client.get(PAGE)))
    print_ = reading.quick_text(client.get(reverse("reports:year_report")).content)
    for said in (
        "Room closed for works", "Acids moved in", "Tracer test of May", "face velocity by traverse", "Skua course",
    ):  # fmt: skip
        assert said in page
        assert said in print_
    assert "1 survey left its hood in fail; 1 met criteria again later" in page
    assert "It took 12 days (median), 12 at most" in page
    assert "Read at the wrong hood." in plain(html_of(client.get(PAGE, {"from": "2025-01"})))
    made = loaded(site, auditor)
    assert [(one.became, one.days) for one in made.failures] == [("met-again", 12)]
    assert [(one.line.hood.tag, one.explained) for one in made.late] == [("FH-0150", "Room closed for works")]
    assert [one.qualified for one in made.surveyors] == [3]


def test_the_print_says_moment_zone_record_hash_and_pages(site, auditor, ready, version, technician, signed_in):
    rows.survey(ready(), version, technician, date(2026, 3, 12))
    made = signed_in(auditor).get(reverse("reports:year_report"), {"paper": "Letter"})
    last = Record.objects.order_by("-number").first()
    words = reading.quick_text(made.content)
    assert f"Records as of 25 NOV 2026, 14:00 UTC+00:00 (Europe/London); the last was record {last.number}" in words
    assert last.sha256 in words
    count = len(reading.pages(made.content))
    assert all(f"page {number} of {count}" in text for number, text in enumerate(reading.pages(made.content), 1))
    assert "Meeting criteria does not guarantee containment." in words
    assert reading.size(made.content) == pytest.approx((215.9, 279.4), abs=0.1)
    assert made.headers["Content-Disposition"] == 'inline; filename="Skua Institute 2026.pdf"'


def test_a_year_that_is_none_is_refused_at_its_field_and_the_entry_kept(site, auditor, signed_in):
    client = signed_in(auditor)
    for text, said in (("spring", "“spring” is no month."), ("2027-01", "These months have not begun.")):
        response = client.get(PAGE, {"from": text})
        assert response.status_code == 422
        html = response.content.decode()
        assert said in html
        assert re.search(rf'<input[^>]*id="from"[^>]*value="{text}"[^>]*aria-invalid="true"', html)
        assert client.get(reverse("reports:year_report"), {"from": text}).status_code == 404
    for building in ("x", "987654321", "9" * 30, "٣"):
        assert client.get(PAGE, {"building": building}).status_code == 404


def test_years_are_those_with_surveys(site, auditor, ready, version, technician):
    assert years_with_surveys(Scope(site, auditor), NOW.date()) == []
    hood = ready()
    for on in (date(2023, 12, 31), date(2026, 1, 1)):
        rows.survey(hood, version, technician, on)
    assert years_with_surveys(Scope(site, auditor), NOW.date()) == [2026, 2025, 2024, 2023]


# A8: a lab manager --------------------------------------------------------------------------------------------------


def test_a8_a_lab_manager_counts_their_own_rooms_alone(
    site, lab_manager, auditor, ready, other_room, version, technician, signed_in
):
    mine, other = ready(tag="FH-MINE"), ready(tag="ZZ-OTHER", room=other_room)
    for hood in (mine, other):
        rows.survey(hood, version, technician, date(2026, 3, 12))
    rows.survey(other, version, technician, date(2026, 4, 12), "fail")
    found, whole = loaded(site, lab_manager), loaded(site, auditor)
    parts_are_the_whole(found.counts)
    assert (found.counts.service.hoods, len(found.counts.surveys)) == (1, 1)
    assert (whole.counts.service.hoods, len(whole.counts.surveys)) == (2, 3)
    client = signed_in(lab_manager)
    for view in ("reports:year", "reports:year_report", "reports:year_archive", "reports:year_book"):
        response = client.get(reverse(view))
        made = b"".join(response) if response.streaming else response.content
        assert b"ZZ-OTHER" not in made, view
    for name in NAMES:
        made = b"".join(client.get(reverse("reports:year_table"), {"table": name}))
        assert b"ZZ-OTHER" not in made, name
    for view in ("reports:year_months", "reports:year_buildings", "reports:year_averages"):
        assert client.get(reverse(view)).status_code == 200
    assert "pass 1" in client.get(reverse("reports:year_months")).content.decode()
    assert "fail 1" not in client.get(reverse("reports:year_months")).content.decode()


def test_a8_control_the_same_hood_is_told_to_who_sees_the_site(
    auditor, ready, other_room, version, technician, signed_in
):
    rows.survey(ready(tag="ZZ-OTHER", room=other_room), version, technician, date(2026, 3, 12))
    assert b"ZZ-OTHER" in signed_in(auditor).get(PAGE).content


def test_a_building_has_its_own_year(site, building, auditor, ready, version, technician, signed_in):
    far = making.make_room(making.make_building(site, "Mill House"), "1")
    for hood in (ready(tag="FH-NEAR"), ready(tag="FH-FAR", room=far)):
        rows.survey(hood, version, technician, date(2026, 3, 12))
    page = html_of(signed_in(auditor).get(PAGE, {"building": building.pk}))
    assert "FH-NEAR" in page
    assert "FH-FAR" not in page
    file = signed_in(auditor).get(reverse("reports:year_archive"), {"building": building.pk})
    assert file.headers["Content-Disposition"] == 'attachment; filename="Skua Institute 2026 North Range.zip"'


# Files --------------------------------------------------------------------------------------------------------------

TRAP = "=HYPERLINK(1)"


@pytest.fixture
def trapped(site, auditor, ready, version, technician, programme_manager):
    """A year in which everything that somebody can type begins like a formula."""
    site.name = TRAP
    site.save()
    room = making.make_room(making.make_building(site, "+Range"), "@214")
    hood = ready(tag="-FH-1", room=room)
    rows.survey(hood, version, technician, date(2025, 3, 12))
    rows.survey(hood, version, technician, date(2026, 3, 2), "fail")
    HoodEvent.objects.create(
        hood=hood, kind="overdue-explained", on=date(2026, 5, 2), at=NOW, by=programme_manager, why="\t=1+1"
    )
    return hood


def test_i8_every_csv_is_parsed_back_without_a_formula(trapped, auditor, signed_in):
    client, seen = signed_in(auditor), set()
    for name, columns, _rows in TABLES:
        response = client.get(reverse("reports:year_table"), {"table": name, "from": "2026"})
        assert response.headers["Content-Type"] == "text/csv; charset=utf-8"
        assert response.headers["Content-Disposition"].endswith(f'2026 {name}.csv"')
        parsed = list(csv.reader(io.StringIO(b"".join(response).decode("utf-8-sig"), newline="")))
        assert tuple(parsed[0]) == columns
        assert {len(row) for row in parsed} == {len(columns)}
        cells = [cell for row in parsed[1:] for cell in row]
        assert not [cell for cell in cells if cell[:1] in tuple("=+-@\t\r")]
        seen |= {restored(cell) for cell in cells}
    assert {TRAP, "+Range", "@214", "-FH-1", "\t=1+1"} <= seen


def test_i8_no_sheet_of_the_workbook_holds_a_formula(trapped, auditor, signed_in):
    made = b"".join(signed_in(auditor).get(reverse("reports:year_book"), {"from": "2026"}))
    book = openpyxl.load_workbook(io.BytesIO(made))
    assert book.sheetnames == [name for name, _columns, _rows in TABLES]
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert kinds <= {"s", "n"}
    values = {cell.value for sheet in book for row in sheet.iter_rows() for cell in row}
    assert {f"'{TRAP}", "'-FH-1"} <= values


def test_the_archive_holds_every_table_and_reading(site, auditor, make_hood, technician, programme_manager, signed_in):
    version = surveying.make_version(site, programme_manager)
    hood = make_hood(tag="FH-0142")
    surveying.assign(hood, version, programme_manager)
    surveying.survey(hood, surveying.entered(surveying.make_instrument(site, programme_manager)), technician)
    made = b"".join(signed_in(auditor).get(reverse("reports:year_archive")))
    with zipfile.ZipFile(io.BytesIO(made)) as kept:
        assert kept.namelist() == [f"Skua Institute 2026 {name}.csv" for name in NAMES]
        text = kept.read("Skua Institute 2026 readings.csv").decode("utf-8-sig")
    found = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["reading"] for row in found] == [value for line in surveying.GOOD for value in line]
    assert {(row["hood"], row["unit"], row["done_on"]) for row in found} == {("FH-0142", "ft/min", "2026-03-12")}


def test_what_is_no_table_is_not_found(auditor, signed_in):
    assert signed_in(auditor).get(reverse("reports:year_table"), {"table": "people"}).status_code == 404
    assert signed_in(auditor).get(reverse("reports:year_table")).status_code == 404


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
