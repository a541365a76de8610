"""Which sizes are asked about, and which are refused: one row an edge, in both units."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hoods.core.quantity import LONGEST
from surveys.core.content import check
from surveys.core.document import Facts, OpeningFacts, parse_merged
from surveys.core.questions import questions, unanswered
from surveys.core.sizes import off_the_others
from surveys.wording import sentence
from tests.surveys.core.surveyed import opening, read, survey_dict

ASKED = [  # register, measured, is it asked, why
    ("18 in", "18 in", False, "as registered"),
    ("18 in", "19.8 in", False, "exactly a tenth more"),
    ("18 in", "19.9 in", True, "more than a tenth"),
    ("18 in", "16.2 in", False, "exactly a tenth less"),
    ("18 in", "16.1 in", True, "a label that grants less is wrong too"),
    ("18 in", "28 in", True, "E6: 18 typed as 28"),
    ("18 in", "81 in", True, "E6: two digits in the wrong order"),
    ("18 in", "4000 in", False, "refused, so nothing is asked"),
    ("457 mm", "457 in", False, "above the longest: refused, so nothing is asked"),
    ("45.7 cm", "45.7 in", True, "the register's number in another unit"),
    ("457 mm", "18 in", False, "the same in another unit"),
    ("457 mm", "19.7 in", False, "43 mm more: under a tenth"),
    ("100 mm", "125 mm", False, "a quarter of a low opening, and exactly 25 mm"),
    ("100 mm", "125.1 mm", True, "more than both"),
    ("250 mm", "275.5 mm", True, "just more than a tenth, and more than 25 mm"),
    ("", "46 in", False, "the register says none"),
    ("18 in", "", False, "nothing measured yet"),
    ("18 in", "18", False, "without a unit: a problem"),
    ("18 in", "0 in", False, "no size: a problem"),
    ("18 in", "2,8 in", False, "no number: a problem"),
]


def of_size(side, register, measured):
    sizes = {"width": "62 in", "height": "18 in"} | {side: measured}
    document, facts = parse_merged(survey_dict(read("working", "98", "101"), openings=[opening() | sizes]))
    known = replace(facts.openings[0], **({"width": "62 in", "height": "18 in"} | {side: register}))
    return document, replace(facts, openings=(known,))


@pytest.mark.parametrize("side", ["width", "height"])
@pytest.mark.parametrize(("register", "measured", "asked", "why"), ASKED)
def test_e6_a_size_far_from_the_register_is_asked_about(side, register, measured, asked, why):
    found = [(one.code, one.path, one.value) for one in questions(*of_size(side, register, measured))]
    assert found == ([(f"{side}-off-register", f"openings.0.{side}", measured)] if asked else []), why


SAID = [  # register, measured, what is said: first in the unit that was written
    ("18 in", "28 in", "The register says 18 in (457 mm), and 28 in is written as the height. Was it measured so?"),
    (
        "45.7 cm",
        "45.7 in",
        "The register says 18 in (45.7 cm), and 45.7 in is written as the height. Was it measured so?",
    ),
    ("18 in", "357 mm", "The register says 457 mm (18 in), and 357 mm is written as the height. Was it measured so?"),
]


@pytest.mark.parametrize(("register", "measured", "said"), SAID)
def test_the_register_is_told_first_in_the_unit_that_was_written(register, measured, said):
    (one,) = questions(*of_size("height", register, measured))
    assert sentence(one.message) == said


def test_an_answer_belongs_to_the_size_that_was_asked_about_and_changes_no_figure():
    document, facts = of_size("height", "18 in", "28 in")
    answered = {"code": "height-off-register", "path": "openings.0.height", "value": "28 in", "answer": "stays"}
    assert unanswered(replace(document, questions=(answered,)), facts) == ()
    assert len(unanswered(replace(document, questions=(answered | {"value": "29 in"},)), facts)) == 1


@pytest.mark.parametrize(("unit", "most"), sorted(LONGEST.items()))
def test_e6_no_opening_is_longer_than_the_inventory_takes(unit, most):
    for text, refused in ((most, False), (f"{most}.1", True), (f"{most}0", True)):
        document, facts = of_size("height", "18 in", f"{text} {unit}")
        assert [(one.path, one.message.code) for one in check(document, facts)] == (
            [("openings.0.height", "size-above-most")] if refused else []
        )


def test_a_merged_document_has_no_register_to_hold_its_sizes_beside():
    _document, facts = parse_merged(survey_dict(read("working", "98"), openings=[opening()]))
    assert (facts.openings[0].width, facts.openings[0].height) == ("", "")
    assert Facts.from_dict({
        "hood": {"kind": "general", "control": "bypass", "sash": "vertical"},
        "openings": [{"name": "a", "use": "working", "width": "62 in", "height": "18 in"}],
    }).openings == (OpeningFacts("a", "working", width="62 in", height="18 in"),)  # fmt: skip


HOOD = (("working", "working", "", "62 in", "18 in"), ("lower", "lower", "", "1575 mm", "12 in"))
PANELS = (("left", "working", "left panel", "24 in", "30 in"), ("frame", "working", "frame", "60 in", "18 in"))
ADDED = [  # sash, what the hood has, what is added (use, way, width, height), what is asked, why
    ("vertical", HOOD, ("lower", "", "62 in", "15 in"), [], "as wide, and not higher"),
    ("vertical", HOOD, ("working", "", "62 in", "19 in"), [], "a little higher"),
    ("vertical", HOOD, ("working", "", "62 in", "46 in"), ["height-off-others"], "far above all"),
    ("vertical", HOOD, ("other", "", "62 in", "46 in"), [], "never approved, however high"),
    ("vertical", HOOD, ("lower", "", "26 in", "15 in"), ["width-off-others"], "E6: 62 typed as 26"),
    ("vertical", HOOD, ("working", "", "26 in", "46 in"), ["width-off-others", "height-off-others"], "both"),
    ("vertical", (), ("working", "", "26 in", "46 in"), [], "nothing to compare with"),
    ("vertical", (("working", "working", "", "", ""),), ("working", "", "26 in", "46 in"), [], "no sizes there"),
    ("combination", PANELS, ("lower", "left panel", "12 in", "30 in"), [], "panels open less wide, and as high"),
    ("combination", PANELS, ("working", "left panel", "12 in", "46 in"), ["height-off-others"], "of the same part"),
    ("combination", PANELS, ("working", "right panel", "12 in", "46 in"), [], "of another part nothing is known"),
    ("none", HOOD, ("working", "", "26 in", "46 in"), [], "no sash joins its openings"),
]  # fmt: skip


@pytest.mark.parametrize(("sash", "has", "added", "asked", "why"), ADDED)
def test_what_is_asked_of_an_opening_that_is_added(sash, has, added, asked, why):
    others = [OpeningFacts(name, use, way, width=width, height=height) for name, use, way, width, height in has]
    use, way, width, height = added
    new = OpeningFacts("new", use, way, width=width, height=height)
    assert [one.code for one in off_the_others(new, others, sash)] == asked, why
