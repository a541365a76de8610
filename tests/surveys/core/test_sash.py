"""How far each sash may be open: a table of what is approved and the words that follow."""

from __future__ import annotations

import pytest

from surveys.core import sash
from surveys.core.history import Approved
from surveys.core.messages import Message
from surveys.wording import sentence

FRAME, LOW = Approved("frame at 18 in", "18 in", way="frame"), Approved("frame at 12 in", "12 in", "lower", way="frame")
PANELS = Approved("panels open", "28 in", way="panels")
LEFT, CENTRE, RIGHT = (Approved(name, "30 in", way=f"{name} panel") for name in ("left", "centre", "right"))
HALF = Approved("left half", "20 in", way="left panel", width="15 in", of_several=True)
WIDE = Approved("left wide", "18 in", way="left panel", width="30 in", of_several=True)
PANEL = Approved("working", "18 in", cover="fixed panel")
A_DOOR, WIDER_DOOR = Approved("door", "30 in", way="door", width="20 in"), Approved("wide door", "28 in", way="door", width="25 in")
OF_NAME, UNTOLD = Approved("Left panel", "30 in", width="10 in"), HALF._replace(width="")
FRONT = Approved("front", "28 in", way="front", width="40 in")
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
    ("horizontal",  [HALF],             [],                  ["left panel open to 15 in (381 mm) at most"],     "it is measured wider too, and that is not approved"),
    ("combination", [HALF, RIGHT],      [],                  [f"left panel open to 15 in (381 mm) at most, {DOWN}", f"right panel open, {DOWN}", f"panels only, {DOWN}", "one panel open at a time"], "of one panel alone there are several sizes"),
    ("horizontal",  [HALF],             ["left wide"],       ["left panel open to 15 in (381 mm) at most", "opening ‘left wide’ not to be used"], "the wide one failed"),
    ("horizontal",  [HALF, WIDE],       [],                  ["left panel open to 30 in (762 mm) at most"],     "the wider of one panel, be it the lower"),
    ("horizontal",  [WIDE, HALF],       [],                  ["left panel open to 30 in (762 mm) at most"],     "whatever the order of them"),
    ("horizontal",  [HALF._replace(width="")], [],           ["opening ‘left half’"],                           "earlier records tell no width: never the bare words"),
    ("horizontal",  [PANELS, LEFT, RIGHT], [],               ["panels open", "left panel open", "right panel open"], "several together were measured and approved"),
    ("combination", [PANELS, LEFT],     [],                  [f"panels open, {DOWN}", f"left panel open, {DOWN}", f"panels only, {DOWN}"], "so they were with a frame"),
    ("horizontal",  [LEFT],             ["panels open"],     ["left panel open", "one panel open at a time"],   "several together failed, and one alone did not"),
    ("horizontal",  [LEFT, RIGHT],      ["panels open"],     ["left panel open", "right panel open", "one panel open at a time"], "it is said once"),
    ("horizontal",  [PANELS],           ["left"],            ["panels open", "opening ‘left’ not to be used"],  "alone it failed: it does not stay closed among several"),
    ("horizontal",  [PANELS._replace(width="1500 mm", of_several=True)], [], ["panels open together to 1500 mm (59 in) at most"], "several together at two widths"),
    ("horizontal",  [A_DOOR, WIDER_DOOR],  [],               ["opening ‘wide door’"],                           "of one way of the site's own the wider"),
    ("horizontal",  [OF_NAME],          [],                  ["left panel open"],                               "its name says the part"),
    ("horizontal",  [OF_NAME, HALF],    [],                  ["left panel open to 15 in (381 mm) at most"],     "one part, said by a name and by a way"),
    ("horizontal",  [UNTOLD, UNTOLD._replace(name="left")], [], ["opening ‘left half’"],                        "equal, as far as anybody knows: the first"),
    ("combination", [FRAME._replace(width="50 in"), LOW._replace(width="60 in")], [], [UP, "frame only, panels closed"], "of a frame the width says nothing"),
    ("none",        [FRONT, FRONT._replace(name="narrow", width="20 in", height="29 in")], [], ["no sash: opening ‘narrow’, 29 in (736 mm) high"], "without a sash the higher"),
    ("none",        [WIDE],             [],                  ["no sash: opening ‘left wide’, 18 in (457 mm) high"], "where nothing moves there is no panel"),
    ("horizontal",  [LEFT._replace(flow_state="lower"), RIGHT._replace(flow_state="lower")], [], ["left panel open", "right panel open", "one panel open at a time", "tested at its lower flow"], "the state is said once"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "approved", "barred", "said", "why"), CASES, ids=[case[-1] for case in CASES])
def test_each_opening_has_its_line(kind, approved, barred, said, why):
    assert [sentence(line) for line in sash.lines(approved, kind, {"not_openings": barred})] == said


BY_WAY = [
    # approved, parts, what is said, why
    (RIGHT, {"east": "left"}, ["right panel open", "left panel stays closed"], "its way says which panel it is"),
    (RIGHT, {}, ["right panel open", "opening ‘east’ not to be used"], "a record of before tells no way"),
    (HALF, {"east": "left"}, ["left panel open to 15 in (381 mm) at most", "opening ‘east’ not to be used"], "less of it may be open"),
]  # fmt: skip


@pytest.mark.parametrize(("approved", "parts", "said", "why"), BY_WAY)
def test_an_opening_that_failed_is_told_by_its_panel(approved, parts, said, why):
    restriction = {"not_openings": ["east"]} | ({"parts": parts} if parts else {})
    assert [sentence(line) for line in sash.lines([approved], "horizontal", restriction)] == said, why


def test_a_restriction_tells_the_panels_that_no_name_tells():
    ways = [("left panel", "east"), ("left panel", "left"), ("", "right"), ("frame", "raised"), (None, "west"), ("right panel", "left")]
    assert sash.parts_untold(ways) == {"parts": {"east": "left", "left": "right"}}
    assert sash.parts_untold(ways[1:5]) == {}


@pytest.mark.parametrize(
    ("openings", "several"),
    [
        ([("left panel", "a"), ("left panel", "b"), ("right panel", "c")], {"left"}),
        ([("", "left"), ("left panel", "half")], {"left"}),
        ([("left panel", "left half open"), ("", "left fully open")], {"left"}),
        ([("left panel", "left half open"), ("", "fully open")], set()),
        ([("frame", "high"), ("frame", "low")], set()),
        ([("", "center"), ("centre panel", "half")], {"centre"}),
        ([("panels", "left and centre"), ("panels", "all"), ("left panel", "left")], {"panels"}),
    ],
)
def test_which_panels_are_measured_at_several_openings(openings, several):
    assert sash.of_several(openings) == several


def recorded(*openings, approved, **restriction):
    """The parts of a record of a horizontal sash; each opening by name, way, width and height."""
    facts = {"hood": {"kind": "general", "sash": "horizontal"}, "openings": [{"name": name, "way": way} for name, way, *_ in openings]}
    entered = {"openings": [{"name": name, "width": wide, "height": high} for name, _way, wide, high in openings if wide]}
    return facts, entered, {"approved": approved, "restriction": restriction or None}


RECORDS = [
    ([("left half open", "left panel", "15 in", "30 in"), ("left fully open", "left panel", "30 in", "30 in")], ["left half open"], {},
     ["left panel open to 15 in (381 mm) at most"], "the whole opening was only recorded"),
    ([("left half open", "left panel", "15 in", "30 in"), ("left fully open", "left panel", None, None)], ["left half open"], {},
     ["left panel open to 15 in (381 mm) at most"], "it is registered and was not measured"),
    ([("left wide", "left panel", "30 in", "30 in"), ("left half", "left panel", "15 in", "20 in")], ["left half"], {"not_openings": ["left wide"]},
     ["left panel open to 15 in (381 mm) at most", "opening ‘left wide’ not to be used"], "the wide one failed"),
    ([("left", "left panel", "30 in", "30 in"), ("right", "right panel", "30 in", "30 in")], ["left", "right"], {},
     ["left panel open", "right panel open", "one panel open at a time"], "one size of each: a record of before reads as it did"),
]  # fmt: skip


@pytest.mark.parametrize(("openings", "approved", "restriction", "said", "why"), RECORDS)
def test_a_record_says_how_far_a_panel_may_be_open(openings, approved, restriction, said, why):
    assert [sentence(line) for line in sash.as_judged(*recorded(*openings, approved=approved, **restriction))] == said, why


@pytest.mark.parametrize(
    ("opening", "kind", "said"),
    [
        (FRAME, "combination", "frame raised to 18 in (457 mm), panels closed"),
        (LEFT, "combination", "left panel open, frame down"),
        (LEFT, "horizontal", "left panel open"),
        (FRAME, "vertical", None),
        (OF_NAME, "horizontal", "left panel open"),
        (LEFT, "none", "no sash: opening ‘left’, 30 in (762 mm) high"),
        (Approved("door", "30 in", way="door"), "horizontal", None),
    ],
)
def test_how_the_sash_is_set_to_measure_an_opening(opening, kind, said):
    how = sash.setting(opening, kind)
    assert (how and sentence(how)) == said


@pytest.mark.parametrize(
    ("kind", "way", "name", "over", "why"),
    [
        ("vertical", "", "any", True, "the sash itself"), ("combination", "frame", "any", True, "the frame"),
        ("combination", "panels", "any", False, "the frame is down"), ("combination", "left panel", "any", False, "so it is here"),
        ("combination", "", "left", False, "its name says the panel"), ("combination", None, "raised", True, "nothing says one"),
        ("horizontal", "left panel", "any", False, "panels slide aside"), ("horizontal", "hatch", "any", False, "whatever it is called"),
        ("none", "", "any", False, "there is no sash"),
    ],
)  # fmt: skip
def test_where_the_edge_of_a_sash_stands_over_an_opening(kind, way, name, over, why):
    assert sash.has_edge_above(kind, way, name) is over, why
    assert sash.slides(kind, way, name) is (not over and kind != "none"), "else a panel slides aside, if anything moves"


FORBIDDEN = {"shut-left": True, "restriction-opening": True, "open-left": False, "panels-only": False, "one-panel-at-a-time": False}


@pytest.mark.parametrize(("code", "forbids"), FORBIDDEN.items())
def test_which_lines_forbid(code, forbids):
    assert sash.forbids(Message(code)) is forbids


WORKING = {"name": "working", "width": "62 in", "height": "18 in"}
TOLD_OF = [
    # hood                                     facts of the opening    entered             conditions               what is said
    ({"sash": "vertical"},                     {},                     WORKING,            None,                    []),
    ({"sash": "vertical"},                     {"cover": {"by": "fixed panel", "left": "36 in"}}, WORKING, {},      ["sash up to 18 in (457 mm), with fixed panel in place"]),
    ({"sash": "vertical", "control": "two-state"}, {},                 WORKING,            {"flow_state": "lower"}, ["sash up to 18 in (457 mm)", "tested at its lower flow"]),
    ({"sash": "vertical", "control": "bypass"}, {},                    WORKING,            {"flow_state": "lower"}, []),
    ({"sash": "horizontal"},                   None,                   WORKING | {"name": "left panel"}, {},        ["left panel open"]),
    ({"sash": "horizontal"},                   None,                   WORKING | {"name": "hatch"}, {},             ["opening ‘hatch’"]),
    ({"sash": "horizontal"},                   {"way": None},          WORKING | {"name": "left panel", "width": None}, {}, ["left panel open"]),
]  # fmt: skip


@pytest.mark.parametrize(("hood", "known", "opening", "conditions", "said"), TOLD_OF)
def test_a_record_tells_what_was_entered_and_what_was_known_of_it(hood, known, opening, conditions, said):
    """An opening that was added in the survey is not among those that were known."""
    facts = {"hood": {"kind": "general", **hood}, "openings": [] if known is None else [{"name": opening["name"], **known}]}
    entered = {"openings": [opening]} | ({"conditions": conditions} if conditions is not None else {})
    judged = {"approved": [opening["name"]], "restriction": None}
    assert [sentence(line) for line in sash.as_judged(facts, entered, judged)] == said


def test_a_record_knows_a_panel_of_several_by_the_name_of_an_opening():
    openings = [WORKING | {"name": "left panel", "width": "15 in"}, WORKING | {"name": "wide"}]
    facts = {"hood": {"kind": "general", "sash": "horizontal"}, "openings": [{"name": "wide", "way": "left panel"}]}
    judged = {"approved": ["left panel"], "restriction": None}
    found = sash.as_judged(facts, {"openings": openings}, judged)
    assert [sentence(line) for line in found] == ["left panel open to 15 in (381 mm) at most"]
    untold = [openings[0] | {"width": None}, openings[1]]
    found = sash.as_judged(facts, {"openings": untold}, judged)
    assert [sentence(line) for line in found] == ["opening ‘left panel’"], "of which nobody told the width"


def test_a_canopy_is_told_by_what_it_is_for():
    facts = {"hood": {"kind": "canopy", "sash": "none"}, "openings": [{"name": "front", "way": None}]}
    entered = {"openings": [{"name": "front", "width": "48 in", "height": "20 in"}]}
    judged = {"approved": ["front"], "restriction": {"use": "not for hazardous vapours"}}
    assert [sentence(line) for line in sash.as_judged(facts, entered, judged)] == ["heat and steam alone"]
    assert sash.as_judged(facts, entered, judged | {"approved": []}) == ()
    other = {**facts, "hood": {"kind": "other", "sash": "none"}}
    assert [sentence(line) for line in sash.as_judged(other, entered, judged)] == ["no sash: opening ‘front’, 20 in (508 mm) high"]
