"""A criteria document as boxes and back: the same document, and M2 for whatever is entered."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from django.http import QueryDict
from hypothesis import given, settings
from hypothesis import strategies as st

from surveys.core import codes
from surveys.core.adoption import impossible, why_not_adopt
from surveys.core.checks import CHECKS
from surveys.core.criteria import FIGURES, Criteria
from surveys.core.messages import WrongShape
from surveys.core.record import canonical
from surveys.core.starters import STARTERS, nothing
from surveys.forms.criteria_document import NOT_ASKED, pressed, to_boxes, to_document
from surveys.forms.criteria_draft import DraftDocument
from tests.surveys.core.surveyed import asked, criteria_dict, limit

GOOD = criteria_dict(limit("average", "80 ft/min", "120 ft/min"), checks=(asked("smoke-at-opening", "fail", "each"),))


def sent(boxes: dict[str, Any]) -> QueryDict:
    """Boxes as a browser sends them: a list once for each choice, an unticked box not at all, lines with CR and LF."""
    data = QueryDict(mutable=True)
    for name, value in boxes.items():
        if isinstance(value, list):
            data.setlist(name, value)
        elif isinstance(value, bool):
            data.update({name: "on"} if value else {})
        else:
            data[name] = str(value).replace("\n", "\r\n")
    return data


def form_of(document: dict[str, Any], **changes: Any) -> DraftDocument:
    """The form of a draft as its page shows it, sent back with some boxes changed."""
    return DraftDocument(sent(to_boxes(document) | changes), made_from=document)


def there_and_back(document: dict[str, Any]) -> dict[str, Any]:
    form = form_of(document)
    assert form.is_valid(), form.errors
    return form.document


# --- there and back ---------------------------------------------------------------------------------------------------


def written(**more: Any) -> dict[str, Any]:
    return copy.deepcopy(GOOD | more)


DOCUMENTS = [
    *((starter.document, code) for code, starter in STARTERS.items()),
    (nothing(), "nothing"),
    (GOOD, "keys left out"),
    (written(limits=[limit("average", "0.4 m/s", "120 ft/min")]), "bounds in two units"),
    (written(limits=[limit("average", "80 fpm")]), "a unit by another word"),
    (written(limits=[limit("average", "80  ft/min")]), "two spaces"),
    (written(limits=[limit("benchmark-ratio", "0.90", "1.20")]), "a ratio"),
    (written(limits=[limit("monitor-error-percent", "-10 %", "10 %")]), "below zero"),
    (written(limits=[limit("average", "80 ft/min") | {"at_most": None, "source": None, "evidence": ""}]), "null and empty"),
    (written(limits=[limit("average", "80 ft/min", source="a rule\nof two lines")]), "two lines"),
    (written(checks=[asked("light-works", "note"), asked("smoke-at-opening", "fail", "working"),
                     asked("smoke-at-opening", "note", "full-open")]), "a check asked twice, in an order of its own"),
    (written(checks=[{"check": "light-works", "consequence": "undecided", "source": "a handbook"}]), "an open check"),
    (written(must_pass=["lower", "working"]), "must pass, in an order of its own"),
    (written(evidence_required=True), "evidence demanded"),
    (written(evidence_required=False), "evidence not demanded"),
    (written(smoke_first=True), "smoke first"),
    (written(limits=[limit("light", "400 lx", applies_to="hood"), limit("noise", None, "62 dBA", applies_to="hood"),
                     limit("filter-pressure", None, "1 inH2O", applies_to="hood"), limit("alarm-seconds", None, "10 s", applies_to="hood"),
                     limit("alarm-ratio", "0.95", "1.05", applies_to="hood"), limit("monitor-mark-ratio", "0.90")]), "figures of the hood"),
    (written(smoke_first=False), "the traverse first"),
    (written(source="our own", evidence="agreed on paper"), "the source of the whole"),
    (written(due={"months": "6", "anchor": "month-end", "grace_days": "14", "use_ends_days": "30", "source": "s"}), "due"),
    (written(due={"months": "6"}), "due, in a word"),
    (written(grid={"largest_area": "0.1 m**2", "longest_edge": "300 mm", "evidence": "seen"}), "metric grid"),
]  # fmt: skip


@pytest.mark.parametrize(("document", "why"), DOCUMENTS, ids=[case[1] for case in DOCUMENTS])
def test_there_and_back_it_is_the_same_document(document, why):
    Criteria.from_dict(document)
    assert there_and_back(document) == document, why
    assert canonical(there_and_back(document)) == canonical(document)


TEXT = st.none() | st.text(st.characters(codec="ascii", exclude_characters="\x00\r\x7f", min_codepoint=32), max_size=20).map(
    str.strip
)  # fmt: skip
SPEEDS = st.sampled_from(["80 ft/min", "80.0 ft/min", "0.40 m/s", "120 fpm", "70 ft/min"])
PERCENTS = st.sampled_from(["20 %", "5.5 %"])
RATIOS = st.sampled_from(["0.90", "1.20", "1"])
FLOWS = st.sampled_from(["300 ft**3/min", "300 cfm", "0.1 m**3/s"])
OF_KIND = {
    "speed": SPEEDS, "percent": PERCENTS, "ratio": RATIOS, "flow": FLOWS, "time": st.sampled_from(["5 s", "2.5 seconds"]),
    "light": st.sampled_from(["400 lx", "400 lux"]), "sound": st.just("62 dBA"), "pressure": st.sampled_from(["250 Pa", "1 inH2O"]),
}  # fmt: skip


@st.composite
def limits(draw: Any) -> dict[str, Any]:
    figure = draw(st.sampled_from(FIGURES))
    made = {
        "figure": figure.code,
        draw(st.sampled_from(["at_least", "at_most"])): draw(OF_KIND[figure.kind]),
        "consequence": draw(st.sampled_from(codes.CONSEQUENCES)),
        "restriction": draw(st.sampled_from(["not for powders", "attended work only"])),
    }
    optional = {"applies_to": st.sampled_from(["each", *codes.USES]), "source": TEXT, "evidence": TEXT}
    if figure.of_hood:
        del optional["applies_to"]
        made["applies_to"] = "hood"
    return made | draw(st.fixed_dictionaries({}, optional=optional))


CHECK = st.fixed_dictionaries(
    {
        "check": st.sampled_from([check.code for check in CHECKS]),
        "consequence": st.sampled_from([*codes.CONSEQUENCES, "undecided"]),
        "restriction": st.sampled_from(["not for powders", "attended work only"]),
    },
    optional={"applies_to": st.sampled_from(["each", "hood", *codes.USES]), "source": TEXT},
)
MADE = st.fixed_dictionaries(
    {
        "compare": st.sampled_from(["as-measured", "rounded"]),
        "limits": st.lists(limits(), max_size=4),
        "checks": st.lists(CHECK, max_size=6, unique_by=lambda one: (one["check"], one.get("applies_to", "each"))),
        "due": st.fixed_dictionaries(
            {"months": st.sampled_from(["1", "12", "60"])},
            optional={
                "anchor": st.sampled_from(["day", "month-end"]),
                "grace_days": st.sampled_from(["0", "14"]),
                "use_ends_days": st.sampled_from([None, "0", "30"]),
            },
        ),
    },
    optional={
        "must_pass": st.lists(st.sampled_from(codes.USES), max_size=3, unique=True),
        "evidence_required": st.booleans(),
        "smoke_first": st.booleans(),
        "edge_exclusion": st.sampled_from(["0 in", "1 in", "25 mm"]),
        "least_height": st.sampled_from(["0 in", "6 in"]),
    },
)


@settings(max_examples=100, deadline=None)
@given(MADE)
def test_there_and_back_whatever_can_be_written_stays_the_same(made):
    document = {"grid": GOOD["grid"], **made}
    assert there_and_back(document) == document


def test_every_check_that_is_not_asked_has_a_row_in_which_it_can_be():
    boxes = to_boxes(GOOD)
    rows = [boxes[f"checks-{row}-check"] for row in range(boxes["checks-number"])]
    assert rows == [check.code for check in CHECKS if not check.retired]
    row = rows.index("light-works")
    assert boxes[f"checks-{row}-consequence"] == NOT_ASKED
    form = form_of(GOOD, **{f"checks-{row}-consequence": "note", f"checks-{row}-applies_to": "hood"})
    assert form.is_valid()
    assert form.document["checks"] == [
        *GOOD["checks"], {"check": "light-works", "applies_to": "hood", "consequence": "note"},
    ]  # fmt: skip


# --- what is entered: the document that it becomes, or a sentence at its box ------------------------------------------


def row_of(code: str) -> int:
    return [check.code for check in CHECKS if not check.retired].index(code)


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


# --- rows, without a script -------------------------------------------------------------------------------------------

THREE = written(
    limits=[limit("average", "80 ft/min"), limit("lowest", "70 ft/min"), limit("highest", None, "150 ft/min")]
)
PRESSED = [
    ("limit-up:1", ["lowest", "average", "highest"]),
    ("limit-up:0", ["average", "lowest", "highest"]),
    ("limit-down:1", ["average", "highest", "lowest"]),
    ("limit-down:2", ["average", "lowest", "highest"]),
    ("remove-limit:0", ["lowest", "highest"]),
    ("remove-limit:9", ["average", "lowest", "highest"]),
    ("remove-limit:x", ["average", "lowest", "highest"]),
    ("add-limit", ["average", "lowest", "highest"]),
]


@pytest.mark.parametrize(("button", "left"), PRESSED, ids=[case[0] for case in PRESSED])
def test_rows_are_moved_taken_out_and_added_by_buttons(button, left):
    boxes = pressed(to_boxes(THREE), button)
    assert boxes["limits-number"] == len(left) + (button == "add-limit")
    form = DraftDocument(sent(boxes), made_from=THREE)
    assert form.is_valid()
    assert [limit["figure"] for limit in form.document["limits"]] == left
    assert all(limit in THREE["limits"] for limit in form.document["limits"]), "each whole, as it was"


def test_a_check_is_asked_of_other_openings_too():
    row = row_of("smoke-at-opening")
    boxes = pressed(to_boxes(GOOD) | {"again": str(row)}, "again")
    assert boxes[f"checks-{row + 1}-check"] == "smoke-at-opening"
    form = DraftDocument(sent(boxes), made_from=GOOD)
    assert not form.is_valid()
    assert "asked twice for the same openings" in form.errors[f"checks-{row + 1}-applies_to"][0]
    form = DraftDocument(sent(boxes | {f"checks-{row + 1}-applies_to": "full-open"}), made_from=GOOD)
    assert form.is_valid(), form.errors
    assert [check["applies_to"] for check in form.document["checks"]] == ["each", "full-open"]


def test_any_other_button_keeps_the_draft():
    assert pressed(to_boxes(GOOD), "") is None
    assert pressed(to_boxes(GOOD), "keep") is None


# --- M2: whatever is entered, what is kept makes sense ----------------------------------------------------------------

ANYTHING = st.sampled_from(
    ["", " ", "80", "0", "-5", "120", "0.9", "80 ft/min", "20 %", "18 in", "1e3", "80,5", "NaN", "½", "\x00", "ft/min"]
)
WRITTEN = {
    "limits-0-figure": st.sampled_from(["", *(figure.code for figure in FIGURES), "niceness"]),
    "limits-0-at_least": ANYTHING,
    "limits-0-at_most": ANYTHING,
    "limits-0-unit": st.sampled_from(["", "ft/min", "m/s", "%", "ratio", "ft**3/min", "mile"]),
    "limits-0-applies_to": st.sampled_from(["each", "working", "lower", "hood", "all"]),
    "limits-0-consequence": st.sampled_from([*codes.CONSEQUENCES, "undecided", ""]),
    "limits-0-restriction": st.sampled_from(["", " ", "not for powders"]),
    "checks-0-consequence": st.sampled_from([*codes.CONSEQUENCES, "undecided", NOT_ASKED, ""]),
    "checks-0-applies_to": st.sampled_from(["each", "hood", "full-open", "all"]),
    "checks-0-restriction": st.sampled_from(["", "attended work only"]),
    "due-months": ANYTHING | st.sampled_from(["12", "1", "60", "61"]),
    "due-use_ends_days": ANYTHING,
    "edge_exclusion": ANYTHING | st.sampled_from(["1 in", "7 in"]),
    "grid-largest_area": ANYTHING | st.sampled_from(["1 ft²", "1 in²"]),
    "limits-number": st.sampled_from(["1", "0", "2", "-1", "x", "99999", ""]),
    "checks-number": st.sampled_from(["16", "0", "999999999", ""]),
    "limits-0-from": st.sampled_from(["0", "", "7", "-1", "x", "99999"]),
}
WHATEVER = st.fixed_dictionaries({}, optional=WRITTEN)


def nonsense(document: dict[str, Any]) -> bool:
    """Whether a document has no shape or says something impossible, asked of core alone."""
    try:
        return bool(impossible(Criteria.from_dict(document)))
    except WrongShape:
        return True


@settings(max_examples=150, deadline=None)
@given(WHATEVER)
def test_m2_nonsense_never_leaves_the_form_and_nothing_sensible_is_refused(boxes):
    form = form_of(GOOD, **boxes)
    if form.is_valid():
        assert not nonsense(form.document)
        assert canonical(form.document), "it can be kept and attested"
        assert there_and_back(form.document) == form.document
    else:
        assert form.errors
        assert all(str(said).strip() for _box, said in form.refusals)


@settings(max_examples=100, deadline=None)
@given(
    st.integers(-20, 300),
    st.integers(-20, 300),
    st.sampled_from([*codes.CONSEQUENCES]),
    st.sampled_from(["each", "lower"]),
)
def test_m2_a_band_leaves_the_form_exactly_where_something_can_meet_it(least, most, consequence, applies_to):
    boxes = {
        "limits-0-at_least": str(least), "limits-0-at_most": str(most), "limits-0-consequence": consequence,
        "limits-0-restriction": "not for powders", "limits-0-applies_to": applies_to,
    }  # fmt: skip
    form = form_of(written(checks=[]), **boxes)
    assert form.is_valid() is (0 < least <= most)
    if form.is_valid():
        adoptable = not why_not_adopt(Criteria.from_dict(form.document))
        assert adoptable is (consequence != "note" and applies_to == "each")


def test_m2_the_control_a_document_that_core_refuses_is_seen():
    assert nonsense(written(limits=[limit("average", "120 ft/min", "80 ft/min")]))
    assert nonsense({})
    assert not nonsense(GOOD)


def test_the_boxes_of_a_problem_are_boxes_of_the_form():
    """Every place that core names in a document that can be kept has a box, or is about the whole."""
    document = written(
        limits=[limit("average", "80 ft/min", consequence="note")], checks=[asked("light-works", "undecided")]
    )
    form = DraftDocument(made_from=document)
    found = form.wait(Criteria.from_dict(document))
    assert [box for box, _said in found] == [f"checks-{row_of('light-works')}-consequence", ""]
    assert form[found[0][0]].waiting == [found[0][1]]
    assert to_document(to_boxes(document), document).document == document
