"""What a site has of hoods and places, in a fixed number of queries, as a list of hoods is held beside it."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from hoods.core.sameness import folded, folded_tag
from hoods.models import Building, ExhaustSystem, FormerName, Hood, HoodEvent, Opening, Placement, Room, Site
from hoods.queries import LIFE, codes_among


@dataclass
class KeptHood:
    """A hood with its last placement, its openings in their order, when it was installed, and its life."""

    hood: Hood
    placement: Placement | None = None
    openings: list[Opening] = field(default_factory=list)
    installed_on: date | None = None
    life: str = "installed"

    @property
    def where(self) -> str:
        return str(self.placement.room) if self.placement else ""

    @property
    def place(self) -> dict[str, Any]:
        """Where in its room it stands: the name of its exhaust, its position, its order."""
        if self.placement is None:
            return {"exhaust": "", "position": "", "order": 0}
        exhaust = self.placement.exhaust.name if self.placement.exhaust else ""
        return {"exhaust": exhaust, "position": self.placement.position, "order": self.placement.order}

    def stands(self, building: str, room: str) -> bool:
        """Whether it stands there, by as much as is said."""
        if self.placement is None:
            return False
        have = self.placement.room
        return building in ("", have.building.name) and room in ("", have.number)


@dataclass
class Kept:
    """Everything that a list is held beside. Names are found by how they look."""

    hoods: dict[str, KeptHood]
    former: dict[str, str]  # a former tag, folded -> the tag of the hood that gave it up
    buildings: dict[str, Building]
    rooms: dict[tuple[str, str], Room]
    exhausts: dict[str, ExhaustSystem]
    codes: set[str]  # of hoods of any site, as which a tag of the list is read

    def __post_init__(self) -> None:
        self.alike = {folded_tag(tag): tag for tag in self.hoods}
        self._buildings = {folded(name): name for name in self.buildings}
        self._rooms = {(building, folded(number)): number for building, number in self.rooms}
        self._exhausts = {folded(name): name for name in self.exhausts}

    def building(self, name: str, new: Container[str]) -> str | None:
        """The building that looks like this one: one of the site's, or one that a row above brings."""
        return _looks(folded(name), name, self._buildings, new)

    def exhaust(self, name: str, new: Container[str]) -> str | None:
        return _looks(folded(name), name, self._exhausts, new)

    def room(self, building: str, number: str, new: Container[tuple[str, str]]) -> str | None:
        found = self._rooms.setdefault((building, folded(number)), number)
        return found if (building, found) in self.rooms or (building, found) in new else None

    def said_of_room(self, building: str, number: str) -> Mapping[str, Any]:
        room = self.rooms[building, number]
        return {name: getattr(room, name) for name in OF_ROOM}


OF_ROOM = ("name", "floor", "department", "responsible", "hazards", "access")


def _looks(key: str, name: str, met: dict[str, str], new: Container[str]) -> str | None:
    """The name that was met first of those that look like this one; None where this one is the first."""
    if key in met:
        return met[key]
    met[key] = name
    return name if name in new else None


def load(site: Site, tags: Iterable[str] = (), *, lock: bool = False) -> Kept:
    """What a list of these tags is held beside."""
    hoods = Hood.objects.filter(site=site).order_by("tag", "pk")
    return Kept(
        hoods=kept_hoods(hoods.select_for_update() if lock else hoods, site),
        former={
            folded_tag(name.text): name.hood.tag
            for name in FormerName.objects.filter(site=site, kind="tag").order_by("until_at").select_related("hood")
        },
        buildings={building.name: building for building in site.buildings.all()},
        rooms={
            (room.building.name, room.number): room
            for room in Room.objects.filter(building__site=site).select_related("building")
        },
        exhausts={exhaust.name: exhaust for exhaust in site.exhaust_systems.all()},
        codes=codes_among(tags),
    )


def points(site: Site) -> dict[str, tuple[str, str, str]]:
    """By tag, the monitor of each hood with its set point and its alarm point."""
    rows = Hood.objects.filter(site=site).values_list("tag", "monitor", "set_point", "alarm_point")
    return {tag: (monitor, set_point, alarm_point) for tag, monitor, set_point, alarm_point in rows}


def kept_hoods(hoods: Iterable[Hood], site: Site) -> dict[str, KeptHood]:
    """Hoods of a site by their tags, each with what a list says of it."""
    found = {hood.pk: KeptHood(hood) for hood in hoods}
    here = {"hood__site": site}
    for kept in found.values():
        kept.hood.site = site
    placed = Placement.objects.filter(**here).order_by("from_on", "pk").select_related("room__building", "exhaust")
    for placement in placed:
        if placement.hood_id in found:
            found[placement.hood_id].placement = placement
    for opening in Opening.objects.filter(**here).order_by("order", "pk"):
        if opening.hood_id in found:
            found[opening.hood_id].openings.append(opening)
    for event in HoodEvent.objects.filter(kind__in=LIFE, **here).order_by("on", "at", "pk"):
        if event.hood_id in found:
            _lived(found[event.hood_id], event)
    return {kept.hood.tag: kept for kept in found.values()}


def _lived(kept: KeptHood, event: HoodEvent) -> None:
    kept.life = event.kind
    if event.kind == "installed" and kept.installed_on is None:
        kept.installed_on = event.on
