"""The room or building that a page of prints is asked for."""

from __future__ import annotations

from typing import NamedTuple

from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from hoods.models import Building, Room, Site


class Where(NamedTuple):
    """A room, a building, or neither: the whole site."""

    site: Site
    room: Room | None = None
    building: Building | None = None


def asked(request: HttpRequest) -> Where:
    """What `?room=` or `?building=` names; what the person may not see is not there."""
    if number := request.GET.get("room"):
        rooms = Room.objects.visible_to(request.user).select_related("building__site")
        room = get_object_or_404(rooms, pk=_key(number))
        return Where(room.building.site, room=room)
    if number := request.GET.get("building"):
        buildings = Building.objects.visible_to(request.user).select_related("site")
        building = get_object_or_404(buildings, pk=_key(number))
        return Where(building.site, building=building)
    return Where(request.site)


def _key(text: str) -> int:
    """The number of a row as it stands in an address; nothing has the number 0."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 18 else 0
