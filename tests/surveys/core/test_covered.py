"""An opening that something covers in part: points, free area and flow are those of its free part."""

from dataclasses import replace
from fractions import Fraction

import pytest

from hoods.core.cover import Cover
from surveys.core.covered import free_cells, of_record, told
from surveys.core.document import merged, parse_merged
from surveys.core.messages import Message, WrongShape
from surveys.core.opening import GridRule, NoFreePoint, counted_points, free_area, free_points, plan
from surveys.core.units import Quantity
from surveys.wording import sentence
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

CELLS = GridRule(Quantity("1", "ft**2"), Quantity("13", "in"))
PANEL = {"by": "fixed panel", "left": "36 in"}
COVER = Cover.from_dict(PANEL)
#: 60 by 40 in: 5 columns of 12 in, 4 rows of 10 in; the middles of the columns are at 6, 18, 30, 42, 54 in.
WIDE, HIGH = "60 in", "40 in"


def test_the_free_area_is_exact_in_each_unit():
    assert free_area(WIDE, HIGH, "ft", COVER) == 10, "36 in by 40 in are 1440 in², 10 ft²"
    assert free_area(WIDE, HIGH, "ft") == Fraction(50, 3), "the control: all of it"
    assert free_area("1500 mm", "1000 mm", "m", Cover("shelf", up="400 mm", height="100 mm")) == Fraction(27, 20)
    assert free_area("30 in", HIGH, "ft", COVER) == Fraction(25, 3), "measured narrower, nothing of it is covered"


def test_places_behind_the_cover_are_no_points():
    assert free_points(WIDE, HIGH, 5, 4, None, COVER) == (True, True, True, False, False) * 4
    assert free_points(WIDE, HIGH, 5, 4, None, None) is None
    assert free_points("30 in", HIGH, 3, 4, None, COVER) is None, "measured narrower, all are free"
    on_the_edge = Cover("panel", left="42 in")
    assert free_points(WIDE, HIGH, 5, 1, None, on_the_edge) == (True, True, True, False, False), (
        "no probe is held on it"
    )


def test_rows_run_from_the_top_and_a_cover_is_measured_from_below():
    low = Cover("board", height="20 in")
    assert free_points(WIDE, HIGH, 1, 4, None, low) == (True, True, False, False)


def test_by_a_margin_the_points_are_where_the_lines_cross():
    margin = Quantity("100", "mm")  # lines at 100, 500, 900 mm
    at = Cover("panel", left="890 mm")
    assert free_points("1000 mm", "300 mm", 3, 1, margin, at) == (True, True, False)
    assert free_points("1000 mm", "300 mm", 3, 1, None, at) is None, "the control: the middles are at 167, 500, 833 mm"


PLANNED = [
    # rule                          cover                          columns rows  why
    (CELLS,                         COVER,                         5, 4, "the grid lies over the whole opening"),
    (replace(CELLS, points=9),      COVER,                         5, 3, "15 places, of which 9 are free"),
    (replace(CELLS, points=9),      Cover("panel", left="70 in"),  3, 3, "what lies outside takes none"),
    (replace(CELLS, points=1),      Cover("panel", left="40 in"),  1, 1, "one point, and it is free"),
    (replace(CELLS, points=22),     COVER,                         8, 5, "not 37 in one row, of which 22 are free: 5 columns of 5 are"),
    (replace(CELLS, points=36),     COVER,                         10, 6, "53 and 59 would stand in one row: passed over"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "cover", "columns", "rows", "why"), PLANNED)
def test_so_many_points_are_so_many_free_ones(rule, cover, columns, rows, why):
    grid = plan(WIDE, HIGH, rule, cover)
    assert (grid.columns, grid.rows) == (columns, rows), why
    free = free_points(WIDE, HIGH, columns, rows, None, cover) or (True,) * (columns * rows)
    assert sum(free) >= (rule.points or 1)


SPACED = replace(CELLS, margin=Quantity("100", "mm"), spacing=Quantity("800", "mm"))
OF_A_SIZE = [
    # width     height    rule                        cover                                        columns rows  why
    ("60 in",   "20 in",  replace(CELLS, points=4),   Cover("panel", left="40 in"),                3, 2, "cells of 20 by 10 in are not over twice as long as wide"),
    (WIDE,      HIGH,     replace(CELLS, points=9),   Cover("rail", left="12 in", width="2 in"),   3, 3, "what lies between the points takes none"),
    ("1000 mm", "300 mm", SPACED,                     Cover("post", left="200 mm", width="600 mm"), 2, 2, "its lines are at 100 and 900 mm, and not in the middles of cells"),
]  # fmt: skip


@pytest.mark.parametrize(("width", "height", "rule", "cover", "columns", "rows", "why"), OF_A_SIZE)
def test_a_grid_beside_a_cover(width, height, rule, cover, columns, rows, why):
    grid = plan(width, height, rule, cover)
    assert (grid.columns, grid.rows) == (columns, rows), why


@pytest.mark.parametrize("rule", [CELLS, replace(CELLS, points=6)])
def test_a_free_part_without_a_point_has_no_grid(rule):
    with pytest.raises(NoFreePoint):
        plan(WIDE, HIGH, rule, Cover("panel", left="1 in"))
    assert plan(WIDE, HIGH, rule, None), "the control"


def test_the_cover_is_an_edge_of_the_opening_for_the_lowest():
    inch = Quantity("6.1", "in")
    counted = counted_points(WIDE, "40 in", 5, 1, inch, None, COVER)
    assert counted == (False, True, False, False, False), (
        "6 in from the left side; 18 in; 6 in from the cover; behind it"
    )
    assert counted_points(WIDE, "40 in", 5, 1, inch) == (False, True, True, True, False), "the control: without it"


def covered(*texts, cover=PANEL, **given):
    """A survey of one opening, 60 by 9 in: five places in a row, of which three are free."""
    sizes = {"width": WIDE, "height": "9 in"} | ({"cover": cover} if cover else {})
    return survey_dict(read("working", *texts, **given), openings=[opening(**sizes)])


FREE = ("90", "96", "84", None, None)
ALL = criteria_dict(limit("average", "80 ft/min"), limit("flow", None, "300 ft**3/min"))


def test_the_flow_is_the_average_times_the_free_area():
    found = judged(covered(*FREE), ALL)
    only = found.as_left.openings[0]
    assert only.figures["average"].value == 90
    assert only.free_area.value == Fraction(9, 4), "36 in by 9 in are 324 in², 2.25 ft²"
    assert only.figures["flow"].value == Fraction(405, 2), "90 × 2.25 = 202.5"
    assert found.verdict == "pass"
    assert only.as_dict()["free_area"] == {"value": "2.25", "unit": "ft**2", "exact": "9/4", "shown": "2.25"}


def test_without_the_cover_the_same_readings_lack_two_points():
    found = judged(covered(*FREE, cover=None), ALL)
    assert found.verdict == "no-verdict"
    assert found.as_left.openings[0].missing == (
        Message("points-missing", {"opening": "working", "missing": "2", "number": "5", "state": "as-found"}),
    )
    assert "free_area" not in found.as_left.openings[0].as_dict(), "a new key only where it has something to say"


def test_a_free_point_without_a_reading_is_missing_of_the_free_ones():
    found = judged(covered("90", None, "84", None, None), ALL).as_left.openings[0]
    values = {"opening": "working", "missing": "1", "number": "3", "state": "as-found"}
    assert found.missing == (Message("points-missing", values),)


def test_a_reading_behind_the_cover_is_never_judged():
    found = judged(covered("90", "96", "84", "88", None), ALL)
    assert (found.verdict, found.approved) == ("no-verdict", ())
    (missing,) = found.as_left.openings[0].missing
    assert sentence(missing) == (
        "“working”: a reading stands where it is covered (fixed panel). Strike it, or put the size or what covers it right."
    )
    struck = {"value": "88", "at": None, "struck": "behind the panel"}
    assert judged(covered("90", "96", "84", struck, None), ALL).verdict == "pass", "struck, it does not count"


def test_it_is_told_with_its_free_area_in_the_unit_of_the_readings():
    assert sentence(told(COVER, WIDE, HIGH, "ft/min", str)) == (
        "Covered in part: fixed panel, 36 in from the left side. Free area 10 ft² of 16.67 ft²: no point lies behind, "
        "and the flow is that of the free part."
    )
    assert "0.929 m² of 1.548 m²" in sentence(told(COVER, WIDE, HIGH, "m/s", str))
    assert told(COVER, "30 in", HIGH, "ft/min", str) is None
    assert told(None, WIDE, HIGH, "ft/min", str) is None


def test_cells_for_drawing_follow_the_grid_rule_of_the_record():
    assert free_cells(COVER, WIDE, HIGH, 5, 1, {"largest_area": "1 ft**2", "longest_edge": "13 in"}) == [
        [True, True, True, False, False]
    ]
    assert free_cells(None, WIDE, HIGH, 2, 2, {}) == [[True, True], [True, True]]
    assert free_cells(COVER, WIDE, HIGH, 0, 0, {}) == free_cells(COVER, WIDE, HIGH, 0, 0, {"margin": "4 in"}) == []
    assert free_cells(COVER, "", HIGH, 2, 1, {}) == [[True, True]], "of which no size was entered"
    at = Cover("panel", left="890 mm")  # lines at 100, 500, 900 mm; middles at 167, 500, 833 mm
    assert free_cells(at, "1000 mm", "300 mm", 3, 1, {"margin": "100 mm", "spacing": "400 mm"}) == [[True, True, False]]
    assert free_cells(at, "1000 mm", "300 mm", 3, 1, {"points": 3}) == [[True, True, True]]


def test_what_a_record_says_of_an_opening_and_its_cover():
    record = {
        "facts": {"openings": [{"name": "lower", "cover": None}, {"name": "working", "cover": PANEL}, {"name": "old"}]},
        "entered": {"openings": [{"name": "working", "width": WIDE, "height": HIGH}, {"name": "added", "width": None}]},
    }
    assert of_record(record, "working") == (COVER, WIDE, HIGH)
    assert of_record(record, "lower") == of_record(record, "old") == (None, "", ""), "known and not measured"
    assert of_record(record, "added") == (None, "", ""), "added in the survey, of no size yet"


WRONG_COVERS = [
    ({"left": "36 in"}, "openings.0.cover.by", "key-missing"),
    ({"by": "panel", "left": "36"}, "openings.0.cover.left", "unit-missing"),
    ({"by": "panel", "depth": "2 in"}, "openings.0.cover.depth", "key-unknown"),
    ("panel", "openings.0.cover", "shape-wrong"),
]


@pytest.mark.parametrize(("given", "path", "code"), WRONG_COVERS)
def test_a_cover_of_another_shape_is_refused_at_its_place(given, path, code):
    with pytest.raises(WrongShape) as refused:
        parse_merged(covered(*FREE, cover=given))
    assert [(one.path, one.message.code) for one in refused.value.problems] == [(path, code)]


def test_a_document_with_a_cover_is_read_as_it_is_written():
    document, facts = parse_merged(covered(*FREE))
    written = merged(document, facts)
    assert written["openings"][0]["cover"] == PANEL
    assert parse_merged(written) == (document, facts)
    assert "cover" not in merged(*parse_merged(covered(*FREE, cover=None)))["openings"][0], "only where there is one"
