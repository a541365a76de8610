"""Any list that is brought in: a file is chosen, shown with what it would do, and kept whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from hoods import inventory_file
from hoods.actions import Refused
from hoods.core.table import Table, Unreadable
from hoods.forms.inventory_columns import MOST_OPENINGS, Columns
from hoods.forms.inventory_list import ListFile
from hoods.forms.list_rows import Checked
from hoods.inventory_said import Problem
from hoods.models import Person, Site
from hoods.views import waiting
from hoods.views.page import done
from hoods.wording import why_unreadable

PAGE = 100  # lines, or problems, on a page


@dataclass(frozen=True)
class KindOfList:
    """A kind of list: how its rows are read and what keeping them would do, and the pages that bring it in."""

    code: str  # under which its files wait
    sheet: str  # of a workbook that has several
    columns: Columns
    check: Callable[[Site, Table], Checked[Any]]
    plan: Callable[[Site, Sequence[Any], date], Any]
    said_of: Callable[[Any], str]  # what a plan comes to, in a sentence
    template: str  # of the page that chooses a file
    shown: str  # views: of a list that waits, and of what lists have brought
    home: str

    def planned(self, site: Site, data: bytes) -> tuple[list[Any], Any]:
        """What the file says, and what keeping it would do; every problem is in the plan."""
        try:
            checked = self.check(site, inventory_file.read(data, self.sheet))
        except Unreadable as refusal:
            plan = self.plan(site, [], site.today())
            plan.problems = [Problem(refusal.row or 0, "", why_unreadable(refusal))]
            return [], plan
        plan = self.plan(site, checked.said, site.today())
        plan.problems = sorted([*checked.problems, *plan.problems], key=lambda problem: problem.row)
        return list(checked.said), plan

    def put_by(self, person: Person, site: Site, name: str, data: bytes) -> str:
        """Lets a list wait until it is kept; the token that finds it again."""
        return waiting.put(self.code, person, site, name, data)


def choose(request: HttpRequest, kind: KindOfList) -> HttpResponse:
    """A file with problems is answered with them; any other waits to be kept by who sent it, and by nobody else."""
    form = ListFile(request.POST, request.FILES) if request.method == "POST" else ListFile()
    if not form.is_bound or not form.is_valid():
        return _form(request, kind, form)
    file = form.cleaned_data["file"]
    data = file.read(inventory_file.MOST_BYTES + 1)
    _said, plan = kind.planned(request.site, data)
    if plan.problems:
        return _form(request, kind, form, plan.problems, file.name)
    return redirect(kind.shown, kind.put_by(request.user, request.site, file.name, data))


def _form(
    request: HttpRequest, kind: KindOfList, form: ListFile, problems: Sequence[Problem] = (), name: str = ""
) -> HttpResponse:
    return render(request, kind.template, {
        "form": form, "problems": problems[:PAGE], "number": len(problems), "more": max(len(problems) - PAGE, 0),
        "name": name, "columns": kind.columns(1), "most_openings": MOST_OPENINGS, "most_rows": inventory_file.MOST_ROWS,
    }, status=422 if problems or form.errors else 200)  # fmt: skip


Show = Callable[..., HttpResponse]  # (request, name, plan, refusal, status)
Keep = Callable[[waiting.Waiting, list[Any], Any], HttpResponse]  # (the file, what it says, what that would do)


def show(request: HttpRequest, kind: KindOfList, token: str, page: Show, keep: Keep) -> HttpResponse:
    """A list that waits, as `page` shows it; once it is pressed, what `keep` answers, or why it keeps nothing."""
    found = waiting.find(kind.code, request.user, request.site, token)
    if found is None:
        if waiting.is_over(kind.code, request.user, request.site, token):  # pressed twice, or gone back to
            return done(request, _("The list is kept already."), kind.home)
        raise Http404
    said, plan = kind.planned(request.site, found.data)
    if request.method != "POST" or plan.problems:
        return page(request, found.name, plan, status=422 if plan.problems else 200)
    try:
        return keep(found, said, plan)
    except Refused as refusal:
        _said, now = kind.planned(request.site, found.data)
        if is_kept_meanwhile(request, now):
            return done(request, kind.said_of(now), kind.home)
        return page(request, found.name, now, refusal=str(refusal), status=409)


def is_kept_meanwhile(request: HttpRequest, now: Any) -> bool:
    """Pressed twice: another press has kept what was seen, and nothing of it is left to do."""
    return not now.problems and not now.does_something and now.digest != request.POST.get("seen")


def drop(request: HttpRequest, kind: KindOfList, token: str) -> None:
    """Lets a list that is kept wait no more."""
    waiting.drop(kind.code, request.user, request.site, token)
