"""What the boxes of a draft become, or a sentence at the box."""

from __future__ import annotations

import pytest

from surveys.forms.criteria_document import pressed, to_boxes
from surveys.forms.criteria_draft import DraftDocument
from tests.surveys.boxes import GOOD, form_of, row_of, sent

ENTERED = [
    # boxes, what the first limit (or a rule) becomes
    ({"limits-0-at_least": "90"}, ("at_least", "90 ft/min"), "digits in the unit beside them"),
    ({"limits-0-at_least": "0.45 m/s"}, ("at_least", "0.45 m/s"), "with a unit of its own"),
    ({"limits-0-at_most": ""}, ("at_most", None), "an empty box says nothing"),
    ({"limits-0-figure": "benchmark-ratio", "limits-0-unit": "ratio", "limits-0-at_least": "0.90", "limits-0-at_most": ""},
     ("at_least", "0.90"), "a ratio has no unit"),
    ({"limits-0-source": "  a rule \n"}, ("source", "a rule"), "blanks around a text are no text"),
]  # fmt: skip


@pytest.mark.parametrize(("boxes", "becomes", "why"), ENTERED, ids=[case[2] for case in ENTERED])
def test_what_the_boxes_of_a_limit_become(boxes, becomes, why):
    form = form_of(GOOD, **boxes)
    assert form.is_valid(), form.errors
    assert form.document["limits"][0].get(becomes[0]) == becomes[1], why


REFUSED = [
    # boxes, where, what is said
    ({"limits-0-at_least": "130"}, "limits-0-at_least", "above at most 120 ft/min"),
    ({"limits-0-at_least": "0", "limits-0-at_most": ""}, "limits-0-at_least", "0 ft/min is not above zero"),
    ({"limits-0-at_least": "-5", "limits-0-at_most": ""}, "limits-0-at_least", "-5 ft/min is not above zero"),
    ({"limits-0-at_least": "", "limits-0-at_most": ""}, "limits-0-at_least", "neither at least nor at most"),
    ({"limits-0-at_least": "80,5"}, "limits-0-at_least", "has a comma"),
    ({"limits-0-at_least": "eighty"}, "limits-0-at_least", "not a plain number"),
    ({"limits-0-at_most": "1.2.3"}, "limits-0-at_most", "not a plain number"),
    ({"limits-0-at_least": "80 furlong"}, "limits-0-at_least", "is no unit that is used here"),
    ({"limits-0-unit": "%"}, "limits-0-at_least", "80 % is in the wrong kind of unit"),
    ({"limits-0-unit": ""}, "limits-0-at_least", "in the wrong kind of unit"),
    ({"limits-0-figure": "deviation-percent"}, "limits-0-at_least", "judged in percent"),
    ({"limits-0-figure": "benchmark-ratio"}, "limits-0-at_least", "judged as a ratio"),
    ({"limits-0-figure": ""}, "limits-0-figure", "Nothing is chosen here"),
    ({"limits-0-figure": "niceness"}, "limits-0-figure", "is not in the list"),
    ({"limits-0-applies_to": "hood"}, "limits-0-applies_to", "applies to openings, not to the hood"),
    ({"limits-0-figure": "light", "limits-0-unit": "lx"}, "limits-0-applies_to", "is a figure of the hood, not of an opening"),
    ({"limits-0-applies_to": "every"}, "limits-0-applies_to", "is not in the list"),
    ({"limits-0-consequence": "restrict"}, "limits-0-restriction", "needs its words"),
    ({"limits-0-consequence": "restrict", "limits-0-restriction": " "}, "limits-0-restriction", "needs its words"),
    ({"limits-0-consequence": "undecided"}, "limits-0-consequence", "is not in the list"),
    ({"limits-0-source": "x" * 2001}, "limits-0-source", "shorten it"),
    ({"limits-0-source": "a\x01b"}, "limits-0-source", "cannot be kept"),
    ({f"checks-{row_of('light-works')}-consequence": "restrict"}, f"checks-{row_of('light-works')}-restriction",
     "needs its words"),
    ({f"checks-{row_of('light-works')}-consequence": "free"}, f"checks-{row_of('light-works')}-consequence",
     "is not in the list"),
    ({"checks-0-check": "is-nice"}, "checks-0-check", "is not in the list"),
    ({"due-months": ""}, "due-months", "Nothing is written here"),
    ({"due-months": "0"}, "due-months", "outside 1 to 60"),
    ({"due-months": "61"}, "due-months", "outside 1 to 60"),
    ({"due-months": "twelve"}, "due-months", "not a whole number"),
    ({"due-months": "١٢"}, "due-months", "not a whole number"),
    ({"due-grace_days": "367"}, "due-grace_days", "outside 0 to 366"),
    ({"due-use_ends_days": "-1"}, "due-use_ends_days", "-1 days is outside 0 to 366"),
    ({"due-months": "-1"}, "due-months", "-1 months is outside 1 to 60"),
    ({"least_height": "900 in"}, "least_height", "A least useful height of 900 in is more than 60 in"),
    ({"due-anchor": "week"}, "due-anchor", "is not in the list"),
    ({"compare": "cut"}, "compare", "is not in the list"),
    ({"grid-largest_area": ""}, "grid-largest_area", "Nothing is written here"),
    ({"grid-largest_area": "0 ft²"}, "grid-largest_area", "is not above zero"),
    ({"grid-longest_edge": "13"}, "grid-longest_edge", "has no unit"),
    ({"grid-longest_edge": "13 ft/min"}, "grid-longest_edge", "wrong kind of unit"),
    ({"grid-longest_edge": "1 in"}, "grid-largest_area", "finer than can be measured"),
    ({"edge_exclusion": "6.5 in"}, "edge_exclusion", "would leave out points in the middle"),
    ({"edge_exclusion": "-1 in"}, "edge_exclusion", "is not above zero"),
    ({"least_height": "six"}, "least_height", "not a plain number"),
    ({"must_pass": ["every"]}, "must_pass", "every"),
]  # fmt: skip


@pytest.mark.parametrize(("boxes", "box", "said"), REFUSED, ids=[f"{case[1]} {case[2]:.24}" for case in REFUSED])
def test_m2_a_refusal_is_a_sentence_at_its_box_and_the_entry_is_kept(boxes, box, said):
    form = form_of(GOOD, **boxes)
    assert not form.is_valid()
    assert said in " ".join(map(str, form.errors[box])), form.errors
    for name, value in boxes.items():
        shown = form[name].value()
        assert shown == (value if isinstance(value, list) else str(value).replace("\n", "\r\n"))


def test_every_refusal_is_said_at_once_each_with_what_its_box_is_called():
    boxes = {"limits-0-at_least": "x", "due-months": "", "grid-longest_edge": "13", "compare": "cut"}
    form = form_of(GOOD, **boxes)
    assert not form.is_valid()
    assert {box: said.partition(":")[0] for box, said in form.refusals} == {
        "compare": "A figure is compared with its limit",
        "due-months": "Due again, months until it is due again",
        "limits-0-at_least": "Limit 1, at least",
        "grid-longest_edge": "Grid, longest edge of a cell",
    }
    row = row_of("light-works")
    (refusal,) = form_of(GOOD, **{f"checks-{row}-consequence": "restrict"}).refusals
    assert refusal[0] == f"checks-{row}-restriction"
    assert refusal[1].startswith("Light, use excluded: ")


def test_a_check_of_a_tampered_name_is_told_by_its_row():
    ((box, said), *_rest) = form_of(GOOD, **{"checks-0-check": "no-such-check"}).refusals
    assert (box, said.partition(":")[0]) == ("checks-0-check", "Check 1")


def test_a_row_in_which_nothing_is_written_is_left_out_and_the_rows_after_it_keep_their_boxes():
    boxes = pressed(to_boxes(GOOD), "add-limit")
    boxes = pressed(boxes, "add-limit") | {"limits-2-figure": "lowest", "limits-2-at_least": "7", "limits-2-unit": "%"}
    form = DraftDocument(sent(boxes), made_from=GOOD)
    assert not form.is_valid()
    assert list(form.errors) == ["limits-2-at_least"], "the third row, which is the second limit of the document"
    form = DraftDocument(sent(boxes | {"limits-2-unit": "ft/min"}), made_from=GOOD)
    assert form.is_valid()
    assert [limit["figure"] for limit in form.document["limits"]] == ["average", "lowest"]
