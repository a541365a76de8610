"""Where to measure next at an unchanged flow: a table, worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from surveys.core.facts import HoodFacts
from surveys.core.trial import holds_for, trial_height
from surveys.core.units import quantity

LEAST = quantity("6 in", "length")
CASES = [
    # height    average       unit      limit          tried      why
    ("18 in",   "64",         "ft/min", "80 ft/min",   "14 in",   "18 × 64 ÷ 80 = 14.4, down to half an inch"),
    ("18 in",   "66",         "ft/min", "80 ft/min",   "14.5 in", "18 × 66 ÷ 80 = 14.85"),
    ("18 in",   "79.9",       "ft/min", "80 ft/min",   "17.5 in", "a hair under"),
    ("457 mm",  "0.32",       "m/s",    "0.4 m/s",     "365 mm",  "457 × 0.32 ÷ 0.4 = 365.6, down to a millimetre"),
    ("18 in",   "0.32512",    "m/s",    "80 ft/min",   "14 in",   "0.32512 m/s is 64 ft/min"),
    ("18 in",   "80",         "ft/min", "80 ft/min",   None,      "met as it is"),
    ("18 in",   "100",        "ft/min", "80 ft/min",   None,      "over it"),
    ("18 in",   "20",         "ft/min", "80 ft/min",   None,      "4.5 in is under the least useful height"),
    ("18 in",   "0",          "ft/min", "80 ft/min",   None,      "no air at all"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("height", "average", "unit", "limit", "tried", "why"), CASES, ids=[case[-1] for case in CASES]
)
def test_the_height_to_try(height, average, unit, limit, tried, why):
    assert trial_height(height, Fraction(average), unit, quantity(limit, "speed"), LEAST) == tried


@pytest.mark.parametrize(
    ("hood", "holds"),
    [
        (HoodFacts(), True),
        (HoodFacts(control="bypass"), False),
        (HoodFacts(control="two-state"), False),
        (HoodFacts(control="variable-volume"), False),
        (HoodFacts(sash="horizontal"), False),
        (HoodFacts(sash="combination"), False),
        (HoodFacts(sash="none"), False),
        (HoodFacts(kind="auxiliary-air"), False),
    ],
)
def test_it_holds_for_one_vertical_sash_on_constant_volume_alone(hood, holds):
    assert holds_for(hood) is holds
