"""Limits that no opening can meet together: one wants more than another lets be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from surveys.core import codes

if TYPE_CHECKING:
    from surveys.core.criteria import Limit

#: At one opening none of these is ever above one that comes after it.
RISING = ("lowest", "average", "highest")


def cannot_both(wants: Limit, lets: Limit) -> bool:
    """Whether no opening meets what the one wants at least and what the other lets be at most."""
    least, most = wants.at_least, lets.at_most
    if least is None or most is None or least.kind != most.kind:
        return False
    return _is_below(wants.figure.code, lets.figure.code) and _meet(wants, lets) and least.value > most.to(least.unit)


def _is_below(one: str, other: str) -> bool:
    """Whether a figure is at most as large as another: the same one, or the lowest point beside the average."""
    if one in RISING and other in RISING:
        return RISING.index(one) <= RISING.index(other)
    return one == other


def _meet(one: Limit, other: Limit) -> bool:
    """Whether both apply to some opening."""
    uses = {one.applies_to, other.applies_to}
    return len(uses) == 1 or ("each" in uses and bool(uses & set(codes.CANDIDATE_USES)))
