"""Marks of a year's averages that are gathered: each stands on the same side of every limit as the value it is for."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reports.core.year import Flow
from reports.core.yearly_counts import Tally
from reports.pdf.averages_plot import BINS, _gathered_at
from reports.pdf.plot import Scale

SCALE = Scale(40, 160, 56, 874)
BOUNDS = ((Fraction(80), "least", "restrict"), (Fraction(120), "most", "note"), (Fraction(70), "least", "fail"))
WIDE = (SCALE.end - SCALE.start) / BINS


def flow(bounds=BOUNDS) -> Flow:
    return Flow("version", "ft/min", (), Tally(), tuple(bounds))


def is_above(value: Fraction, bound: Fraction, end: str) -> bool:
    return value >= bound if end == "least" else value > bound


@given(st.fractions(40, 160, max_denominator=100))
def test_a_gathered_mark_stands_on_its_values_side_of_every_limit_and_close_to_it(value):
    x = _gathered_at(value, flow(), SCALE)
    for bound, end, _cost in BOUNDS:
        assert (x > SCALE(float(bound))) == is_above(value, bound, end)
    assert abs(x - SCALE(float(value))) <= WIDE


@pytest.mark.parametrize(
    ("value", "bound", "above"), [("79.9", 80, False), ("80", 80, True), ("120", 120, False), ("120.1", 120, True)]
)
def test_a_value_at_the_limit_stands_where_the_limit_counts_it(value, bound, above):
    assert (_gathered_at(Fraction(value), flow(), SCALE) > SCALE(bound)) == above


def test_control_without_regard_to_limits_a_mark_crosses_one():
    assert _gathered_at(Fraction("79.9"), flow(bounds=()), SCALE) > SCALE(80)


def test_limits_at_one_value_from_both_sides_leave_a_place():
    both = ((Fraction(80), "least", "fail"), (Fraction(80), "most", "note"))
    assert _gathered_at(Fraction(80), flow(both), SCALE) == SCALE(80)
