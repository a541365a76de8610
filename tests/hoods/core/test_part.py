"""Which openings of which sash do not say what of it is moved: one row an edge."""

from __future__ import annotations

import pytest

from hoods.core.part import OF_SASH, lacks_part, part_of
from hoods.words import WAYS

CASES = [
    # sash, use, way, name, lacks it, why
    ("horizontal", "working", "", "working", True, "its name says its use"),
    ("horizontal", "lower", "", "half", True, "a lower one may be approved too"),
    ("horizontal", "working", None, "A", True, "no way at all"),
    ("horizontal", "working", "  ", "A", True, "blanks are no way"),
    ("horizontal", "working", "", "left", False, "the name says it"),
    ("horizontal", "working", "", "Right Panel", False, "in other letters too"),
    ("horizontal", "working", "left panel", "A", False, "the way says it"),
    ("horizontal", "working", "hatch", "A", False, "in the site's own words"),
    ("horizontal", "working", "frame", "A", True, "a part of another sash"),
    ("horizontal", "working", "", "frame", True, "a name of a part that it has not"),
    ("horizontal", "full-open", "", "A", False, "measured and never approved"),
    ("horizontal", "other", "", "A", False, "recorded alone"),
    ("combination", "working", "", "working", True, "frame or panel"),
    ("combination", "working", "frame", "A", False, "the frame"),
    ("combination", "working", "", "frame raised", False, "as older lists call it"),
    ("combination", "lower", "panels", "A", False, "several panels"),
    ("vertical", "working", "", "working", False, "it opens in one way"),
    ("vertical", "working", "frame", "A", True, "what is left of a sash that it had"),
    ("vertical", "working", "", "left", False, "the left one of two sashes, by its name"),
    ("vertical", "working", "hatch", "A", False, "a way that the site knows"),
    ("vertical", "set-back", "frame", "A", False, "nobody works at it"),
    ("none", "lower", "panels", "A", True, "nothing is left that could slide"),
    ("none", "working", "", "working", False, "nothing is moved"),
]


@pytest.mark.parametrize(("sash", "use", "way", "name", "lacks", "why"), CASES)
def test_which_opening_says_no_part(sash, use, way, name, lacks, why):
    assert lacks_part(sash, use, way, name) is lacks, why


@pytest.mark.parametrize("sash", sorted(WAYS))
def test_every_way_that_the_register_offers_is_a_part_of_its_sash(sash):
    assert [part_of(way) for way in sorted(WAYS[sash])] == sorted(OF_SASH[sash])
    assert not any(lacks_part(sash, "working", way, "A") for way in WAYS[sash])
