"""Labels of many hoods: on sheets from a free place, or one a page from a roll; and the test of the paper."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from hoods.models import Hood
from reports.core.sheets import SHEETS
from reports.forms import SHEET_NAMES, LabelSheet
from reports.pdf.labels import label_sheet
from reports.pdf.outline import ROLL_STEPS, SHEET_STEPS
from reports.pdf.outline import outline as pdf_outline
from reports.queries import prints as queries
from reports.views import places
from reports.views.prints import language, no_label, pdf, printed
from reports.wording import words
from surveys.queries import lines
from surveys.standing import as_walked
from surveys.views import paging

Found = Sequence[queries.Printable | queries.NoLabel]


def labels(request: HttpRequest) -> HttpResponse:
    """Choose hoods of a room, a building or the site that have a label today, and print their labels in walking order."""
    where = places.asked(request)
    today = where.site.today()
    hoods = queries.hoods_in(request.user, today, where.site, where.room, where.building)
    page = paging.page_of(as_walked(hoods, today), request.GET.get("page"))
    found = queries.labels_of(lines(page.object_list, today))
    order = [one for one in found if isinstance(one, queries.Printable)]
    form = LabelSheet(
        request.POST if request.method == "POST" else None,
        choices=[(one.hood.pk, f"{one.hood.tag}, {one.label.room}, {_('issue')} {one.label.issue}") for one in order],
        initial={"hoods": ticked(where, order), "sheet": "letter-2x5" if where.site.paper == "Letter" else "a4-2x5"},
    )
    if not form.is_valid():
        if form.is_bound and (refused := without_label(form, hoods, today)):
            return no_label(request, refused)
        status = 422 if form.is_bound else 200
        kept = urlencode({key: value for key, value in request.GET.items() if key != "page"})
        shown = context(where, form, found) | {"page": page, "query": f"{kept}&" if kept else ""}
        return render(request, "reports/labels.html", shown, status=status)
    chosen = [one for one in order if one.hood.pk in form.asked]
    sheet = SHEETS[form.cleaned_data["sheet"]]
    made = label_sheet(
        [one.label for one in chosen], sheet, form.cleaned_data["start"], where.site.printer_dpi, words, language()
    )
    return printed(request, chosen, made, sheet.code, f"labels {today.isoformat()}.pdf")


def ticked(where: places.Where, order: Sequence[queries.Printable]) -> list[int]:
    """Of a room or building all; of a site those that nobody has confirmed on the sash."""
    if where.room or where.building:
        return [one.hood.pk for one in order]
    waiting = queries.not_put_on([one.survey for one in order])
    return [one.hood.pk for one in order if one.survey.pk in waiting]


def context(where: places.Where, form: LabelSheet, found: Found) -> dict[str, Any]:
    return {
        "where": where,
        "form": form,
        "found": [one for one in found if isinstance(one, queries.Printable)],
        "without": [one for one in found if isinstance(one, queries.NoLabel)],
        "sheets": [(code, SHEET_NAMES[code]) for code in SHEETS],
        "dpi": where.site.printer_dpi,
        "steps": [(_("On a sheet"), list(map(words, SHEET_STEPS))), (_("On a roll"), list(map(words, ROLL_STEPS)))],
    }


def without_label(form: LabelSheet, hoods: QuerySet[Hood], today: date) -> list[queries.NoLabel]:
    """Hoods that were asked for and have no label today, as when a stop was posted since the page was opened."""
    sent = [text for text in form.data.getlist("hoods") if text.isascii() and text.isdigit() and len(text) < 18]
    asked = lines(hoods.filter(pk__in=sent[: paging.MOST]), today)
    return [one for one in queries.labels_of(asked) if isinstance(one, queries.NoLabel)]


def outline(request: HttpRequest) -> HttpResponse:
    """A page that shows where labels would stand on a paper; it is no label, so no copy is recorded."""
    sheet = SHEETS.get(request.GET.get("sheet", "a4-2x5"))
    if sheet is None:
        raise Http404
    made = pdf_outline(sheet, str(SHEET_NAMES[sheet.code]), request.site.printer_dpi, words, language())
    return pdf(made, f"outline {sheet.code}.pdf")
