"""Facts of many hoods: the same as core makes of them one by one, in a fixed number of queries."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Hood, HoodEvent
from surveys import queries
from surveys.models import Calibration, Instrument, Stop, StopChange
from tests.surveys import rows

TODAY = date(2026, 3, 30)
NOW = datetime(2026, 3, 30, 9, tzinfo=UTC)


@pytest.fixture
def version(site, programme_manager):
    return rows.criteria(site, programme_manager)


def code(hood: Hood, on: date = TODAY) -> str:
    return queries.status_of(hood, on).code


def test_a_hood_without_surveys_is_not_surveyed(hood):
    assert code(hood) == "not-surveyed"


def test_the_last_verdict_is_the_status(hood, version, technician):
    rows.survey(hood, version, technician, date(2025, 3, 1), "fail")
    rows.survey(hood, version, technician, date(2026, 3, 1), "pass")
    found = queries.status_of(hood, TODAY)
    assert (found.code, found.since, found.due.on) == ("met-criteria", date(2026, 3, 1), date(2027, 3, 1))
    assert [(opening.name, opening.height) for opening in found.approved] == [("working", "18 in")]


def test_a_survey_without_verdict_changes_nothing(hood, version, technician):
    rows.survey(hood, version, technician, date(2026, 3, 1), "restrict", restriction={"use": "not for acids"})
    rows.survey(hood, version, technician, date(2026, 3, 2), "no-verdict")
    found = queries.status_of(hood, TODAY)
    assert (found.code, found.restriction) == ("restricted", {"use": "not for acids"})


def test_a_past_day_is_asked_by_what_stood_then(hood, version, technician):
    rows.survey(hood, version, technician, date(2025, 3, 1), "pass")
    rows.survey(hood, version, technician, date(2026, 3, 1), "fail")
    assert [code(hood, day) for day in (date(2025, 2, 1), date(2026, 2, 28), TODAY)] == [
        "not-surveyed", "met-criteria", "do-not-use",
    ]  # fmt: skip


def test_a_stop_counts_by_the_day_of_the_site(hood, version, technician, programme_manager):
    """Posted at 23:30 UTC on 29 MAR: in London, an hour ahead since that day, it is the 30th."""
    rows.survey(hood, version, technician, date(2026, 3, 1), "pass")
    stop = Stop.objects.create(hood=hood, reason="no-flow", at=datetime(2026, 3, 29, 23, 30, tzinfo=UTC), by=technician)
    assert [code(hood, day) for day in (date(2026, 3, 29), TODAY)] == ["met-criteria", "do-not-use"]
    StopChange.objects.create(stop=stop, kind="hung", at=NOW, by=technician)
    assert code(hood) == "do-not-use"
    StopChange.objects.create(stop=stop, kind="withdrawn", why="wrong hood", at=NOW, by=programme_manager)
    assert code(hood) == "met-criteria"


def test_due_is_counted_from_the_last_full_survey_and_not_the_last(hood, version, technician):
    rows.survey(hood, version, technician, date(2025, 3, 1), "pass")
    rows.survey(hood, version, technician, date(2026, 3, 1), "pass", full=False)
    found = queries.status_of(hood, TODAY)
    assert (found.since, found.due.on) == (date(2026, 3, 1), date(2026, 3, 1))
    assert [flag.code for flag in found.flags] == ["overdue"]


def test_an_amendment_takes_the_place_of_what_it_amends(hood, version, technician):
    first = rows.survey(hood, version, technician, date(2025, 3, 1), "pass")
    rows.survey(hood, version, technician, date(2025, 6, 1), "pass")
    rows.survey(hood, version, technician, date(2026, 3, 1), "fail", amends=first, why="wrong hood")
    assert code(hood) == "met-criteria"  # what was amended came before the survey of June
    assert code(hood, date(2025, 4, 1)) == "do-not-use"  # by what is known now of that day


def test_an_instrument_found_out_of_tolerance_flags_what_it_measured(hood, site, version, technician):
    instrument = Instrument.objects.create(site=site, name="A-07", serial="1")
    for done, due, good in (("2025-01-10", "2026-01-10", True), ("2026-03-20", "2027-03-20", False)):
        Calibration.objects.create(
            instrument=instrument, certificate=done, done_on=done, due_on=due, in_tolerance=good, at=NOW, by=technician
        )
    rows.survey(hood, version, technician, date(2026, 1, 5), "pass", instrument=instrument)
    assert [flag.code for flag in queries.status_of(hood, TODAY).flags] == ["instrument-in-doubt"]


def test_a_label_is_outdated_by_the_next_survey(hood, version, technician):
    rows.survey(hood, version, technician, date(2025, 3, 1), "pass")
    assert queries.label_standing(hood, 1, TODAY) == "valid"
    rows.survey(hood, version, technician, date(2026, 3, 1), "pass")
    assert [queries.label_standing(hood, issue, TODAY) for issue in (1, 2, 3)] == ["outdated", "valid", "none"]


def make_many(make_hood, version, technician, number: int) -> None:
    instrument = Instrument.objects.create(site=version.set.site, name="A-07", serial="1")
    for at in range(number):
        hood = make_hood()
        rows.survey(hood, version, technician, date(2025, 3, 1), "pass")
        rows.survey(hood, version, technician, date(2026, 2, 1), "fail" if at % 3 else "pass", instrument=instrument)
        HoodEvent.objects.create(hood=hood, kind="out-of-service", on=date(2026, 2, 2), at=NOW, by=technician)


@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_statuses_take_the_same_queries_for_any_number_of_hoods(make_hood, version, technician, number):
    make_many(make_hood, version, technician, number)
    with CaptureQueriesContext(connection) as captured:
        found = queries.statuses(Hood.objects.all(), TODAY)
    assert len(found) == number
    assert len(captured) == 6


def test_many_at_once_is_what_each_is_alone(make_hood, version, technician):
    make_many(make_hood, version, technician, 7)
    hoods = list(Hood.objects.all())
    assert queries.statuses(Hood.objects.all(), TODAY) == {hood.pk: queries.status_of(hood, TODAY) for hood in hoods}


def test_whole_facts_give_the_same_status_as_the_last_ones(make_hood, version, technician):
    """The positive control of reading only the last surveys: with all of them, core says the same."""
    from surveys.core import status

    make_many(make_hood, version, technician, 5)
    few = queries.facts_of(Hood.objects.all(), TODAY)
    whole = queries.facts_of(Hood.objects.all(), TODAY, whole=True)
    assert {pk: len(facts.surveys) for pk, facts in whole.items()} == dict.fromkeys(few, 2)
    assert {pk: status.status(facts, TODAY) for pk, facts in few.items()} == {
        pk: status.status(facts, TODAY) for pk, facts in whole.items()
    }
