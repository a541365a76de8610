"""The counts of a year: the sum of the parts is the whole, each survey in one year, each hood in one place."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given

from reports.core.period import Period
from reports.core.yearly import STATES, by_status, count, seen_in_service, state
from reports.core.yearly_counts import Counts, Tally
from reports.core.yearly_exceptions import Qualified, late, measured, surveyors
from reports.core.yearly_rows import GROUPS, VERDICTS, standing
from surveys.core.history import Event
from surveys.core.status import NOT_SIGNED_HERE, Flag
from tests.reports.core.yearly_made import hood, status, survey, years

YEAR = Period.of("2026")
ON = date(2026, 12, 31)


def counted(hoods, surveys, period: Period = YEAR) -> Counts:
    return count(period, ON, hoods, surveys)


def parts_are_the_whole(counts: Counts) -> None:
    """Every sum that a reader could make."""
    all_ = len(counts.surveys)
    assert sum(row.as_found for row in counts.outcomes) == sum(row.as_left for row in counts.outcomes) == all_
    assert sum(sum(row[1:]) for row in counts.held) == all_
    assert sum(row.surveys for row in counts.reasons) == all_
    assert sum(row.as_found_fail for row in counts.reasons) == counts.as_found.failed
    assert sum(row.as_left_fail for row in counts.reasons) == counts.as_left.failed
    assert sum(counts.group(group)[0].all for group in GROUPS) == all_
    for rows in (counts.months, counts.buildings):
        assert added([row.as_found for row in rows]) == counts.as_found
        assert added([row.as_left for row in rows]) == counts.as_left
    assert sum(row.surveys for row in measured(counts.surveys, {})) == all_
    assert sum(row.surveys for row in surveyors(counts.surveys, ())) == all_
    assert sum(line.surveys for line in counts.hoods) == all_
    service = counts.service
    assert service.hoods == sum(line.is_here for line in counts.hoods) == sum(by_status(counts.hoods).values())
    assert service.in_service <= service.seen_in_service <= service.hoods
    assert service.overdue_barred <= min(service.barred, service.overdue)
    assert len(counts.hoods) == service.hoods + counts.moved_away
    assert service.barred + service.barred_beside == by_status(counts.hoods)["do-not-use"]
    assert tuple(sum(row.service[place] for row in counts.buildings) for place in range(len(service))) == service
    assert counts.as_found.all == counts.as_left.all == all_


def added(tallies) -> Tally:
    return Tally(*(sum(column) for column in zip(*tallies, strict=True))) if tallies else Tally()


@given(years())
def test_i9_the_sum_of_the_parts_is_the_whole(made):
    parts_are_the_whole(counted(*made))


@given(years())
def test_i9_the_buildings_are_the_site(made):
    whole = counted(*made)
    apart = [count(YEAR, ON, *made, building) for building in ("North Range", "Mill House", "")]
    for one in apart:
        parts_are_the_whole(one)
    assert added([one.as_found for one in apart]) == whole.as_found
    assert tuple(sum(column) for column in zip(*(one.service for one in apart), strict=True)) == whole.service
    by_name = {line.building: line.as_left for line in whole.buildings}
    for one, building in zip(apart, ("North Range", "Mill House", ""), strict=True):
        assert one.as_left == by_name.get(building, Tally())


@given(years())
def test_i9_a_survey_is_in_exactly_one_year_and_counts_once(made):
    hoods, surveys = made
    by_year = [counted(hoods, surveys, Period.of(text)) for text in ("2025", "2026", "2027")]
    in_years = [survey.key for counts in by_year for survey in counts.surveys]
    assert sorted(in_years) == sorted(survey.key for survey in standing(tuple(surveys)).counted)
    amendments = [new.key for counts in by_year for _old, new in counts.replaced]
    assert sorted(amendments) == sorted(one.key for one in surveys if one.amends is not None)


@given(years())
def test_i9_one_day_is_counted_in_one_of_two_years_that_follow(made):
    hoods, surveys = made
    halves = [counted(hoods, surveys, Period.of(text)) for text in ("2025-07", "2026-07")]
    both = count(Period(date(2025, 7, 1), date(2027, 6, 30)), ON, hoods, surveys)
    assert added([half.as_left for half in halves]) == both.as_left


def test_i9_control_a_survey_counted_by_another_day_breaks_the_sum():
    """With an amendment counted on its own day, the year of what it amends would lose a survey and the next gain one."""
    first = survey(1, date(2025, 12, 31), "pass")
    amendment = survey(1, date(2026, 1, 2), "restrict", amends=first.key)
    hoods = [hood(1)]
    assert [len(counted(hoods, [first, amendment], Period.of(text)).surveys) for text in ("2025", "2026")] == [1, 0]
    wrong = amendment._replace(amends=None)
    assert [len(counted(hoods, [first, wrong], Period.of(text)).surveys) for text in ("2025", "2026")] == [1, 1]


AMENDED = [
    # verdict of the first, of its amendment, counted, why
    ("pass", "fail", ["fail"], "an amendment takes the place of what it amends"),
    ("pass", "no-verdict", ["no-verdict"], "without a verdict it takes a pass away"),
    ("fail", "no-verdict", ["fail"], "without a verdict it never takes a failure away"),
    ("fail", "pass", ["pass"], "a failure that was a mistake"),
]


@pytest.mark.parametrize(("first", "second", "verdicts", "why"), AMENDED, ids=[row[3] for row in AMENDED])
def test_an_amendment_counts_once(first, second, verdicts, why):
    one = survey(1, date(2026, 3, 1), first)
    two = survey(1, date(2026, 4, 1), second, amends=one.key)
    found = counted([hood(1)], [one, two])
    assert [row.verdict for row in found.surveys] == verdicts, why
    assert [row.done_on for row in found.surveys] == [date(2026, 3, 1)]
    assert len(found.replaced) == 1


def test_an_amendment_of_one_that_was_in_vain_takes_the_failure_away():
    fail = survey(1, date(2026, 3, 1), "fail")
    vain = survey(1, date(2026, 3, 2), "no-verdict", amends=fail.key)
    last = survey(1, date(2026, 3, 3), "pass", amends=vain.key)
    assert [row.key for row in standing((fail, vain, last)).counted] == [last.key]


EARLIER = "earlier"  # in the place of 'overdue since': its result is from earlier records
PLACES = [
    # status, due, overdue, what its events say, place, why
    ("met-criteria", date(2027, 1, 1), None, None, "within-interval", "surveyed, and not yet due again"),
    ("restricted", date(2027, 1, 1), None, None, "within-interval", "a restriction does not make it late"),
    ("do-not-use", date(2027, 1, 1), None, None, "within-interval", "posted, yet its survey is in date"),
    ("do-not-use", date(2026, 1, 1), date(2026, 1, 2), None, "overdue", "posted and late"),
    ("met-criteria", date(2026, 1, 1), date(2026, 1, 2), None, "overdue", "late by a day is overdue"),
    ("not-surveyed", date(2027, 1, 1), None, None, "not-surveyed", "moved since: nothing is known of it there"),
    ("do-not-use", None, None, None, "not-surveyed", "failed its first survey"),
    ("do-not-use", date(2027, 1, 1), None, "out-of-service", "out-of-service", "posted inside an outage"),
    ("do-not-use", date(2026, 1, 1), date(2026, 1, 2), "out-of-service", "out-of-service", "posted and late inside it"),
    ("out-of-service", date(2026, 1, 1), date(2026, 1, 2), "out-of-service", "out-of-service", "nobody uses it: not overdue"),
    ("hibernated", date(2027, 1, 1), None, "hibernated", "hibernated", "its air is off"),
    ("retired", date(2027, 1, 1), None, "retired", "retired", "gone"),
    ("met-criteria", date(2027, 1, 1), EARLIER, None, "by-earlier-records", "in date, and not surveyed here"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "due", "overdue", "life", "place", "why"), PLACES, ids=[row[5] for row in PLACES])
def test_where_a_hood_stands(code, due, overdue, life, place, why):
    made = status(code, due=due, overdue=None if overdue == EARLIER else overdue)
    if overdue == EARLIER:
        made = made._replace(flags=(Flag(NOT_SIGNED_HERE, date(2026, 3, 1)),))
    assert state(hood(1, status=made, life=life)) == place, why


def test_every_place_is_seen():
    assert {row[4] for row in PLACES} == set(STATES)


def event(kind: str, on: date, until: date | None = None) -> Event:
    return Event(kind, on, datetime(on.year, on.month, on.day, 12, tzinfo=UTC), until)


OLD = event("installed", date(2020, 1, 1))
SERVICE = [
    # events, in service on some day of 2026, why
    ([OLD], True, "there all along"),
    ([event("installed", date(2026, 12, 31))], True, "installed on the last day"),
    ([event("installed", date(2027, 1, 1))], False, "installed after it"),
    ([OLD, event("retired", date(2026, 1, 1))], False, "retired on the first day"),
    ([OLD, event("retired", date(2026, 1, 2))], True, "retired on the second"),
    ([OLD, event("hibernated", date(2025, 5, 1))], False, "hibernated all year"),
    ([OLD, event("hibernated", date(2025, 5, 1)), event("woken", date(2026, 12, 31))], True, "woken on the last day"),
    ([OLD, event("out-of-service", date(2025, 5, 1), date(2026, 12, 31))], False, "an outage until the last day"),
    ([OLD, event("out-of-service", date(2025, 5, 1), date(2026, 12, 30))], True, "an outage until the day before"),
    ([OLD, event("out-of-service", date(2025, 5, 1)), event("back-in-service", date(2026, 6, 1))], True, "it ended"),
    ([OLD, event("out-of-service", date(2025, 5, 1)), event("out-of-service", date(2026, 2, 1), date(2026, 3, 1))],
     False, "an outage without an end lasts beside one that is over"),
    ([], False, "never installed"),
]  # fmt: skip


@pytest.mark.parametrize(("events", "seen", "why"), SERVICE, ids=[row[2] for row in SERVICE])
def test_in_service_on_some_day(events, seen, why):
    assert seen_in_service(events, YEAR, ON) is seen, why


def test_a_stop_posted_inside_an_outage_moves_no_hood_into_service_and_none_among_the_overdue():
    late_ = {"due": date(2026, 10, 31), "overdue": date(2026, 11, 1)}
    before, after = (
        counted([hood(1, status=status(code, **late_), life="out-of-service"), hood(2)], [])
        for code in ("out-of-service", "do-not-use")
    )
    assert before.service == after.service._replace(barred_beside=0)
    assert (after.service.in_service, after.service.out_of_service) == (1, 1)
    assert (after.service.barred, after.service.barred_beside) == (0, 1)
    assert late(after) == ()


def test_control_by_its_status_alone_the_posted_hood_would_be_in_service():
    posted = hood(1, status=status("do-not-use"), life=None)
    assert counted([posted], []).service.in_service == 1


def test_the_list_of_a_building_says_who_moved_away_and_when():
    stood = ((date(2020, 1, 1), "North Range"), (date(2026, 5, 4), "Mill House"), (date(2026, 9, 1), "Mill House"))
    gone, here = hood(1, "Mill House", stood=stood), hood(2, stood=((date(2020, 1, 1), "North Range"),))
    found = count(YEAR, ON, [gone, here], [survey(1), survey(2)], "North Range")
    assert {line.hood.key: (line.is_here, line.left_on) for line in found.hoods} == {
        1: (False, date(2026, 5, 4)), 2: (True, None),
    }  # fmt: skip
    assert (found.service.hoods, found.moved_away, len(found.hoods)) == (1, 1, 2)
    back = gone._replace(stood=(*stood, (date(2026, 10, 1), "North Range"), (date(2026, 11, 1), "")))
    assert back.left_on("North Range") == date(2026, 11, 1)
    assert gone.left_on("Elsewhere") is None


def test_a_hood_retired_before_the_year_is_none_of_it_unless_it_was_surveyed():
    gone = hood(1, status=status("retired"), seen_in_service=False)
    assert counted([gone], []).service.hoods == 0
    assert counted([gone], [survey(1)]).service.hoods == 1


def test_an_amendment_made_after_a_move_counts_where_the_hood_was_measured():
    here, there = (hood(1, building=name).place for name in ("North Range", "Mill House"))
    first = survey(1, date(2026, 3, 1), "pass", place=here)
    amendment = survey(1, date(2026, 5, 1), "fail", place=there, amends=first.key)
    found = {name: count(YEAR, ON, [hood(1, place=there)], [first, amendment], name).as_left
             for name in ("North Range", "Mill House")}  # fmt: skip
    assert found == {"North Range": Tally(failed=1), "Mill House": Tally()}


def test_routine_and_repeats_are_kept_apart():
    made = [survey(1, reason="annual", as_found="fail"), survey(1, reason="retest"), survey(1, reason="initial")]
    found = counted([hood(1)], made)
    assert [found.group(group)[0].all for group in GROUPS] == [1, 1, 1]
    assert found.group("routine") == (Tally(failed=1), Tally(passed=1))


def test_a_verdict_of_another_release_counts_as_none():
    assert Tally.of(["pass", "something-new"]) == Tally(passed=1, no_verdict=1)
    assert VERDICTS[-1] == "no-verdict"


def test_surveys_on_days_with_a_qualification():
    made = [survey(1, date(2026, 3, day), surveyor=7) for day in (1, 2, 3)]
    (found,) = surveyors(made, [Qualified(7, date(2026, 3, 2), date(2026, 3, 2)), Qualified(8, date(2026, 1, 1), None)])
    assert (found.surveys, found.days, found.qualified) == (3, 3, 1)
    assert surveyors(made, [Qualified(7, date(2026, 3, 2), None)])[0].qualified == 2
