"""What a hood is restricted to once some approvals ended: by width of a panel, by height of all else."""

from __future__ import annotations

import pytest

from surveys.core.approval import joined, narrowed_by
from surveys.core.history import Approved


def at(name: str, width: str, height: str, way: str) -> Approved:
    return Approved(name, height, way=way, width=width)


LOST = [  # approved still, ended, one way alone -> restriction, why
    (at("A", "15 in", "30 in", "left panel"), at("B", "30 in", "20 in", "left panel"), False, ["B"], "the wider of a panel"),
    (at("A", "30 in", "20 in", "left panel"), at("B", "15 in", "30 in", "left panel"), False, [], "the narrower, though higher"),
    (at("A", "60 in", "18 in", "frame"), at("B", "50 in", "24 in", "frame"), False, ["B"], "the higher of a frame, though narrower"),
    (at("A", "50 in", "24 in", "frame"), at("B", "60 in", "18 in", "frame"), False, [], "the lower of a frame, though wider"),
    (at("A", "15 in", "30 in", "left panel"), at("B", "", "30 in", "left panel"), False, ["B"], "nobody told how wide it was"),
    (at("A", "", "30 in", "left panel"), at("B", "15 in", "30 in", "left panel"), False, ["B"], "nor how wide the other is"),
    (at("A", "", "24 in", "frame"), at("B", "", "18 in", "frame"), False, [], "of a frame nobody asks for the width"),
    (at("A", "", "24 in", ""), at("B", "", "18 in", ""), False, ["B"], "of no way, so of its own"),
    (at("A", "", "24 in", "left panel"), at("B", "", "18 in", "left panel"), True, [], "of one way, so by its height"),
]  # fmt: skip


@pytest.mark.parametrize(("stands", "ended", "one_way", "lost", "why"), LOST)
def test_which_openings_are_lost(stands, ended, one_way, lost, why):
    assert narrowed_by([stands], [ended], one_way).get("not_openings", []) == lost, why


def test_a_panel_that_is_lost_is_told_by_its_way():
    found = narrowed_by([at("A", "15 in", "30 in", "left panel")], [at("B", "30 in", "30 in", "left panel")], False)
    assert list(found["parts"]) == ["B"]
    assert "parts" not in narrowed_by([], [at("left panel", "30 in", "30 in", "left panel")], False), "its name says it"


def test_of_one_way_the_height_alone_counts():
    low, high = at("A", "15 in", "12 in", "left panel"), at("B", "30 in", "18 in", "left panel")
    assert narrowed_by([low], [high], True) == {"largest_opening": "12 in"}
    assert narrowed_by([high], [low], True) == {}


def test_what_was_restricted_and_what_was_lost_since_stand_together():
    before = {"not_openings": ["A"], "parts": {"A": "left"}, "use": "not for volatile poisons"}
    since = {"not_openings": ["B"], "parts": {"B": "right"}}
    assert joined(before, since) == {
        "not_openings": ["A", "B"], "parts": {"A": "left", "B": "right"}, "use": "not for volatile poisons",
    }  # fmt: skip
    assert joined({}, since)["parts"] == {"B": "right"}
    assert joined(before, {})["parts"] == {"A": "left"}
    assert joined({}, {}) == {}
