"""Certificates of many hoods as one file."""

from __future__ import annotations

from tempfile import TemporaryFile
from weakref import finalize

from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from reports.core.period import Period
from reports.pdf.bundle import bundle
from reports.queries import certificates as queries
from reports.views import places
from reports.views.prints import language, paper
from reports.wording import code, words


def certificates(request: HttpRequest) -> HttpResponse:
    """All certificates of a room, a building or the site in the order of the walk: those that stand, or of twelve months.

    The file is made whole before its first byte is sent, so that nobody is handed a part of it as the whole.
    """
    scope, refusal = asked(request)
    if refusal:
        return render(request, "reports/no_certificates.html", {"refusal": refusal}, status=422)
    found = queries.find(scope, request.user)
    file = TemporaryFile()  # noqa: SIM115  closed with the response
    try:
        bundle(
            file, found.front(found.without()), found.files(), words, paper=paper(request, scope.site.paper), codes=code,
            language=language(),
        )  # fmt: skip
    except BaseException:
        file.close()
        raise
    file.seek(0)
    response = FileResponse(file, filename=scope.file_name, content_type="application/pdf")
    finalize(response, file.close)  # also where nobody reads the answer
    return response


def asked(request: HttpRequest) -> tuple[queries.Scope, str]:
    """What the address asks for, and a sentence where it cannot be had."""
    where = places.asked(request)
    today, period, refusal = where.site.today(), None, ""
    if written := request.GET.get("from", ""):
        period = Period.of(written)
        said = {"text": written[:40], "example": f"{today:%Y-%m}"}
        if period is None:
            refusal = _("“%(text)s” is no month. Write year and month, such as %(example)s.") % said
        elif period.first > today:
            refusal = _("%(text)s is still to come. Ask for twelve months that have begun.") % said
    return queries.Scope(where.site, today, where.room, where.building, period), refusal
