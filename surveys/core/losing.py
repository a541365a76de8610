"""What a hood would lose by changes: openings that stand approved, and the label that says so."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoods.core.ending import Lost
from surveys.core.history import Event, HoodFacts
from surveys.core.status import status, unhindered


def lost(facts: HoodFacts, events: Sequence[Event], on: date) -> Lost | None:
    """What these events would end, be the hood barred meanwhile or not; None where nothing of it stands approved."""
    free = unhindered(facts)
    before, after = status(free, on), status(free._replace(events=[*free.events, *events]), on)
    left = {one.opening for one in after.approved}
    ended = frozenset(one.opening for one in before.approved if one.opening not in left)
    if not ended:
        return None
    return Lost(wholly=not after.approved, label=before.in_use and not after.in_use, openings=ended)
