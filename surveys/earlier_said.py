"""What a list of earlier results comes to, in sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from django.utils.translation import ngettext

from hoods.core.quantity import LIKELY
from hoods.inventory_ends import named

if TYPE_CHECKING:
    from surveys.earlier import Plan

_NOWHERE: dict[str, Callable[[int], str]] = {
    "filtered": lambda number: ngettext(
        "One result is of a filtered hood. A list says nothing of its filter (type, date, approved materials, breakthrough): "
        "it is kept and shown, and counts for when the hood is due; it lets nobody use it, even if the list is accepted.",
        "%(number)d results are of filtered hoods. A list says nothing of their filters (type, date, approved materials, "
        "breakthrough): they are kept and shown, and count for when a hood is due; they let nobody use one, even if the list is "
        "accepted.",
        number,
    ),
    "two-state": lambda number: ngettext(
        "One result is of a two-state hood, and does not say which state was tested: it lets nobody use it, even if the list is "
        "accepted. The column “state” says it.",
        "%(number)d results are of two-state hoods, and do not say which state was tested: they let nobody use one, even if the "
        "list is accepted. The column “state” says it.",
        number,
    ),
    "canopy": lambda number: ngettext(
        "One result is of a canopy, which is for heat and steam alone: it lets nobody work under it, even if the list is accepted.",
        "%(number)d results are of canopies, which are for heat and steam alone: they let nobody work under one, even if the list "
        "is accepted.",
        number,
    ),
}  # fmt: skip


def nowhere_said(found: Mapping[str, int]) -> list[str]:
    """A sentence for each kind of hood that so many results let nobody use, whatever they say."""
    return [made(found[why]) % {"number": found[why]} for why, made in _NOWHERE.items() if found.get(why)]


def unlikely_said(rows: Sequence[int]) -> str:
    """What is asked of averages that are likelier a slip, with their rows; empty where there is none."""
    if not rows:
        return ""
    said = ngettext(
        "The velocity in one row is below %(least)d or above %(most)d ft/min: row %(rows)s. Look for a point in a wrong place or "
        "another unit. It is kept as it is written, and counts so if the list is accepted.",
        "Velocities in %(number)d rows are below %(least)d or above %(most)d ft/min: rows %(rows)s. Look for a point in a wrong "
        "place or another unit. They are kept as they are written, and count so if the list is accepted.",
        len(rows),
    )
    least, most = LIKELY
    return said % {"number": len(rows), "least": least, "most": most, "rows": named(map(str, rows))}


def said_of(plan: Plan) -> str:
    """What a plan comes to, in a sentence."""
    if not plan.does_something:
        return ngettext(
            "This list changes nothing: its one result is kept as it says.",
            "This list changes nothing: all %(left)d results are kept as it says.",
            plan.left,
        ) % {"left": plan.left}  # fmt: skip
    results = ngettext(
        "The list would add %(number)d result", "The list would add %(number)d results", len(plan.added)
    ) % {"number": len(plan.added)}  # fmt: skip
    hoods = ngettext("of %(hoods)d hood", "of %(hoods)d hoods", plan.hoods) % {"hoods": plan.hoods}
    left = ngettext("%(left)d is kept already", "%(left)d are kept already", plan.left) % {"left": plan.left}
    return f"{results} {hoods}; {left}." if plan.left else f"{results} {hoods}."
