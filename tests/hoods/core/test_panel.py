"""Two openings of one panel that have one size."""

from __future__ import annotations

import pytest

from hoods.core.cover import Cover
from hoods.core.panel import Slid, of_one_size

WIDE = Slid("left wide", "left panel", "30 in", "30 in")
SHELF = Cover("shelf", "", "", "", "4 in")


@pytest.mark.parametrize(
    ("one", "found", "why"),
    [
        (WIDE._replace(name="b"), True, "the same panel and size"),
        (WIDE._replace(name="b", width="762 mm"), True, "in another unit"),
        (WIDE._replace(name="b", width="15 in"), False, "narrower"),
        (WIDE._replace(name="b", height="20 in"), False, "lower"),
        (WIDE._replace(name="b", way="right panel"), False, "of another panel"),
        (WIDE._replace(name="b", cover=SHELF), False, "with something over a part of it"),
        (WIDE._replace(name="b", width=""), False, "no size is said"),
    ],
)
def test_an_opening_of_the_size_of_another(one, found, why):
    assert of_one_size(one, [WIDE]) == (WIDE if found else None), why


@pytest.mark.parametrize("way", ["frame", "panels", "", "hatch"])
def test_what_is_no_single_panel_is_not_asked(way):
    """Of several panels together one size may be the left two or the right two."""
    assert of_one_size(WIDE._replace(name="b", way=way), [WIDE._replace(way=way)]) is None
