"""The page of a room: which hoods may I use today, and how high may the sash be?"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from django.db.models import Exists, OuterRef
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from hoods.models import Hood, Person, Placement, Room
from hoods.models.people import TECHNICIAN
from surveys import queries
from surveys.models import Draft
from surveys.views import reading
from surveys.views.day import Day, asked_day
from surveys.views.finding_told import open_at

#: A list on a door is taken down after so many days.
PRINT_LASTS = timedelta(days=7)


def room(request: HttpRequest, pk: int) -> HttpResponse:
    rooms = Room.objects.visible_to(request.user).select_related("building__site")
    here = get_object_or_404(rooms, pk=pk)
    day = asked_day(request, here.building.site)
    context = {"room": here, "asked": day, **answer(here, day, request.user)}
    return render(request, "surveys/room.html", context, status=day.status)


def answer(here: Room, day: Day, person: Person) -> dict[str, Any]:
    """What the page says of a room on a day; hoods retired by then are left out."""
    lines = [line for line in queries.lines(hoods_of(here, day, person), day.on) if line.status.code != "retired"]
    usable = [line for line in lines if line.status.in_use]
    canopies = [line for line in lines if line.status.is_canopy]
    closed = [line for line in lines if not (line.status.in_use or line.status.is_canopy)]
    return {
        "site": here.building.site,
        "day": day.on,
        "is_today": day.is_today,
        "findings": open_at([line.hood for line in lines], person, day.on) if day.is_today else [],
        "unsigned": unsigned(lines, person) if day.is_today else 0,
        "usable": reading.shown(usable),
        "closed": reading.shown([line for line in closed if line.hood.sash != "none"]),
        "open_fronts": reading.shown([line for line in closed if line.hood.sash == "none"]),
        "canopies": reading.shown(canopies),
        "open_front_tags": [line.hood.tag for line in closed if line.hood.sash == "none"],
        "canopy_tags": [line.hood.tag for line in canopies],
        "from_before": [line.hood.tag for line in usable if line.status.label_from_before],
        "void": [line.hood.tag for line in closed if line.status.label_void or line.status.unlabelled],
        "number": len(lines),
        "groups": reading.together(usable),
        "overdue": reading.overdue(usable),
        "now": timezone.now(),
        "replace_on": day.on + PRINT_LASTS,
    }


def unsigned(lines: Sequence[queries.Line], person: Person) -> int:
    """How many hoods have a survey that waits for a signature, where this person may give it."""
    return sum(line.hood.begun for line in lines if person.has_role(line.hood.site_id, TECHNICIAN))


def hoods_of(here: Room, day: Day, person: Person) -> Any:
    """The hoods that stood in a room on a day, each with whether this person may open its page and a survey is begun."""
    ever = Placement.objects.filter(room=here).values("hood")
    begun = Exists(Draft.objects.open().filter(hood=OuterRef("pk")))
    return may_be_opened(Hood.objects.filter(pk__in=ever).in_room(here, day.on).annotate(begun=begun), person)


def may_be_opened(hoods: Any, person: Person) -> Any:
    """A hood that has moved since to a room of somebody else's is told of, but its page is not this person's to see."""
    return hoods.annotate(seen=Exists(Hood.objects.visible_to(person).filter(pk=OuterRef("pk"))))
