"""Bring in a list of hoods: choose a file, look at what it would do, keep it whole or not at all."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods import actions, inventory, inventory_book
from hoods.forms.inventory_columns import columns
from hoods.forms.inventory_list import check
from hoods.inventory_kept import points
from hoods.inventory_said import Said
from hoods.views import lists
from hoods.views.page import done
from hoods.views.waiting import Waiting


def said_of(plan: inventory.Plan) -> str:
    """What a plan comes to, in a sentence."""
    if not plan.does_something:
        return ngettext(
            "This list changes nothing: its one hood is kept as it says.",
            "This list changes nothing: all %(number)d hoods are kept as it says.",
            plan.left,
        ) % {"number": plan.left}  # fmt: skip
    return ngettext(
        "The list would add %(added)d hood, change %(changed)d and leave %(left)d as they are.",
        "The list would add %(added)d hoods, change %(changed)d and leave %(left)d as they are.",
        len(plan.added),
    ) % _counts(plan)  # fmt: skip


def _kept(plan: inventory.Plan) -> str:
    return ngettext(
        "The list is kept: %(added)d hood added, %(changed)d changed, %(left)d left as they were.",
        "The list is kept: %(added)d hoods added, %(changed)d changed, %(left)d left as they were.",
        len(plan.added),
    ) % _counts(plan)  # fmt: skip


def _counts(plan: inventory.Plan) -> dict[str, int]:
    return {"added": len(plan.added), "changed": len(plan.changed), "left": plan.left}


HOODS = lists.KindOfList(
    code="list-of-hoods", sheet=inventory_book.SHEET, columns=columns,
    check=lambda site, table: check(table, points(site)), plan=inventory.plan, said_of=said_of,
    template="hoods/import.html", shown="hoods:import_shown", home="hoods:inventory",
)  # fmt: skip
planned, put_by = HOODS.planned, HOODS.put_by


def import_list(request: HttpRequest) -> HttpResponse:
    return lists.choose(request, HOODS)


def import_shown(request: HttpRequest, token: str) -> HttpResponse:
    def keep(found: Waiting, said: list[Said], _plan: inventory.Plan) -> HttpResponse:
        why = _("From the list %(name)s (SHA-256 %(sha256)s).") % {"name": found.name, "sha256": found.sha256[:16]}
        plan = actions.keep_list(
            site=request.site, said=said, seen=request.POST.get("seen", ""), by=request.user, at=timezone.now(), why=why,
        )  # fmt: skip
        lists.drop(request, HOODS, token)
        return done(request, _kept(plan), HOODS.home)

    return lists.show(request, HOODS, token, _show, keep)


def _show(request: HttpRequest, name: str, plan: inventory.Plan, *, refusal: str = "", status: int) -> HttpResponse:
    lines = [*(("changed", one) for one in plan.changed), *(("added", one) for one in plan.added)]
    page = Paginator(lines, lists.PAGE).get_page(request.GET.get("page"))
    places = Paginator(plan.places, lists.PAGE).get_page(request.GET.get("places"))
    return render(request, "hoods/import_shown.html", {
        "name": name, "plan": plan, "page": page, "places": places, "refusal": refusal, "said": said_of(plan),
        "query": f"places={places.number}&", "query_of_places": f"page={page.number}&",
        "changed": [one for kind, one in page.object_list if kind == "changed"],
        "added": [one for kind, one in page.object_list if kind == "added"],
        "others": sum(one.ends_all for one in plan.changed),
        "opened": sum(one.ends_some for one in plan.changed),
    }, status=status)  # fmt: skip
