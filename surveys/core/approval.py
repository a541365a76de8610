"""At which openings a survey lets a hood be used, and what is left of it when the hood or an opening changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import lru_cache
from typing import Any, NamedTuple

from hoods.core.ending import ENDING
from hoods.core.part import part_of
from surveys.core.history import Approved, Event, HoodFacts, Surveyed
from surveys.core.sash import PANELS, parts_untold
from surveys.core.units import LENGTH, SPEED, NotANumber, quantity

_ENDING = frozenset(ENDING)
_REGISTERING = timedelta(days=1)  # after it was registered: what is changed of a hood puts right what was typed


def highest(approved: Sequence[Approved]) -> Approved | None:
    """The approved opening with the greatest height, the first of equal ones; None where nothing is approved."""
    return max(approved, key=lambda opening: _mm(opening.height), default=None)


class Average(NamedTuple):
    """An average beside its opening; `of` so many that may be opened and have one."""

    opening: Approved
    average: str  # as a quantity is written
    of: int


def lowest_average(approved: Sequence[Approved], sash: str, averages: Mapping[str, str]) -> Average | None:
    """The average that is told of what is approved: at the height of a vertical sash, else the lowest of all openings."""
    top = highest(approved) if sash == "vertical" else None
    asked = [top] if top else approved
    found = [(quantity(averages[one.name], SPEED).to("m/s"), place, one) for place, one in enumerate(asked) if one.name in averages]
    if not found:
        return None
    _speed, _place, lowest = min(found)
    return Average(lowest, averages[lowest.name], len(found))


def approvals(facts: HoodFacts, verdict: Surveyed, on: date) -> tuple[tuple[Approved, ...], tuple[Approved, ...]]:
    """The openings that the last verdict approves, and those of them whose approval a change has ended."""
    approved = tuple([one for one in facts.approved.get(verdict.id, ()) if _is_sized(one.height, one.width)])
    changes = _changes(facts, verdict, on)
    if not changes:
        return approved, ()
    changed = {event.opening for event in changes}
    if None in changed:  # the hood itself, or nobody can say which opening it was
        return (), approved
    stand = tuple(opening for opening in approved if opening.opening not in changed and opening.name not in changed)
    return stand, tuple(opening for opening in approved if opening not in stand)


def changes(facts: HoodFacts, verdict: Surveyed, on: date) -> list[Event]:
    """The changes that ended an approval of the last verdict, by (on, at)."""
    _stand, ended = approvals(facts, verdict, on)
    lost = {None} | {opening.opening for opening in ended} | {opening.name for opening in ended}
    return [event for event in _changes(facts, verdict, on) if event.opening in lost]


def _changes(facts: HoodFacts, verdict: Surveyed, on: date) -> list[Event]:
    """The changes, of any opening, that came after the last verdict."""
    return [
        event
        for event in facts.events
        if event.kind in _ENDING and event.on <= on and _is_changed_after(verdict, event)
        and not _is_of_registering(facts, verdict, event)
    ]  # fmt: skip


def _is_of_registering(facts: HoodFacts, verdict: Surveyed, event: Event) -> bool:
    """Whether a change only put right what was typed in on registering, before a list of earlier results was brought in.

    The list was then held beside the hood as it was put right; a survey that was signed here is never excused so.
    """
    if verdict.signed_here or event.at >= verdict.signed_at:
        return False
    return any(one.kind == "installed" and one.at <= event.at < one.at + _REGISTERING for one in facts.events)


def _is_changed_after(survey: Surveyed, event: Event) -> bool:
    """Whether a change came after the survey; the change that its signing itself enters is no later one."""
    if survey.signed_here and event.at == survey.signed_at:
        return False
    if event.on != survey.done_on:
        return event.on > survey.done_on
    return event.at > survey.measured_until


def narrowed_by(approved: Sequence[Approved], ended: Sequence[Approved], one_way: bool) -> dict[str, Any]:
    """What the hood is restricted to when some approvals ended: a lower height, or openings not to be used.

    A lower opening that ended takes nothing away from a higher one of the same way, which was measured for itself; nor
    does a narrower one of a panel. In a hood of several ways an opening without one is its own way, as is one of a panel
    whose width nobody told.
    """
    lost = []
    for opening in ended:
        alike = [other for other in approved if one_way or _is_comparable(opening, other)]
        if all(_size(other, one_way) < _size(opening, one_way) for other in alike):
            lost.append(opening)
    if not lost:
        return {}
    top = highest(approved) if one_way else None
    if top:
        return {"largest_opening": top.height}
    return {"not_openings": [opening.name for opening in lost]} | parts_untold((one.way, one.name) for one in lost)


def limited(approved: Sequence[Approved], told: Sequence[Approved], one_way: bool) -> tuple[tuple[Approved, ...], dict[str, Any]]:
    """What a later record leaves of what was approved, and how that is said: never more than was approved.

    A sash that moves one way goes no higher than the record tells. In a hood of several ways an opening that it tells
    lower than it was measured is not used at all; of a panel it tells no width, so that it takes none away.
    """
    told = [one for one in told if _is_sized(one.height, one.width)]
    cap, top = (highest(told), highest(approved)) if one_way else (None, None)
    if cap and top and _mm(cap.height) < _mm(top.height):
        height = _mm(cap.height)
        left = tuple(one._replace(height=cap.height) if _mm(one.height) > height else one for one in approved)
        return left, {"largest_opening": cap.height}
    heights = {} if one_way else {one.opening: _mm(one.height) for one in told if one.opening is not None}
    lost = [one for one in approved if not _is_panel(one) and heights.get(one.opening, _mm(one.height)) < _mm(one.height)]
    if not lost:
        return tuple(approved), {}
    left = tuple(one for one in approved if one not in lost)
    return left, {"not_openings": [one.name for one in lost]} | parts_untold((one.way, one.name) for one in lost)


def joined(restriction: Mapping[str, Any], narrowed: Mapping[str, Any]) -> dict[str, Any]:
    """The restriction of a survey, and what has been lost since."""
    not_openings = [*restriction.get("not_openings", ()), *narrowed.get("not_openings", ())]
    parts = {**restriction.get("parts", {}), **narrowed.get("parts", {})}
    uses = dict.fromkeys(one["use"] for one in (restriction, narrowed) if one.get("use"))
    joined = {**restriction, **narrowed} | ({"parts": parts} if parts else {}) | ({"use": "; ".join(uses)} if uses else {})
    return {**joined, "not_openings": not_openings} if not_openings else joined


def _is_comparable(one: Approved, other: Approved) -> bool:
    """Whether it can be said which is the larger: they are of one way, and if it is a panel both widths are told."""
    return one.way == other.way != "" and (not _is_panel(one) or "" not in (one.width, other.width))


def _is_panel(opening: Approved) -> bool:
    return part_of(opening.way) in PANELS


def _size(opening: Approved, one_way: bool) -> tuple[Fraction, Fraction]:
    """What is compared of openings of one way: of a panel its width first [mm], of all else the height alone [mm]."""
    first = opening.width if _is_panel(opening) and not one_way else opening.height
    return _mm(first), _mm(opening.height)


def _mm(length: str) -> Fraction:
    """A length that could be read, exactly [mm]."""
    return quantity(length).to("mm")


@lru_cache(maxsize=4096)
def _is_sized(height: str, width: str) -> bool:
    """Whether a size can be read: a damaged one approves nothing, since nobody could say up to where."""
    return _is_length(height) and (not width or _is_length(width))


def _is_length(text: str) -> bool:
    try:
        return quantity(text, LENGTH).value > 0
    except NotANumber:
        return False
