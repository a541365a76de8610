"""Results from earlier records in tests: rows of a list, and the list brought in."""

from __future__ import annotations

from datetime import UTC, date, datetime

from hoods.models import Hood
from surveys import earlier as planning
from surveys import queries
from surveys.actions import earlier
from surveys.core import status as core
from surveys.core.status import Status
from surveys.earlier import Said, SaidOpening
from surveys.history import history_of
from surveys.models import EarlierBatch

TODAY = date(2026, 4, 20)
NOW = datetime(2026, 4, 20, 9, tzinfo=UTC)
MEASURED = date(2026, 1, 15)
MARK = "From earlier records, not signed here"


def a_row(hood: Hood, on: date = MEASURED, verdict: str = "pass", *, height: str = "18 in", **what: str) -> Said:
    opening = hood.openings.first()
    openings = (SaidOpening(1, opening.name, height, what.pop("average", "98 ft/min"), "", what.pop("points", "")),)
    return Said(2, hood.tag, on, verdict, openings=openings, **what)


def registered_as(hood: Hood, **what: str) -> None:
    """The hood as if it had been registered so from the first."""
    Hood.objects.filter(pk=hood.pk).update(**what)
    hood.refresh_from_db()


def brought(by, *given: Said, name: str = "old.csv", at: datetime = NOW) -> EarlierBatch:
    site = Hood.objects.get(tag=given[0].tag).site
    plan = planning.plan(site, given, site.day_of(at))
    assert plan.problems == []
    return earlier.bring_in_results(
        site=site, said=given, seen=plan.digest, name=name, sha256="0" * 64, by=by, at=at
    )[0]  # fmt: skip


def status_of(hood: Hood, on: date = TODAY) -> Status:
    """The status by the lists' loading, which the hood's own page agrees with."""
    found = queries.status_of(hood, on)
    assert core.status(history_of(hood, on).facts, on) == found
    return found
