"""The year: how many hoods are in service, surveyed within their interval, overdue; what the surveys found; what was amiss."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from tempfile import SpooledTemporaryFile
from typing import IO, Any
from urllib.parse import urlencode
from weakref import finalize

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _

from hoods.models import Building
from reports.core import yearly_tables
from reports.core.period import Period
from reports.core.year import Year
from reports.core.yearly import by_status
from reports.core.yearly_tables import Table
from reports.files import comma, workbook
from reports.pdf import averages_plot, year_plots
from reports.pdf.annual import annual
from reports.pdf.plot import Plot
from reports.pdf.svg import svg
from reports.pdf.wording import Wording
from reports.queries import yearly as queries
from reports.queries.yearly import Scope
from reports.views.prints import language, paper, pdf
from reports.wording import code, words
from surveys.views import paging

IN_MEMORY = 8_000_000  # bytes of an archive before it goes to the disk


@dataclass(frozen=True)
class Asked:
    """What was asked for: of whom and where, which twelve months, and what was wrong with it."""

    scope: Scope
    period: Period
    today: date
    refusal: str = ""

    @property
    def query(self) -> str:
        """The address of the same year: from=2026-01, and the building."""
        given: dict[str, Any] = {"from": self.period.written}
        if self.scope.building is not None:
            given["building"] = self.scope.building.pk
        return urlencode(given)

    @property
    def name(self) -> str:
        """For the name of a file: the site, the year, and the building."""
        parts = [self.scope.site.name, self.period.name]
        return " ".join([*parts, self.scope.building.name] if self.scope.building else parts)

    def load(self) -> Year:
        return queries.year(self.scope, self.period, self.today, timezone.now())

    def wording(self) -> Wording:
        return Wording(words, code, language())


def asked_for(request: HttpRequest) -> Asked:
    """The year and the building that a request names; without a year, this calendar year."""
    site = request.site
    building = None
    if request.GET.get("building"):
        known = Building.objects.visible_to(request.user).filter(site=site)
        building = get_object_or_404(known, pk=_whole(request.GET["building"]))
    scope, today = Scope(site, request.user, building), site.today()
    text = request.GET.get("from", "").strip()[:40]
    period = Period.of(text) if text else Period.beginning(date(today.year, 1, 1))
    if period is None:
        refusal = _("“%(text)s” is no month. Write year and month, such as 2026-04, or a year alone.") % {"text": text}
        return Asked(scope, Period.beginning(date(today.year, 1, 1)), today, refusal)
    if period.first > today:
        refusal = _("These months have not begun. Write one that has, such as %(month)s.") % {"month": f"{today:%Y-%m}"}
        return Asked(scope, Period.beginning(date(today.year, 1, 1)), today, refusal)
    return Asked(scope, period, today)


def _whole(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 18):
        raise Http404
    return int(text)


def asked_rightly(request: HttpRequest) -> Asked:
    """For files and drawings: nothing is there for what is no year."""
    asked = asked_for(request)
    if asked.refusal:
        raise Http404
    return asked


def year(request: HttpRequest) -> HttpResponse:
    asked = asked_for(request)
    found = asked.load()
    buildings = Building.objects.visible_to(request.user).filter(site=request.site)
    page = paging.page_of(found.counts.hoods, request.GET.get("page"))
    context = {
        "year": found,
        "counts": found.counts,
        "service": found.counts.service,
        "routine": found.counts.group("routine"),
        "repeats": found.counts.group("repeat"),
        "occasions": found.counts.group("occasion"),
        "statuses": by_status(found.counts.hoods),
        "versions": {one.key: one for one in found.versions},
        "doubtful": [one for one in found.measured if one.in_doubt],
        "asked": asked,
        "years": queries.years_with_surveys(Scope(request.site, request.user), asked.today),
        "buildings": buildings,
        "page": page,
        "page_query": f"{asked.query}&",
        "tables": yearly_tables.NAMES,
        "site": request.site,
        "refusal": asked.refusal,
        "text": request.GET.get("from", "")[:40],
    }
    return render(request, "reports/year.html", context, status=422 if asked.refusal else 200)


def report(request: HttpRequest) -> HttpResponse:
    """The year as a print."""
    asked = asked_rightly(request)
    return pdf(annual(asked.load(), asked.wording(), paper(request, request.site.paper)), f"{asked.name}.pdf")


# Drawings ----------------------------------------------------------------------------------------------------------


def drawn(plot: Plot) -> HttpResponse:
    return HttpResponse(svg(plot), content_type="image/svg+xml")


def by_month(request: HttpRequest) -> HttpResponse:
    asked = asked_rightly(request)
    counts = queries.counted(asked.scope, asked.period, asked.today)
    return drawn(year_plots.by_month(counts.months, f"{asked.name}: {_('outcomes by month')}", asked.wording()))


def by_building(request: HttpRequest) -> HttpResponse:
    asked = asked_rightly(request)
    counts = queries.counted(asked.scope, asked.period, asked.today)
    return drawn(
        year_plots.by_building(counts.buildings, f"{asked.name}: {_('outcomes by building')}", asked.wording())
    )


def averages(request: HttpRequest) -> HttpResponse:
    asked = asked_rightly(request)
    flows = queries.averages(asked.scope, asked.period, asked.today)
    title = f"{asked.name}: {_('averages of the hoods')}"
    return drawn(averages_plot.averages(flows, title, request.site.speed_unit, asked.wording()))


# Tables ------------------------------------------------------------------------------------------------------------


def _with_readings(asked: Asked, found: Year) -> Iterator[Table]:
    yield from yearly_tables.tables(found)
    yield _readings(asked)


def _readings(asked: Asked) -> Table:
    rows = queries.readings_of(asked.scope, asked.period)
    return Table(yearly_tables.READINGS, yearly_tables.READING_COLUMNS, rows)


def table(request: HttpRequest) -> StreamingHttpResponse:
    """One table as CSV, row by row."""
    asked, name = asked_rightly(request), request.GET.get("table", "")
    found = _readings(asked) if name == yearly_tables.READINGS else yearly_tables.table(asked.load(), name)
    if found is None:
        raise Http404
    response = StreamingHttpResponse(comma.lines(found.columns, found.rows), content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = content_disposition_header(True, f"{asked.name} {name}.csv")
    return response


def archive(request: HttpRequest) -> FileResponse:
    """Every table as CSV, the readings among them, in one archive."""
    asked = asked_rightly(request)
    found = asked.load()
    tables = _with_readings(asked, found)
    return _file(f"{asked.name}.zip", lambda file: comma.archive(file, tables, found.stamp.at, asked.name))


def book(request: HttpRequest) -> FileResponse:
    """Every table of the page as a sheet of one workbook."""
    asked = asked_rightly(request)
    found = asked.load()
    return _file(
        f"{asked.name}.xlsx",
        lambda file: workbook.workbook(file, yearly_tables.tables(found), asked.name, found.stamp.at),
    )


def _file(name: str, write: Callable[[IO[bytes]], None]) -> FileResponse:
    """A file made whole before its first byte is sent; closed with the answer, also where nobody reads it."""
    file = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115  closed with the response
    try:
        write(file)
    except BaseException:
        file.close()
        raise
    file.seek(0)
    response = FileResponse(file, as_attachment=True, filename=name)
    finalize(response, file.close)
    return response
