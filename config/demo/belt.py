"""The belt that slipped: told in every record of the hoods on its fan, seen to, and put right."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any

from config.demo.others import BELT, BELT_SLIPPED, BELT_TIGHTENED
from config.demo.others import plans as planned
from surveys.actions import findings
from surveys.core.findings import BY_SURVEY
from surveys.models import Finding

if TYPE_CHECKING:
    from config.demo.build import Built

OWNER, ORDER = "Building Services", "W-2107"
TO_BE_TIGHTENED = f"Every hood on {BELT} was low: its belt slips and has to be tightened."
TIGHTENED = f"Belt of {BELT} tightened; the hood passed its retest."


def happenings(built: Built, day: date) -> Iterator[tuple[datetime, Callable[[], Any]]]:
    """On the evening of the complaint the belt is ordered; on that of the retests, closed is what they do not close."""
    slipped, tightened = (day - timedelta(days=ago) for ago in (BELT_SLIPPED, BELT_TIGHTENED))
    for plan in planned():
        if plan.exhaust == BELT:
            at = datetime.combine(slipped, time(17), UTC)
            yield at, partial(_arrange, built, plan.tag, tightened, at)
            at = datetime.combine(tightened, time(17), UTC)
            yield at, partial(_close, built, plan.tag, at)


def _open(built: Built, tag: str) -> list[Finding]:
    return list(Finding.objects.filter(hood=built.hoods[tag], survey__reason="complaint").open())


def _arrange(built: Built, tag: str, promised_on: date, at: datetime) -> None:
    for finding in _open(built, tag):
        findings.arrange_finding(
            finding=finding, owner=OWNER, order_number=ORDER, promised_on=promised_on, words=TO_BE_TIGHTENED,
            by=built.manager, at=at,
        )  # fmt: skip


def _close(built: Built, tag: str, at: datetime) -> None:
    """The retest closed the limits that it met; that a label did not hold is closed by a person, with the reason."""
    for finding in _open(built, tag):
        if finding.kind not in BY_SURVEY:
            findings.close_finding(finding=finding, words=TIGHTENED, by=built.surveyor, at=at)
