"""Bring in a list of earlier results: choose a file, look at what it would add, keep it whole or not at all."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.views import lists
from hoods.views.page import done
from hoods.views.waiting import Waiting
from surveys import earlier
from surveys.actions.earlier import bring_in_results
from surveys.earlier import Plan, Said
from surveys.earlier_said import said_of
from surveys.forms.earlier import check
from surveys.forms.earlier_columns import SHEET, columns

RESULTS = lists.KindOfList(
    code="earlier-results", sheet=SHEET, columns=columns, check=lambda _site, table: check(table), plan=earlier.plan,
    said_of=said_of, template="surveys/earlier/import.html", shown="surveys:results_shown",
    home="surveys:earlier_list",
)  # fmt: skip
planned, put_by = RESULTS.planned, RESULTS.put_by


def import_results(request: HttpRequest) -> HttpResponse:
    return lists.choose(request, RESULTS)


def results_shown(request: HttpRequest, token: str) -> HttpResponse:
    def keep(found: Waiting, said: list[Said], _plan: Plan) -> HttpResponse:
        batch, _kept = bring_in_results(
            site=request.site, said=said, seen=request.POST.get("seen", ""), name=found.name, sha256=found.sha256,
            by=request.user, at=timezone.now(),
        )  # fmt: skip
        lists.drop(request, RESULTS, token)
        kept = _("The list is kept. It counts for nothing until it is accepted.")
        return done(request, kept, "surveys:earlier", batch.pk)

    return lists.show(request, RESULTS, token, _show, keep)


def _show(request: HttpRequest, name: str, plan: Plan, *, refusal: str = "", status: int) -> HttpResponse:
    page: Any = Paginator(plan.added, lists.PAGE).get_page(request.GET.get("page"))
    return render(request, "surveys/earlier/import_shown.html", {
        "name": name, "plan": plan, "page": page, "refusal": refusal, "said": said_of(plan),
    }, status=status)  # fmt: skip
