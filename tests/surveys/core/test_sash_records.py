"""How far each sash may be open: what is told once, and what a record knows of its openings."""

from __future__ import annotations

import pytest

from surveys.core import sash
from surveys.core.messages import Message
from surveys.wording import sentence
from tests.surveys.core.test_sash import HALF, LEFT, LOWER_ONLY, OF_NAME, OTHERS, PANELS, SHUT, WIDE

TOLD_ONCE = [
    # sash           approved          not to be used, with its part   what is said, why
    ("combination",  [HALF, WIDE],     {},                             ["left panel only, to 30 in (762 mm) at most, frame down", "all other panels stay closed"]),
    ("combination",  [OF_NAME, WIDE],  {},                             ["left panel only, to 30 in (762 mm) at most, frame down", "all other panels stay closed"]),
    ("horizontal",   [LEFT],           {"frame at 18 in": ""},         ["left panel only", "all other panels stay closed", "opening ‘frame at 18 in’ not to be used"]),
    ("horizontal",   [PANELS, HALF],   {"wide": "left"},               ["panels open together", "left panel open to 15 in (381 mm) at most"]),
    ("horizontal",   [PANELS],         {"all of them": "panels"},      ["panels open together", "opening ‘all of them’ not to be used"]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "approved", "barred", "said"), TOLD_ONCE)
def test_what_the_lines_tell_already_is_not_said_again(kind, approved, barred, said):
    restriction = {"not_openings": list(barred), "parts": {name: part for name, part in barred.items() if part}}
    assert [sentence(line) for line in sash.lines(approved, kind, restriction)] == said


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ({"parts": {"east": "left"}}, ["right panel only", "left panel and all others stay closed", "opening ‘added’ not to be used"]),
        ({}, ["right panel only", "all other panels stay closed", "opening ‘east’ not to be used", "opening ‘added’ not to be used"]),
    ],
)  # fmt: skip
def test_a_record_tells_the_part_that_failed_where_the_register_does_not(parts, said):
    names = ("right", "east", "added")
    facts = {
        "hood": {"kind": "general", "sash": "horizontal"},
        "openings": [{"name": "right", "way": "right panel"}, {"name": "east"}],
    }
    entered = {"openings": [{"name": name, "width": "30 in", "height": "30 in"} for name in names]}
    judged = {"approved": ["right"], "restriction": {"not_openings": ["east", "added"], **parts}}
    assert [sentence(line) for line in sash.as_judged(facts, entered, judged)] == said


def test_panels_together_are_none_of_them():
    assert sash.setting(PANELS, "horizontal") == Message("open-together", {})


WORKING = {"name": "working", "width": "62 in", "height": "18 in"}
TOLD_OF = [
    # hood                                     facts of the opening    entered             conditions               what is said
    ({"sash": "vertical"},                     {},                     WORKING,            None,                    []),
    ({"sash": "vertical"},                     {"cover": {"by": "fixed panel", "left": "36 in"}}, WORKING, {},      ["sash at or below 18 in (457 mm), with fixed panel in place"]),
    ({"sash": "vertical", "control": "two-state"}, {},                 WORKING,            {"flow_state": "lower"}, ["sash at or below 18 in (457 mm)", LOWER_ONLY]),
    ({"sash": "vertical", "control": "bypass"}, {},                    WORKING,            {"flow_state": "lower"}, []),
    ({"sash": "horizontal"},                   None,                   WORKING | {"name": "left panel"}, {},        ["left panel only", OTHERS]),
    ({"sash": "horizontal"},                   None,                   WORKING | {"name": "hatch"}, {},             ["opening ‘hatch’", "nothing else open"]),
    ({"sash": "horizontal"},                   {"way": None},          WORKING | {"name": "left panel", "width": None}, {}, ["left panel only", OTHERS]),
]  # fmt: skip


@pytest.mark.parametrize(("hood", "known", "opening", "conditions", "said"), TOLD_OF)
def test_a_record_tells_what_was_entered_and_what_was_known_of_it(hood, known, opening, conditions, said):
    """An opening that was added in the survey is not among those that were known."""
    facts = {
        "hood": {"kind": "general", **hood},
        "openings": [] if known is None else [{"name": opening["name"], **known}],
    }
    entered = {"openings": [opening]} | ({"conditions": conditions} if conditions is not None else {})
    judged = {"approved": [opening["name"]], "restriction": None}
    assert [sentence(line) for line in sash.as_judged(facts, entered, judged)] == said


def test_a_record_knows_a_panel_of_several_by_the_name_of_an_opening():
    openings = [WORKING | {"name": "left panel", "width": "15 in"}, WORKING | {"name": "wide"}]
    facts = {"hood": {"kind": "general", "sash": "horizontal"}, "openings": [{"name": "wide", "way": "left panel"}]}
    judged = {"approved": ["left panel"], "restriction": None}
    found = sash.as_judged(facts, {"openings": openings}, judged)
    assert [sentence(line) for line in found] == ["left panel only, to 15 in (381 mm) at most", OTHERS]
    untold = [openings[0] | {"width": None}, openings[1]]
    found = sash.as_judged(facts, {"openings": untold}, judged)
    assert [sentence(line) for line in found] == ["opening ‘left panel’", OTHERS], "of which nobody told the width"


def test_a_record_tells_what_its_heights_were_measured_from():
    facts = {"hood": {"kind": "general", "sash": "combination"}, "openings": [{"name": "working", "way": "frame"}],
             "site": {"height_from": "work-surface"}}  # fmt: skip
    judged = {"approved": ["working"], "restriction": None}
    found = sash.as_judged(facts, {"openings": [WORKING]}, judged)
    assert [sentence(line) for line in found] == ["frame at or below 18 in (457 mm) above the work surface", SHUT]
