"""A criteria document as boxes and back: the same document, and M2 for whatever is entered."""

from __future__ import annotations

from typing import Any

import pytest
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
from tests.surveys.boxes import GOOD, form_of, row_of, sent, there_and_back, written
from tests.surveys.core.surveyed import asked, limit

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
