"""How far each sash may be open: a table of what is approved and the words that follow."""

from __future__ import annotations

import pytest

from surveys.core import sash
from surveys.core.history import Approved
from surveys.wording import sentence

FRAME, LOW = Approved("frame at 18 in", "18 in", way="frame"), Approved("frame at 12 in", "12 in", "lower", way="frame")
PANELS = Approved("panels open", "28 in", way="panels")
LEFT, CENTRE, RIGHT = (Approved(name, "30 in", way=f"{name} panel") for name in ("left", "centre", "right"))
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
