"""A survey that is typed in from paper: which hood, which day, and who measured."""

from __future__ import annotations

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from hoods.core import code as codes
from hoods.models import Hood, Site
from surveys import forms
from surveys.actions.surveyable import NoPart
from surveys.actions.transcribing import start_transcription
from surveys.views.lists import former


def is_from_paper(request: HttpRequest) -> bool:
    """Whether its button was pressed, or a box of it is filled: then no other button makes a survey of today of it."""
    return request.POST.get("how") == "paper" or any(request.POST.get(name, "").strip() for name in forms.FromPaper.base_fields)


def paper_form(request: HttpRequest, site: Site | None = None) -> forms.FromPaper:
    """The boxes on the start page; the people are those of the hood's site, or of the one that is looked at."""
    site = site or request.site
    sent = request.POST if is_from_paper(request) else None
    return forms.FromPaper(sent, site=site, on=site.today())


def start_from_paper(request: HttpRequest) -> HttpResponse:
    """Start the survey of the day on the paper; what is refused is said at its box, the entry kept."""
    form = forms.Start(request.POST)
    hood = hood_named(request, form) if form.is_valid() else None
    paper, no_part = paper_form(request, hood.site if hood else None), False
    if hood is not None and paper.is_valid():
        held = paper.cleaned_data
        try:
            draft = start_transcription(
                hood=hood, measured_on=held["measured_on"], person=held["person"], measured_by=held["measured_by"],
                by=request.user, at=timezone.now(),
            )  # fmt: skip
            return redirect("surveys:detail", draft.pk)
        except Refused as refusal:
            no_part = isinstance(refusal, NoPart)
            holder = paper if refusal.field in paper.fields else form
            holder.add_error(refusal.field if refusal.field in holder.fields else "name", str(refusal))
    return render(
        request, "surveys/survey/start.html",
        {"form": form, "hood": hood, "begun": [], "paper": paper, "no_part": no_part}, status=422,
    )


def hood_named(request: HttpRequest, form: forms.Start) -> Hood | None:
    asked = form.cleaned_data["name"].strip()
    code = codes.normalised(asked)
    hoods = Hood.objects.visible_to(request.user).select_related("site")
    hood = hoods.filter(Q(tag__iexact=asked) | Q(code=code)).first() or hoods.filter(former(asked, code)).first()
    if hood is None:
        form.add_error(
            "name", _("No hood here has the tag or code “%(text)s”. Compare it with the hood.") % {"text": asked}
        )
    return hood
