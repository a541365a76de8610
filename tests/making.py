"""Things that tests are about, made plainly: the invented Skua Institute, its people, its hoods."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime
from itertools import count
from typing import Any

from hoods.core.code import new_code
from hoods.models import Building, Hood, HoodEvent, Opening, Person, Placement, Role, Room, Site

PASSWORD = "grey heron 41"
AT = datetime(2025, 1, 6, 9, 0, tzinfo=UTC)  # when what is made here was entered
ON = date(2025, 1, 6)

_numbers = count(142)
_chance = random.Random(7)


def make_site(name: str = "Skua Institute", **fields: Any) -> Site:
    fields = {
        "time_zone": "Europe/London",
        "office": "Safety office",
        "telephone": "4100",
        "emergency": "Step away, close the door, call 4444.",
        "emergency_telephone": "4444",
        "address": "Skua Institute, Mill Lane, Skua",
    } | fields
    return Site.objects.create(name=name, **fields)


def make_building(site: Site, name: str = "North Range") -> Building:
    return Building.objects.get_or_create(site=site, name=name)[0]


def make_room(building: Building, number: str = "214", **fields: Any) -> Room:
    return Room.objects.get_or_create(building=building, number=number, defaults={"name": "Synthesis", **fields})[0]


def make_person(name: str, site: Site | None = None, role: str = "", room: Room | None = None, **fields: Any) -> Person:
    """A person whose e-mail is their first name, with one role from long ago on."""
    first, last = name.split()
    person = Person.objects.create_user(
        email=f"{first.lower()}@skua.example", password=PASSWORD, name=name, initials=first[0] + last[0], **fields
    )
    if role:
        Role.objects.create(person=person, site=site, role=role, room=room, from_on=ON)
    return person


def make_hood(
    *,
    room: Room,
    by: Person,
    tag: str = "",
    openings: tuple[tuple[str, str, str, str], ...] = (("working", "working", "62 in", "18 in"),),
    on: date = ON,
    way: str = "",
    **fields: Any,
) -> Hood:
    """A vertical-sash hood installed in a room; openings are (name, use, width, height), each opened in this way."""
    hood = Hood.objects.create(
        site=room.building.site, tag=tag or f"FH-{next(_numbers):04}", code=new_code(_chance), **fields
    )
    Placement.objects.create(hood=hood, room=room, from_on=on, at=AT, by=by)
    HoodEvent.objects.create(hood=hood, kind="installed", on=on, at=AT, by=by)
    for order, (name, use, width, height) in enumerate(openings):
        Opening.objects.create(hood=hood, name=name, use=use, width=width, height=height, order=order, way=way)
    return hood
