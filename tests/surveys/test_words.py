"""Every code that an action or core may write has its words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoods import words as hood_words
from hoods.models import Entry
from hoods.models import hood as hood_codes
from surveys import words
from surveys.core import codes
from surveys.core.checks import CHECK
from surveys.core.hood_figures import PLAIN
from surveys.templatetags import ledger, log
from surveys.views.survey_measured import HELP

ROOT = Path(__file__).resolve().parents[2]
SOURCES = [path for app in ("hoods", "surveys", "config") for path in sorted((ROOT / app).rglob("*.py"))]
_ACTION = re.compile(r'action="([a-z-]+)"|_(?:change|entered|enter_place)\([^)]*?"((?:hood|stop)-[a-z-]+)"', re.DOTALL)


def written() -> set[str]:
    return {found[0] or found[1] for path in SOURCES for found in _ACTION.findall(path.read_text(encoding="utf-8"))}


def test_every_action_of_the_log_has_words():
    assert len(written()) > 30
    assert written() - {*hood_words.ACTIONS, *words.ACTIONS} == set()


@pytest.mark.parametrize(
    ("known", "said"),
    [
        (codes.HOOD_KINDS, hood_words.KINDS),
        (codes.CONTROLS, hood_words.CONTROLS),
        (codes.SASHES, hood_words.SASHES),
        (codes.MONITORS, hood_words.MONITORS),
        (codes.USES, hood_words.USES),
        (codes.SURVEY_REASONS, words.REASONS),
        (codes.REASONS_THAT_STOP_A_HOOD, words.STOP_REASONS),
        (codes.REASONS_TO_LEAVE, words.PAUSE_REASONS),
        (codes.FORCED, words.FORCED),
        (PLAIN, HELP),
        (hood_codes.EVENTS, hood_words.EVENTS),
    ],
)
def test_every_code_has_words(known, said):
    assert set(known) <= set(said)


def test_a_code_of_an_older_release_is_shown_as_it_is():
    assert ledger.words("under-the-stairs", "kind") == "under-the-stairs"
    assert log.entry_words(Entry(action="hood-painted")) == "Hood painted"


def test_an_entry_says_from_what_to_what():
    entry = Entry(
        action="hood-changed", before={"tag": "FH-1", "glass": ""}, after={"tag": "FH-2", "glass": "tempered"}
    )
    assert log.entry_changes(entry) == [("tag", "FH-1", "FH-2"), ("glass", "–", "tempered")]


def test_an_entry_shows_no_number_of_a_row_and_no_code():
    before = {"room": {"id": 1, "name": "North Range 214"}, "exhaust": None, "from_on": "2026-01-06", "control": "bypass"}
    after = {"room": {"id": 2, "name": "North Range 118"}, "exhaust": {"id": 3, "name": "EF-3"}, "from_on": "2026-11-20",
             "control": "two-state", "powered": True}  # fmt: skip
    assert log.entry_changes(Entry(action="hood-moved", before=before | {"powered": False}, after=after)) == [
        ("room", "North Range 214", "North Range 118"), ("exhaust system", "–", "EF-3"),
        ("since", "6 JAN 2026", "20 NOV 2026"), ("volume control", "constant volume, bypass", "two-state volume"),
        ("moved by a motor", "no", "yes"),
    ]  # fmt: skip


def test_an_entry_says_which_check_was_decided_anew():
    code = next(iter(CHECK))
    before, after = {"checks": []}, {"checks": [{"check": code, "consequence": "restrict", "restriction": "no acids"}]}
    entry = Entry(action="criteria-draft-changed", before=before, after=after)
    assert log.entry_changes(entry) == [
        (CHECK[code].question, "not asked here", "restrict: a use is excluded (no acids)")
    ]


ABOUT = [
    ("opening-added", {"name": "lower", "width": "62 in", "height": "12 in"}, "lower, 62 in wide, 12 in high"),
    ("opening-changed", {"opening": "lower", "height": "10 in"}, "lower"),
    ("calibration-recorded", {"certificate": "C-1", "done_on": "2026-01-06", "due_on": "2027-01-06", "in_tolerance": False},
     "certificate C-1, done on 6 JAN 2026, due on 6 JAN 2027, out of tolerance"),
    ("calibration-recorded", {"certificate": "C-1", "done_on": "2026-01-06", "due_on": "2027-01-06", "in_tolerance": None},
     "certificate C-1, done on 6 JAN 2026, due on 6 JAN 2027"),
    ("role-given", {"role": "lab-manager", "room": {"id": 1, "name": "North Range 214"}, "from_on": "2026-01-06"},
     "Lab manager, North Range 214, from 6 JAN 2026"),
    ("hood-retired", {"kind": "retired", "on": "2026-01-06", "until_on": None}, "from 6 JAN 2026"),
    ("hood-taken-out-of-service", {"on": "2026-01-06", "until_on": "2026-02-06"}, "from 6 JAN 2026 until 6 FEB 2026"),
    ("criteria-assigned", {"set": {"id": 1, "name": "General"}, "from_on": "2026-01-06"}, "General, from 6 JAN 2026"),
    ("criteria-adopted", {"number": 2, "first_day": "2026-01-06"}, "version 2, from 6 JAN 2026"),
    ("stop-posted", {"stop": 4, "reason": "no-flow"}, "no flow"),
    ("label-printed", {"issue": 7}, "number 7"),
    ("survey-signed", {"record": 12, "verdict": "pass", "label_issue": 3}, "record 12, pass, label number 3"),
    ("survey-signed", {"record": 13, "verdict": "fail", "label_issue": None}, "record 13, fail"),
    ("hood-painted", {"colour": "grey"}, ""),
]  # fmt: skip


@pytest.mark.parametrize(("action", "after", "said"), ABOUT, ids=[one[0] for one in ABOUT])
def test_an_entry_says_which_it_was(action, after, said):
    assert log.entry_about(Entry(action=action, after=after)).lower() == said.lower()


@pytest.mark.parametrize("action", sorted(log.ABOUT))
def test_an_entry_that_kept_nothing_is_still_shown(action):
    assert log.entry_about(Entry(action=action)) == ""
