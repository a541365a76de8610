"""Signed surveys found by hood, room, person or year, each with its certificate or report."""

from __future__ import annotations

import re
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


def certificate_list(request: HttpRequest) -> HttpResponse:
    asked, year = request.GET.get("q", "").strip()[:80], request.GET.get("year", "").strip()[:40]
    refusal = why_not_year(year)
    surveys = Survey.objects.none() if refusal else found(request, asked, year)
    page = paging.page_of(surveys, request.GET.get("page"))
    rows = list(page.object_list)
    places = queries.placements([survey.hood for survey in rows])
    page.object_list = [(survey, places.get(survey.hood_id)) for survey in rows]
    query = urlencode({key: value for key, value in (("q", asked), ("year", year)) if value})
    context = {"asked": asked, "year": year, "refusal": refusal, "page": page, "query": f"{query}&" if query else ""}
    return render(request, "surveys/certificate_list.html", context, status=422 if refusal else 200)


def found(request: HttpRequest, asked: str, year: str) -> Any:
    """The newest first: surveys of the hoods that are found, or signed by who is named so.

    All of them are looked at one by one in their order, so that the first page of fifty thousand reads a hundred; those
    that are looked for, by their hoods and people.
    """
    hoods = Hood.objects.visible_to(request.user).filter(site=request.site)
    if "\x00" in asked:
        return Survey.objects.none()
    if asked:
        here = Survey.objects.filter(hood__in=hoods.order_by().values("pk"))
        named = Person.objects.all()
        for word in asked.split():
            named = named.filter(name__icontains=word)
        signed = Q(signed_by__in=list(named.order_by().values_list("pk", flat=True)))
        surveys = here.filter(signed | Q(hood__in=matching(hoods, asked).order_by().values("pk")))
    else:
        surveys = Survey.objects.filter(Exists(hoods.order_by().filter(pk=OuterRef("hood"))))
    if year:
        surveys = surveys.filter(done_on__year=int(year))
    amended = Exists(Survey.objects.filter(amends=OuterRef("pk")))
    return surveys.select_related("hood", "signed_by", "draft__transcription__by").annotate(is_amended=amended).order_by("-done_on", "-record_id")


def why_not_year(year: str) -> str:
    if not year or re.fullmatch(r"[12][0-9]{3}", year):
        return ""
    return gettext("“%(text)s” is not a year. Write its four digits, such as 2026.") % {"text": year}
