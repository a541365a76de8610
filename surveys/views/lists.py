"""Lists: rooms and buildings with the statuses of their hoods, all hoods, what is due, and finding one by tag or code."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext

from hoods.core import code as codes
from hoods.models import Building, FormerName, Hood, Room
from surveys import queries
from surveys.views import reading
from surveys.views.day import asked_day
from surveys.views.overdue_said import with_reasons
from surveys.views.room import may_be_opened

PER_PAGE = 50
HOODS_ON_PAGE = 100  # of a list of rooms; and as many rooms, where they are empty
#: What a list of hoods can be narrowed to.
SHOWN = ("", "usable", "stopped", "overdue", "unsurveyed")


def room_list(request: HttpRequest) -> HttpResponse:
    rooms = Room.objects.visible_to(request.user).filter(building__site=request.site).select_related("building")
    hoods = Hood.objects.visible_to(request.user).filter(site=request.site)
    context = by_building(rooms, queries.lines(hoods, request.site.today()), request.GET.get("page"))
    return render(request, "surveys/room_list.html", context)


def building(request: HttpRequest, pk: int) -> HttpResponse:
    here = get_object_or_404(Building.objects.visible_to(request.user).select_related("site"), pk=pk)
    day = asked_day(request, here.site)
    rooms = Room.objects.visible_to(request.user).filter(building=here).select_related("building")
    hoods = Hood.objects.with_room(day.on).filter(room_id__in=rooms.order_by().values("pk"))
    lines = queries.lines(may_be_opened(hoods, request.user), day.on)
    context = by_building(rooms, lines, request.GET.get("page"))
    kept = {"day": request.GET["day"]} if request.GET.get("day") else {}
    context |= {"building": here, "asked": day, "day": day.on, "query": f"{urlencode(kept)}&" if kept else ""}
    return render(request, "surveys/room_list.html", context, status=day.status)


def by_building(rooms: Iterable[Room], lines: list[queries.Line], number: str | None) -> dict[str, Any]:
    """A page of rooms under their buildings, each with its hoods that are not retired."""
    present = [line for line in lines if line.status.code != "retired"]
    in_room: dict[int, list[queries.Line]] = {}
    for line in present:
        in_room.setdefault(line.placement.room_id if line.placement else 0, []).append(line)
    page = Paginator(list(pages_of(rooms, in_room)), 1).get_page(number)
    here = page.object_list[0] if page.object_list else []
    groups = [
        {
            "building": building,
            "rooms": [{"room": room, "lines": reading.shown(in_room.get(room.pk, []))} for room in found],
        }
        for building, found in groupby(here, key=lambda room: room.building)
    ]
    return {
        "groups": groups,
        "page": page,
        "number": len(present),
        "usable": sum(line.status.in_use for line in present),
        "stopped": len(reading.stopped(present)),
        "overdue": len(reading.overdue(present)),
    }


def pages_of(rooms: Iterable[Room], in_room: Mapping[int, Sequence[queries.Line]]) -> Iterator[list[Room]]:
    """The rooms in the order walked, parted so that a page has at most HOODS_ON_PAGE hoods, or one room of more."""
    page: list[Room] = []
    hoods = 0
    for room in rooms:
        more = len(in_room.get(room.pk, ()))
        if page and (hoods + more > HOODS_ON_PAGE or len(page) == HOODS_ON_PAGE):
            yield page
            page, hoods = [], 0
        page.append(room)
        hoods += more
    if page:
        yield page


def hood_list(request: HttpRequest) -> HttpResponse:
    asked, narrowed = request.GET.get("q", "").strip()[:80], request.GET.get("show", "")
    hoods = matching(Hood.objects.visible_to(request.user).filter(site=request.site), asked)
    lines = queries.lines(hoods, request.site.today())
    if narrowed != "retired":
        lines = [line for line in lines if line.status.code != "retired" or asked]
    context = {
        "asked": asked,
        "show": narrowed,
        "number": len(lines),
        "usable": sum(line.status.in_use for line in lines),
        "stopped": len(reading.stopped(lines)),
        "overdue": len(reading.overdue(lines)),
        "unsurveyed": sum(line.status.code == "not-surveyed" for line in lines),
        "retired": sum(line.status.code == "retired" for line in lines),
    }
    page = Paginator(narrow(lines, narrowed), PER_PAGE).get_page(request.GET.get("page"))
    page.object_list = reading.shown(page.object_list)
    query = urlencode({key: value for key, value in (("q", asked), ("show", narrowed)) if value})
    return render(request, "surveys/hood_list.html", {**context, "page": page, "query": f"{query}&" if query else ""})


def narrow(lines: list[queries.Line], show: str) -> list[queries.Line]:
    match show:
        case "usable":
            return [line for line in lines if line.status.in_use]
        case "stopped":
            return reading.stopped(lines)
        case "overdue":
            return reading.overdue(lines)
        case "unsurveyed":
            return [line for line in lines if line.status.code == "not-surveyed"]
        case "retired":
            return [line for line in lines if line.status.code == "retired"]
    return lines


def matching(hoods: Any, asked: str) -> Any:
    """Hoods of which every word asked for is in the tag (or one it had), code, serial number, room, building or the
    name of who answers for the room."""
    hoods = hoods.with_room()
    if "\x00" in asked:  # no name holds it, and a database ends a text at it or refuses it
        return hoods.none()
    for word in asked.split():
        former = FormerName.objects.filter(text__iexact=word).values("hood")
        room = Q(number__icontains=word) | Q(name__icontains=word) | Q(responsible__icontains=word)
        rooms = Room.objects.order_by().filter(room | Q(building__name__icontains=word))
        hoods = hoods.filter(
            Q(tag__icontains=word) | Q(code=codes.normalised(word)) | Q(serial__icontains=word) | Q(pk__in=former)
            | Q(room_id__in=rooms.values("pk"))
        )  # fmt: skip
    return hoods


def due_list(request: HttpRequest) -> HttpResponse:
    """What to survey, the most overdue first."""
    today = request.site.today()
    hoods = Hood.objects.visible_to(request.user).filter(site=request.site)
    owed = reading.by_due(queries.lines(hoods, today))
    page = Paginator(owed, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "today": today,
        "overdue": len(reading.overdue(owed)),
        "unsurveyed": len(reading.waiting(owed)),
        "first": owed[0] if owed else None,
    }
    with_reasons(page.object_list)
    page.object_list = reading.shown(page.object_list)
    return render(request, "surveys/due_list.html", {**context, "page": page})


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
