"""The grid in words and figures: counts in the singular too, one rounding, one form of nothing, readings as typed."""

from __future__ import annotations

from typing import Any

import pytest

from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from surveys.core.facts import OpeningFacts
from surveys.core.judging import judge
from surveys.core.units import quantity
from surveys.views.survey_boxes import Boxes
from surveys.views.survey_doubts import doubts_of
from surveys.views.survey_grid import Block
from surveys.views.survey_grid_words import grid_words, planned
from tests.surveying import CRITERIA

WORDS = [  # width, height, the words
    ("60 in", "9 in", "Grid for this opening: 5 columns, 1 row, cells of 12 × 9 in."),
    ("12 in", "9 in", "Grid for this opening: 1 column, 1 row, cells of 12 × 9 in."),
    ("62 in", "18 in", "Grid for this opening: 5 columns, 2 rows, cells of 12.4 × 9 in."),
    ("1524 mm", "457 mm", "Grid for this opening: 5 columns, 2 rows, cells of 304 × 228 mm, rounded down."),
    ("1525 mm", "457.2 mm", "Grid for this opening: 5 columns, 2 rows, cells of 305 × 228 mm, rounded down."),
    ("1500 mm", "456 mm", "Grid for this opening: 5 columns, 2 rows, cells of 300 × 228 mm."),
]


@pytest.mark.parametrize(("width", "height", "said"), WORDS)
def test_a_grid_says_its_columns_rows_and_cells_both_rounded_alike(width: str, height: str, said: str) -> None:
    criteria = Criteria.from_dict(CRITERIA)
    assert grid_words(planned(width, height, criteria), criteria) == said


def block(readings: list[list[Any]], unit: str = "m/s", **limits: str) -> Block:
    """The grid of an opening of 60 by 18 in with these readings, judged."""
    lowest = {"figure": "lowest", "at_least": "0.30 m/s", "applies_to": "each", "consequence": "fail"} | limits
    criteria = Criteria.from_dict(CRITERIA | {"limits": [lowest]})
    facts = Facts(openings=(OpeningFacts("working", "working"),), resolution=quantity(f"0.01 {unit}"))
    read = {"opening": "working", "state": "as-found", "unit": unit, "readings": readings}
    document = parse({"openings": [{"name": "working", "width": "60 in", "height": "18 in"}], "traverses": [read]})
    boxes = {f"r0f-{r}-{c}-{k}": one for r, row in enumerate(readings) for c, cell in enumerate(row)
             for k, one in enumerate(cell if isinstance(cell, list) else [cell]) if one}  # fmt: skip
    judged = judge(document, facts, criteria).as_found.openings[0]
    return Block(
        place="0f", opening="working", state="as-found", unit=unit, width="60 in", height="18 in", boxes=Boxes(boxes, {}),
        criteria=criteria, version="1", grid=planned("60 in", "18 in", criteria), resolution=facts.resolution, highest=None,
        covered=True, use="working", judged=judged,
    )  # fmt: skip


def test_the_lowest_and_the_highest_are_shown_as_they_were_typed() -> None:
    rows = [["0.50", "0.52", "0.55", "0.54", "0.60"], ["0.53", "0.51", "0.52", "0.55", "0.54"]]
    drawn = block(rows)
    assert (drawn.shown["lowest"], drawn.shown["highest"], drawn.shown["spread"]) == ("0.50", "0.60", "0.1")
    assert drawn.limits[0].now == "0.50 m/s"
    repeated = block([[["0.40", "0.60"], *rows[0][1:]], rows[1]])
    assert repeated.shown["lowest"] == "0.5", "the mean of two was typed nowhere"
    converted = block(rows, at_least="60 ft/min")
    assert converted.limits[0].now.endswith("ft/min")
    assert converted.limits[0].now != "0.50 ft/min"


def test_a_deviation_that_is_nothing_has_one_form() -> None:
    drawn = block(
        [["0.500", "0.501", "0.499", "0.500", "0.500"], ["0.500", "0.500", "0.500", "0.500", "0.530"]], unit="m/s"
    )
    assert {cell.off for cell in drawn.cells if cell.off.strip("+−").startswith("0 ")} <= {"0 %"}
    even = block([["0.50", "0.50", "0.50", "0.50", "0.50"], ["0.50", "0.50", "0.50", "0.50", "0.52"]])
    offs = [cell.off for cell in even.cells]
    assert offs == ["0 %"] * 9 + ["+4 %"]
    above = block([["1.00", "1.00", "1.00", "1.00", "1.00"], ["1.00", "1.00", "1.00", "1.00", "0.99"]])
    assert [cell.off for cell in above.cells] == ["0 %"] * 9 + ["−1 %"], "a tenth above the average is no '+0 %'"


@pytest.mark.parametrize(("path", "number", "about"), [
    ("traverses.0.readings.0.1", None, [("1.2", ["5"])]),
    ("traverses.0.readings.0.1", "3", [("1.2", ["5"]), ("2.1", ["5", "5"])]),
    ("traverses.0.readings", None, [("1.1", ["5"]), ("1.2", ["5"]), ("2.1", ["5", "5"])]),
])  # fmt: skip
def test_a_question_carries_the_readings_that_it_is_about(path: str, number: str | None, about: list[Any]) -> None:
    import json

    from surveys.core.questions import Question

    struck = {"value": "9", "at": None, "struck": "slip"}
    read = {
        "opening": "working",
        "state": "as-found",
        "unit": "ft/min",
        "readings": [["5", "5"], [["5", struck, "5"], None]],
    }
    document = parse({"openings": [], "traverses": [read]})
    code = "four-alike" if number else "all-zero" if path.endswith("readings") else "reading-ten-times"
    values = {"text": "5", "rest": "5", "number": number or "1"}
    (doubt,) = doubts_of([Question(code, path, "5", values)], document, "working", "as-found")
    assert [tuple(one) for one in json.loads(doubt.about)] == about
