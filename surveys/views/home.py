"""The first page: what next? Each role brings its own parts, and roles add up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import chain, groupby
from typing import Any

from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from hoods.models import Hood
from hoods.models.people import AUDITOR, LAB_MANAGER, PROGRAMME_MANAGER, TECHNICIAN
from surveys import queries
from surveys.core.status import RETIRED
from surveys.models import Draft
from surveys.standing import Standing, dressed, standings
from surveys.views import paging, reading
from surveys.views.decisions import asked_of

NEXT = 24  # hoods shown of those to survey next: the most pressing ones, as they are walked
STOPPED = 24  # and of those that must not be used; the list of hoods has them all
SOON = timedelta(days=30)
MONTHS = 3
YEARS = 4  # to which a link leads at once


def home(request: HttpRequest) -> HttpResponse:
    if request.site is None:
        return render(request, "surveys/home_empty.html")
    return render(request, "surveys/home.html", overview(request.user, request.site, request.GET))


def overview(person: Any, site: Any, asked: Mapping[str, str]) -> dict[str, Any]:
    """What waits for somebody at a site: their drafts, what is due, hoods that must not be used, their rooms."""
    today = site.today()
    roles = person.roles_at(site)
    visible = Hood.objects.visible_to(person).filter(site=site)
    waits, first = asked_of(site, today, visible, manages=PROGRAMME_MANAGER in roles, audits=AUDITOR in roles)
    hoods = standings(visible, today)
    hoods = [one for one in hoods if one.status.code != RETIRED]
    drafts = drafts_of(person, site) if TECHNICIAN in roles else []
    to_survey = reading.by_due(hoods)
    owed = [one for one in to_survey if is_owed_now(one)]
    soon = [one for one in owed if reading.owed_on(one) <= today + SOON]
    stopped = reading.stopped(hoods)
    rooms = paging.RoomPages(own_rooms(person, hoods), len).get_page(asked.get("rooms"))
    months = reading.months_from(today, MONTHS)
    counts = reading.due_by_building(hoods, months)
    to_sign = drafted(drafts, hoods)
    whole = Whole([*owed[:1], *soon[:NEXT], *stopped[:STOPPED], *to_sign, *chain.from_iterable(rooms)])
    return {
        "today": today,
        "surveys": TECHNICIAN in roles,
        "watches": bool(roles & {AUDITOR, PROGRAMME_MANAGER}),
        "keeps_rooms": LAB_MANAGER in roles,
        "audits": AUDITOR in roles,
        "years": years(first, today) if AUDITOR in roles else [],
        "manages": PROGRAMME_MANAGER in roles,
        "drafts": drafts,
        "to_sign": rooms_of(whole.of(to_sign)),
        "first": next(iter(whole.of(owed[:1])), None),
        "soon_until": today + SOON,
        "soon": len(soon),
        "walked": as_walked(soon[:NEXT], hoods, whole),
        "stopped": reading.shown(whole.of(stopped[:STOPPED])),
        "stopped_number": len(stopped),
        "usable": sum(one.status.in_use for one in hoods),
        "by_earlier": sum(one.status.label_from_before is not None for one in hoods),
        "overdue": len(reading.overdue(hoods)),
        "number": len(hoods),
        "waiting": len(to_survey) - len(owed),
        "rooms": [told(whole.of(found)) for found in rooms],
        "rooms_page": rooms,
        "decisions": waits,
        "counts": paging.page_of(counts, asked.get("buildings")),
        "total": reading.summed(counts),
        "months": months,
    }


class Whole:
    """The hoods that the page shows, loaded whole at once."""

    def __init__(self, chosen: Iterable[Standing]):
        self.lines = {line.hood.pk: line for line in dressed({one.hood: one for one in chosen}.values())}

    def of(self, chosen: Iterable[Standing]) -> list[queries.Line]:
        return [self.lines[one.hood] for one in chosen]


def years(first: date | None, today: date) -> list[int]:
    """The last years of which the ledger has surveys, the newest first; this one always."""
    begun = first.year if first else today.year
    return list(range(today.year, min(begun, today.year) - 1, -1))[:YEARS]


def is_owed_now(one: Standing) -> bool:
    """A hood out of service, or one that a survey stopped, waits for its repair and not for a surveyor."""
    return one.status.code in ("met-criteria", "restricted", "not-surveyed") or bool(one.status.flag("overdue"))


def as_walked(
    owed: Sequence[Standing], hoods: Iterable[Standing], whole: Whole
) -> list[tuple[Any, list[reading.Shown]]]:
    """What is owed under its buildings, in the order in which rounds are walked (that of `hoods`)."""
    wanted = {one.hood for one in owed}
    walked = [one for one in hoods if one.hood in wanted]
    return [
        (building, reading.shown(whole.of(found))) for building, found in groupby(walked, key=lambda one: one.building)
    ]


def drafts_of(person: Any, site: Any) -> list[Draft]:
    drafts = Draft.objects.visible_to(person).open().filter(started_by=person, hood__site=site)
    # A survey ended because its hood must not be used is over for the surveyor, signed or not; its page says so.
    return list(drafts.select_related("hood").annotate(kept_at=Max("revisions__at")).order_by("started_at", "pk"))


def drafted(drafts: Iterable[Draft], hoods: Iterable[Standing]) -> list[Standing]:
    """The hoods in which surveys wait for a signature, as they are walked."""
    keys = {draft.hood_id for draft in drafts}
    return [one for one in hoods if one.hood in keys] if keys else []


def rooms_of(lines: Iterable[queries.Line]) -> list[Any]:
    rooms = [line.placement.room for line in lines if line.placement]
    return list({room.pk: room for room in rooms}.values())


def own_rooms(person: Any, hoods: Iterable[Standing]) -> list[list[Standing]]:
    """The hoods of each of the lab manager's own rooms, as they are walked."""
    own = person.standing.rooms
    rooms: dict[int, list[Standing]] = {}
    for one in hoods if own else ():
        if one.room in own:
            rooms.setdefault(one.room, []).append(one)
    return list(rooms.values())


def told(lines: list[queries.Line]) -> dict[str, Any]:
    """A room of the lab manager's: what its list would say first, and its hoods with what is wrong with them."""
    return {
        "room": rooms_of(lines)[0],
        "groups": reading.together(lines),
        "closed": [line.hood.tag for line in lines if not (line.status.in_use or line.status.is_canopy)],
        "from_before": [line.hood.tag for line in lines if line.status.label_from_before],
        "hoods": reading.shown(lines),
    }
