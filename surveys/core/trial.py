"""The height at which it is worth measuring next: a hint for where to set the sash, never a result.

At an unchanged flow the average rises as the opening shrinks. That holds only for one vertical sash on constant volume
without a bypass, which draws the same flow through whatever is open; and on variable volume where it was confirmed that
the flow is at its maximum, so that its control has nothing left to give. Elsewhere there is no such height, and why.
"""

from collections.abc import Mapping
from fractions import Fraction
from math import floor
from typing import Any

from hoods.core.cover import Cover
from surveys.core.codes import MAXIMUM_FLOW
from surveys.core.facts import HoodFacts
from surveys.core.messages import Message
from surveys.core.rounding import plain
from surveys.core.units import Quantity, quantity, with_unit

_STEPS = {"in": 2, "mm": 1}  # shown to half an inch, to a whole millimetre: nobody sets a sash finer


def why_not(hood: HoodFacts, conditions: Mapping[str, Any], cover: Cover | None = None) -> Message | None:
    """Why no height can be worked out for this hood; None where its flow stays as it is when its sash is lowered."""
    if hood.sash != "vertical":
        return Message("no-trial-sash")
    if hood.kind == "auxiliary-air":
        return Message("no-trial-auxiliary-air")
    if hood.control == "variable-volume":
        if conditions.get("flow_state") != MAXIMUM_FLOW:
            return Message("no-trial-variable-volume")
    elif hood.control != "constant-volume":
        return Message(f"no-trial-{hood.control}")
    return Message("no-trial-covered", {"cover": cover.by}) if cover else None


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
