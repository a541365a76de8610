"""Which version held when, and from when to when a hood was restricted."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from reports.core.trend import Judged, bands, benchmarked, restricted

TODAY = date(2026, 11, 25)


def judged(on: date, version: str = "A", verdict: str = "pass", restriction: str = "", first_day: date | None = None):
    return Judged(on, version, first_day, (), verdict, restriction)


def test_a_band_begins_on_the_first_day_of_its_version():
    made = [
        judged(date(2024, 3, 1), "A", first_day=date(2020, 1, 1)),
        judged(date(2025, 3, 1), "B", first_day=date(2025, 1, 1)),
        judged(date(2026, 3, 1), "C", first_day=date(2024, 1, 1)),  # in force long before: the hood was assigned to it
    ]
    assert [(one.version, one.from_on, one.until_on) for one in bands(made, TODAY)] == [
        ("A", date(2024, 3, 1), date(2024, 12, 31)),
        ("B", date(2025, 1, 1), date(2026, 2, 28)),
        ("C", date(2026, 3, 1), TODAY),
    ]


def test_a_restriction_lasts_until_a_survey_ends_otherwise():
    made = [
        judged(date(2024, 3, 1), verdict="restrict", restriction="sash no higher than 12 in"),
        judged(date(2024, 9, 1), verdict="no-verdict"),
        judged(date(2025, 3, 1), verdict="restrict", restriction="sash no higher than 12 in"),
        judged(date(2026, 3, 1), verdict="pass"),
        judged(date(2026, 6, 1), verdict="restrict", restriction="no perchloric acid"),
    ]
    assert [(one.from_on, one.until_on) for one in restricted(made, TODAY)] == [
        (date(2024, 3, 1), date(2026, 3, 1)), (date(2026, 6, 1), TODAY),
    ]  # fmt: skip


def test_a_benchmark_holds_until_the_next_of_its_opening():
    rows = [
        ("working", date(2024, 1, 1), Fraction(104), "104 ft/min", ""),
        ("lower", date(2024, 6, 1), Fraction(90), "90 ft/min", ""),
        ("working", date(2025, 1, 1), Fraction(101), "101 ft/min", ""),
    ]
    assert [(one.opening, one.until_on) for one in benchmarked(rows, TODAY)] == [
        ("working", date(2025, 1, 1)), ("lower", TODAY), ("working", TODAY),
    ]  # fmt: skip


made = st.lists(
    st.builds(
        judged, st.dates(date(2015, 1, 1), TODAY), st.sampled_from("ABC"),
        st.sampled_from(["pass", "restrict", "fail", "no-verdict"]), st.sampled_from(["", "low", "use"]),
        st.one_of(st.none(), st.dates(date(2014, 1, 1), TODAY)),
    ),
    max_size=12,
).map(lambda rows: sorted(rows, key=lambda one: one.on))  # fmt: skip


@given(made)
def test_bands_follow_one_another_without_a_gap_and_hold_each_survey(rows):
    found = bands(rows, TODAY)
    for before, after in zip(found, found[1:], strict=False):
        assert after.from_on == before.until_on + timedelta(days=1)
        assert before.version != after.version
    on_one_day = {row.on for row in rows if sum(other.on == row.on for other in rows) > 1}
    for row in rows:
        if row.on not in on_one_day:
            assert [one.version for one in found if one.from_on <= row.on <= one.until_on] == [row.version]


@given(made)
def test_restrictions_never_overlap(rows):
    found = restricted(rows, TODAY)
    assert all(before.until_on <= after.from_on for before, after in zip(found, found[1:], strict=False))
    assert all(one.words for one in found)
