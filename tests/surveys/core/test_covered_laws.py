"""Laws of openings that something covers in part: they hold for every size, cover and grid."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from hoods.core.cover import Cover
from surveys.core.opening import GridRule, NoGrid, counted_points, free_area, free_points, plan
from surveys.core.units import Quantity
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

WIDE, HIGH = st.integers(24, 96), st.integers(12, 48)  # of the opening [in]
CELLS = GridRule(Quantity("1", "ft**2"), Quantity("13", "in"))


def inches(size: int) -> str:
    return f"{size} in"


def millimetres(size: int) -> str:
    """Exactly as long."""
    return f"{size * 254 // 10}.{size * 254 % 10} mm"


@st.composite
def a_cover(draw):
    """An opening and what covers a part of it: width, height, and left, up, width, height of the cover [in]."""
    wide, high = draw(WIDE), draw(HIGH)
    left, up = draw(st.integers(0, wide - 1)), draw(st.integers(0, high - 1))
    return wide, high, left, up, draw(st.integers(1, wide - left)), draw(st.integers(1, high - up))


def cover(left, up, across, tall, size=inches) -> Cover:
    return Cover("fixed panel", size(left), size(up), size(across), size(tall))


def planned(wide, high, covered, rule=CELLS):
    try:
        return plan(inches(wide), inches(high), rule, covered)
    except NoGrid:
        assume(False)


def places(wide, high, grid, covered):
    free = free_points(inches(wide), inches(high), grid.columns, grid.rows, None, covered)
    return free or (True,) * (grid.columns * grid.rows)


@given(a_cover())
def test_law_what_is_free_and_what_is_covered_are_the_whole(of):
    wide, high, *rectangle = of
    free = free_area(inches(wide), inches(high), "in", cover(*rectangle))
    assert free + rectangle[2] * rectangle[3] == wide * high
    assert 0 <= free < wide * high


@given(a_cover(), st.data())
def test_law_a_cover_that_grows_leaves_less_area_and_no_more_points(of, data):
    wide, high, left, up, across, tall = of
    larger = (left, up, data.draw(st.integers(across, wide - left)), data.draw(st.integers(tall, high - up)))
    grid = planned(wide, high, None)
    before, after = (places(wide, high, grid, cover(*one)) for one in ((left, up, across, tall), larger))
    assert all(was or not now for was, now in zip(before, after, strict=True)), "none that was behind it is free"
    areas = [free_area(inches(wide), inches(high), "in", cover(*one)) for one in ((left, up, across, tall), larger)]
    assert areas[1] <= areas[0]


@given(a_cover())
def test_law_what_lies_at_the_other_side_leaves_the_points_of_the_other_side(of):
    wide, high, left, up, across, tall = of
    grid = planned(wide, high, None)
    here = places(wide, high, grid, cover(left, up, across, tall))
    there = places(wide, high, grid, cover(wide - left - across, high - up - tall, across, tall))
    assert here == tuple(reversed(there)), "turned half round"


@given(a_cover(), st.integers(0, 9))
def test_law_no_point_that_counts_for_the_lowest_is_behind_the_cover_or_nearer_to_it_than_they_say(of, exclusion):
    wide, high, left, up, across, tall = of
    grid = planned(wide, high, None)
    covered = cover(left, up, across, tall)
    given_ = (inches(wide), inches(high), grid.columns, grid.rows, Quantity(str(exclusion), "in"))
    counted = counted_points(*given_, None, covered) or (True,) * (grid.columns * grid.rows)
    without = counted_points(*given_, None, None) or (True,) * (grid.columns * grid.rows)
    for place, counts in enumerate(counted):
        x = Fraction(2 * (place % grid.columns) + 1, 2 * grid.columns) * wide
        y = high - Fraction(2 * (place // grid.columns) + 1, 2 * grid.rows) * high
        aside = max(left - x, x - left - across, 0)
        apart = max(up - y, y - up - tall, 0)
        far = aside**2 + apart**2
        assert counts == (without[place] and far > 0 and far >= exclusion**2)


# --- judged -----------------------------------------------------------------------------------------------------------

ALL = criteria_dict(limit("average", "80 ft/min"), limit("lowest", "60 ft/min"), limit("flow", "50 ft**3/min"))


def survey(of, texts, size=inches):
    """A survey of one opening with a reading at each place of its grid, row by row; None where none was read."""
    wide, high, *rectangle = of
    grid = planned(wide, high, None)
    covered = cover(*rectangle, size).as_dict()
    rows = [texts[row * grid.columns : (row + 1) * grid.columns] for row in range(grid.rows)]
    traverse = read("working") | {"readings": rows}
    return survey_dict(traverse, openings=[opening(width=size(wide), height=size(high), cover=covered)])


@st.composite
def a_survey(draw):
    of = draw(a_cover())
    wide, high, *rectangle = of
    grid = planned(wide, high, cover(*rectangle))
    free = places(wide, high, grid, cover(*rectangle))
    return of, free, [str(draw(st.integers(65, 150))) if is_free else None for is_free in free]


@given(a_survey())
def test_e13_law_what_is_covered_is_judged_alike_in_either_unit(made):
    of, _free, texts = made
    one, other = judged(survey(of, texts), ALL), judged(survey(of, texts, millimetres), ALL)
    assert (one.verdict, one.approved) == (other.verdict, other.approved)
    for left, right in zip(*(each.as_found.openings[0].judgements for each in (one, other)), strict=True):
        assert (left.outcome, left.value) == (right.outcome, right.value)


@given(a_survey(), st.data())
def test_e11_law_every_free_point_is_needed_and_none_behind_the_cover(made, data):
    of, free, texts = made
    assert judged(survey(of, texts), ALL).verdict != "no-verdict", "the control: whole"
    place = data.draw(st.integers(0, len(free) - 1))
    texts[place] = None if free[place] else "100"
    found = judged(survey(of, texts), criteria_dict(limit("average", "80 ft/min")))
    assert (found.verdict, found.approved) == ("no-verdict", ())
