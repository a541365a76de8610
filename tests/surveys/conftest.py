"""What pages are about: an adopted version, and hoods of each status."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

import pytest
import time_machine
from django.test import Client

from hoods.models import Hood, HoodEvent, Person, Site
from surveys.models import (
    CriteriaVersion,
    Instrument,
    Stop,
)
from tests.filling import Surveyor
from tests.surveying import assign, make_instrument, make_version
from tests.surveys import rows

TODAY = date(2026, 3, 30)
NOW = datetime(2026, 3, 30, 9, 12, tzinfo=UTC)


@pytest.fixture
def now():
    """It is 10:12 in London on 30 MAR 2026."""
    with time_machine.travel(NOW, tick=False):
        yield NOW


@pytest.fixture
def in_force(site, programme_manager) -> CriteriaVersion:
    return rows.criteria(site, programme_manager, due={"use_ends_days": "30"})


@pytest.fixture
def hood_of(make_hood, in_force, technician, programme_manager) -> Callable[..., Hood]:
    """A hood of a status, with both its openings measured."""

    def make(status: str, tag: str = "", **fields: Any) -> Hood:
        openings = (("working", "working", "62 in", "18 in"), ("lower", "lower", "62 in", "12 in"))
        hood = make_hood(tag=tag, openings=openings, **fields)
        happened = {"at": NOW, "by": programme_manager}
        match status:
            case "met-criteria":
                rows.survey(hood, in_force, technician, date(2026, 3, 12), approved=("working", "lower"))
            case "overdue":
                rows.survey(hood, in_force, technician, date(2025, 3, 20), approved=("working", "lower"))
            case "restricted":
                restriction = {"largest_opening": "12 in", "use": "not for highly toxic materials"}
                rows.survey(
                    hood, in_force, technician, date(2026, 3, 12), "restrict", approved=("lower",),
                    restriction=restriction, average="75",
                )  # fmt: skip
            case "unlabelled":  # restricted to a height at which its stop and mark were not confirmed
                rows.survey(
                    hood, in_force, technician, date(2026, 3, 12), "restrict", approved=("lower",),
                    restriction={"largest_opening": "12 in"}, average="75", labelled=False,
                )  # fmt: skip
            case "do-not-use":
                rows.survey(hood, in_force, technician, date(2026, 3, 12))
                Stop.objects.create(hood=hood, reason="no-flow", words="damper shut", at=NOW, by=technician)
            case "failed":
                rows.survey(hood, in_force, technician, date(2026, 3, 12), "fail", average="41")
            case "out-of-service":
                rows.survey(hood, in_force, technician, date(2026, 3, 12))
                HoodEvent.objects.create(hood=hood, kind="out-of-service", on=date(2026, 3, 20), **happened)
            case "hibernated":
                rows.survey(hood, in_force, technician, date(2026, 3, 12))
                HoodEvent.objects.create(hood=hood, kind="hibernated", on=date(2026, 3, 20), **happened)
            case "retired":
                HoodEvent.objects.create(hood=hood, kind="retired", on=date(2026, 3, 20), **happened)
        return hood

    return make


STATUSES = (
    "met-criteria", "overdue", "restricted", "do-not-use", "failed", "out-of-service", "hibernated", "not-surveyed",
    "retired",
)  # fmt: skip


@pytest.fixture
def version(site: Site, programme_manager: Person) -> CriteriaVersion:
    return make_version(site, programme_manager)


@pytest.fixture
def instrument(site: Site, programme_manager: Person) -> Instrument:
    return make_instrument(site, programme_manager, name="A-07")


@pytest.fixture
def begin(hood, version, instrument, technician, programme_manager, signed_in):
    """A survey that was started, at the given hood or the usual one."""

    def begin(at: Hood = hood) -> Surveyor:
        assign(at, version, programme_manager)
        return Surveyor(signed_in(technician), at)

    return begin


@pytest.fixture
def manager(signed_in, programme_manager) -> Client:
    return signed_in(programme_manager)
