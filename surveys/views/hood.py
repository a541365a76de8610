"""The page of a hood: may I use it, up to where, for what, until when?"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from hoods.core.cover import share
from hoods.models import Entry, Hood, Opening, Placement
from surveys import earlier_results
from surveys.core import status as core
from surveys.core.checks import CHECK
from surveys.core.codes import CANDIDATE_USES
from surveys.core.due import asks_too_seldom
from surveys.forms.stop import Posting, Withdrawal
from surveys.history import History, history_of
from surveys.views import reading, told
from surveys.views.day import Day, asked_day
from surveys.views.drawing import Place, front, place
from surveys.views.finding_told import open_at
from surveys.wording import said_in_words

ENTRIES = 20  # of the log, the newest


def hood(request: HttpRequest, pk: int) -> HttpResponse:
    return hood_page(request, pk)


def hood_page(
    request: HttpRequest, pk: int, *, posting: Posting | None = None, withdrawing: tuple[int, Withdrawal] | None = None
) -> HttpResponse:
    """The page, with a form that was refused, so that what was entered is kept."""
    placements = placed(request.user, pk)
    day = asked_day(request, placements[0].hood.site)
    here = [placement for placement in placements if placement.from_on <= day.on]
    if not here:
        return render(request, "surveys/hood_absent.html", absent(placements, day), status=day.status)
    context = answer(here, day)
    for stop in context["stops_up"]:
        refused = withdrawing and withdrawing[0] == stop.pk
        stop.withdrawal = withdrawing[1] if refused else Withdrawal(prefix=f"withdraw-{stop.pk}")
    context["superseded"] = {signed.survey.amends_id for signed in context["history"].surveys} - {None}
    context["findings"] = open_at([context["hood"]], request.user, day.on) if day.is_today else []
    context |= {"posting": posting or Posting(prefix="stop"), "posting_open": posting is not None}
    return render(request, "surveys/hood.html", context, status=422 if posting or withdrawing else day.status)


def placed(person: Any, pk: int) -> list[Placement]:
    """The places of a hood, newest first, with the hood; 404 where it is not this person's to see."""
    rows = Placement.objects.filter(hood=pk, hood__in=Hood.objects.visible_to(person).order_by().values("pk"))
    found = list(rows.select_related("hood__site", "room__building", "exhaust").order_by("-from_on", "-pk"))
    if not found:
        raise Http404
    return found


def absent(placements: list[Placement], day: Day) -> dict[str, Any]:
    """What is said of a hood on a day before it was placed."""
    hood = placements[0].hood
    return {"hood": hood, "site": hood.site, "asked": day, "day": day.on, "first": placements[-1]}


def answer(placements: list[Placement], day: Day) -> dict[str, Any]:
    """What the page says of a hood on a day."""
    hood = placements[0].hood
    site = hood.site
    history = history_of(hood, day.on)
    status = core.status(history.facts, day.on)
    openings = list(Opening.objects.filter(hood=hood))
    before = day.ends(site)
    if before is not None:
        history = as_it_stood(history, day, site)
    last = history.told(status.survey)
    earlier = history.told_earlier(status.earlier)
    sash = reading.sash_of(status, hood.sash, hood.site.height_from)
    latest = history.surveys[0] if history.surveys else None
    entries = Entry.objects.of_hood(hood, [signed.survey.pk for signed in history.surveys])
    tellings = told.of_hood(hood, before)
    stops_up = [stop for stop in history.stops if stop.over_at is None]
    for stop in stops_up:
        stop.tellings = [one for one in tellings if one.stop == stop.pk]
    return {
        "hood": hood,
        "site": site,
        "asked": day,
        "day": day.on,
        "today": day.on,
        "is_today": day.is_today,
        "status": status,
        "sash": sash,
        "use": reading.excluded_use(status),
        "place": placements[0],
        "places": placements,
        "openings": openings,
        "history": history,
        "last": last,
        "average": reading.average_of(status, last, hood.sash),
        "said": [(_(CHECK[check].said), said_in_words(check, said)) for (check, _opening), said in last.said.items()] if last else [],
        "earlier": earlier,
        "accepted": earlier_results.acceptance(earlier) if earlier else None,
        "later_pass": later_pass(history, last),
        "doubt": status.flag(core.INSTRUMENT_IN_DOUBT),
        "latest": latest,
        "unjudged": latest if latest and latest.survey.verdict == "no-verdict" else None,
        "stops_up": stops_up,
        "front": drawn(status, sash, openings, hood.sash, day),
        "fronts": seen_from_the_front(status, openings, hood.sash) if sash and sash.lines and day.is_today and status.in_use else [],
        "tellings": tellings,
        "last_told": [one for one in tellings if last and one.survey == last.survey.pk and one.stop is None],
        "too_seldom": asks_too_seldom(hood.kind, last.survey.version.document["due"]) if last else None,
        "why_seldom": last.survey.version.seldom if last else "",
        "entries": (entries if before is None else entries.filter(at__lt=before))[:ENTRIES],
        "may_have_label": core.grants_label(status),
    }


def later_pass(history: History, last: Any) -> Any:
    """The newest result of earlier records, where it says pass after the last survey that has a verdict."""
    newest = next((one for one in history.earlier if one.counts and one.result.verdict != "no-verdict"), None)
    found = newest is not None and newest.result.verdict == "pass" and last and newest.result.measured_on > last.survey.done_on
    return newest if found else None


def as_it_stood(history: History, day: Day, site: Any) -> History:
    """A history without what came after a day: a stop that was lifted later is up."""
    stops = [stop for stop in history.stops if site.day_of(stop.at) <= day.on]
    for stop in stops:
        for name in ("over_at", "hung_at", "withdrawn_at"):
            at = getattr(stop, name)
            setattr(stop, name, at if at is not None and site.day_of(at) <= day.on else None)
    return replace(
        history,
        events=[event for event in history.events if event.on <= day.on],
        stops=stops,
        drafts=[],
        surveys=[signed for signed in history.surveys if signed.survey.done_on <= day.on],
    )


def taken_of(opening: Opening | None) -> Any:
    """What of an opening is covered, for its drawing."""
    return share(opening.covered, opening.width, opening.height) if opening else None


def seen_from_the_front(status: core.Status, openings: list[Opening], kind: str) -> list[Place]:
    """Where each opening that can be approved stands, and whether it is."""
    approved = {opening.name for opening in status.approved}
    candidates = [one for one in openings if one.use in CANDIDATE_USES]
    places = [place(one.name, one.way, kind, one.name in approved, taken_of(one)) for one in candidates]
    return [one for one in places if one]


def drawn(status: core.Status, sash: reading.Sash | None, openings: list[Opening], kind: str, day: Day) -> Any:
    """The front of a hood whose sash moves one way, at the height up to which it may be opened.

    Of a past day nothing is known but the height that was measured then: openings keep their present size alone.
    """
    height = reading.height_of(status, sash, kind)
    if sash is None or not height or not status.in_use:
        return None
    if not day.is_today:
        return front(height, "", known=[opening.height for opening in status.approved])
    now = next((opening for opening in openings if opening.name == status.approved[0].name), None)
    marks = [opening.height for opening in openings if opening.use == "working"] if sash.limited else []
    known = [opening.height for opening in openings]
    return front(height, now.width if now else "", marks, known=known, taken=taken_of(now))
