"""Who is told in tests, and of what."""

from __future__ import annotations

from datetime import timedelta

from hoods.models import Person, Role
from surveys.models import Notice
from tests import making
from tests.surveying import SURVEYED

LATER = SURVEYED + timedelta(hours=2)


def manages(person: Person, room, **days) -> Role:
    """Makes somebody a lab manager of a room."""
    return Role.objects.create(
        person=person, site=room.building.site, role="lab-manager", room=room, **({"from_on": making.ON} | days)
    )


def kinds() -> list[str]:
    return list(Notice.objects.order_by("at", "pk").values_list("kind", flat=True))
