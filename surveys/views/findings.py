"""Findings: what waits to be mended and for whom, each with its life; arranged, and some closed, by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NamedTuple
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from hoods.models import Building, Hood, Room
from hoods.views.page import done
from surveys import queries
from surveys.actions import findings as actions
from surveys.forms.finding import Arranged, Closed
from surveys.models import Finding
from surveys.views import paging
from surveys.views.finding_life import tell_life
from surveys.views.finding_told import Told, told, with_all, with_whether_retired

RETIRED = "retired"  # in the address: open ones of hoods that are retired, where nothing is mended any more
NOBODY = "-"  # in the address: of findings that nobody sees to yet


@dataclass(frozen=True)
class Narrowed:
    """What a list of findings is narrowed to, as its address says it."""

    owner: str = ""
    building: str = ""
    closed: str = ""  # "yes", or RETIRED

    @property
    def is_closed(self) -> bool:
        return self.closed == "yes"

    @classmethod
    def of(cls, request: HttpRequest) -> Narrowed:
        return cls(
            request.GET.get("owner", "")[:120], request.GET.get("building", ""),
            RETIRED if request.GET.get("closed") == RETIRED else "yes" if request.GET.get("closed") else "",
        )  # fmt: skip

    def address(self, **changes: str) -> str:
        kept = {name: value for name, value in vars(replace(self, **changes)).items() if value}
        return f"?{urlencode(kept)}"


@dataclass(frozen=True)
class Choice:
    """A link that narrows the list."""

    words: str
    address: str
    current: bool
    number: int | None = None


def finding_list(request: HttpRequest) -> HttpResponse:
    """What waits to be mended, by who sees to it and how long it waits; on request what was closed."""
    narrowed = Narrowed.of(request)
    today = request.site.today()
    seen = Finding.objects.visible_to(request.user).filter(hood__site=request.site)
    buildings = list(Building.objects.visible_to(request.user).filter(site=request.site))
    here = [one for one in buildings if str(one.pk) == narrowed.building]
    if narrowed.building and not here:
        raise Http404
    if here:
        seen = seen.filter(hood__in=hoods_in(request.user, here[0]))
    open_ = still_open(seen)
    waiting, left = ([one for one in open_ if one.of_retired is retired] for retired in (False, True))
    owners = sorted(Counter(one.owner for one in waiting).items())
    rows: Any = left if narrowed.closed else waiting
    if narrowed.is_closed:
        rows = with_all(seen).filter(closed_at__isnull=False).order_by("-closed_at", "-pk")
    if narrowed.owner:
        wanted = "" if narrowed.owner == NOBODY else narrowed.owner
        rows = rows.filter(owner=wanted) if narrowed.is_closed else [one for one in rows if one.owner == wanted]
    page = paging.page_of(rows if narrowed.is_closed else by_owner(rows), request.GET.get("page"))
    shown = list(page.object_list) if narrowed.is_closed else whole(page.object_list)
    lines = told(shown, today, queries.placements([one.hood for one in shown]))
    return render(request, "surveys/findings/list.html", {
        "today": today, "narrowed": narrowed, "page": page, "groups": grouped(lines, narrowed.is_closed),
        "number": len(waiting), "owners": owners, "building": here[0] if here else None,
        "past": sum(one.promised_on is not None and one.promised_on < today for one in waiting),
        "query": narrowed.address()[1:] + ("&" if len(narrowed.address()) > 1 else ""),
        "by_owner": owner_choices(narrowed, owners), "by_building": building_choices(narrowed, buildings),
        "by_state": state_choices(narrowed, len(left)),
    })  # fmt: skip


def hoods_in(person: Any, building: Building) -> Any:
    rooms = Room.objects.visible_to(person).filter(building=building).order_by().values("pk")
    return Hood.objects.visible_to(person).with_room().filter(room_id__in=rooms).order_by().values("pk")


class Open(NamedTuple):
    """An open finding with what counting and ordering ask of it."""

    pk: int
    owner: str
    promised_on: date | None
    done_on: date
    of_retired: bool


def still_open(findings: Any) -> list[Open]:
    """All that are open, with little of each, the one that waits longest first."""
    rows = with_whether_retired(findings.with_what_holds().open()).order_by("survey__done_on", "pk")
    return [Open(*row) for row in rows.values_list("pk", "owner", "promised_on", "survey__done_on", "of_retired")]


def by_owner(findings: list[Open]) -> list[Open]:
    """Those that nobody sees to come first, then by owner; the one that waits longest first in each."""
    return sorted(findings, key=lambda one: (one.owner, one.done_on, one.pk))


def whole(chosen: Iterable[Open]) -> list[Finding]:
    """The findings of a page with all that their telling takes, in the order given."""
    keys = [one.pk for one in chosen]
    rows = {row.pk: row for row in with_all(Finding.objects.filter(pk__in=keys))}
    return [rows[key] for key in keys]


def grouped(lines: list[Told], closed: bool) -> list[tuple[str, list[Told]]]:
    """The lines under who sees to them; what is closed stands in one group, the last closed first."""
    if closed:
        return [("", lines)] if lines else []
    groups: dict[str, list[Told]] = {}
    for line in lines:
        groups.setdefault(line.finding.owner, []).append(line)
    return list(groups.items())


def owner_choices(narrowed: Narrowed, owners: list[tuple[str, int]]) -> list[Choice]:
    made = [Choice(_("everybody"), narrowed.address(owner=""), not narrowed.owner)]
    for owner, number in owners:
        key = owner or NOBODY
        made.append(Choice(owner or _("nobody yet"), narrowed.address(owner=key), narrowed.owner == key, number))
    return made


def building_choices(narrowed: Narrowed, buildings: list[Building]) -> list[Choice]:
    if len(buildings) < 2:
        return []
    made = [Choice(_("all buildings"), narrowed.address(building=""), not narrowed.building)]
    for one in buildings:
        made.append(Choice(one.name, narrowed.address(building=str(one.pk)), narrowed.building == str(one.pk)))
    return made


def state_choices(narrowed: Narrowed, left: int) -> list[Choice]:
    made = [
        Choice(_("open"), narrowed.address(closed=""), not narrowed.closed),
        Choice(_("closed"), narrowed.address(closed="yes"), narrowed.is_closed),
    ]
    if left or narrowed.closed == RETIRED:
        here = narrowed.closed == RETIRED
        made.append(Choice(_("open at hoods that are retired"), narrowed.address(closed=RETIRED), here, left))
    return made


# --- one finding ------------------------------------------------------------------------------------------------------


def finding(request: HttpRequest, pk: int) -> HttpResponse:
    return finding_page(request, finding_of(request, pk))


def finding_of(request: HttpRequest, pk: int) -> Finding:
    rows = with_all(Finding.objects.visible_to(request.user)).select_related("survey__signed_by", "survey__draft__transcription__by")
    return get_object_or_404(rows, pk=pk)


def finding_page(
    request: HttpRequest, found: Finding, *, arranging: Arranged | None = None, closing: Closed | None = None,
    status: int = 200,
) -> HttpResponse:  # fmt: skip
    """What was found, its life, and what can be said of it; with a form that was refused."""
    today = found.hood.site.today()
    (line,) = told([found], today, queries.placements([found.hood]))
    changes = list(found.changes.select_related("by", "survey__version__set", "survey__signed_by", "survey__draft__transcription__by"))
    tell_life(found, changes)
    why_not = actions.why_not_close(found, request.user, today) if line.is_open else None
    holds = {"owner": found.owner, "order_number": found.order_number, "promised_on": found.promised_on}
    return render(request, "surveys/findings/finding.html", {
        "line": line, "hood": found.hood, "changes": changes, "today": today, "why_not": why_not,
        "by_survey": found.kind in actions.BY_SURVEY,
        "arranging": arranging or Arranged(initial=holds, prefix="arrange"),
        "closing": closing or Closed(prefix="close"),
    }, status=status)  # fmt: skip


def arrange_finding(request: HttpRequest, pk: int) -> HttpResponse:
    found = finding_of(request, pk)
    if request.method != "POST":  # read again after a refusal
        return redirect("surveys:finding", pk)
    form = Arranged(request.POST, prefix="arrange")
    if (status := _kept(request, form, actions.arrange_finding, found)) != 200:
        return finding_page(request, found, arranging=form, status=status)
    return done(request, _("Kept: this is what is arranged."), "surveys:finding", pk)


def close_finding(request: HttpRequest, pk: int) -> HttpResponse:
    found = finding_of(request, pk)
    if request.method != "POST":  # read again after a refusal
        return redirect("surveys:finding", pk)
    form = Closed(request.POST, prefix="close")
    if (status := _kept(request, form, actions.close_finding, found)) != 200:
        return finding_page(request, found, closing=form, status=status)
    return done(request, _("Closed, with the reason."), "surveys:finding", pk)


def _kept(request: HttpRequest, form: Any, act: Any, found: Finding) -> int:
    """The status of the answer: 200 where the action was done, 409 where the finding was closed before, 422 else."""
    if not form.is_valid():
        return 422
    try:
        act(finding=found, by=request.user, at=timezone.now(), **form.cleaned_data)
    except actions.FindingClosed as refusal:
        form.refuse(refusal)
        return 409
    except Refused as refusal:
        form.refuse(refusal)
        return 422
    return 200
