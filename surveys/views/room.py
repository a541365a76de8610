"""The page of a room: which hoods may I use today, and how high may the sash be?"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from hoods.models import Hood, Placement, Room
from surveys import queries
from surveys.views import reading

#: A list on a door is taken down after so many days.
PRINT_LASTS = timedelta(days=7)


def room(request: HttpRequest, pk: int) -> HttpResponse:
    rooms = Room.objects.visible_to(request.user).select_related("building__site")
    here = get_object_or_404(rooms, pk=pk)
    site = here.building.site
    day, refusal = asked_day(request.GET.get("day", ""), site.today())
    context = {"room": here, "refusal": refusal, **answer(here, day)}
    return render(request, "surveys/room.html", context, status=422 if refusal else 200)


def answer(here: Room, day: date) -> dict[str, Any]:
    """What the page says of a room on a day; hoods retired by then are left out."""
    site = here.building.site
    lines = [line for line in queries.lines(hoods_of(here, day), day) if line.status.code != "retired"]
    usable = [line for line in lines if line.status.in_use]
    closed = [line for line in lines if not line.status.in_use]
    return {
        "site": site,
        "day": day,
        "is_today": day == site.today(),
        "usable": reading.shown(usable),
        "closed": reading.shown(closed),
        "number": len(lines),
        "groups": reading.together(usable),
        "overdue": reading.overdue(usable),
        "now": timezone.now(),
        "replace_on": day + PRINT_LASTS,
    }


def hoods_of(here: Room, day: date) -> Any:
    """The hoods that stood in a room on a day."""
    ever = Placement.objects.filter(room=here).values("hood")
    return Hood.objects.filter(pk__in=ever).in_room(here, day)


def asked_day(text: str, today: date) -> tuple[date, str]:
    """The day asked for, or today and why not the other."""
    if not text:
        return today, ""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        return today, gettext("“%(text)s” is not a day. Write year, month, day, such as %(example)s.") % {
            "text": text[:40],
            "example": today.isoformat(),
        }
    if day > today:
        return today, gettext("%(day)s is still to come. Ask for today or a day that has been.") % {
            "day": day.isoformat()
        }
    return day, ""
