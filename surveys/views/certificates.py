"""Signed surveys found by hood, room, person or year, each with its certificate or report."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any
from urllib.parse import urlencode

from django.db.models import Exists, OuterRef, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from hoods.models import Hood, Person
from surveys import queries
from surveys.models import Survey
from surveys.views import paging
from surveys.views.lists import matching

NEWEST = ("-done_on", "-record_id")
#: What a row says of a survey, its hood, and who measured and signed it.
SHOWN = (
    "done_on", "reason", "verdict", "record_id", "hood__tag", "signed_by__name", "draft__transcription__by__name",
    "draft__transcription__measured_by",
)  # fmt: skip


def certificate_list(request: HttpRequest) -> HttpResponse:
    asked, year = request.GET.get("q", "").strip()[:80], request.GET.get("year", "").strip()[:40]
    refusal = why_not_year(year)
    keys, number = ([], 0) if refusal else found(request, asked, year)
    page = paging.page_of(keys, request.GET.get("page"), number)
    surveys = shown(page.object_list)
    places = queries.placements([survey.hood for survey in surveys])
    page.object_list = [(survey, places.get(survey.hood_id)) for survey in surveys]
    query = urlencode({key: value for key, value in (("q", asked), ("year", year)) if value})
    context = {"asked": asked, "year": year, "refusal": refusal, "page": page, "query": f"{query}&" if query else ""}
    return render(request, "surveys/certificate_list.html", context, status=422 if refusal else 200)


def found(request: HttpRequest, asked: str, year: str) -> tuple[Any, int]:
    """The keys of surveys, the newest first, and how many: of the hoods that are found, or signed by who is named so.

    All of them are looked at one by one in their order, so that a page of fifty thousand reads no more than comes before
    it, and of that the keys alone; they are counted by their hoods. Those that are looked for are found by hoods and people.
    """
    hoods = Hood.objects.visible_to(request.user).filter(site=request.site)
    if "\x00" in asked:
        return [], 0
    here = Survey.objects.filter(hood__in=hoods.order_by().values("pk"))
    if asked:
        named = Person.objects.all()
        for word in asked.split():
            named = named.filter(name__icontains=word)
        signed = Q(signed_by__in=list(named.order_by().values_list("pk", flat=True)))
        surveys = here = here.filter(signed | Q(hood__in=matching(hoods, asked).order_by().values("pk")))
    else:
        surveys = Survey.objects.filter(Exists(hoods.order_by().filter(pk=OuterRef("hood"))))
    of_year = {"done_on__year": int(year)} if year else {}
    keys = surveys.filter(**of_year).order_by(*NEWEST).values_list("pk", flat=True)
    return keys, here.filter(**of_year).count()


def shown(keys: Iterable[Any]) -> list[Survey]:
    """The surveys of a page, with what its rows say of each."""
    amended = Exists(Survey.objects.filter(amends=OuterRef("pk")))
    rows = Survey.objects.filter(pk__in=list(keys)).annotate(is_amended=amended).order_by(*NEWEST)
    return list(rows.select_related("hood", "signed_by", "draft__transcription__by").only(*SHOWN))


def why_not_year(year: str) -> str:
    if not year or re.fullmatch(r"[12][0-9]{3}", year):
        return ""
    return gettext("“%(text)s” is not a year. Write its four digits, such as 2026.") % {"text": year}
