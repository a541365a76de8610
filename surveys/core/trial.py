"""The height at which it is worth measuring next: a hint for where to set the sash, never a result.

At an unchanged flow the average rises as the opening shrinks. That holds only for one vertical sash on constant volume
without a bypass, which draws the same flow through whatever is open.
"""

from fractions import Fraction
from math import floor

from surveys.core.facts import HoodFacts
from surveys.core.rounding import plain
from surveys.core.units import Quantity, quantity, with_unit

_STEPS = {"in": 2, "mm": 1}  # shown to half an inch, to a whole millimetre: nobody sets a sash finer


def holds_for(hood: HoodFacts) -> bool:
    """Whether the flow of this hood stays as it is when its sash is lowered."""
    return hood.sash == "vertical" and hood.control == "constant-volume" and hood.kind != "auxiliary-air"


def trial_height(height: str, average: Fraction, unit: str, wanted: Quantity, least: Quantity) -> str | None:
    """Height × average ÷ limit, rounded down; None where that is no lower one, or under the least useful height."""
    stands = quantity(height, "length")
    limit = wanted.to(unit)
    if average <= 0 or limit <= average:
        return None
    steps = _STEPS.get(stands.unit, 100)
    found = Fraction(floor(stands.value * average / limit * steps), steps)
    if found <= 0 or found < least.to(stands.unit) or found >= stands.value:
        return None
    return with_unit(plain(found, 2), stands.unit)
