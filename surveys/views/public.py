"""The page behind a label's code: no sign-in, nothing about persons, today's status first."""

from __future__ import annotations

from typing import Any

from allauth.account.adapter import get_adapter
from django.core.cache import caches
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_safe

from hoods.core import code as codes
from hoods.core.cover import share
from hoods.models import FormerName, Hood, Opening
from surveys import queries
from surveys.core import status as core
from surveys.history import History, history_of
from surveys.views import drawing, reading
from surveys.views.drawing import front

WINDOW = 60  # [s]
ALLOWED = 60  # what one address may spend in a window: a page costs 1, a code that leads nowhere costs more
COST_OF_A_MISS = 5


@require_safe
def public_hood(request: HttpRequest, code: str, issue: str = "") -> HttpResponse:
    """A hood by its code, and whether the label that was scanned still says what holds."""
    if spent(request, 0) >= ALLOWED:
        return too_many(request)
    hood = hood_of(codes.normalised(code))
    spent(request, COST_OF_A_MISS if hood is None else 1)
    if hood is None:
        raise Http404
    with timezone.override(hood.site.zone):
        response = render(request, "surveys/public.html", shown(hood, codes.normalised(code), int(issue or 0)))
    patch_cache_control(response, private=True, no_store=True)
    return response


public_label = public_hood


def spent(request: HttpRequest, cost: int) -> int:
    """Adds to what an address has spent in this window, counted in this process's memory; gives the sum."""
    visitors = caches["visitors"]
    key = f"public:{get_adapter().get_client_ip(request)}:{int(timezone.now().timestamp()) // WINDOW}"
    visitors.add(key, 0, timeout=2 * WINDOW)
    return visitors.incr(key, cost)


def too_many(request: HttpRequest) -> HttpResponse:
    response = render(request, "surveys/public_too_many.html", status=429)
    response["Retry-After"] = str(WINDOW)
    return response


def hood_of(code: str) -> Hood | None:
    """The hood that has this code, or had it before."""
    hoods = Hood.objects.select_related("site")
    if not codes.is_shaped(code):
        return None
    found = hoods.filter(code=code).first()
    if found is None:
        former = FormerName.objects.filter(kind="code", text=code).order_by("-until_at", "-pk")
        found = hoods.filter(pk=former.values("hood")[:1]).first()
    return found


def shown(hood: Hood, code: str, issue: int) -> dict[str, Any]:
    """What a stranger may know: place, status, the last test and its sash height. No person's name is among it."""
    today = hood.site.today()
    history = history_of(hood, today)
    status = core.status(history.facts, today)
    sash = reading.sash_of(status, hood.sash, hood.site.height_from)
    last = history.told(status.survey)
    place = queries.placements([hood]).get(hood.pk)
    return {
        "hood": hood,
        "site": hood.site,
        "place": place,
        "today": today,
        "now": timezone.now(),
        "status": status,
        "sash": sash,
        "use": reading.excluded_use(status),
        "last": last,
        "average": reading.average_of(status, last, hood.sash),
        "earlier": history.told_earlier(status.earlier),
        "doubt": status.flag(core.INSTRUMENT_IN_DOUBT),
        "front": drawn(hood, height) if status.in_use and (height := reading.height_of(status, sash, hood.sash)) else None,
        "fronts": seen_from_the_front(hood, status) if sash and sash.lines and status.in_use else [],
        "issue": issue,
        "standing": core.label_standing(history.facts, issue, today) if issue else "",
        "amended": amendment_of(history, issue) if issue else None,
        "replaced": code if code != hood.code else "",
    }


def amendment_of(history: History, issue: int) -> Any:
    """The survey that amends the one which gave a label; None where none does."""
    gave = {told.survey.pk for told in history.surveys if told.survey.label_issue == issue}
    return next((told.survey for told in history.surveys if told.survey.amends_id in gave), None)


def seen_from_the_front(hood: Hood, status: core.Status) -> list[drawing.Place]:
    """Where each approved opening stands; of a vertical sash the height is drawn instead."""
    depends = any(one.cover for one in status.approved)
    covered = {one.name: one for one in Opening.objects.filter(hood=hood).exclude(cover="")} if depends else {}
    places = [
        drawing.place(one.name, one.way, hood.sash, True, share(at.covered, at.width, at.height) if at else None)
        for one in status.approved
        for at in [covered.get(one.name)]
    ]
    return [place for place in places if place]


def drawn(hood: Hood, height: str) -> Any:
    """The front of the hood at the height that holds, drawn to its highest opening, with what covers a part of it."""
    openings = list(Opening.objects.filter(hood=hood))
    at = next((one for one in openings if one.height == height and one.cover), None)
    taken = share(at.covered, at.width, at.height) if at else None
    return front(height, "", known=[one.height for one in openings], taken=taken)
