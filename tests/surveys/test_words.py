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
from surveys.templatetags import ledger

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
        (hood_codes.EVENTS, hood_words.EVENTS),
    ],
)
def test_every_code_has_words(known, said):
    assert set(known) <= set(said)


def test_a_code_of_an_older_release_is_shown_as_it_is():
    assert ledger.words("under-the-stairs", "kind") == "under-the-stairs"
    assert ledger.entry_words(Entry(action="hood-painted")) == "Hood painted"


def test_an_entry_says_from_what_to_what():
    entry = Entry(
        action="hood-changed", before={"tag": "FH-1", "glass": ""}, after={"tag": "FH-2", "glass": "tempered"}
    )
    assert ledger.entry_changes(entry) == [("tag", "FH-1", "FH-2"), ("glass", "–", "tempered")]
