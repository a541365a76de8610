"""What ends approvals is entered as events of the hoods, and whoever tells people of it hears so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.dispatch import Signal

from hoods.core.ending import OPENING_CHANGED, of_hood
from hoods.models import Hood, HoodEvent, Opening, Person

#: Sent inside the transaction of changes that end approvals, with their `events` (at least one; all `by` one, `at` one
#: moment, of one site): apps that come later keep there what they tell people.
approvals_ended = Signal()


def hood_events(hood: Hood, changed: Iterable[str], *, by: Person, at: datetime, why: str) -> list[HoodEvent]:
    """The events of a hood of which these fields were changed, not kept yet; none where no approval ends."""
    on = hood.site.day_of(at)
    return [HoodEvent(hood=hood, kind=kind, on=on, at=at, by=by, why=why) for kind in of_hood(changed)]


def opening_event(hood: Hood, opening: Opening, *, by: Person, at: datetime, why: str) -> HoodEvent:
    on = hood.site.day_of(at)
    return HoodEvent(hood=hood, kind=OPENING_CHANGED, on=on, opening=opening, at=at, by=by, why=why)


def enter(events: Sequence[HoodEvent]) -> None:
    """Keeps the events of one act."""
    if events:
        HoodEvent.objects.bulk_create(events)
        approvals_ended.send(sender=HoodEvent, events=events)
