"""The page of a hood: may I use it, up to where, for what, until when?"""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from hoods.models import Entry, Hood, Opening, Placement
from surveys import queries
from surveys.core import status as core
from surveys.forms.stop import Posting, Withdrawal
from surveys.views import reading
from surveys.views.drawing import front

ENTRIES = 20  # of the log, the newest


def hood(request: HttpRequest, pk: int) -> HttpResponse:
    return hood_page(request, pk)


def hood_page(
    request: HttpRequest, pk: int, *, posting: Posting | None = None, withdrawing: tuple[int, Withdrawal] | None = None
) -> HttpResponse:
    """The page, with a form that was refused, so that what was entered is kept."""
    placements = placed(request.user, pk)
    context = told(placements)
    for stop in context["stops_up"]:
        refused = withdrawing and withdrawing[0] == stop.pk
        stop.withdrawal = withdrawing[1] if refused else Withdrawal(prefix=f"withdraw-{stop.pk}")
    context |= {"posting": posting or Posting(prefix="stop"), "posting_open": posting is not None}
    return render(request, "surveys/hood.html", context, status=422 if posting or withdrawing else 200)


def placed(person: Any, pk: int) -> list[Placement]:
    """The places of a hood, newest first, with the hood; 404 where it is not this person's to see."""
    rows = Placement.objects.filter(hood=pk, hood__in=Hood.objects.visible_to(person).order_by().values("pk"))
    found = list(rows.select_related("hood__site", "room__building", "exhaust").order_by("-from_on", "-pk"))
    if not found:
        raise Http404
    return found


def told(placements: list[Placement]) -> dict[str, Any]:
    """What the page says of a hood today."""
    hood = placements[0].hood
    site = hood.site
    today = site.today()
    history = queries.history(hood)
    status = core.status(history.facts, today)
    openings = list(Opening.objects.filter(hood=hood))
    last = history.told(status.survey)
    sash = reading.sash_of(status)
    latest = history.surveys[0] if history.surveys else None
    return {
        "hood": hood,
        "site": site,
        "today": today,
        "status": status,
        "sash": sash,
        "use": reading.excluded_use(status),
        "place": placements[0],
        "places": placements,
        "openings": openings,
        "history": history,
        "last": last,
        "doubt": status.flag(core.INSTRUMENT_IN_DOUBT),
        "latest": latest,
        "unjudged": latest if latest and latest.survey.verdict == "no-verdict" else None,
        "stops_up": [stop for stop in history.stops if stop.over_at is None],
        "front": drawn(status, sash, openings),
        "entries": Entry.objects.of_hood(hood, [told.survey.pk for told in history.surveys])[:ENTRIES],
        "may_have_label": core.grants_label(status),
    }


def drawn(status: core.Status, sash: reading.Sash | None, openings: list[Opening]) -> Any:
    """The front of a hood whose sash moves one way, at the height up to which it may be opened."""
    if sash is None or not sash.height:
        return None
    width = next((opening.width for opening in openings if opening.name == status.approved[0].name), "")
    marks = [opening.height for opening in openings if opening.use == "working"] if sash.limited else []
    return front(sash.height, width, marks, known=[opening.height for opening in openings])
