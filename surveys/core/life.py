"""What a hood's own events say of a day: whether it rests or is out of service, and from when surveys count."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from surveys.core.history import Event, Surveyed

#: What a hood's stay in its place begins with, and the reason of a survey that is made because of it.
BEGINNINGS = {"installed": "initial", "moved": "after-a-move", "woken": "wake-from-hibernation"}


def life_of(events: Sequence[Event], on: date) -> str | None:
    """What a hood's own events say of a day, whatever was found or posted: `retired`, `hibernated` or `out-of-service`.

    None: it is in service.
    """
    life = Life(events, on)
    return life.resting.kind if life.resting else "out-of-service" if life.outage else None


class Life:
    """What the events say by a day: retired or hibernated, in an outage, and since when it stands as it does."""

    __slots__ = ("began", "outage", "resting")

    def __init__(self, events: Sequence[Event], on: date) -> None:
        self.resting: Event | None = None
        self.began: Event | None = None  # installed, last moved or last woken: verdicts from before do not count
        self.outage: Event | None = None
        outages: list[Event] = []
        for event in events:
            if event.on > on:
                continue
            kind = event.kind
            if kind in BEGINNINGS:
                self.began = event
                if kind == "woken":
                    self.resting = None
            elif kind in ("retired", "hibernated"):
                self.resting = event
            elif kind == "out-of-service":
                outages.append(event)
            elif kind == "back-in-service":
                outages.clear()
        if outages:
            self.outage = next((event for event in outages if event.until_on is None or event.until_on >= on), None)

    def counts(self, survey: Surveyed) -> bool:
        """Whether a survey came after the hood was installed, moved or woken: none from before says anything of today.

        On the same day it did if it was still being measured when that was entered, or later, or if its reason says so.
        """
        began = self.began
        if began is None:
            return True
        if survey.done_on != began.on:
            return survey.done_on > began.on
        return survey.measured_until >= began.at or survey.reason == BEGINNINGS[began.kind]
