"""A signed survey, read from its record; and the label that was put on after it."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from hoods.actions.refusal import Refused
from hoods.models.people import TECHNICIAN
from surveys import forms, queries
from surveys.actions import stops
from surveys.actions.amendments import why_not_amend
from surveys.actions.labels import label_put_on as keep_label
from surveys.core import status as core
from surveys.models import Stop, Survey
from surveys.templatetags.ledger import may_open
from surveys.views.finding_life import done_by
from surveys.views.survey_entered import Entered
from surveys.views.survey_page import TONES
from surveys.views.survey_result import Result
from surveys.wording import restriction, title


def signed_page(
    request: HttpRequest, survey: Survey, form: forms.LabelPutOn | None = None, status: int = 200
) -> HttpResponse:
    """What was found, as it was attested: every word comes from the record."""
    attested = survey.record.attested
    judged, entered = attested["judged"], attested["entered"]
    tone, shape = TONES.get(judged["verdict"], ("idle", "not-yet-surveyed"))
    amended_by = survey.amended_by.select_related("signed_by").first()
    now = queries.status_of(survey.hood, survey.hood.site.today())
    holds = core.grants_label(now) and now.survey == survey.pk  # its label is the one to print, and to put on, today
    may_put_on = holds and request.user.has_role(survey.hood.site, TECHNICIAN)
    context: dict[str, Any] = {
        "survey": survey, "hood": survey.hood, "attested": attested, "entered": entered,
        "title": title(judged["verdict"], judged["restriction"]), "tone": tone, "shape": shape,
        "restriction": restriction(judged["restriction"]),
        "result": Result(judged, attested["criteria"]["document"], entered, attested["facts"]),
        "as_entered": Entered(
            entered, _instrument(attested["facts"]),
            bool((attested["signed"].get("confirmed") or {}).get("stop_and_mark_moved")),
            attested["facts"]["hood"].get("sash") or "",
        ),
        "approved": [_height(entered, name) for name in judged["approved"]],
        "form": form or (forms.LabelPutOn() if may_put_on else None),
        "put_on": survey.labels_put_on.select_related("by"),
        "amended_by": amended_by,
        "failure_stands": amended_by is not None and (survey.verdict, amended_by.verdict) == ("fail", "no-verdict"),
        "begun": [] if amended_by else survey.amendments.open().select_related("started_by"),
        "may_amend": may_open(request, "surveys:amend", "POST") and why_not_amend(survey, request.user) is None,
        "findings": done_by(survey),
        "holds": holds,
        "now": now, "overtaken": amended_by is None and is_overtaken(survey, now),
        "unlabelled": now.unlabelled if now.survey == survey.pk else None,
        "canopy": now.is_canopy and now.survey == survey.pk,
        "barred": survey.verdict == "fail" and not now.grants,
        "radiation": radiation_office(attested),
        "left_up": left_up(survey) if now.survey == survey.pk else [],
    }  # fmt: skip
    return render(request, "surveys/survey/signed.html", context, status=status)


def is_overtaken(survey: Survey, now: core.Status) -> bool:
    """Whether what holds of the hood today comes of something later: a stop, a change of the hood, another survey."""
    if survey.verdict == "no-verdict":
        return False
    return now.survey != survey.pk or (survey.verdict != "fail" and not now.grants)


def radiation_office(attested: dict[str, Any]) -> str:
    """Whether the radiation office was told of the survey of a radioisotope hood; empty for any other."""
    if attested["facts"]["hood"]["kind"] != "radioisotope":
        return ""
    answers = [one for one in attested["entered"]["answers"] if one["check"] == "radiation-office-told"]
    return "told" if any(one["answer"] == "yes" for one in answers) else "not-told"


def left_up(survey: Survey) -> list[Stop]:
    """What is still posted although this survey, which came after it, ended pass or restrict."""
    if survey.verdict not in ("pass", "restrict"):
        return []
    return list(survey.hood.stops.up().filter(at__lt=survey.measured_from).select_related("by"))


def _instrument(facts: dict[str, Any]) -> str:
    """The instrument as the record names it."""
    return ", ".join(filter(None, (facts["instrument"]["name"], facts["instrument"].get("serial")))) if facts["instrument"] else ""


def _height(entered: dict[str, Any], name: str) -> tuple[str, str]:
    """An approved opening and its height as measured."""
    return name, next((one["height"] or "" for one in entered["openings"] if one["name"] == name), "")


def label_put_on(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    """Keep that the label is on the sash, by its number, and whether the old one is off."""
    rows = Survey.objects.visible_to(request.user).select_related("hood__site", "record")
    survey = get_object_or_404(rows, pk=id)
    if request.method != "POST":  # read again after a refusal
        return redirect("surveys:detail", survey.pk)
    form = forms.LabelPutOn(request.POST)
    if not form.is_valid():
        return signed_page(request, survey, form, status=422)
    try:
        keep_label(
            survey=survey, issue=form.cleaned_data["issue"], old_removed=form.cleaned_data["old_removed"],
            by=request.user, at=timezone.now(),
        )  # fmt: skip
    except Refused as refusal:
        form.add_error("issue", str(refusal))
        return signed_page(request, survey, form, status=422)
    messages.success(request, _("Kept: the label is on the hood."))
    return redirect("surveys:detail", survey.pk)


@require_POST
def sign_taken_down(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    """Keep that the 'Do not use' sign is off a hood whose survey ended pass or restrict."""
    rows = Survey.objects.visible_to(request.user).select_related("hood__site", "record")
    survey = get_object_or_404(rows, pk=id)
    try:
        stops.take_sign_down(survey=survey, by=request.user, at=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
        return signed_page(request, survey, status=422)
    messages.success(request, _("Kept: the sign is taken down, and what was posted is lifted."))
    return redirect("surveys:detail", survey.pk)
