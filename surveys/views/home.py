"""The first page: what next? Each role brings its own parts, and roles add up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta
from itertools import groupby
from typing import Any

from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from hoods.models import Hood
from hoods.models.people import AUDITOR, LAB_MANAGER, PROGRAMME_MANAGER, TECHNICIAN
from surveys import queries
from surveys.models import Draft
from surveys.views import reading
from surveys.views.decisions import decisions

NEXT = 24  # hoods shown of those to survey next: the most pressing ones, as they are walked
SOON = timedelta(days=30)
MONTHS = 3
YEARS = 4  # to which a link leads at once


def home(request: HttpRequest) -> HttpResponse:
    if request.site is None:
        return render(request, "surveys/home_empty.html")
    return render(request, "surveys/home.html", overview(request.user, request.site))


def overview(person: Any, site: Any) -> dict[str, Any]:
    """What waits for somebody at a site: their drafts, what is due, hoods that must not be used, their rooms."""
    today = site.today()
    roles = person.roles_at(site)
    lines = queries.lines(Hood.objects.visible_to(person).filter(site=site), today)
    lines = [line for line in lines if line.status.code != "retired"]
    to_survey = reading.by_due(lines)
    owed = [line for line in to_survey if is_owed_now(line)]
    soon = [line for line in owed if reading.owed_on(line) <= today + SOON]
    months = reading.months_from(today, MONTHS)
    counts = reading.due_by_building(lines, months)
    return {
        "today": today,
        "surveys": TECHNICIAN in roles,
        "watches": bool(roles & {AUDITOR, PROGRAMME_MANAGER}),
        "keeps_rooms": LAB_MANAGER in roles,
        "audits": AUDITOR in roles,
        "years": years(person, site, today) if AUDITOR in roles else [],
        "manages": PROGRAMME_MANAGER in roles,
        "drafts": (drafts := drafts_of(person, site) if TECHNICIAN in roles else []),
        "to_sign": rooms_of_drafts(drafts, lines),
        "first": next(iter(owed), None),
        "soon_until": today + SOON,
        "soon": len(soon),
        "walked": as_walked(soon[:NEXT], lines),
        "stopped": reading.shown(reading.stopped(lines)),
        "usable": [line for line in lines if line.status.in_use],
        "overdue": reading.overdue(lines),
        "number": len(lines),
        "waiting": len(to_survey) - len(owed),
        "rooms": rooms_of(lines, person.standing.rooms) if LAB_MANAGER in roles else [],
        "decisions": decisions(site, today) if PROGRAMME_MANAGER in roles else [],
        "counts": counts,
        "total": reading.summed(counts),
        "months": months,
    }


def years(person: Any, site: Any, today: Any) -> list[int]:
    """The last years of which the ledger has surveys, the newest first; this one always."""
    first = queries.first_survey(Hood.objects.visible_to(person).filter(site=site)) or today
    return list(range(today.year, min(first.year, today.year) - 1, -1))[:YEARS]


def is_owed_now(line: queries.Line) -> bool:
    """A hood out of service, or one that a survey stopped, waits for its repair and not for a surveyor."""
    return line.status.code in ("met-criteria", "restricted", "not-surveyed") or bool(line.status.flag("overdue"))


def as_walked(owed: Sequence[queries.Line], lines: Iterable[queries.Line]) -> list[tuple[Any, list[reading.Shown]]]:
    """What is owed under its buildings, in the order in which rounds are walked (that of `lines`)."""
    wanted = {line.hood.pk for line in owed}
    walked = [line for line in lines if line.hood.pk in wanted]
    return [
        (building, reading.shown(found))
        for building, found in groupby(walked, key=lambda line: line.placement and line.placement.room.building)
    ]


def drafts_of(person: Any, site: Any) -> list[Draft]:
    drafts = Draft.objects.visible_to(person).open().filter(started_by=person, hood__site=site)
    # A survey ended because its hood must not be used is over for the surveyor, signed or not; its page says so.
    return list(drafts.select_related("hood").annotate(kept_at=Max("revisions__at")))


def rooms_of_drafts(drafts: Iterable[Draft], lines: Iterable[queries.Line]) -> list[Any]:
    """The rooms in which surveys wait for a signature, as they are walked."""
    hoods = {draft.hood_id for draft in drafts}
    rooms = [line.placement.room for line in lines if line.hood.pk in hoods and line.placement]
    return list({room.pk: room for room in rooms}.values())


def rooms_of(lines: list[queries.Line], own: frozenset[int]) -> list[dict[str, Any]]:
    """The lab manager's own rooms, each with what its list would say first, and its hoods with what is wrong with them."""
    rooms: dict[int, dict[str, Any]] = {}
    for line in lines:
        if line.placement and line.placement.room_id in own:
            room = rooms.setdefault(line.placement.room_id, {"room": line.placement.room, "lines": []})
            room["lines"].append(line)
    for room in rooms.values():
        room["groups"] = reading.together(room["lines"])
        room["closed"] = [line.hood.tag for line in room["lines"] if not line.status.in_use]
        room["hoods"] = reading.shown(room["lines"])
    return list(rooms.values())
