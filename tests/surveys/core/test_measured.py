"""What was measured at an opening, by its cover, its grid rule and its monitor: points, what is missing, and the free area."""

from __future__ import annotations

from fractions import Fraction

import pytest

from surveys.core import traverse
from surveys.core.criteria import Criteria
from surveys.core.document import parse_merged
from surveys.core.measured import points_of
from surveys.core.messages import Message
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

PANEL = {"by": "fixed panel", "left": "36 in"}
WIDE = {"width": "60 in", "height": "40 in"}
#: Lines at 100, 500 and 900 mm across; one line down, or at 100 and 200 mm in what is higher.
SPACED = {"margin": "100 mm", "spacing": "400 mm"}
METRE, HIGHER = {"width": "1000 mm", "height": "200 mm"}, {"width": "1000 mm", "height": "300 mm"}
AT_THE_END = {"by": "closed panel", "left": "890 mm"}


def points(*rows, size, monitor=None, hood=None, **criteria):
    """The points of an opening that was read in these rows ('-' is no reading), and why they are not all there."""
    cells = [[None if text == "-" else text for text in row.split()] for row in rows]
    entered = read("working", monitor=monitor) | {"readings": cells}
    given = survey_dict(entered, openings=[opening(**size)])
    document, facts = parse_merged(given | {"hood": given["hood"] | (hood or {})})
    rules = Criteria.from_dict(criteria_dict(limit("average", "80 ft/min"), **criteria))
    return points_of(facts.openings[0], document.openings[0], facts, rules, "as-found", document.traverses[0])


def missing(number, of):
    values = {"opening": "working", "missing": number, "number": of, "state": "as-found"}
    return (Message("points-missing", values),)


def otherwise(number, stands, wanted):
    """So many points, read in these columns and rows; the plan has others."""
    sides = {"columns": stands[0], "rows": stands[1], "wanted_columns": wanted[0], "wanted_rows": wanted[1]}
    values = {"opening": "working", "state": "as-found", "read": number} | {key: str(side) for key, side in sides.items()}
    return (Message("points-on-another-grid", values),)


def behind(cover):
    return (Message("reading-covered", {"opening": "working", "cover": cover}),)


LAID = [
    # rows, size with its cover, criteria, average, lowest, why they are not all there, why
    (("90 96 -",), METRE | {"cover": AT_THE_END}, {"grid": SPACED}, 93, 90, (), "by a margin a line lies behind the cover"),
    (("90 - -",), METRE | {"cover": AT_THE_END}, {"grid": SPACED}, None, None, missing("1", "2"), "one of the two free points by the margin"),
    (("90 96 84",), METRE | {"cover": AT_THE_END}, {"grid": SPACED}, None, None, behind("closed panel"), "read behind the cover"),
    (("90 96 84",), METRE, {"grid": SPACED}, 90, 84, (), "the control: no cover"),
    (("90 96 84", "91 97 85"), HIGHER, {"grid": SPACED, "edge_exclusion": "100 mm"}, Fraction(181, 2), 84, (), "lines at the margin lie far enough from the edge"),
    (("90 96 84", "91 97 85"), HIGHER, {"grid": SPACED, "edge_exclusion": "101 mm"}, Fraction(181, 2), None, (), "a hair too near"),
    (("90 96 -",) * 3, WIDE | {"cover": PANEL}, {"grid": {"points": "9"}}, None, None, missing("3", "9"), "nine free points ask for five columns, three were read"),
    (("90 96 84 - -",) * 3, WIDE | {"cover": PANEL}, {"grid": {"points": "9"}}, 90, 84, (), "nine free points"),
    (("90 96 84",) * 3, WIDE, {"grid": {"points": "9"}}, 90, 84, (), "the control: nine points of an open one"),
    (("90 96 84 90 96 84 90 96 84",), WIDE, {"grid": {"points": "9"}}, 90, 84, (), "nine points in a row, as they were planned once"),
    (("90", "96", "84") * 3, WIDE, {"grid": {"points": "9"}}, 90, 84, (), "nine points in a column"),
    (("90 96 84 90 96 84 90 96 -",), WIDE, {"grid": {"points": "9"}}, None, None, missing("1", "9"), "one of nine in a row"),
    (("90 96 84 90 96",), WIDE, {"grid": {"points": "9"}}, None, None, missing("4", "9"), "five of nine in a row"),
    (("90 96 84 90 96 84 90 96 84 88",), WIDE, {"grid": {"points": "9"}}, Fraction(898, 10), 84, (), "more than are asked for"),
    (("90 96 84 90 96 84 90 96 84",), WIDE, {}, None, None, otherwise("9", (9, 1), (5, 4)), "E14: by cells nine in a row are no part of five by four"),
    (("90 96 84 90 96 84 90 96 -",), WIDE, {}, None, None, otherwise("8", (9, 1), (5, 4)), "nor are eight of them"),
    (("90 96 84 90 96",), WIDE, {}, None, None, missing("15", "20"), "the control: the upper row of the plan, its others are missing"),
    (("90 96 84 90 96 84",) * 3, WIDE, {}, None, None, otherwise("18", (6, 3), (5, 4)), "a column more, a row less"),
    (("90 96 84 90 96",) * 5, WIDE, {}, Fraction(456, 5), 84, (), "rows more than are asked for"),
    (("90 96 84 - -",) * 4, WIDE | {"cover": PANEL}, {"edge_exclusion": "6.1 in"}, 90, 96, (), "the third column is 6 in from the cover, its edge"),
    (("90 96 84 88 80",) * 4, WIDE, {"edge_exclusion": "6.1 in"}, Fraction(438, 5), 84, (), "the control: the third and fourth are far from an edge"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "size", "criteria", "average", "lowest", "because", "why"), LAID, ids=[row[6] for row in LAID]
)
def test_points_lie_as_the_cover_and_the_grid_rule_say(rows, size, criteria, average, lowest, because, why):
    found, said = points(*rows, size=size, **criteria)
    assert (traverse.average(found), traverse.lowest(found), said) == (average, lowest, because)


SHOWN = [
    # monitor, what it showed, set point, read as velocity [ft/min], as pressure, its mark [Pa], why
    ("velocity", "100 ft/min", "", 100, None, None, "a velocity"),
    ("velocity", "54 Pa", "60 Pa", None, None, None, "no pressure where velocity is shown"),
    ("pressure", "54 Pa", "60 Pa", None, 54, 60, "a pressure and its mark"),
    ("pressure", "100 ft/min", "80 ft/min", None, None, None, "no velocity where pressure is shown"),
    ("flow", "100 ft/min", "80 ft/min", None, None, None, "no velocity where flow is shown"),
    ("flow", "54 Pa", "60 Pa", None, None, None, "no pressure where flow is shown"),
]


@pytest.mark.parametrize(
    ("monitor", "shown", "mark", "velocity", "pressure", "marked", "why"), SHOWN, ids=[row[6] for row in SHOWN]
)
def test_a_monitor_is_read_as_what_it_shows(monitor, shown, mark, velocity, pressure, marked, why):
    hood = {"monitor": monitor, "set_point": mark}
    found, because = points("100 100", size={}, monitor=shown, hood=hood)
    assert (found.monitor, found.pressure, found.mark, because) == (velocity, pressure, marked, ())


UNMEASURED = [
    # traverses, width, why the points are not there, why
    ((), "60 in", Message("no-traverse", {"opening": "working", "state": "as-found"}), "nothing was read"),
    ((read("working", "90", "96"),), "", Message("size-missing", {"opening": "working"}), "no width"),
]


@pytest.mark.parametrize(("traverses", "width", "because", "why"), UNMEASURED, ids=[row[3] for row in UNMEASURED])
def test_a_covered_opening_has_no_free_area_before_it_is_measured(traverses, width, because, why):
    survey = survey_dict(*traverses, openings=[opening(cover=PANEL) | {"width": width}])
    found = judged(survey, criteria_dict(limit("average", "80 ft/min"))).as_found.openings[0]
    assert (found.free_area, found.missing) == (None, (because,))
