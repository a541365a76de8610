"""I9: a survey is in exactly one year, and the sum of the parts is the whole."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from django.db import transaction
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoods.models import HoodEvent, Placement
from reports.core.period import Period
from reports.core.yearly_counts import Tally
from reports.queries.yearly import Scope, counted
from surveys.models import Survey
from tests import making, surveying
from tests.agreement import html_of
from tests.reports.core.test_yearly import parts_are_the_whole
from tests.reports.pdf import reading
from tests.reports.year.loading import NOW, PAGE, loaded
from tests.surveys import rows
from tests.surveys.words import plain

pytestmark = pytest.mark.django_db


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
