"""Why a hood has its status: what bars it, what its last verdict found, and why there is no label."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from functools import lru_cache
from typing import Any

from hoods.core.ending import ENDING
from surveys.core.codes import NOT_FOR_VAPOURS
from surveys.core.due import Due
from surveys.core.history import Event, Stop, Surveyed
from surveys.core.messages import Message

CHANGED_SINCE = {kind: f"{kind}-since" for kind in ENDING}  # what ended approvals -> how its reason is called
UNLABELLED = {  # why there is no label -> what it means for who stands before the hood
    "no-label-stop-not-moved": "unlabelled-stop-not-moved",
    "no-label-opening-changed": "unlabelled-opening-changed",
    "no-label-earlier-restricts": "unlabelled-earlier-restricts",
    "no-label-canopy": "unlabelled-canopy",
    "no-label-not-full": "unlabelled-not-full",
}
_STOPPING = frozenset({"no-flow", "smoke-came-out", "glass-broken", "sash-does-not-stay", "other-danger"})


def changed_since(events: Sequence[Event]) -> tuple[Message, ...]:
    """What ended approvals, each cause once, in the order of ENDING."""
    kinds = {event.kind for event in events}
    return tuple(Message(code) for kind, code in CHANGED_SINCE.items() if kind in kinds)


def why_nothing_approved(verdict: Surveyed) -> str:
    if verdict.signed_here:
        return "nothing-approved"
    if verdict.nowhere:
        return f"earlier-record-of-{verdict.nowhere}"
    return "earlier-record-approves-nothing" if verdict.says_height else "earlier-record-says-no-height"


def why_not_issued(restriction: Mapping[str, Any]) -> str:
    """Why a survey that lets a hood be used gave no label."""
    if "largest_opening" in restriction:
        return "no-label-stop-not-moved"
    return "no-label-canopy" if NOT_FOR_VAPOURS in str(restriction.get("use") or "") else "no-label-issued"


def barred_by(stops: Sequence[Stop], verdict: Surveyed | None, due: Due | None, on: date) -> list[tuple[date, Message]]:
    """Each thing for which the hood must not be used, with the day since when."""
    barred = []
    for stop in stops:
        if stop.posted_on <= on and (stop.ended_on is None or stop.ended_on > on):
            code = f"stopped-{stop.reason}" if stop.reason in _STOPPING else "stopped"
            barred.append((stop.posted_on, Message(code, {"on": stop.posted_on.isoformat()})))
    if verdict is not None and verdict.verdict == "fail":
        barred.append((verdict.done_on, found(verdict, "failed")))
    if due is not None and due.use_ends_on is not None and on > due.use_ends_on:
        day = due.use_ends_on + timedelta(days=1)
        barred.append((day, Message("survey-overdue", {"on": day.isoformat(), "due_on": due.on.isoformat()})))
    return barred


def found(verdict: Surveyed, what: str) -> Message:
    """What the last verdict is, and whether it was signed here: `last-survey-passed`, `earlier-record-failed`."""
    return _found(verdict.signed_here, what, verdict.done_on)


@lru_cache(maxsize=4096)  # the hoods of a round were surveyed on one day
def _found(signed_here: bool, what: str, on: date) -> Message:
    return Message(f"{'last-survey' if signed_here else 'earlier-record'}-{what}", {"on": on.isoformat()})


def outage(event: Event) -> Message:
    if event.until_on is None:
        return Message("out-of-service", {"on": event.on.isoformat()})
    return Message("out-of-service-until", {"on": event.on.isoformat(), "until_on": event.until_on.isoformat()})
