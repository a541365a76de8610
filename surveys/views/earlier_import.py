"""Bring in a list of earlier results: choose a file, look at what it would add, keep it whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods import inventory_file
from hoods.actions import Refused
from hoods.core.table import Unreadable
from hoods.forms.inventory_columns import MOST_OPENINGS
from hoods.forms.inventory_list import ListFile
from hoods.inventory_said import Problem
from hoods.models import Person, Site
from hoods.views import waiting
from hoods.views.page import done
from hoods.wording import why_unreadable
from surveys import earlier
from surveys.actions.earlier import bring_in_results
from surveys.earlier import Plan, Said
from surveys.forms.earlier import check
from surveys.forms.earlier_columns import SHEET, columns

LIST = "earlier-results"
PAGE = 100  # results, or problems, on a page


def planned(site: Site, data: bytes) -> tuple[list[Said], Plan]:
    """What the file says, and what keeping it would do; every problem is in the plan."""
    try:
        checked = check(inventory_file.read(data, SHEET))
    except Unreadable as refusal:
        return [], Plan(site, [Problem(refusal.row or 0, "", why_unreadable(refusal))])
    plan = earlier.plan(site, checked.said, site.today())
    plan.problems = sorted([*checked.problems, *plan.problems], key=lambda problem: problem.row)
    return checked.said, plan


def put_by(person: Person, site: Site, name: str, data: bytes) -> str:
    """Lets a list wait until it is kept; the token that finds it again."""
    return waiting.put(LIST, person, site, name, data)


def import_results(request: HttpRequest) -> HttpResponse:
    form = ListFile(request.POST, request.FILES) if request.method == "POST" else ListFile()
    if not form.is_bound or not form.is_valid():
        return _choose(request, form)
    file = form.cleaned_data["file"]
    data = file.read(inventory_file.MOST_BYTES + 1)
    _said, plan = planned(request.site, data)
    if plan.problems:
        return _choose(request, form, plan.problems, file.name)
    return redirect("surveys:results_shown", put_by(request.user, request.site, file.name, data))


def _choose(request: HttpRequest, form: ListFile, problems: Sequence[Problem] = (), name: str = "") -> HttpResponse:
    return render(request, "surveys/earlier/import.html", {
        "form": form, "problems": problems[:PAGE], "number": len(problems), "more": max(len(problems) - PAGE, 0),
        "name": name, "columns": columns(1), "most_openings": MOST_OPENINGS, "most_rows": inventory_file.MOST_ROWS,
    }, status=422 if problems or form.errors else 200)  # fmt: skip


def results_shown(request: HttpRequest, token: str) -> HttpResponse:
    kept = waiting.find(LIST, request.user, request.site, token)
    if kept is None:
        raise Http404
    said, plan = planned(request.site, kept.data)
    if request.method != "POST" or plan.problems:
        return _show(request, kept.name, plan, status=422 if plan.problems else 200)
    try:
        batch, plan = bring_in_results(
            site=request.site, said=said, seen=request.POST.get("seen", ""), name=kept.name, sha256=kept.sha256,
            by=request.user, at=timezone.now(),
        )  # fmt: skip
    except Refused as refusal:
        return _show(request, kept.name, planned(request.site, kept.data)[1], refusal=str(refusal), status=409)
    waiting.drop(LIST, request.user, request.site, token)
    return done(
        request, _("The list is kept. It counts for nothing until it is accepted."), "surveys:earlier", batch.pk
    )


def _show(request: HttpRequest, name: str, plan: Plan, *, refusal: str = "", status: int) -> HttpResponse:
    page: Any = Paginator(plan.added, PAGE).get_page(request.GET.get("page"))
    return render(request, "surveys/earlier/import_shown.html", {
        "name": name, "plan": plan, "page": page, "refusal": refusal, "said": earlier.said_of(plan),
    }, status=status)  # fmt: skip
