"""What the year says of hoods that stand apart: in an outage, moved or woken, in grace, elsewhere, before any record."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from hoods.models import HoodEvent, Opening, Placement
from surveys.models import Stop
from tests import making, surveying
from tests.agreement import html_of
from tests.reports.pdf import reading
from tests.reports.year.loading import NOW, PAGE
from tests.surveys import rows
from tests.surveys.words import first_line, plain

pytestmark = pytest.mark.django_db


@pytest.fixture
def asked(signed_in, auditor):
    """The year's page, its print and one of its tables, as an auditor has them."""
    client = signed_in(auditor)

    class Asked:
        def page(self, **given):
            return plain(html_of(client.get(PAGE, given)))

        def line(self, **given):
            return first_line(client.get(PAGE, given))

        def print(self, **given):
            return reading.quick_text(client.get(reverse("reports:year_report"), given).content)

        def table(self, name, **given):
            text = b"".join(client.get(reverse("reports:year_table"), {"table": name, **given})).decode("utf-8-sig")
            return list(csv.DictReader(io.StringIO(text)))

        def about(self, **given):
            return {row["what"]: row["value"] for row in self.table("about", **given)}

    return Asked()


def event(hood, kind: str, on: date, by, **fields) -> HoodEvent:
    at = datetime(on.year, on.month, on.day, 12, tzinfo=UTC)
    return HoodEvent.objects.create(hood=hood, kind=kind, on=on, at=at, by=by, **fields)


def test_a_stop_posted_inside_an_outage_moves_nothing_but_what_is_posted(
    ready, version, technician, programme_manager, asked
):
    hood = ready(tag="FH-0142")
    rows.survey(ready(tag="FH-0143"), version, technician, date(2026, 3, 12))
    rows.survey(hood, version, technician, date(2025, 3, 12))
    event(hood, "out-of-service", date(2026, 11, 1), programme_manager, until_on=date(2026, 12, 20))
    before, overdue = asked.about(), asked.table("overdue")
    Stop.objects.create(hood=hood, at=NOW, by=technician, reason="no-flow")
    after = asked.about()
    (line,) = (row for row in asked.table("hoods") if row["hood"] == "FH-0142")
    assert (line["status"], line["place"]) == ("do-not-use", "out-of-service")
    counted = ("in_service", "out_of_service", "overdue", "within_interval", "hoods_of_the_year")
    assert [after[key] for key in counted] == [before[key] for key in counted] == ["1", "1", "0", "1", "2"]
    assert (before["do_not_use_beside"], after["do_not_use_beside"]) == ("0", "1")
    assert overdue == asked.table("overdue") == []
    assert "1 more is not to be used, among those out of service." in asked.page()
    assert "Not to be used among those out of service: 1 more." in asked.print()


@pytest.mark.parametrize("kind", ["moved", "woken"])
def test_a_hood_not_surveyed_since_it_moved_or_woke_waits_and_has_no_due_day(
    ready, version, technician, programme_manager, asked, kind
):
    hood = ready(tag="FH-0142")
    rows.survey(hood, version, technician, date(2025, 3, 12))
    assert [row["due_on"] for row in asked.table("hoods")] == ["2026-03-12"]
    event(hood, kind, date(2025, 9, 1), programme_manager)
    (line,) = asked.table("hoods")
    assert (line["status"], line["place"], line["due_on"], line["flags"]) == ("not-surveyed", "not-surveyed", "", "")
    assert asked.table("overdue") == []
    assert (asked.about()["overdue"], asked.about()["not_surveyed"]) == ("0", "1")


def test_grace_stands_beside_the_overdue_of_page_print_and_table(site, make_hood, technician, programme_manager, asked):
    version = rows.criteria(site, programme_manager, due={"grace_days": "30"})
    hood = make_hood(tag="FH-0142")
    rows.assign(hood, version, programme_manager)
    rows.survey(hood, version, technician, date(2025, 11, 10))
    assert "in grace until 10 DEC 2026" in asked.page()
    assert "10 NOV 2026; in grace until 10 DEC 2026" in " ".join(asked.print().split())
    (line,) = asked.table("overdue")
    assert (line["due_on"], line["in_grace_until"], line["days_late"]) == ("2026-11-10", "2026-12-10", "15")
    assert "One is overdue." in asked.line()


def test_the_list_of_a_building_agrees_with_its_counts_and_says_who_moved_away(
    site, room, building, ready, version, technician, programme_manager, asked
):
    gone, here = ready(tag="FH-GONE"), ready(tag="FH-HERE")
    for hood in (gone, here):
        rows.survey(hood, version, technician, date(2026, 3, 12))
    far = making.make_room(making.make_building(site, "Mill House"), "1")
    Placement.objects.create(hood=gone, room=far, from_on=date(2026, 6, 1), at=NOW, by=programme_manager)
    event(gone, "moved", date(2026, 6, 1), programme_manager)
    of = {"building": building.pk}
    page, print_ = asked.page(**of), " ".join(asked.print(**of).split())
    assert "moved away from North Range on 1 JUN 2026" in page
    assert "Mill House 1" in page
    assert (
        "2 hoods: the 1 counted above, and 1 that was surveyed in North Range in these months and has moved away"
        in page
    )
    assert "moved away on 1 JUN 2026" in print_
    assert "Surveyed here, moved away since and counted where they stand: 1 more." in print_
    listed = {row["hood"]: row["moved_away_on"] for row in asked.table("hoods", **of)}
    assert listed == {"FH-GONE": "2026-06-01", "FH-HERE": ""}
    about = asked.about(**of)
    assert int(about["hoods_of_the_year"]) + int(about["surveyed_here_and_moved_away"]) == len(listed)
    assert "moved away" not in asked.page()


@pytest.fixture
def lowered(ready, version, technician):
    """A hood whose average as left is that of its lower opening."""
    hood = ready(tag="FH-0143")
    Opening.objects.create(hood=hood, order=2, name="lower", use="lower", width="62 in", height="12 in")
    rows.survey(hood, version, technician, date(2026, 3, 12), "restrict", approved=("lower",), average="93")
    return hood


def test_an_average_of_another_opening_than_the_working_one_names_it(
    lowered, ready, version, technician, signed_in, auditor, asked
):
    rows.survey(ready(tag="FH-0144"), version, technician, date(2026, 3, 13))
    page, print_ = asked.page(), " ".join(asked.print().split())
    assert "93 ft/min lower, 12 in" in page
    assert "98 ft/min working" not in page
    assert "not at a working opening: FH-0143 (lower, 12 in)" in page
    assert "not at a working opening: FH-0143 (lower, 12 in)." in print_
    assert "93 ft/min (lower, 12 in)" in print_
    drawn = signed_in(auditor).get(reverse("reports:year_averages")).content.decode()
    assert "General hoods, 1 (not at a working opening: 1)" in drawn
    assert "General hoods, 1 (not at a working opening: 1)" in print_


def test_a_year_before_the_first_survey_says_that_there_were_no_records(ready, version, technician, asked):
    hood = ready()
    assert "no records" not in asked.line(**{"from": "2023-01"})  # nothing is signed: the page of an empty ledger
    rows.survey(hood, version, technician, date(2024, 10, 21))
    said = "The ledger had no records then: its first survey was made on 21 OCT 2024."
    for text in ("2022-01", "2023-10"):
        line = asked.line(**{"from": text})
        assert said in line
        assert "hoods in service" not in line
        print_ = " ".join(asked.print(**{"from": text}).split())
        assert said in print_
        assert "within their survey interval" not in print_
    assert "no records" not in asked.line(**{"from": "2023-11"})
    assert asked.about(**{"from": "2022-01"})["first_survey_of_the_ledger"] == "2024-10-21"
    page = asked.page()
    assert "Which year 2026 2025 2024 Any" in page


@pytest.mark.parametrize(("others", "page", "print_"), [
    (0, "One is overdue, and is not to be used.", "1 overdue, and not to be used."),
    (1, "Two are overdue, one of them not to be used.", "2 overdue, 1 of them not to be used."),
])  # fmt: skip
def test_how_many_overdue_are_posted_is_said_in_words_that_fit(ready, version, technician, asked, others, page, print_):
    hood, *_more = [ready() for _ in range(1 + others)]
    for one in (hood, *_more):
        rows.survey(one, version, technician, date(2025, 3, 12))
    assert "1 of them" not in asked.print()
    Stop.objects.create(hood=hood, at=NOW, by=technician, reason="no-flow")
    assert page in asked.line()
    assert print_ in " ".join(asked.print().split())


def test_the_checks_of_a_version_end_in_a_full_stop(site, programme_manager, asked):
    surveying.make_version(site, programme_manager)
    checks = asked.page().partition("Checks asked:")[2].partition("Instruments")[0].strip()
    assert checks.endswith("Light (note).")
    assert "; ." not in checks
    assert "(fail); " in checks
