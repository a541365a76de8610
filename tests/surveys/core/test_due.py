"""When a hood is due again. Published dates are those of tests/check_values/dates.json."""

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from surveys.core.due import Due, DueRule, asks_too_seldom, month_end, months_after, next_due

PUBLISHED = json.loads((Path(__file__).parents[2] / "check_values" / "dates.json").read_text(encoding="utf-8"))
DAYS = st.dates(min_value=date(1996, 1, 1), max_value=date(2104, 12, 31))


def day(text: str) -> date:
    return date.fromisoformat(text)


@pytest.mark.parametrize("case", PUBLISHED, ids=lambda case: case["id"])
def test_published_dates(case):
    given_ = case["input"]
    rule = {"months": str(given_["months"]), "anchor": given_.get("anchor", "day"), "grace_days": "0"}
    assert next_due(day(given_["from"]), rule).on == day(case["expected"]["to"]), case["source"]


CASES = [
    # done on,     months, anchor,      due,          why
    ("2026-03-12", 12, "day", "2027-03-12", "the same day of the next year"),
    ("2026-12-31", 12, "day", "2027-12-31", "a year's end"),
    ("2026-01-31", 1, "day", "2026-02-28", "a shorter month: its last day"),
    ("2028-01-31", 1, "day", "2028-02-29", "a shorter month of a leap year"),
    ("2028-02-29", 12, "day", "2029-02-28", "T2: 29 February has no next year; 28 February, not 1 March"),
    ("2028-02-29", 48, "day", "2032-02-29", "T2: four years on there is one"),
    ("2027-02-28", 12, "day", "2028-02-28", "T2: the day, not the end of the month, is the anchor"),
    ("2096-02-29", 48, "day", "2100-02-28", "T14: 2100 has no leap day"),
    ("2099-02-28", 12, "day", "2100-02-28", "T14: into 2100"),
    ("2100-02-28", 12, "month-end", "2101-02-28", "T14: the end of a February in 2101"),
    ("2037-01-19", 12, "day", "2038-01-19", "T14: the day on which 32-bit seconds end"),
    ("2038-01-20", 12, "day", "2039-01-20", "T14: beyond it"),
    ("2025-03-10", 12, "month-end", "2026-03-31", "to the end of the month"),
    ("2027-02-10", 12, "month-end", "2028-02-29", "to the end of a leap February"),
    ("2026-08-31", 6, "day", "2027-02-28", "half a year, a shorter month"),
    ("2025-12-31", 14, "day", "2027-02-28", "fourteen months"),
    ("2026-12-15", 1, "day", "2027-01-15", "over a year's end"),
]


@pytest.mark.parametrize(("done_on", "months", "anchor", "due", "why"), CASES)
def test_t14_due_by_calendar_months(done_on, months, anchor, due, why):
    assert next_due(day(done_on), DueRule(months, anchor)).on == day(due), why


@pytest.mark.parametrize("year", range(1996, 2105))
def test_t2_the_last_days_of_february_one_year_on(year):
    """Every 28 and 29 February from 1996 to 2104; `replace(year=…)` would raise on the leap days."""
    assert months_after(date(year, 2, 28), 12) == date(year + 1, 2, 28)
    try:
        leap_day = date(year, 2, 29)
    except ValueError:
        return
    assert months_after(leap_day, 12) == date(year + 1, 2, 28)
    with pytest.raises(ValueError):
        leap_day.replace(year=year + 1)


@given(DAYS, st.integers(min_value=1, max_value=60))
def test_months_agree_with_dateutil(done_on, months):
    assert months_after(done_on, months) == done_on + relativedelta(months=months)


@given(DAYS)
def test_t3_ten_years_of_surveys_on_the_due_day_do_not_drift(done_on):
    """Each survey made on the day that it was due; 365 days a time would be two or three days early after ten years."""
    on = drifting = done_on
    for _ in range(10):
        on = next_due(on, DueRule(12)).on
        drifting += timedelta(days=365)
    assert (on.month, on.day) in {(done_on.month, done_on.day), (2, 28)}
    assert on.year == done_on.year + 10
    assert drifting != on  # the control: days instead of months do drift


@given(DAYS, DAYS, st.sampled_from(["day", "month-end"]))
def test_a_later_survey_is_never_due_earlier(one, other, anchor):
    earlier, later = sorted((one, other))
    assert next_due(earlier, DueRule(12, anchor)).on <= next_due(later, DueRule(12, anchor)).on


@given(DAYS)
def test_the_month_end_is_never_before_the_day_and_the_next_day_begins_a_month(on):
    end = month_end(on)
    assert end >= on
    assert (end + timedelta(days=1)).day == 1


RULES = [
    # rule of the document,                                                      due,          grace until,  use ends on,  why
    ({"months": "12"}, "2027-03-12", "2027-03-12", None, "missing keys: to the day, no grace, use does not end"),
    ({"months": "12", "grace_days": "30"}, "2027-03-12", "2027-04-11", None, "grace is beside due, not instead of it"),
    ({"months": "12", "use_ends_days": "0"}, "2027-03-12", "2027-03-12", "2027-03-12", "the due day is the last of use"),
    ({"months": "12", "use_ends_days": "90"}, "2027-03-12", "2027-03-12", "2027-06-10", "counted from due"),
    (
        {"months": "12", "grace_days": "30", "use_ends_days": "90"},
        "2027-03-12",
        "2027-04-11",
        "2027-06-10",
        "use ends so many days after due, not after the grace",
    ),
    (
        {"months": "12", "anchor": "month-end", "use_ends_days": "1"},
        "2027-03-31",
        "2027-03-31",
        "2027-04-01",
        "counted from the end of the month",
    ),
    ({"months": "12", "anchor": None, "grace_days": None}, "2027-03-12", "2027-03-12", None, "null is as missing"),
]


@pytest.mark.parametrize(("rule", "due", "grace", "ends", "why"), RULES)
def test_the_days_that_follow_from_due(rule, due, grace, ends, why):
    assert next_due(day("2026-03-12"), rule) == Due(day(due), day(grace), ends and day(ends)), why


def test_overdue_is_from_the_day_after_due():
    assert next_due(day("2026-12-31"), DueRule(12)).overdue_from == day("2028-01-01")


SELDOM = [("radioisotope", "12", 6), ("radioisotope", "7", 6), ("radioisotope", "6", None), ("general", "36", None)]


@pytest.mark.parametrize(("kind", "months", "most"), SELDOM)
def test_a_radioisotope_hood_is_surveyed_again_after_half_a_year(kind, months, most):
    assert asks_too_seldom(kind, {"months": months}) == most
