"""The first page: what next?"""

from __future__ import annotations

from typing import Any

from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from hoods.models import Hood
from hoods.models.people import AUDITOR, LAB_MANAGER, PROGRAMME_MANAGER, TECHNICIAN
from surveys import queries
from surveys.models import Draft
from surveys.views import reading

NEXT = 8  # hoods shown of those to survey next
MONTHS = 3


def home(request: HttpRequest) -> HttpResponse:
    if request.site is None:
        return render(request, "surveys/home_empty.html")
    return render(request, "surveys/home.html", overview(request.user, request.site))


def overview(person: Any, site: Any) -> dict[str, Any]:
    """What waits for somebody at a site: their drafts, what is due, and hoods that must not be used."""
    today = site.today()
    roles = person.roles_at(site)
    lines = queries.lines(Hood.objects.visible_to(person).filter(site=site), today)
    lines = [line for line in lines if line.status.code != "retired"]
    to_survey = reading.by_due(lines)
    owed = [line for line in to_survey if is_owed_now(line)]
    months = reading.months_from(today, MONTHS)
    counts = reading.due_by_building(lines, months)
    return {
        "today": today,
        "surveys": TECHNICIAN in roles,
        "watches": bool(roles & {AUDITOR, PROGRAMME_MANAGER}),
        "keeps_rooms": LAB_MANAGER in roles,
        "drafts": drafts_of(person, site) if TECHNICIAN in roles else [],
        "first": next(iter(owed), None),
        "owed": reading.shown(owed[:NEXT]),
        "stopped": reading.shown(reading.stopped(lines)),
        "usable": [line for line in lines if line.status.in_use],
        "overdue": reading.overdue(lines),
        "number": len(lines),
        "waiting": len(to_survey) - len(owed),
        "rooms": rooms_of(lines),
        "counts": counts,
        "total": reading.summed(counts),
        "months": months,
    }


def is_owed_now(line: queries.Line) -> bool:
    """A hood out of service, or one that a survey stopped, waits for its repair and not for a surveyor."""
    return line.status.code in ("met-criteria", "restricted", "not-surveyed") or bool(line.status.flag("overdue"))


def drafts_of(person: Any, site: Any) -> list[Draft]:
    drafts = Draft.objects.visible_to(person).open().filter(started_by=person, hood__site=site)
    # A survey ended because its hood must not be used is over for the surveyor, signed or not; its page says so.
    return list(drafts.select_related("hood").annotate(kept_at=Max("revisions__at")))


def rooms_of(lines: list[queries.Line]) -> list[dict[str, Any]]:
    """The rooms of these hoods, each with what its list would say first."""
    rooms: dict[int, dict[str, Any]] = {}
    for line in lines:
        if line.placement:
            room = rooms.setdefault(line.placement.room_id, {"room": line.placement.room, "lines": []})
            room["lines"].append(line)
    for room in rooms.values():
        room["groups"] = reading.together(room["lines"])
        room["closed"] = [line.hood.tag for line in room["lines"] if not line.status.in_use]
    return list(rooms.values())
