"""A grid rule of another kind, from the form of a draft to the drawing, the judging and the paper."""

from __future__ import annotations

import json

import pytest
from django.urls import reverse

from reports.pdf.velocity import method
from reports.pdf.wording import Wording
from surveys.core.criteria import Criteria
from surveys.core.document import parse_merged
from surveys.core.judging import judge
from surveys.forms.criteria_document import to_boxes, to_document
from surveys.management.commands.calc import grid as calc_grid
from surveys.views.survey_grid_words import grid_words, planned
from surveys.wording import sentence
from tests import surveying
from tests.filling import Surveyor
from tests.making import make_hood
from tests.stories import STORIES
from tests.surveys.core.surveyed import limit
from tests.surveys.words import said

POINTS = {"points": "9"}
SPACED = {"margin": "100 mm", "spacing": "400 mm"}
STORY = STORIES["plain-pass"]["input"]


def with_grid(grid):
    return json.loads(json.dumps(STORY["criteria"])) | {"grid": grid}


@pytest.mark.parametrize("grid", [POINTS, SPACED])
def test_there_and_back_through_the_boxes_is_the_same_document(grid):
    document = with_grid(grid)
    assert to_document(to_boxes(document), document).document == document


@pytest.mark.parametrize("area", ["1 ft**2", "1 ft²", "144 in**2"])
def test_a_box_shows_a_unit_as_people_write_it_and_keeps_it_as_it_was(area):
    document = with_grid({"largest_area": area, "longest_edge": "13 in"})
    boxes = to_boxes(document)
    assert boxes["grid-largest_area"] in ("1 ft²", "144 in²")
    assert to_document(boxes, document).document == document
    other = to_document(boxes | {"grid-largest_area": "2 ft²"}, document).document
    assert Criteria.from_dict(other).grid.largest_area.to("ft**2") == 2


def test_a_limit_below_zero_is_read_with_a_minus():
    asked = limit("monitor-error-percent", "-10 %", "10 %")
    version = Criteria.from_dict(json.loads(json.dumps(STORY["criteria"])) | {"limits": [asked]})
    assert sentence(version.limits[0].said()) == "from −10 % to 10 %"  # noqa: RUF001


def test_a_rule_is_changed_for_another_in_the_boxes():
    boxes = to_boxes(with_grid({"largest_area": "1 ft**2", "longest_edge": "13 in"}))
    boxes |= {"grid-largest_area": "", "grid-longest_edge": "", "grid-points": "9"}
    made = to_document(boxes, with_grid({"largest_area": "1 ft**2", "longest_edge": "13 in"})).document
    assert made["grid"] == POINTS
    assert Criteria.from_dict(made).grid.points == 9


@pytest.mark.parametrize(
    ("grid", "words"),
    [
        (POINTS, "Grid for this opening: 3 columns, 3 rows, cells of 20.6 × 6 in, rounded down."),
        (SPACED, "Grid for this opening: 5 columns, 2 rows, the outer points 3.9 in (100 mm) from the sides, one 13.5 × 10.1 in (343 × 257 mm) from the next."),
    ],
)  # fmt: skip
def test_the_page_says_the_grid_in_words(grid, words):
    criteria = Criteria.from_dict(with_grid(grid))
    assert grid_words(planned("62 in", "18 in", criteria), criteria) == words


def test_the_margin_and_the_spacing_are_told_in_the_unit_that_is_measured_in_and_the_other():
    criteria = Criteria.from_dict(with_grid(SPACED))
    told = grid_words(planned("1575 mm", "457 mm", criteria), criteria)
    assert told.endswith("the outer points 100 mm (3.9 in) from the sides, one 343 × 257 mm (13.5 × 10.1 in) from the next.")


@pytest.mark.parametrize(
    ("grid", "said"),
    [
        (POINTS, "Read at the middle of 9 equal cells"),
        (SPACED, "Outer points 100 mm from the sides, others at most 400 mm apart"),
    ],
)
def test_the_certificate_says_how_the_points_were_planned(grid, said):
    assert said in method(with_grid(grid), Wording())


def test_calc_plans_by_each_rule():
    asked = {"width": "62 in", "height": "18 in"}
    assert calc_grid(asked | {"grid": POINTS})["columns"] == "3"
    assert calc_grid(asked | {"grid": SPACED})["rows"] == "2"


def test_fewer_points_than_the_rule_asks_are_missing():
    document, facts = parse_merged(STORY["survey"])
    assert judge(document, facts, Criteria.from_dict(STORY["criteria"])).verdict == "pass"
    judged = judge(document, facts, Criteria.from_dict(with_grid({"points": "50"})))
    assert judged.verdict == "no-verdict"
    assert any(reason.code == "points-missing" for reason in judged.reasons)


@pytest.mark.django_db
def test_the_survey_page_draws_the_points_and_the_version_says_the_rule(room, technician, programme_manager, signed_in):
    hood = make_hood(room=room, by=programme_manager)
    surveying.make_instrument(hood.site, programme_manager)
    version = surveying.make_version(hood.site, programme_manager, with_grid(POINTS))
    surveying.assign(hood, version, programme_manager)
    surveyor = Surveyor(signed_in(technician), hood)
    surveyor.fill(o0_width="36", o0_width_unit="in", o0_height="30", o0_height_unit="in")
    surveyor.press("keep")
    assert {f"r0f-{row}-{column}-0" for row in range(3) for column in range(3)} <= set(surveyor.form.names)
    assert "r0f-3-0-0" not in surveyor.form.names
    page = signed_in(programme_manager).get(reverse("surveys:criteria_version", args=[version.pk])).content.decode()
    assert "9 points, on equal cells as near to squares as they come, in two rows and two columns at least" in page


@pytest.fixture
def on_a_row(room, technician, programme_manager, signed_in):
    """A draft of nine points in one row, as they were planned for a wide opening before."""
    hood = make_hood(room=room, by=programme_manager)
    instrument = surveying.make_instrument(hood.site, programme_manager)
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager, with_grid(POINTS)), programme_manager)
    surveyor = Surveyor(signed_in(technician), hood)
    row = [["98", "101", "95", "97", "100", "103", "99", "103", "98"]]
    content = surveying.entered(instrument, row)
    content["answers"].append({"check": "glazing-whole", "answer": "yes"})
    surveying.save(surveyor.draft, content, technician)
    surveyor.open()
    return surveyor


@pytest.mark.django_db
def test_readings_on_a_row_that_was_planned_before_stay_where_they_are_and_count(on_a_row):
    assert {f"r0f-0-{column}-0" for column in range(9)} <= set(on_a_row.form.names)
    assert "r0f-1-0-0" not in on_a_row.form.names
    assert "The opening was measured again." not in on_a_row.page
    assert "have no reading" not in said(on_a_row.client.get(on_a_row.address))
    on_a_row.sign(missing_confirmed="on")
    assert on_a_row.survey.verdict == "pass"
    assert on_a_row.survey.record.attested["judged"]["sets"]["as-found"]["openings"][0]["figures"]["average"]["shown"] == "99.3"


@pytest.mark.django_db
def test_the_control_a_row_of_fewer_points_is_another_grid(on_a_row, technician):
    content = on_a_row.content()
    content["traverses"][0]["readings"] = [["98", "101", "95"]]
    surveying.save(on_a_row.draft, content, technician)
    assert "The opening was measured again." in on_a_row.open()
    assert "6 of 9 points have no reading" in said(on_a_row.client.get(on_a_row.address))
