"""Twelve months from the first day of one: calendar months, whatever the year."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reports.core.period import FROM, UNTIL, Period
from reports.core.share import percent

T14 = [
    # asked for  first              last                days  why
    ("2026",     date(2026, 1, 1),  date(2026, 12, 31), 365, "a calendar year"),
    ("2026-04",  date(2026, 4, 1),  date(2027, 3, 31),  365, "from the first of April"),
    ("2028",     date(2028, 1, 1),  date(2028, 12, 31), 366, "a leap year"),
    ("2027-03",  date(2027, 3, 1),  date(2028, 2, 29),  366, "ends on the leap day"),
    ("2038",     date(2038, 1, 1),  date(2038, 12, 31), 365, "after 19 January 2038, when seconds in 32 bits run out"),
    ("2100",     date(2100, 1, 1),  date(2100, 12, 31), 365, "2100 has no leap day"),
    ("2099-03",  date(2099, 3, 1),  date(2100, 2, 28),  365, "ends where 2100 has no leap day"),
    ("2399-03",  date(2399, 3, 1),  date(2400, 2, 29),  366, "2400 has one"),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "first", "last", "days", "why"), T14, ids=[row[0] for row in T14])
def test_t14_the_twelve_months(asked, first, last, days, why):
    period = Period.of(asked)
    assert period == Period(first, last), why
    assert (last - first).days + 1 == days


@pytest.mark.parametrize(
    "text", ["", "26", "2026-13", "2026-00", "2026-4", "1899", "3000", "2026-04-01", "٢٠٢٦", "2026-04x", "-2026"]
)
def test_what_is_no_month_is_none(text: str):
    assert Period.of(text) is None


starts = st.dates(min_value=date(FROM, 1, 1), max_value=date(UNTIL - 12, 12, 31))


@given(starts)
def test_t3_twelve_months_never_drift_as_365_days_would(day: date):
    period = Period.beginning(day)
    for _year in range(10):
        following = Period.beginning(period.last + timedelta(days=1))
        assert following.first == period.last + timedelta(days=1)
        assert (following.first.month, following.first.day) == (day.month, 1)
        period = following
    assert period.first.year == day.year + 10


@given(starts, st.integers(-800, 800))
def test_i9_a_day_is_in_exactly_one_of_a_row_of_years(day: date, months_apart: int):
    first = Period.beginning(day)
    row = [first]
    for _year in range(3):
        row.append(Period.beginning(row[-1].last + timedelta(days=1)))
    some = first.first + timedelta(days=abs(months_apart))
    assert sum(some in period for period in row) == 1


def test_i9_the_months_of_a_year_are_the_year():
    period = Period.of("2026-11")
    assert len(period.months) == 12
    assert period.months[0] == period.first
    assert [f"{month:%Y-%m}" for month in period.months][-1] == "2027-10"


def test_a_year_that_is_not_over_is_looked_at_today():
    period = Period.of("2026")
    assert period.until(date(2026, 5, 6)) == date(2026, 5, 6)
    assert period.until(date(2027, 5, 6)) == date(2026, 12, 31)


PERCENT = [
    # part, whole, said
    (405, 412, "98.3"), (0, 5, "0.0"), (5, 5, "100.0"), (0, 0, "–"), (1, 3, "33.3"),
    (9999, 10000, "99.99"), (1, 10000, "0.01"), (4999, 5000, "99.98"), (1, 2, "50.0"),
]  # fmt: skip


@pytest.mark.parametrize(("part", "whole", "said"), PERCENT)
def test_a_percentage_never_hides_a_remainder(part, whole, said):
    assert percent(part, whole) == said
