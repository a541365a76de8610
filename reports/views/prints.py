"""What is printed: certificates from their record, labels from today's status, the 'Do not use' sign."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.utils.translation import get_language

from hoods.models import Hood
from reports.core.sheets import SINGLE
from reports.pdf import labels as pdf_labels
from reports.pdf.canopy import canopy_sign as pdf_canopy_sign
from reports.pdf.certificate import certificate as pdf_certificate
from reports.pdf.stop import stop_sign as pdf_stop_sign
from reports.pdf.style import PAPERS
from reports.queries import prints as queries
from reports.wording import code, words
from surveys.actions.labels import record_label_copies
from surveys.models import Survey


def certificate(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    """The certificate or report of a signed survey: the same bytes whenever it is asked for, until another amends it."""
    surveys = Survey.objects.visible_to(request.user).select_related("record", "hood__site")
    survey = get_object_or_404(surveys, pk=id)
    record = survey.record
    attested = record.attested
    made = pdf_certificate(
        attested, record.sha256, queries.address(attested["facts"]["hood"]["code"]), words=words,
        paper=paper(request, attested["facts"]["site"].get("paper", "")), codes=code, language=language(), amended=queries.amended_by(survey),
    )  # fmt: skip
    return pdf(made, f"{attested['facts']['hood']['tag']} {attested['survey']['done_on']} record {record.number}.pdf")


def label(request: HttpRequest, pk: int) -> HttpResponse:
    """The label of a hood by today's status, alone on its own page; each copy is recorded, so none is had by reading."""
    hood = visible_hood(request, pk)
    if request.method != "POST":
        return redirect("surveys:hood", pk)
    (found,) = queries.labels_today([hood], hood.site.today())
    if isinstance(found, queries.NoLabel):
        return no_label(request, [found])
    made = pdf_labels.label(found.label, hood.site.printer_dpi, words, language())
    return printed(request, [found], made, SINGLE.code, f"{hood.tag} label {found.label.issue}.pdf")


def stop_sign(request: HttpRequest, pk: int) -> HttpResponse:
    """The sign to hang on a hood that must not be used today."""
    hood = visible_hood(request, pk)
    sign = queries.stop_sign_today(hood, hood.site.today())
    if sign is None:
        return render(request, "reports/no_sign.html", {"hood": hood}, status=403)
    made = pdf_stop_sign(sign, paper(request, hood.site.paper), hood.site.printer_dpi, words, language())
    return pdf(made, f"{hood.tag} do not use.pdf")


def canopy_sign(request: HttpRequest, pk: int) -> HttpResponse:
    """The sign to hang on a canopy, which never gets a label."""
    hood = visible_hood(request, pk)
    sign = queries.canopy_sign_today(hood, hood.site.today())
    if sign is None:
        return render(request, "reports/no_sign.html", {"hood": hood, "canopy": True}, status=403)
    made = pdf_canopy_sign(sign, paper(request, hood.site.paper), hood.site.printer_dpi, words, language())
    return pdf(made, f"{hood.tag} not for hazardous vapours.pdf")


def visible_hood(request: HttpRequest, pk: int) -> Hood:
    return get_object_or_404(Hood.objects.visible_to(request.user).select_related("site"), pk=pk)


def no_label(request: HttpRequest, refused: Sequence[queries.NoLabel]) -> HttpResponse:
    """No label is printed where today's status grants none; the page leads to the sign."""
    return render(request, "reports/no_label.html", {"refused": refused}, status=403)


def printed(
    request: HttpRequest, found: Sequence[queries.Printable], made: bytes, sheet: str, name: str
) -> HttpResponse:
    """The file, and its copies recorded before it is handed out."""
    record_label_copies(surveys=[one.survey for one in found], sheet=sheet, by=request.user, at=timezone.now())
    response = pdf(made, name)
    response.headers["Cache-Control"] = "private, no-store"  # tomorrow's status may grant none
    return response


def pdf(made: bytes, name: str) -> HttpResponse:
    response = HttpResponse(made, content_type="application/pdf")
    response.headers["Content-Disposition"] = content_disposition_header(False, name)
    return response


def paper(request: HttpRequest, own: str) -> str:
    """The paper asked for, or else the site's own: of a record, as it was then, so that its print is always the same."""
    asked = request.GET.get("paper", "")
    return next((one for one in (asked, own) if one in PAPERS), "A4")


def language() -> str:
    return get_language() or "en"
