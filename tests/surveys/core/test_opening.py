"""The grid over an opening, its area, and that a reading never moves to another point."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveys.core.opening import (
    Grid,
    GridRule,
    NoGrid,
    WouldLoseReadings,
    counted_points,
    free_area,
    has_points_enough,
    plan,
    resized,
)
from surveys.core.units import Quantity, quantity

INCHES = GridRule(Quantity("1", "ft**2"), Quantity("13", "in"))
METRIC = GridRule(Quantity("0.1", "m**2"), Quantity("350", "mm"))

PLANS = [  # width, height, rule, columns, rows, why
    ("62 in", "18 in", INCHES, 5, 2, "cells of 12.4 by 9 in"),
    ("48 in", "18 in", INCHES, 4, 2, "cells of 12 by 9 in"),
    ("36 in", "24 in", INCHES, 3, 2, "area exactly at the largest"),
    ("13 in", "13 in", INCHES, 2, 1, "169 in²: equal edges, the width is divided"),
    ("13 in", "11 in", INCHES, 1, 1, "143 in²: under 1 ft²"),
    ("12 in", "12 in", INCHES, 1, 1, "exactly 1 ft²"),
    ("12.1 in", "12 in", INCHES, 2, 1, "the longer edge is divided"),
    ("12 in", "12.1 in", INCHES, 1, 2, "the longer edge is divided"),
    ("13.1 in", "6 in", INCHES, 2, 1, "longer than the edge"),
    ("900 mm", "450 mm", METRIC, 3, 2, "cells of 300 by 225 mm"),
    ("1200 mm", "450 mm", METRIC, 4, 2, "cells of 300 by 225 mm"),
    ("1524 mm", "18 in", INCHES, 5, 2, "60 in by 18 in, measured in two units"),
]


@pytest.mark.parametrize(("width", "height", "rule", "columns", "rows", "why"), PLANS)
def test_the_grid_is_planned_by_the_rule(width, height, rule, columns, rows, why):
    grid = plan(width, height, rule)
    assert (grid.columns, grid.rows) == (columns, rows), why


@given(st.integers(10, 1500), st.integers(10, 900))
def test_every_cell_keeps_the_rule_and_no_column_or_row_is_needless(width, height):
    grid = plan(f"{width / 10:.1f} in", f"{height / 10:.1f} in", INCHES)
    wide, high = Fraction(width, 10), Fraction(height, 10)
    assert max(grid.cell_width, grid.cell_height) <= 13
    assert grid.cell_width * grid.cell_height <= 144
    fewer = [(grid.columns - 1, grid.rows), (grid.columns, grid.rows - 1)]
    assert any(c == 0 or r == 0 or wide / c > 13 or high / r > 13 or wide * high > 144 * c * r for c, r in fewer)


@pytest.mark.parametrize(("width", "height"), [("0 in", "18 in"), ("62 in", "-1 in"), ("99999 in", "18 in")])
def test_what_cannot_be_planned_is_refused(width, height):
    with pytest.raises(NoGrid):
        plan(width, height, INCHES)


def test_free_area_is_exact_across_units():
    assert free_area("62 in", "18 in", "ft") == Fraction(31, 4)
    assert free_area("1000 mm", "50 cm") == Fraction(1, 2)


def test_points_at_the_exclusion_count_and_nearer_ones_do_not():
    assert counted_points("24 in", "12 in", 2, 1, Quantity("6", "in")) is None  # all count
    assert counted_points("36 in", "36 in", 3, 3, Quantity("6.1", "in")) == (False,) * 4 + (True,) + (False,) * 4


# --- E14 --------------------------------------------------------------------------------------------------------------

THREE = [["1", "2", "3"], ["4", None, "6"], ["7", "8", "9"]]


def test_e14_three_by_three_to_four_by_three_moves_no_value():
    assert resized(THREE, columns=4, rows=3) == [["1", "2", "3", None], ["4", None, "6", None], ["7", "8", "9", None]]
    flowed = [THREE[i // 4 % 3][i % 3] for i in range(12)]  # the control: filled in a row, values move
    assert flowed[:4] != resized(THREE, columns=4, rows=3)[0]


def test_e14_a_smaller_grid_refuses_to_drop_a_reading():
    with pytest.raises(WouldLoseReadings):
        resized(THREE, columns=2, rows=3)
    assert resized([["1", None], [None, ""]], columns=1, rows=1) == [["1"]]


@given(st.integers(1, 6), st.integers(1, 6), st.integers(1, 6), st.integers(1, 6), st.data())
def test_e14_each_value_stays_at_its_row_and_column(columns, rows, to_columns, to_rows, data):
    cells = [[data.draw(st.sampled_from([None, f"{r}.{c}"])) for c in range(columns)] for r in range(rows)]
    try:
        moved = resized(cells, columns=to_columns, rows=to_rows)
    except WouldLoseReadings:
        assert any(cells[r][c] for r in range(rows) for c in range(columns) if r >= to_rows or c >= to_columns)
        return
    assert (len(moved), {len(row) for row in moved}) == (to_rows, {to_columns})
    assert all(cell in (None, f"{r}.{c}") for r, row in enumerate(moved) for c, cell in enumerate(row))
    assert sum(bool(c) for row in moved for c in row) == sum(bool(c) for row in cells for c in row)


def spaced(margin, spacing):
    return replace(INCHES, margin=quantity(margin, "length"), spacing=quantity(spacing, "length"))


OTHER_RULES = [
    # width      height     rule                          columns rows  apart          why
    ("62 in",    "18 in",   replace(INCHES, points=9),    3, 3, ("62/3", "6"),         "no single row, though 6.9 by 18 is nearer to squares than 20.7 by 6"),
    ("96 in",    "18 in",   replace(INCHES, points=9),    3, 3, ("32", "6"),           "however wide"),
    ("18 in",    "96 in",   replace(INCHES, points=9),    3, 3, ("6", "32"),           "and no single column"),
    ("62 in",    "12 in",   replace(INCHES, points=9),    3, 3, ("62/3", "4"),         "cells of just 4 in"),
    ("62 in",    "11.9 in", replace(INCHES, points=9),    9, 1, ("62/9", "119/10"),    "cells would be under 4 in high: one row"),
    ("11.9 in",  "62 in",   replace(INCHES, points=9),    1, 9, ("119/10", "62/9"),    "cells would be under 4 in wide: one column"),
    ("305 mm",   "1500 mm", replace(INCHES, points=9),    3, 3, ("305/3", "500"),      "101.7 mm are over 4 in, in millimetres too"),
    ("304 mm",   "1500 mm", replace(INCHES, points=9),    1, 9, ("304", "500/3"),      "101.3 mm are under it"),
    ("62 in",    "8 in",    replace(INCHES, points=6),    3, 2, ("62/3", "4"),         "two rows of 4 in"),
    ("62 in",    "6 in",    replace(INCHES, points=3),    3, 1, ("62/3", "6"),         "three has no two factors"),
    ("62 in",    "18 in",   replace(INCHES, points=7),    7, 1, ("62/7", "18"),        "seven neither"),
    ("40 in",    "40 in",   replace(INCHES, points=4),    2, 2, ("20", "20"),          "two by two"),
    ("62 in",    "18 in",   replace(INCHES, points=12),   6, 2, ("31/3", "9"),         "of those in two rows and more the nearest to squares"),
    ("62 in",    "10 in",   replace(INCHES, points=12),   6, 2, ("31/3", "5"),         "4 by 3 would be 3.3 in high"),
    ("11.9 in",  "62 in",   replace(INCHES, points=12),   2, 6, ("119/20", "31/3"),    "3 by 4 would be 3.97 in wide"),
    ("500 in",   "5 in",    replace(INCHES, points=50),   50, 1, ("10", "5"),          "as many as can be measured on a side"),
    ("36 in",    "30 in",   replace(INCHES, points=9),    3, 3, ("12", "10"),          "3 by 3"),
    ("62 in",    "18 in",   replace(INCHES, points=6),    3, 2, ("62/3", "9"),         "3 by 2, though 10.3 by 18 is nearer to squares"),
    ("24 in",    "24 in",   replace(INCHES, points=6),    3, 2, ("8", "12"),           "3 by 2 and 2 by 3 are alike: more columns"),
    ("62 in",    "6 in",    replace(INCHES, points=1),    1, 1, ("62", "6"),           "one point"),
    ("1200 mm",  "500 mm",  spaced("100 mm", "400 mm"),   4, 2, ("1000/3", "300"),     "1000 between: 3 parts; 300: 1 part"),
    ("1000 mm",  "500 mm",  spaced("100 mm", "400 mm"),   3, 2, ("400", "300"),        "800 between: 2 parts of exactly 400"),
    ("1001 mm",  "500 mm",  spaced("100 mm", "400 mm"),   4, 2, ("267", "300"),        "1 mm more asks for one line more"),
    ("1200 mm",  "200 mm",  spaced("100 mm", "400 mm"),   4, 1, ("1000/3", "200"),     "both margins meet: one line in the middle"),
    ("1200 mm",  "201 mm",  spaced("100 mm", "400 mm"),   4, 2, ("1000/3", "1"),       "1 mm between the margins is some"),
    ("1200 mm",  "150 mm",  spaced("100 mm", "400 mm"),   4, 1, ("1000/3", "150"),     "the margins cross: one line in the middle"),
]  # fmt: skip


@pytest.mark.parametrize(("width", "height", "rule", "columns", "rows", "apart", "why"), OTHER_RULES)
def test_points_by_number_and_by_margin_and_spacing(width, height, rule, columns, rows, apart, why):
    grid = plan(width, height, rule)
    assert (grid.columns, grid.rows) == (columns, rows), why
    assert (grid.cell_width, grid.cell_height) == tuple(map(Fraction, apart)), why
    assert (grid.unit, grid.spaced) == (width.split(" ")[1], rule.margin is not None)


ENOUGH = [
    # rule                          grid   read   free  enough  why
    (replace(INCHES, points=9),     (3, 3), (9, 1), 9,  True,   "as many points, in one row"),
    (replace(INCHES, points=9),     (3, 3), (3, 3), 9,  True,   "as planned"),
    (replace(INCHES, points=9),     (3, 3), (4, 3), 12, True,   "more of them"),
    (replace(INCHES, points=9),     (3, 3), (8, 1), 8,  False,  "one point fewer"),
    (replace(INCHES, points=9),     (5, 3), (5, 3), 8,  False,  "places enough, but one point too few is free"),
    (INCHES,                        (5, 2), (5, 2), 10, True,   "cells, as planned"),
    (INCHES,                        (5, 2), (10, 1), 10, False, "by cells a row is missing, however many points"),
    (INCHES,                        (5, 2), (4, 3), 12, False,  "by cells a column is missing"),
    (INCHES,                        (5, 2), (6, 3), 18, True,   "more than planned"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "planned", "read", "free", "enough", "why"), ENOUGH, ids=[row[-1] for row in ENOUGH])
def test_a_rule_of_so_many_points_asks_for_their_number_alone(rule, planned, read, free, enough, why):
    grid = Grid(*planned, Fraction(1), Fraction(1), "in")
    assert has_points_enough(rule, grid, *read, free) is enough, why


def test_a_margin_says_how_far_the_outer_points_are_from_the_edge():
    margin = quantity("100 mm", "length")
    assert counted_points("1200 mm", "500 mm", 4, 2, quantity("100 mm", "length"), margin) is None
    inner = counted_points("1200 mm", "500 mm", 4, 3, quantity("101 mm", "length"), margin)
    assert inner == (False,) * 5 + (True, True) + (False,) * 5
    assert counted_points("1200 mm", "150 mm", 4, 1, quantity("76 mm", "length"), margin) == (False,) * 4


def test_more_points_a_side_than_can_be_measured_are_refused():
    with pytest.raises(NoGrid):
        plan("62 in", "1 in", replace(INCHES, points=97))
    with pytest.raises(NoGrid):
        plan("9000 mm", "500 mm", spaced("10 mm", "80 mm"))
