"""Buildings, rooms and exhaust systems: add and change."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions import keeping
from hoods.actions.refusal import AnotherSite, Refused
from hoods.models import Building, ExhaustSystem, Person, Room, Site

BUILDING_FIELDS = ("name", "order")
ROOM_FIELDS = ("building", "number", "name", "floor", "department", "responsible", "hazards", "access", "order")
EXHAUST_FIELDS = ("name", "words")


class BuildingNameTaken(Refused):
    said = _("A building of this name is here already: choose another name.")
    field = "name"


class RoomNumberTaken(Refused):
    said = _("This building has a room of this number already: choose another number.")
    field = "number"


class ExhaustNameTaken(Refused):
    said = _("An exhaust system of this name is here already: choose another name.")
    field = "name"


@transaction.atomic
def add_building(*, site: Site, name: str, by: Person, at: datetime, why: str = "", **what: Any) -> Building:
    keeping.only(BUILDING_FIELDS, what)
    keeping.refuse_alike(name, site.buildings.values_list("name", flat=True), BuildingNameTaken)
    building = Building(site=site, name=name, **what)
    keeping.add(building, refusal=BuildingNameTaken, action="building-added", by=by, at=at, why=why)
    return building


@transaction.atomic
def change_building(*, building: Building, by: Person, at: datetime, why: str = "", **what: Any) -> Building:
    keeping.only(BUILDING_FIELDS, what)
    building = Building.objects.select_for_update().get(pk=building.pk)
    others = Building.objects.filter(site=building.site_id).exclude(pk=building.pk)
    keeping.refuse_alike(what.get("name", building.name), others.values_list("name", flat=True), BuildingNameTaken)
    keeping.change(building, what, refusal=BuildingNameTaken, action="building-changed", by=by, at=at, why=why)
    return building


@transaction.atomic
def add_room(*, building: Building, number: str, by: Person, at: datetime, why: str = "", **what: Any) -> Room:
    keeping.only(ROOM_FIELDS, what)
    keeping.refuse_alike(number, building.rooms.values_list("number", flat=True), RoomNumberTaken)
    room = Room(building=building, number=number, **what)
    keeping.add(room, refusal=RoomNumberTaken, action="room-added", by=by, at=at, why=why)
    return room


@transaction.atomic
def change_room(*, room: Room, by: Person, at: datetime, why: str = "", **what: Any) -> Room:
    keeping.only(ROOM_FIELDS, what)
    room = Room.objects.select_for_update().get(pk=room.pk)
    if "building" in what and what["building"].site_id != room.building.site_id:
        raise AnotherSite(field="building")
    others = Room.objects.filter(building=what.get("building", room.building)).exclude(pk=room.pk)
    keeping.refuse_alike(what.get("number", room.number), others.values_list("number", flat=True), RoomNumberTaken)
    keeping.change(room, what, refusal=RoomNumberTaken, action="room-changed", by=by, at=at, why=why)
    return room


@transaction.atomic
def add_exhaust(*, site: Site, name: str, by: Person, at: datetime, why: str = "", **what: Any) -> ExhaustSystem:
    keeping.only(EXHAUST_FIELDS, what)
    keeping.refuse_alike(name, site.exhaust_systems.values_list("name", flat=True), ExhaustNameTaken)
    exhaust = ExhaustSystem(site=site, name=name, **what)
    keeping.add(exhaust, refusal=ExhaustNameTaken, action="exhaust-added", by=by, at=at, why=why)
    return exhaust


@transaction.atomic
def change_exhaust(*, exhaust: ExhaustSystem, by: Person, at: datetime, why: str = "", **what: Any) -> ExhaustSystem:
    keeping.only(EXHAUST_FIELDS, what)
    exhaust = ExhaustSystem.objects.select_for_update().get(pk=exhaust.pk)
    others = ExhaustSystem.objects.filter(site=exhaust.site_id).exclude(pk=exhaust.pk)
    keeping.refuse_alike(what.get("name", exhaust.name), others.values_list("name", flat=True), ExhaustNameTaken)
    keeping.change(exhaust, what, refusal=ExhaustNameTaken, action="exhaust-changed", by=by, at=at, why=why)
    return exhaust
