"""Lists: rooms and buildings with the statuses of their hoods, all hoods, what is due, and finding one by tag or code."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from itertools import groupby
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext

from hoods import queries as inventory
from hoods.core import code as codes
from hoods.models import Building, FormerName, Hood, Room
from surveys import queries
from surveys.core.status import NOT_SURVEYED, RETIRED
from surveys.standing import Standing, dressed, standings
from surveys.views import paging, reading
from surveys.views.day import asked_day
from surveys.views.overdue_said import with_reasons
from surveys.views.reading import OneOf
from surveys.views.room import may_be_opened

#: What a list of hoods can be narrowed to that only the status of every hood tells.
JUDGED = ("usable", "stopped", "overdue", "unsurveyed")


def room_list(request: HttpRequest) -> HttpResponse:
    rooms = Room.objects.visible_to(request.user).filter(building__site=request.site).select_related("building")
    hoods = Hood.objects.visible_to(request.user).filter(site=request.site)
    context = by_building(rooms, hoods, request.site.today(), request.GET.get("page"))
    return render(request, "surveys/room_list.html", context)


def building(request: HttpRequest, pk: int) -> HttpResponse:
    here = get_object_or_404(Building.objects.visible_to(request.user).select_related("site"), pk=pk)
    day = asked_day(request, here.site)
    rooms = Room.objects.visible_to(request.user).filter(building=here).select_related("building")
    hoods = may_be_opened(
        Hood.objects.with_room(day.on).filter(room_id__in=rooms.order_by().values("pk")), request.user
    )
    context = by_building(rooms, hoods, day.on, request.GET.get("page"))
    kept = {"day": request.GET["day"]} if request.GET.get("day") else {}
    context |= {"building": here, "asked": day, "day": day.on, "query": f"{urlencode(kept)}&" if kept else ""}
    return render(request, "surveys/room_list.html", context, status=day.status)


def by_building(rooms: Iterable[Room], hoods: Any, on: date, number: str | None) -> dict[str, Any]:
    """A page of rooms under their buildings, each with its hoods that are not retired. Only these hoods are judged."""
    present = inventory.without_retired(hoods, on).with_room(on)
    many = dict(present.order_by().values_list("room_id").annotate(Count("pk")))
    page = paging.RoomPages(rooms, lambda room: many.get(room.pk, 0)).get_page(number)
    lines = queries.lines(present.filter(room_id__in=[room.pk for room in page]), on)
    in_room = {room: list(found) for room, found in groupby(lines, key=lambda line: line.placement.room_id)}
    groups = [
        {
            "building": building,
            "rooms": [{"room": room, "lines": reading.shown(in_room.get(room.pk, []))} for room in found],
        }
        for building, found in groupby(page, key=lambda room: room.building)
    ]
    return {"groups": groups, "page": page, **counted(lines)}


def counted(lines: Collection[OneOf]) -> dict[str, Any]:
    """What a list of hoods says of them first."""
    return {
        "number": len(lines),
        "usable": sum(line.status.in_use for line in lines),
        "stopped": len(reading.stopped(lines)),
        "overdue": len(reading.overdue(lines)),
        "unsurveyed": sum(line.status.code == NOT_SURVEYED for line in lines),
    }


def hood_list(request: HttpRequest) -> HttpResponse:
    """All hoods, or those of a search; narrowed by status every one of them is judged, else those of the page alone."""
    asked, narrowed = request.GET.get("q", "").strip()[:80], request.GET.get("show", "")
    today, number = request.site.today(), request.GET.get("page")
    hoods = matching(Hood.objects.visible_to(request.user).filter(site=request.site), asked)
    kept = hoods if asked else inventory.without_retired(hoods, today)
    if narrowed in JUDGED:
        found = standings(kept, today)
        page = paging.page_of(narrow(found, narrowed), number)
        context = counted(found) | {"whole": True}
        page.object_list = dressed(page.object_list)
    else:
        rows = inventory.retired(hoods, today) if narrowed == RETIRED else kept
        page = paging.page_of(inventory.as_walked(rows, today), number)
        page.object_list = queries.lines_of(page.object_list, today)
        whole = page.paginator.num_pages == 1 and narrowed != RETIRED
        context = counted(page.object_list) | {"whole": whole, "number": page.paginator.count}
    query = urlencode({key: value for key, value in (("q", asked), ("show", narrowed)) if value})
    context |= {
        "asked": asked, "show": narrowed, "page": page, "query": f"{query}&" if query else "",
        "retired": sum(line.status.code == RETIRED for line in page.object_list),
    }  # fmt: skip
    page.object_list = reading.shown(page.object_list)
    return render(request, "surveys/hood_list.html", context)


def narrow(hoods: list[Standing], show: str) -> list[Standing]:
    match show:
        case "usable":
            return [one for one in hoods if one.status.in_use]
        case "stopped":
            return reading.stopped(hoods)
        case "overdue":
            return reading.overdue(hoods)
    return [one for one in hoods if one.status.code == NOT_SURVEYED]


def matching(hoods: Any, asked: str) -> Any:
    """Hoods of which every word asked for is in the tag (or one it had), code, serial number, room, building or the name
    of who answers for the room, or is the whole name of its exhaust system: EF-1 does not find what EF-10 draws."""
    hoods = hoods.with_room()
    if "\x00" in asked:  # no name holds it, and a database ends a text at it or refuses it
        return hoods.none()
    every = Q()
    for word in asked.split():
        former = FormerName.objects.filter(text__iexact=word).values("hood")
        room = Q(number__icontains=word) | Q(name__icontains=word) | Q(responsible__icontains=word)
        rooms = Room.objects.order_by().filter(room | Q(building__name__icontains=word))
        every &= (
            Q(tag__icontains=word) | Q(code=codes.normalised(word)) | Q(serial__icontains=word) | Q(pk__in=former)
            | Q(room_id__in=rooms.values("pk")) | on_exhaust(word)
        )  # fmt: skip
    return hoods.filter(every | on_exhaust(asked)) if every else hoods


def on_exhaust(name: str) -> Q:
    """Hoods that the exhaust system of this name draws; a name may be of several words."""
    return Q(pk__in=Hood.objects.on_exhaust(name).order_by().values("pk"))


def due_list(request: HttpRequest) -> HttpResponse:
    """What to survey, the most overdue first."""
    today = request.site.today()
    owed = reading.by_due(standings(Hood.objects.visible_to(request.user).filter(site=request.site), today))
    page = paging.page_of(owed, request.GET.get("page"))
    lines = dressed(page.object_list)
    with_reasons(lines)
    page.object_list = reading.shown(lines)
    return render(request, "surveys/due_list.html", {
        "today": today, "overdue": len(reading.overdue(owed)), "unsurveyed": len(reading.waiting(owed)), "page": page,
    })  # fmt: skip


def find(request: HttpRequest) -> HttpResponse:
    """From a typed tag or code to the hood, by what it is called now or was called before."""
    asked = request.GET.get("q", "").strip()[:80]
    hoods = Hood.objects.visible_to(request.user)
    code = codes.normalised(asked)
    named = hoods.filter(Q(tag__iexact=asked, site=request.site) | Q(code=code))
    found = named.first() or hoods.filter(former(asked, code)).first() if asked else None
    if found is not None:
        return redirect("surveys:hood", found.pk)
    if asked and codes.is_shaped(code) and not codes.is_code(code):
        text = gettext("“%(text)s” has a wrong character: compare it with the label, letter by letter.")
        messages.error(request, text % {"text": asked})
    return redirect(f"{_list()}?{urlencode({'q': asked})}" if asked else _list())


def former(asked: str, code: str) -> Q:
    """Hoods that had this tag or code before."""
    names = FormerName.objects.filter(Q(kind="tag", text__iexact=asked) | Q(kind="code", text=code))
    return Q(pk__in=names.values("hood"))


def _list() -> str:
    from django.urls import reverse

    return reverse("surveys:hood_list")
