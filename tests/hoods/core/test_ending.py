"""Which changes of a hood or an opening end what a survey approved: one row a field, with its reason."""

from typing import NamedTuple

import pytest

from hoods.actions.opening import FIELDS as OF_AN_OPENING
from hoods.actions.registering import FIELDS as OF_A_HOOD
from hoods.core.ending import ENDING, of_hood, of_opening
from hoods.models.hood import EVENTS
from hoods.words import EVENTS as IN_WORDS

HOOD = {
    "kind": (["kind-changed"], "other checks are asked, and a canopy is never approved"),
    "control": (["control-changed"], "the air was judged in the mode of the other control"),
    "sash": (["sash-changed"], "it opens in another way"),
    "powered": (["sash-changed"], "a motor on it is asked about"),
    "glass": ([], "the next survey looks at it"),
    "maker": ([], "a name"),
    "model": ([], "a name"),
    "serial": ([], "a name"),
    "interior_width": ([], "nothing is judged by it"),
    "work_surface_height": ([], "nothing is judged by it"),
    "uses_forbidden": ([], "said beside every approval, as it is now"),
    "monitor": ([], "the air was measured without it"),
    "set_point": ([], "the next survey holds the monitor to it"),
    "alarm_point": ([], "the next survey holds the monitor to it"),
}


@pytest.mark.parametrize(("field", "row"), HOOD.items(), ids=HOOD)
def test_which_fields_of_a_hood_end_every_approval(field, row):
    assert of_hood([field]) == row[0], row[1]


def test_every_field_is_in_the_tables():
    assert set(HOOD) == set(OF_A_HOOD)
    assert {field for field, *_ in OPENING} == set(OF_AN_OPENING)


def test_several_fields_are_several_events_each_once():
    assert of_hood(["powered", "sash", "maker", "kind"]) == ["kind-changed", "sash-changed"]
    assert of_hood([]) == []


class Was(NamedTuple):
    way: str = "left panel"
    width: str = "30 in"
    height: str = "18 in"
    cover_left: str = ""
    cover_up: str = ""
    cover_width: str = "100 mm"
    cover_height: str = ""


OPENING = [
    # field, as it was, ends, why
    ("width", Was(), True, "another size"),
    ("height", Was(), True, "another size"),
    ("cover", Was(), False, "other words for what covers it"),
    ("cover_left", Was(), True, "another part is free"),
    ("cover_up", Was(), True, "another part is free"),
    ("cover_width", Was(), True, "another part is free"),
    ("cover_height", Was(), True, "another part is free"),
    ("use", Was(), True, "other limits judge it"),
    ("way", Was(), True, "another part is moved"),
    ("way", Was(way=""), False, "it is said for the first time which part it is"),
    ("width", Was(width=""), False, "its size is said for the first time"),
    ("height", Was(height=""), False, "its size is said for the first time"),
    ("use", Was(width="", height=""), True, "whatever its size"),
    ("name", Was(), False, "another name for it"),
    ("tested_every_survey", Was(), False, "a matter of the next survey"),
    ("order", Was(), False, "where a list has it"),
]


@pytest.mark.parametrize(("field", "was", "ends", "why"), OPENING)
def test_which_fields_of_an_opening_end_its_approval(field, was, ends, why):
    assert of_opening(was, {field: "another"}) is ends, why
    assert of_opening(was, {}) is False


@pytest.mark.parametrize(
    ("was", "new", "ends", "why"),
    [
        ("18 in", "457.2 mm", False, "exactly as high"),
        ("18 in", "1.5 ft", False, "exactly as high"),
        ("18 in", "18.0 in", False, "another digit"),
        ("18 in", "457 mm", False, "as the pages print it"),
        ("24 in", "609 mm", False, "609.6 mm, rounded down"),
        ("24 in", "610 mm", False, "609.6 mm, to the nearest"),
        ("24 in", "61 cm", False, "610 mm in another unit"),
        ("457 mm", "17.9 in", False, "as the pages print it, rounded down"),
        ("457 mm", "18 in", False, "17.99 in, to the nearest"),
        ("18 in", "458 mm", True, "no page prints it so"),
        ("18 in", "456 mm", True, "no page prints it so"),
        ("18 in", "457.1 mm", True, "told more closely than the pages do, and otherwise"),
        ("457 mm", "18.1 in", True, "no page prints it so"),
        ("18.04 in", "18 in", True, "another size in the same unit"),
        ("457.4 mm", "457 mm", True, "another size in the same unit"),
        ("18 in", "", True, "it is said no longer"),
    ],
)
def test_the_same_size_in_another_unit_ends_nothing(was, new, ends, why):
    assert of_opening(Was(height=was), {"height": new}) is ends, why
    assert of_opening(Was(width=was), {"width": new}) is ends, why


def test_what_covers_an_opening_is_held_in_the_same_way():
    assert of_opening(Was(), {"cover_width": "3.9 in"}) is False
    assert of_opening(Was(), {"cover_width": "4 in"}) is True
    assert of_opening(Was(), {"cover_left": "4 in"}) is True, "it covers another part"


def test_each_event_that_ends_approvals_is_known_and_has_its_words():
    assert set(ENDING) <= set(EVENTS)
    assert set(ENDING) <= set(IN_WORDS)
