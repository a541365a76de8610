"""The averages of a hood over the years: the drawing on its page, and the same as a print."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from reports.pdf import trend_plot
from reports.pdf.svg import svg
from reports.pdf.trend import trend as pdf_trend
from reports.pdf.wording import Wording
from reports.queries.trend import trend
from reports.views.prints import language, paper, pdf, visible_hood
from reports.wording import code, words
from surveys.history import history_of


def trend_drawing(request: HttpRequest, pk: int) -> HttpResponse:
    hood = visible_hood(request, pk)
    found = trend(hood, history_of(hood), hood.site.today())
    title = _("Averages of %(hood)s over the years") % {"hood": hood.tag}
    drawn = trend_plot.trend(found, title, Wording(words, code, language()))
    return HttpResponse(svg(drawn), content_type="image/svg+xml")


def trend_print(request: HttpRequest, pk: int) -> HttpResponse:
    hood = visible_hood(request, pk)
    found = trend(hood, history_of(hood), hood.site.today())
    place = hood.placement()
    where = str(place.room) if place else "–"
    made = pdf_trend(
        found, hood.tag, where, hood.site.name, Wording(words, code, language()), paper(request, hood.site.paper)
    )
    return pdf(made, f"{hood.tag} averages.pdf")
