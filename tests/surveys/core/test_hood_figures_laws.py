"""E8, E13: figures of the hood as a whole are judged exactly, in whichever unit they were shown."""

from __future__ import annotations

import itertools
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.surveys.core.surveyed import GOOD, criteria_dict, judged, limit, read, survey_dict

RATIO = limit("alarm-ratio", "0.9", "1.1", applies_to="hood", consequence="note")
#: Two units of a kind, and how many of the second are exactly one of the first.
UNITS = {
    "filter-pressure": ("inH2O", "Pa", Fraction("249.08891")),
    "closed-flow": ("ft**3/min", "m**3/s", Fraction("0.028316846592") / 60),
}


@pytest.mark.parametrize("figure", UNITS)
@given(digits=st.integers(1, 500), by=st.sampled_from([-1, 0, 1]))
def test_e8_e13_law_a_plain_figure_is_held_to_its_limit_exactly_in_either_unit(figure, digits, by):
    """The limit stands in the one unit; what was read is a billionth of the other under it, on it where that can be, over it."""
    one, other, factor = UNITS[figure]
    hood = {"kind": "filtered", "control": "variable-volume", "sash": "vertical", "monitor": "none"}
    bound = Fraction(digits, 10)
    read_as = bound * factor * 10**9
    value = read_as.numerator // read_as.denominator + by
    text = f"{value // 10**9}.{value % 10**9:09d}"
    met = Fraction(value, 10**9) <= bound * factor
    of = limit(figure, None, f"{digits // 10}.{digits % 10} {one}", applies_to="hood", consequence="note")
    made = judged(
        survey_dict(
            read("working", *GOOD), hood=hood, of_hood=[{"figure": figure, "state": None, "value": f"{text} {other}"}]
        ),
        criteria_dict(of),
    )
    assert [judgement.outcome for judgement in made.as_found.hood] == ["met" if met else "not-met"]


@given(st.integers(40, 160), st.integers(40, 160))
def test_e13_law_where_an_alarm_tripped_is_judged_alike_in_either_unit(trip, point):
    """x ft/min is x * 0.00508 m/s exactly."""
    found = []
    for tripped, marked in itertools.product(
        *((f"{of_it} ft/min", f"0.{of_it * 508:05d} m/s") for of_it in (trip, point))
    ):
        survey = survey_dict(read("working", *GOOD), alarms=[{"state": "as-found", "trip": tripped}])
        survey["hood"]["alarm_point"] = marked
        (judgement,) = judged(survey, criteria_dict(RATIO)).as_found.hood
        found.append((judgement.outcome, judgement.value.value))
    met = Fraction(9, 10) <= Fraction(trip, point) <= Fraction(11, 10)
    assert found == [("met" if met else "not-met", Fraction(trip, point))] * 4
