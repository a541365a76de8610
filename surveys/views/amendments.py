"""'This survey was wrong': the page that starts another, which will stand in its place once it is signed."""

from __future__ import annotations

import uuid
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods.views.page import form_page, kept, sent
from surveys.actions.amendments import start_amendment, why_not_amend
from surveys.forms.finding import Amending
from surveys.models import Survey
from surveys.templatetags.ledger import plain_day
from surveys.views.survey import draft_of


def amend(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    draft = draft_of(request, id)
    if not hasattr(draft, "survey"):
        return redirect("surveys:detail", draft.pk)
    survey = get_object_or_404(Survey.objects.select_related("hood__site", "record", "draft"), pk=draft.pk)
    own = survey.signed_by_id == request.user.pk
    form = Amending(sent(request), own=own, initial={"draft": uuid.uuid4(), "begins": "copy" if own else "empty"})
    refusal = why_not_amend(survey, request.user)
    if made := kept(request, form, partial(start_amendment, survey=survey)):
        return redirect("surveys:detail", made.pk)
    return form_page(
        request, form, title=_("Amend"), where=survey.hood.tag,
        answer=_("What was wrong in the survey of %(day)s, record %(number)s?")
        % {"day": plain_day(survey.done_on), "number": survey.record_id},
        after=refusal
        or _("Another survey takes its place once it is signed. This one stays readable and printable, marked as superseded."),
        button=_("Start the amendment"), back=reverse("surveys:detail", args=[survey.pk]),
    )  # fmt: skip
