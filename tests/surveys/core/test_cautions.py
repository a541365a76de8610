"""Cautions by the kind of sash: each kind has its words, and none is told to close what it has not."""

from __future__ import annotations

import pytest

from surveys.core.cautions import CAUTIONS, MANY, caution
from surveys.core.codes import SASHES

KINDS = ("vertical", "horizontal", "combination", "none")
NEVER = {  # words that say nothing to a hood of that kind
    "vertical": ("panel", "frame", "cannot be closed"),
    "horizontal": ("sash low", "lower the sash", "frame", "Close it", "cannot be closed", "how high"),
    "combination": ("sash low", "lower the sash", "Close it", "cannot be closed", "how high"),
    "none": ("sash", "panel", "frame", "Close it", "how high"),
}


def test_every_kind_of_sash_has_a_caution_of_each_sort():
    assert set(SASHES) == set(KINDS)
    for what, words in CAUTIONS.items():
        assert set(KINDS) <= set(words) <= {*KINDS, MANY}, what
        assert len(set(words.values())) == len(words), f"{what}: two kinds are told the same"


@pytest.mark.parametrize("sash", KINDS)
@pytest.mark.parametrize("what", CAUTIONS)
def test_no_caution_names_what_that_kind_has_not(what, sash):
    assert [words for words in NEVER[sash] if words.lower() in caution(what, sash).lower()] == []


@pytest.mark.parametrize("what", ["kept", "working", "printed"])
def test_a_combination_sash_is_never_raised_with_panels_open(what):
    assert "never raise the frame with panels open" in caution(what, "combination")


def test_of_many_hoods_and_of_a_kind_that_is_not_known_the_general_one_is_said():
    assert caution("kept", MANY) == caution("kept", "sliding door") == CAUTIONS["kept"][MANY]
    assert caution("shut", "sliding door") == CAUTIONS["shut"]["vertical"]
