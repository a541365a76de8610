"""What changes of hoods that are not kept yet would end of what stands approved, as whoever keeps them asks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from hoods.core.ending import Lost
from hoods.models import Hood
from surveys import queries
from surveys.core.history import Event
from surveys.core.losing import lost

Ending = Mapping[int, Sequence[tuple[str, int | None]]]


def asked(*, hoods: Sequence[Hood], ending: Ending, at: datetime, **signal: Any) -> dict[int, Lost]:
    """Of hoods of one site those that would lose something; the others are left out."""
    on = hoods[0].site.day_of(at)
    found = {}
    for pk, facts in queries.facts_of(hoods, on).items():
        events = [Event(kind, on, at, None, opening) for kind, opening in ending[pk]]
        if would := lost(facts, events, on):
            found[pk] = would
    return found
