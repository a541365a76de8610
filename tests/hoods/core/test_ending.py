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
    assert of_opening(was, [field]) is ends, why
    assert of_opening(was, []) is False


def test_each_event_that_ends_approvals_is_known_and_has_its_words():
    assert set(ENDING) <= set(EVENTS)
    assert set(ENDING) <= set(IN_WORDS)
