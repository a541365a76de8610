"""Bring in a list of hoods: choose a file, look at what it would do, keep it whole or not at all."""

from __future__ import annotations

from functools import partial

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import ngettext

from hoods import inventory, inventory_book, inventory_ends
from hoods.forms.inventory_columns import columns
from hoods.forms.inventory_list import check
from hoods.inventory_kept import points
from hoods.views import keeping_list, lists


def said_of(plan: inventory.Plan) -> str:
    """What a plan comes to, in a sentence."""
    if not plan.does_something:
        return ngettext(
            "This list changes nothing: its one hood is kept as it says.",
            "This list changes nothing: all %(left)s hoods are kept as it says.",
            plan.left,
        ) % keeping_list.counts(plan)  # fmt: skip
    said = ngettext(
        "The list would add %(added)s hood, change %(changed)s and leave %(left)s as they are.",
        "The list would add %(added)s hoods, change %(changed)s and leave %(left)s as they are.",
        len(plan.added),
    ) % keeping_list.counts(plan)  # fmt: skip
    return f"{said} {_said_of_openings(plan.openings)}" if plan.openings else said


def _said_of_openings(number: int) -> str:
    return ngettext(
        "It would add %(number)d opening to a hood that the site has.",
        "It would add %(number)d openings to hoods that the site has.",
        number,
    ) % {"number": number}  # fmt: skip


HOODS = lists.KindOfList(
    code="list-of-hoods", sheet=inventory_book.SHEET, columns=columns,
    check=lambda site, table: check(table, points(site)), plan=inventory.plan, said_of=said_of,
    template="hoods/import.html", shown="hoods:import_shown", home="hoods:inventory",
)  # fmt: skip
planned, put_by = HOODS.planned, HOODS.put_by


def import_list(request: HttpRequest) -> HttpResponse:
    return lists.choose(request, HOODS)


def import_shown(request: HttpRequest, token: str) -> HttpResponse:
    return lists.show(request, HOODS, token, _show, partial(keeping_list.keep, request, HOODS, token))


def _show(request: HttpRequest, name: str, plan: inventory.Plan, *, refusal: str = "", status: int) -> HttpResponse:
    lines = [*(("changed", one) for one in plan.changed), *(("added", one) for one in plan.added)]
    ends = inventory_ends.ends(plan, timezone.now())
    page = Paginator(lines, lists.PAGE).get_page(request.GET.get("page"))
    places = Paginator(plan.places, lists.PAGE).get_page(request.GET.get("places"))
    return render(request, "hoods/import_shown.html", {
        "name": name, "plan": plan, "page": page, "places": places, "refusal": refusal, "said": said_of(plan),
        "query": f"places={places.number}&", "query_of_places": f"page={page.number}&",
        "changed": [(one, ends.lost.get(one.kept.hood.pk)) for kind, one in page.object_list if kind == "changed"],
        "added": [one for kind, one in page.object_list if kind == "added"],
        "ends": ends, "cautions": inventory_ends.cautions(plan),
    }, status=status)  # fmt: skip
