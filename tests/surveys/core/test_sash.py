"""How far each sash may be open: a table of what is approved and the words that follow."""

from __future__ import annotations

import pytest

from surveys.core import sash
from surveys.core.history import Approved
from surveys.wording import sentence

FRAME, LOW = Approved("frame at 18 in", "18 in", way="frame"), Approved("frame at 12 in", "12 in", "lower", way="frame")
PANELS = Approved("panels open", "28 in", way="panels")
LEFT, CENTRE, RIGHT = (Approved(name, "30 in", way=f"{name} panel") for name in ("left", "centre", "right"))
PANEL = Approved("working", "18 in", cover="fixed panel")
HIGHER, QUICK = Approved("high", "20 in"), Approved("working", "18 in", flow_state="higher")
UP, DOWN = "frame raised to 18 in (457 mm) at most, panels closed", "frame down"
NEVER = "never raise the frame with panels open"

CASES = [
    # sash          approved            barred               what is said                                       why
    ("vertical",    [FRAME],            [],                  [],                                                "one height says it"),
    ("combination", [FRAME, LOW],       [],                  [UP, "frame only, panels closed"],                 "the higher of one way"),
    ("combination", [LOW, FRAME],       [],                  [UP, "frame only, panels closed"],                 "whatever the order"),
    ("combination", [FRAME, PANELS],    [],                  [UP, f"panels open, {DOWN}", NEVER],               "both modes, never both at once"),
    ("combination", [PANELS],           ["frame at 18 in"],  [f"panels open, {DOWN}", f"panels only, {DOWN}", "opening ‘frame at 18 in’ not to be used"], "the frame failed"),
    ("combination", [FRAME],            ["panels open"],     [UP, "frame only, panels closed", "panels stay closed"], "the panels failed"),
    ("combination", [LEFT, RIGHT],      ["centre"],          [f"left panel open, {DOWN}", f"right panel open, {DOWN}", f"panels only, {DOWN}", "one panel open at a time", "centre panel stays closed"], "each panel was measured alone"),
    ("horizontal",  [CENTRE, RIGHT],    ["left"],            ["centre panel open", "right panel open", "one panel open at a time", "left panel stays closed"], "one of three failed"),
    ("horizontal",  [LEFT],             [],                  ["left panel open"],                               "one alone"),
    ("horizontal",  [Approved("door", "30 in", way="door")], ["hatch"], ["opening ‘door’", "opening ‘hatch’ not to be used"], "a way of the site's own"),
    ("none",        [Approved("working", "28 in", way="working")], [], ["no sash: opening ‘working’, 28 in (711 mm) high"], "nothing to move"),
    ("combination", [],                 ["left"],            [],                                                "nothing is approved"),
    ("vertical",    [PANEL],            [],                  ["sash up to 18 in (457 mm), with fixed panel in place"], "measured with a panel over a part of it"),
    ("vertical",    [PANEL, HIGHER],    [],                  [],                                                "a higher one was measured without it"),
    ("vertical",    [QUICK],            [],                  ["sash up to 18 in (457 mm)", "tested at its higher flow"], "one of two states"),
    ("vertical",    [PANEL._replace(flow_state="lower")], [], ["sash up to 18 in (457 mm), with fixed panel in place", "tested at its lower flow"], "both"),
    ("horizontal",  [LEFT, RIGHT._replace(cover="shelf")], [], ["left panel open", "right panel open", "one panel open at a time", "opening ‘right’: with shelf in place"], "one of the panels has a shelf behind it"),
    ("horizontal",  [LEFT._replace(flow_state="lower"), RIGHT._replace(flow_state="lower")], [], ["left panel open", "right panel open", "one panel open at a time", "tested at its lower flow"], "the state is said once"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "approved", "barred", "said", "why"), CASES, ids=[case[-1] for case in CASES])
def test_each_opening_has_its_line(kind, approved, barred, said, why):
    assert [sentence(line) for line in sash.lines(approved, kind, barred)] == said


@pytest.mark.parametrize(
    ("opening", "kind", "said"),
    [
        (FRAME, "combination", "frame raised to 18 in (457 mm), panels closed"),
        (LEFT, "combination", "left panel open, frame down"),
        (LEFT, "horizontal", "left panel open"),
        (FRAME, "vertical", None),
        (Approved("door", "30 in", way="door"), "horizontal", None),
    ],
)
def test_how_the_sash_is_set_to_measure_an_opening(opening, kind, said):
    how = sash.setting(opening, kind)
    assert (how and sentence(how)) == said


@pytest.mark.parametrize(
    ("kind", "way", "over", "why"),
    [
        ("vertical", "", True, "the sash itself"), ("combination", "frame", True, "the frame"),
        ("combination", "panels", False, "the frame is down"), ("combination", "left panel", False, "so it is here"),
        ("horizontal", "left panel", False, "panels slide aside"), ("horizontal", "hatch", False, "whatever it is called"),
        ("none", "", False, "there is no sash"),
    ],
)  # fmt: skip
def test_where_the_edge_of_a_sash_stands_over_an_opening(kind, way, over, why):
    assert sash.has_edge_above(kind, way, "an opening") is over, why


def test_a_canopy_is_told_by_what_it_is_for():
    facts = {"hood": {"kind": "canopy", "sash": "none"}, "openings": [{"name": "front", "way": None}]}
    entered = {"openings": [{"name": "front", "width": "48 in", "height": "20 in"}]}
    judged = {"approved": ["front"], "restriction": {"use": "not for hazardous vapours"}}
    assert [sentence(line) for line in sash.as_judged(facts, entered, judged)] == ["heat and steam alone"]
    assert sash.as_judged(facts, entered, judged | {"approved": []}) == ()
    other = {**facts, "hood": {"kind": "other", "sash": "none"}}
    assert [sentence(line) for line in sash.as_judged(other, entered, judged)] == ["no sash: opening ‘front’, 20 in (508 mm) high"]
