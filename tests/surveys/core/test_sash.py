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
UP, DOWN = "frame at or below 18 in (457 mm), panels closed", "frame down"
ALONE, SHUT = "frame at or below 18 in (457 mm)", "panels stay closed"
NEVER, FRAME_SHUT = "never raise the frame with panels open", "frame stays down"
AT_A_TIME, AND_OTHERS = "one panel open at a time", "one panel open at a time, all others closed"
OTHERS = "all other panels stay closed"
HIGHER_ONLY = "tested at its higher flow, not approved at its lower"
LOWER_ONLY = "tested at its lower flow, not approved at its higher"
DOOR = Approved("door", "30 in", way="door")
THREE = [LEFT, CENTRE, RIGHT]
ALL_THREE = ["left panel open", "centre panel open", "right panel open", AT_A_TIME]

# What is neither approved nor barred was not measured, or is not in the register: the lines say the same of both.
CASES = [
    # sash          approved            barred               what is said                                       why
    ("vertical",    [FRAME],            [],                  [],                                                "one height says it"),
    ("vertical",    [PANEL],            [],                  ["sash at or below 18 in (457 mm), with fixed panel in place"], "measured with a panel over a part of it"),
    ("vertical",    [PANEL, HIGHER],    [],                  [],                                                "a higher one was measured without it"),
    ("vertical",    [QUICK],            [],                  ["sash at or below 18 in (457 mm)", HIGHER_ONLY],  "one of two states"),
    ("vertical",    [PANEL._replace(flow_state="lower")], [], ["sash at or below 18 in (457 mm), with fixed panel in place", LOWER_ONLY], "both"),

    ("horizontal",  [],                 ["left"],            [],                                                "nothing is approved"),
    ("horizontal",  [LEFT],             [],                  ["left panel only", OTHERS],                       "one alone is registered, or was measured"),
    ("horizontal",  [CENTRE],           [],                  ["centre panel only", OTHERS],                     "so it is in the middle"),
    ("horizontal",  [LEFT],             ["centre"],          ["left panel only", "centre panel and all others stay closed"], "one failed, one is not registered"),
    ("horizontal",  [LEFT],             ["centre", "right"], ["left panel only", "centre and right panels stay closed"], "both others failed"),
    ("horizontal",  [LEFT],             ["right", "centre"], ["left panel only", "centre and right panels stay closed"], "as seen from the front, whatever the order"),
    ("horizontal",  [LEFT],             ["panels open"],     ["left panel only", OTHERS],                       "several together failed, and one alone did not"),
    ("horizontal",  [LEFT],             ["panels open", "centre", "right"], ["left panel only", "centre and right panels stay closed"], "all else failed"),
    ("horizontal",  [LEFT, RIGHT],      [],                  ["left panel open", "right panel open", AND_OTHERS], "the third was never measured"),
    ("horizontal",  [LEFT, RIGHT],      ["panels open"],     ["left panel open", "right panel open", AND_OTHERS], "it is said once"),
    ("horizontal",  [CENTRE, RIGHT],    ["left"],            ["centre panel open", "right panel open", AT_A_TIME, "left panel stays closed"], "one of three failed"),
    ("horizontal",  THREE,              [],                  ALL_THREE,                                         "all three, each alone"),
    ("horizontal",  THREE,              ["panels open"],     ALL_THREE,                                         "together they failed"),
    ("horizontal",  [PANELS],           [],                  ["panels open together"],                          "several together, and none alone"),
    ("horizontal",  [PANELS],           ["left"],            ["panels open together", "left panel never open alone"], "alone it failed: it does not stay closed among several"),
    ("horizontal",  [PANELS, LEFT, RIGHT], [],               ["panels open together", "left panel open", "right panel open"], "several together were measured and approved"),
    ("horizontal",  [PANELS._replace(width="1500 mm", of_several=True)], [], ["panels open together to 1500 mm (59 in) at most"], "several together at two widths"),

    ("combination", [],                 ["left"],            [],                                                "nothing is approved"),
    ("combination", [FRAME],            [],                  [ALONE, SHUT],                                     "the panels were never measured"),
    ("combination", [FRAME],            ["panels open"],     [ALONE, SHUT],                                     "the panels failed: it is said once"),
    ("combination", [FRAME],            ["left", "right"],   [ALONE, SHUT],                                     "so it is of single ones"),
    ("combination", [FRAME, LOW],       [],                  [ALONE, SHUT],                                     "the higher of one way"),
    ("combination", [LOW, FRAME],       [],                  [ALONE, SHUT],                                     "whatever the order"),
    ("combination", [LOW],              ["frame at 18 in"],  ["frame at or below 12 in (304 mm)", SHUT],        "higher it failed, as its name says"),
    ("combination", [LOW],              ["frame raised"],    ["frame at or below 12 in (304 mm)", SHUT],        "higher it failed: the height says it"),
    ("combination", [FRAME._replace(width="50 in"), LOW._replace(width="60 in")], [], [ALONE, SHUT],            "of a frame the width says nothing"),
    ("combination", [FRAME, PANELS],    [],                  [UP, f"panels open together, {DOWN}", NEVER],      "both modes, never both at once"),
    ("combination", [FRAME, LEFT],      [],                  [UP, f"left panel only, {DOWN}", NEVER, OTHERS],   "the frame, and one panel"),
    ("combination", [FRAME, LEFT],      ["right"],           [UP, f"left panel only, {DOWN}", NEVER, "right panel and all others stay closed"], "and another failed"),
    ("combination", [FRAME, LEFT, RIGHT], [],                [UP, f"left panel open, {DOWN}", f"right panel open, {DOWN}", NEVER, AND_OTHERS], "the frame, and two panels"),
    ("combination", [FRAME, *THREE],    ["panels open"],     [UP, f"left panel open, {DOWN}", f"centre panel open, {DOWN}", f"right panel open, {DOWN}", NEVER, AT_A_TIME], "all but several together"),
    ("combination", [LEFT],             ["frame", "panels open"], [f"left panel only, {DOWN}", OTHERS],         "frame and panels together failed, one alone did not"),
    ("combination", [LEFT],             [],                  [f"left panel only, {DOWN}", OTHERS],              "nothing else was measured"),
    ("combination", [LEFT],             ["frame", "centre", "right"], [f"left panel only, {DOWN}", "centre and right panels stay closed"], "all else failed"),
    ("combination", [LEFT, RIGHT],      ["centre"],          ["left panel open", "right panel open", FRAME_SHUT, AT_A_TIME, "centre panel stays closed"], "each panel was measured alone, the frame never"),
    ("combination", [LEFT, RIGHT],      ["frame"],           ["left panel open", "right panel open", FRAME_SHUT, AND_OTHERS], "the frame failed"),
    ("combination", [PANELS],           ["frame"],           [f"panels only, open together, {DOWN}"],           "the frame failed"),
    ("combination", [PANELS],           ["frame at 18 in"],  [f"panels only, open together, {DOWN}"],           "its name says that it is the frame"),
    ("combination", [PANELS],           ["opening 1"],       [f"panels only, open together, {DOWN}", "opening ‘opening 1’ not to be used"], "its name says no part"),
    ("combination", [PANELS],           ["left", "frame"],   [f"panels only, open together, {DOWN}", "left panel never open alone"], "alone it failed"),
    ("combination", [PANELS, LEFT],     [],                  ["panels open together", "left panel open", FRAME_SHUT], "together and alone"),
    ("combination", [PANELS._replace(width="1500 mm", of_several=True)], [], [f"panels only, open together to 1500 mm (59 in) at most, {DOWN}"], "several together at two widths"),

    ("horizontal",  [HALF],             [],                  ["left panel only, to 15 in (381 mm) at most", OTHERS], "it is measured wider too, and that is not approved"),
    ("combination", [HALF],             ["frame"],           [f"left panel only, to 15 in (381 mm) at most, {DOWN}", OTHERS], "so it is beside a frame"),
    ("combination", [FRAME, HALF, RIGHT], [],                [UP, f"left panel open to 15 in (381 mm) at most, {DOWN}", f"right panel open, {DOWN}", NEVER, AND_OTHERS], "beside a frame that may be raised"),
    ("combination", [HALF, RIGHT],      [],                  ["left panel open to 15 in (381 mm) at most", "right panel open", FRAME_SHUT, AND_OTHERS], "of one panel alone there are several sizes"),
    ("horizontal",  [HALF],             ["left wide"],       ["left panel only, to 15 in (381 mm) at most", OTHERS, "opening ‘left wide’ not to be used"], "the wide one failed"),
    ("horizontal",  [HALF, WIDE],       [],                  ["left panel only, to 30 in (762 mm) at most", OTHERS], "the wider of one panel, be it the lower"),
    ("horizontal",  [WIDE, HALF],       [],                  ["left panel only, to 30 in (762 mm) at most", OTHERS], "whatever the order of them"),
    ("horizontal",  [HALF._replace(width="")], [],           ["opening ‘left half’", OTHERS],                   "earlier records tell no width: never the bare words"),
    ("horizontal",  [UNTOLD, UNTOLD._replace(name="left")], [], ["opening ‘left half’", OTHERS],                "equal, as far as anybody knows: the first"),
    ("horizontal",  [OF_NAME],          [],                  ["left panel only", OTHERS],                       "its name says the part"),
    ("horizontal",  [OF_NAME, HALF],    [],                  ["left panel only, to 15 in (381 mm) at most", OTHERS], "one part, said by a name and by a way"),

    ("horizontal",  [DOOR],             ["hatch"],           ["opening ‘door’", "nothing else open", "opening ‘hatch’ not to be used"], "a way of the site's own"),
    ("horizontal",  [A_DOOR, WIDER_DOOR],  [],               ["opening ‘wide door’", "nothing else open"],      "of one way of the site's own the wider"),
    ("horizontal",  [DOOR, LEFT],       ["right"],           ["opening ‘door’", "left panel open", "each alone, nothing else open", "right panel stays closed"], "beside a panel"),
    ("combination", [DOOR],             [],                  ["opening ‘door’", NEVER, "nothing else open"],    "nobody said which part it is"),

    ("none",        [Approved("working", "28 in", way="working")], [], ["no sash: opening ‘working’, 28 in (711 mm) high"], "nothing to move"),
    ("none",        [FRONT, FRONT._replace(name="narrow", width="20 in", height="29 in")], [], ["no sash: opening ‘narrow’, 29 in (737 mm) high"], "without a sash the higher"),
    ("none",        [FRONT],            ["side"],            ["no sash: opening ‘front’, 28 in (711 mm) high", "opening ‘side’ not to be used"], "another front of it failed"),
    ("none",        [WIDE],             [],                  ["no sash: opening ‘left wide’, 18 in (457 mm) high"], "where nothing moves there is no panel"),

    ("horizontal",  [LEFT, RIGHT._replace(cover="shelf")], [], ["left panel open", "right panel open", AND_OTHERS, "opening ‘right’: with shelf in place"], "one of the panels has a shelf behind it"),
    ("horizontal",  [LEFT._replace(flow_state="lower"), RIGHT._replace(flow_state="lower")], [], ["left panel open", "right panel open", AND_OTHERS, LOWER_ONLY], "the state is said once"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "approved", "barred", "said", "why"), CASES, ids=[f"{case[0]}: {case[-1]}" for case in CASES])
def test_each_opening_has_its_line(kind, approved, barred, said, why):
    assert [sentence(line) for line in sash.lines(approved, kind, {"not_openings": barred})] == said


MEASURED_FROM = [
    ("vertical", [QUICK], ["sash at or below 18 in (457 mm) above the airfoil", HIGHER_ONLY]),
    ("vertical", [PANEL], ["sash at or below 18 in (457 mm) above the airfoil, with fixed panel in place"]),
    ("combination", [FRAME], ["frame at or below 18 in (457 mm) above the airfoil", SHUT]),
    ("combination", [FRAME, PANELS], ["frame at or below 18 in (457 mm) above the airfoil, panels closed", f"panels open together, {DOWN}", NEVER]),
    ("horizontal", [HALF], ["left panel only, to 15 in (381 mm) at most", OTHERS]),
    ("none", [FRONT], ["no sash: opening ‘front’, 28 in (711 mm) high"]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "approved", "said"), MEASURED_FROM)
def test_a_height_is_told_with_what_it_is_measured_from(kind, approved, said):
    told = sash.lines(approved, kind, None, "airfoil")
    assert [sentence(line) for line in told] == said
    surface = [line.replace("the airfoil", "the work surface") for line in said]
    assert [sentence(line) for line in sash.lines(approved, kind, None, "work-surface")] == surface


BY_WAY = [
    # approved, sash, parts, what is said, why
    (RIGHT, "horizontal", {"east": "left"}, ["right panel only", "left panel and all others stay closed"], "its way says which panel it is"),
    (RIGHT, "horizontal", {}, ["right panel only", OTHERS, "opening ‘east’ not to be used"], "a record of before tells no way"),
    (HALF, "horizontal", {"east": "left"}, ["left panel only, to 15 in (381 mm) at most", OTHERS, "opening ‘east’ not to be used"], "less of it may be open"),
    (PANELS, "combination", {"east": "frame"}, [f"panels only, open together, {DOWN}"], "its way says that it is the frame"),
    (LOW, "combination", {"east": "frame"}, ["frame at or below 12 in (304 mm)", SHUT], "higher it failed"),
    (FRONT, "none", {"east": "left"}, ["no sash: opening ‘front’, 28 in (711 mm) high", "opening ‘east’ not to be used"], "nothing moves there"),
]  # fmt: skip


@pytest.mark.parametrize(("approved", "kind", "parts", "said", "why"), BY_WAY)
def test_an_opening_that_failed_is_told_by_its_part(approved, kind, parts, said, why):
    restriction = {"not_openings": ["east"]} | ({"parts": parts} if parts else {})
    assert [sentence(line) for line in sash.lines([approved], kind, restriction)] == said, why


def test_a_restriction_tells_the_parts_that_no_name_tells():
    ways = [("left panel", "east"), ("left panel", "left"), ("", "right"), ("frame", "raised"), (None, "west"), ("right panel", "left")]
    assert sash.parts_untold(ways) == {"parts": {"east": "left", "raised": "frame", "left": "right"}}
    assert sash.parts_untold([*ways[1:3], ("frame", "frame raised"), ("frame", "frame at 18 in"), ways[4]]) == {}


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
     ["left panel only, to 15 in (381 mm) at most", OTHERS], "the whole opening was only recorded"),
    ([("left half open", "left panel", "15 in", "30 in"), ("left fully open", "left panel", None, None)], ["left half open"], {},
     ["left panel only, to 15 in (381 mm) at most", OTHERS], "it is registered and was not measured"),
    ([("left wide", "left panel", "30 in", "30 in"), ("left half", "left panel", "15 in", "20 in")], ["left half"], {"not_openings": ["left wide"]},
     ["left panel only, to 15 in (381 mm) at most", OTHERS, "opening ‘left wide’ not to be used"], "the wide one failed"),
    ([("left", "left panel", "30 in", "30 in"), ("east", "right panel", "30 in", "30 in")], ["left"], {"not_openings": ["east"]},
     ["left panel only", "right panel and all others stay closed"], "a record of before tells the part of an opening among its facts"),
    ([("left", "left panel", "30 in", "30 in"), ("right", "right panel", "30 in", "30 in")], ["left", "right"], {},
     ["left panel open", "right panel open", AND_OTHERS], "one size of each: no width is told"),
]  # fmt: skip


@pytest.mark.parametrize(("openings", "approved", "restriction", "said", "why"), RECORDS)
def test_a_record_says_how_far_a_panel_may_be_open(openings, approved, restriction, said, why):
    assert [sentence(line) for line in sash.as_judged(*recorded(*openings, approved=approved, **restriction))] == said, why


@pytest.mark.parametrize(
    ("opening", "kind", "said"),
    [
        (FRAME, "combination", "frame raised to 18 in (457 mm), panels closed"),
        (PANELS, "combination", "panels open together, frame down"),
        (LEFT, "combination", "left panel open, frame down"),
        (LEFT, "horizontal", "left panel open"),
        (FRAME, "vertical", None),
        (OF_NAME, "horizontal", "left panel open"),
        (LEFT, "none", "no sash: opening ‘left’, 30 in (762 mm) high"),
        (LEFT._replace(height="29 in"), "none", "no sash: opening ‘left’, 29 in (737 mm) high"),
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


FORBIDDEN = {"shut-panel": True, "restriction-opening": True, "open-panel": False, "only-panel": False, "one-panel-at-a-time": False}


@pytest.mark.parametrize(("code", "forbids"), FORBIDDEN.items())
def test_which_lines_forbid(code, forbids):
    assert sash.forbids(Message(code)) is forbids


def test_a_canopy_is_told_by_what_it_is_for():
    facts = {"hood": {"kind": "canopy", "sash": "none"}, "openings": [{"name": "front", "way": None}]}
    entered = {"openings": [{"name": "front", "width": "48 in", "height": "20 in"}]}
    judged = {"approved": ["front"], "restriction": {"use": "not for hazardous vapours"}}
    assert [sentence(line) for line in sash.as_judged(facts, entered, judged)] == ["heat and steam alone"]
    assert sash.as_judged(facts, entered, judged | {"approved": []}) == ()
    other = {**facts, "hood": {"kind": "other", "sash": "none"}}
    assert [sentence(line) for line in sash.as_judged(other, entered, judged)] == ["no sash: opening ‘front’, 20 in (508 mm) high"]
