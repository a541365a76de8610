"""Sets of criteria to start from. A site compares them with its local rules, completes and adopts them.

Each limit and rule says its source and how that source was seen; none fails a hood by a number from memory alone.
Checks that the sources leave to the site cost `undecided`: a version cannot be adopted before the site has decided each
of them.
"""

from __future__ import annotations

from surveys.core.starters.bands import BAND_WITH_DEVIATION, THREE_BAND
from surveys.core.starters.common import Starter, nothing
from surveys.core.starters.floors import HALF_A_METRE, LEGAL_MINIMUM
from surveys.core.starters.kinds import RADIOISOTOPE
from surveys.core.starters.proven import LOW_VELOCITY_PROVEN, RATIO_TO_BENCHMARK

__all__ = ["STARTERS", "Starter", "nothing"]

STARTERS: dict[str, Starter] = {
    starter.code: starter
    for starter in (
        LEGAL_MINIMUM, THREE_BAND, BAND_WITH_DEVIATION, HALF_A_METRE, RATIO_TO_BENCHMARK, LOW_VELOCITY_PROVEN, RADIOISOTOPE,
    )
}  # fmt: skip
