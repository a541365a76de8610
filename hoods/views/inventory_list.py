"""Bring in a list of hoods: choose a file, look at what it would do, keep it whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods import actions, inventory, inventory_file
from hoods.core.table import Unreadable
from hoods.forms import inventory_list as forms
from hoods.forms.inventory_columns import MOST_OPENINGS, columns
from hoods.inventory_kept import points
from hoods.inventory_said import Problem, Said
from hoods.models import Person, Site
from hoods.views import waiting
from hoods.views.page import done
from hoods.wording import why_unreadable

LIST = "list-of-hoods"
PAGE = 100  # hoods, or problems, on a page


def planned(site: Site, data: bytes) -> tuple[list[Said], inventory.Plan]:
    """What the file says, and what keeping it would do; every problem is in the plan."""
    try:
        checked = forms.check(inventory_file.read(data), points(site))
    except Unreadable as refusal:
        return [], inventory.Plan(site, [Problem(refusal.row or 0, "", why_unreadable(refusal))])
    plan = inventory.plan(site, checked.said, site.today())
    plan.problems = sorted([*checked.problems, *plan.problems], key=lambda problem: problem.row)
    return list(checked.said), plan


def import_list(request: HttpRequest) -> HttpResponse:
    if request.method != "POST":
        return _choose(request, forms.ListFile())
    form = forms.ListFile(request.POST, request.FILES)
    return _looked_at(request, form, form.cleaned_data["file"]) if form.is_valid() else _choose(request, form)


def _looked_at(request: HttpRequest, form: forms.ListFile, file: Any) -> HttpResponse:
    """A file with problems is answered with them; any other waits to be kept by who sent it, and by nobody else."""
    data = file.read(inventory_file.MOST_BYTES + 1)
    _said, plan = planned(request.site, data)
    if plan.problems:
        return _choose(request, form, plan.problems, file.name)
    return redirect("hoods:import_shown", put_by(request.user, request.site, file.name, data))


def put_by(person: Person, site: Site, name: str, data: bytes) -> str:
    """Lets a list wait until it is kept; the token that finds it again."""
    return waiting.put(LIST, person, site, name, data)


def _choose(
    request: HttpRequest, form: forms.ListFile, problems: Iterable[Problem] = (), name: str = ""
) -> HttpResponse:
    problems = list(problems)
    wrong = bool(problems or form.errors)
    return render(request, "hoods/import.html", {
        "form": form, "problems": problems[:PAGE], "number": len(problems), "more": max(len(problems) - PAGE, 0),
        "name": name, "columns": columns(1),
        "most_openings": MOST_OPENINGS, "most_rows": inventory_file.MOST_ROWS,
    }, status=422 if wrong else 200)  # fmt: skip


def import_shown(request: HttpRequest, token: str) -> HttpResponse:
    kept = waiting.find(LIST, request.user, request.site, token)
    if kept is None:
        if request.method == "POST" and waiting.is_over(LIST, request.user, request.site, token):  # pressed twice
            return done(request, _("The list is kept already."), "hoods:inventory")
        raise Http404
    name, sha256, data = kept
    said, plan = planned(request.site, data)
    if request.method == "POST" and not plan.problems:
        try:
            why = _("From the list %(name)s (SHA-256 %(sha256)s).") % {"name": name, "sha256": sha256[:16]}
            plan = actions.keep_list(
                site=request.site, said=said, seen=request.POST.get("seen", ""), by=request.user, at=timezone.now(),
                why=why,
            )  # fmt: skip
        except actions.Refused as refusal:
            said, plan = planned(request.site, data)
            if not plan.problems and not plan.does_something:  # pressed twice: another press has kept it meanwhile
                return done(request, said_of(plan), "hoods:inventory")
            return _show(request, name, plan, refusal=str(refusal), status=409)
        waiting.drop(LIST, request.user, request.site, token)
        return done(request, _kept(plan), "hoods:inventory")
    return _show(request, name, plan, status=422 if plan.problems else 200)


def _show(request: HttpRequest, name: str, plan: inventory.Plan, *, refusal: str = "", status: int) -> HttpResponse:
    lines = [*(("changed", one) for one in plan.changed), *(("added", one) for one in plan.added)]
    page = Paginator(lines, PAGE).get_page(request.GET.get("page"))
    return render(request, "hoods/import_shown.html", {
        "name": name, "plan": plan, "page": page, "refusal": refusal, "said": said_of(plan),
        "changed": [one for kind, one in page.object_list if kind == "changed"],
        "added": [one for kind, one in page.object_list if kind == "added"],
        "others": sum(one.ends_all for one in plan.changed),
        "opened": sum(one.ends_some for one in plan.changed),
    }, status=status)  # fmt: skip


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
