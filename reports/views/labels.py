"""Labels of many hoods: on sheets from a free place, or one a page from a roll; and the test of the paper."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from hoods.models import Hood, Person, Site
from hoods.queries import as_walked
from reports.core.sheets import SHEETS
from reports.forms import SHEET_NAMES, LabelSheet
from reports.pdf.labels import label_sheet
from reports.pdf.outline import ROLL_STEPS, SHEET_STEPS
from reports.pdf.outline import outline as pdf_outline
from reports.queries import prints as queries
from reports.views import places
from reports.views.prints import language, no_label, pdf, printed
from reports.wording import words
from surveys.core.status import grants_label
from surveys.queries import Line, lines, lines_of
from surveys.views import paging


def labels(request: HttpRequest) -> HttpResponse:
    """Choose hoods of a room, a building or the site that have a label today, and print their labels in walking order."""
    where = places.asked(request)
    today = where.site.today()
    hoods = queries.hoods_in(request.user, today, where.site, where.room, where.building)
    page = paging.page_of(as_walked(hoods, today), request.GET.get("page"))
    found = lines_of(page.object_list, today)
    order = [line for line in found if grants_label(line.status)]
    form = LabelSheet(
        request.POST if request.method == "POST" else None,
        choices=[(line.hood.pk, named(line)) for line in order],
        initial={"hoods": ticked(where, order), "sheet": "letter-2x5" if where.site.paper == "Letter" else "a4-2x5"},
    )
    if not form.is_valid():
        if form.is_bound and (refused := without_label(form, where.site, request.user, today)):
            return no_label(request, refused)
        status = 422 if form.is_bound else 200
        kept = urlencode({key: value for key, value in request.GET.items() if key != "page"})
        shown = context(where, form, found) | {"page": page, "query": f"{kept}&" if kept else ""}
        return render(request, "reports/labels.html", shown, status=status)
    asked = set(form.asked)
    chosen = queries.printable([line for line in order if line.hood.pk in asked])
    sheet = SHEETS[form.cleaned_data["sheet"]]
    made = label_sheet(
        [one.label for one in chosen], sheet, form.cleaned_data["start"], where.site.printer_dpi, words, language()
    )
    return printed(request, chosen, made, sheet.code, f"labels {today.isoformat()}.pdf")


def named(line: Line) -> str:
    """A label by its hood, room and issue."""
    room = line.placement.room if line.placement else ""
    return f"{line.hood.tag}, {room}, {_('issue')} {line.status.label_issue}"


def ticked(where: places.Where, order: Sequence[Line]) -> list[int]:
    """Of a room or building all; of a site those that nobody has confirmed on the sash."""
    if where.room or where.building:
        return [line.hood.pk for line in order]
    waiting = queries.not_put_on([line.status.survey for line in order])
    return [line.hood.pk for line in order if line.status.survey in waiting]


def context(where: places.Where, form: LabelSheet, found: Sequence[Line]) -> dict[str, Any]:
    return {
        "where": where,
        "form": form,
        "found": [line for line in found if grants_label(line.status)],
        "without": [queries.NoLabel.of(line) for line in found if not grants_label(line.status)],
        "sheets": [(code, SHEET_NAMES[code]) for code in SHEETS],
        "dpi": where.site.printer_dpi,
        "steps": [(_("On a sheet"), list(map(words, SHEET_STEPS))), (_("On a roll"), list(map(words, ROLL_STEPS)))],
    }


def without_label(form: LabelSheet, site: Site, person: Person, today: date) -> list[queries.NoLabel]:
    """Hoods that were asked for and have no label today, as when one was stopped or retired since the page was opened."""
    sent = [text for text in form.data.getlist("hoods") if text.isascii() and text.isdigit() and len(text) < 18]
    hoods = Hood.objects.visible_to(person).filter(site=site, pk__in=sent[: paging.MOST])
    asked = lines(hoods, today)
    return [queries.NoLabel.of(line) for line in asked if not grants_label(line.status)]


def outline(request: HttpRequest) -> HttpResponse:
    """A page that shows where labels would stand on a paper; it is no label, so no copy is recorded."""
    sheet = SHEETS.get(request.GET.get("sheet", "a4-2x5"))
    if sheet is None:
        raise Http404
    made = pdf_outline(sheet, str(SHEET_NAMES[sheet.code]), request.site.printer_dpi, words, language())
    return pdf(made, f"outline {sheet.code}.pdf")
