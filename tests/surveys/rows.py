"""Signed surveys as plain rows, for tests of what is shown: no draft is saved, nothing is judged."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django.db import transaction

from hoods.models import Hood, Person, Site
from surveys.models import (
    Approval,
    Assignment,
    Calibration,
    CriteriaSet,
    CriteriaVersion,
    Draft,
    Instrument,
    Judgement,
    Record,
    Survey,
    Traverse,
)

DUE = {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None}


def record(kind: str, content: dict[str, Any], at: datetime) -> Record:
    last = Record.objects.order_by("-number").values_list("number", flat=True).first() or 0
    text = json.dumps({"kind": kind, **content}, sort_keys=True, separators=(",", ":"))
    return Record.objects.create(
        number=last + 1, kind=kind, format=1, content=text, sha256=hashlib.sha256(text.encode()).hexdigest(), at=at
    )


@transaction.atomic
def criteria(
    site: Site, by: Person, *, name: str = "General hoods", due: dict[str, Any] | None = None
) -> CriteriaVersion:
    """An adopted version of a set, which asks for an average of at least 80 ft/min."""
    found = CriteriaSet.objects.get_or_create(site=site, name=name)[0]
    number = found.versions.count() + 1
    document = {"due": DUE | (due or {}), "limits": [{"figure": "average", "at_least": "80 ft/min"}]}
    at = datetime(2024, 1, 1, 9, tzinfo=UTC)
    return CriteriaVersion.objects.create(
        set=found, number=number, content=json.dumps(document), first_day=date(2024, 1, 1), adopted_at=at,
        adopted_by=by, record=record("criteria", {"set": name, "version": number}, at),
    )  # fmt: skip


def out_of_tolerance(instrument: Instrument, by: Person, found_on: date) -> None:
    """A calibration that finds an instrument out of tolerance, a year after one that did not."""
    for done_on, good in ((found_on - timedelta(days=365), True), (found_on, False)):
        Calibration.objects.create(
            instrument=instrument, certificate=f"K-{done_on}", done_on=done_on, due_on=done_on + timedelta(days=400),
            in_tolerance=good, at=datetime.combine(done_on, time(9), UTC), by=by,
        )  # fmt: skip


def assign(hood: Hood, version: CriteriaVersion, by: Person) -> Assignment:
    return Assignment.objects.create(
        hood=hood, set=version.set, from_on=date(2024, 1, 1), at=datetime(2024, 1, 1, 9, tzinfo=UTC), by=by
    )


def draft(hood: Hood, version: CriteriaVersion, by: Person, on: date, hour: int = 10) -> Draft:
    return Draft.objects.create(
        hood=hood, version=version, done_on=on, started_by=by, started_at=datetime.combine(on, time(hour), UTC)
    )


@transaction.atomic
def survey(
    hood: Hood, version: CriteriaVersion, by: Person, on: date, verdict: str = "pass", *, approved: tuple[str, ...] = ("working",),
    average: str = "98", issue: int | None = None, hour: int = 10, labelled: bool = True, **fields: Any,
) -> Survey:  # fmt: skip
    """A signed survey; one that grants use approves the named openings and has the next label issue."""
    grants = verdict in ("pass", "restrict")
    if grants and issue is None:
        issue = 1 + hood.surveys.filter(label_issue__isnull=False).count()
    at = datetime.combine(on, time(hour), UTC)
    fields = {
        "reason": "annual", "as_found": verdict, "held": "held", "restriction": None, "full": True, "due_on": None,
        "instrument": Instrument.objects.get_or_create(site_id=hood.site_id, name="A-07", defaults={"serial": "1"})[0], "measured_from": at, "measured_until": at + timedelta(minutes=30), "signed_at": at + timedelta(minutes=40),
    } | fields  # fmt: skip
    last = Record.objects.order_by("-number").values_list("number", flat=True).first() or 0
    made = Survey.objects.create(
        draft=draft(hood, version, by, on, hour), hood=hood, version=version, done_on=on, verdict=verdict,
        label_issue=issue if grants and labelled else None, signed_by=by, record_id=last + 1, **fields,
    )  # fmt: skip
    for order, opening in enumerate(hood.openings.all()):
        Traverse.objects.create(
            survey=made, order=order, opening=opening, opening_name=opening.name, state="as-found", unit="ft/min",
            rows=2, columns=5,
        )  # fmt: skip
        Judgement.objects.create(
            survey=made, state="as-found", opening_name=opening.name, figure="average", limit=0, value=average,
            unit="ft/min", outcome="met" if grants else "not-met", consequence="fail",
        )  # fmt: skip
        if grants and opening.name in approved:
            Approval.objects.create(
                survey=made, opening=opening, opening_name=opening.name, use=opening.use, way=opening.way,
                width=opening.width, height=opening.height,
            )  # fmt: skip
    record("survey", {"number": last + 1}, fields["signed_at"])
    return made
