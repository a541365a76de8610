"""The survey on the tablet: started, filled in, kept at each save, ended early; one address before and after signing."""

from __future__ import annotations

import json
import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from hoods.models.people import TECHNICIAN
from surveys import forms
from surveys.actions.drafts import Conflict, Receipt, save_revision, start_draft
from surveys.actions.signing import judging_now
from surveys.actions.surveyable import NoPart
from surveys.core.criteria import Criteria
from surveys.core.document import WrongShape, check, parse
from surveys.facts import around
from surveys.forms.survey_document import box_of, to_boxes, to_document
from surveys.models import Draft
from surveys.views.survey_boxes import Boxes
from surveys.views.survey_buttons import BUTTONS, despite_refusal
from surveys.views.survey_changes import NoSuchReading, with_moments
from surveys.views.survey_page import Page
from surveys.views.survey_paper import hood_named, is_from_paper, paper_form, start_from_paper
from surveys.views.survey_pressed import Pressed
from surveys.views.survey_signed import signed_page
from surveys.views.survey_to_test import first_boxes, with_openings
from surveys.wording import sentence


def draft_of(request: HttpRequest, id: uuid.UUID) -> Draft:
    """The draft that this person may see, with what every page of it shows."""
    rows = Draft.objects.visible_to(request.user).select_related(
        "hood__site", "version__set", "version__record", "started_by", "survey", "transcription__by"
    )
    return get_object_or_404(rows, pk=id)


# --- start ------------------------------------------------------------------------------------------------------------


def start(request: HttpRequest) -> HttpResponse:
    """From a tag or code to a survey; one that was begun and not signed is shown first."""
    if is_from_paper(request):
        return start_from_paper(request)
    form = forms.Start(request.POST or None, initial={"name": request.GET.get("hood", ""), "draft": uuid.uuid4()})
    hood, begun, no_part = None, [], False
    if form.is_bound and form.is_valid():
        hood = hood_named(request, form)
        begun = list(hood.drafts.open().select_related("started_by")) if hood else []
        if hood and (not begun or request.POST.get("another") == str(hood.pk)):
            try:
                draft = start_draft(
                    hood=hood, by=request.user, at=timezone.now(), id=form.cleaned_data["draft"] or uuid.uuid4()
                )
                return redirect("surveys:detail", draft.pk)
            except Refused as refusal:
                form.add_error("name", str(refusal))
                no_part = isinstance(refusal, NoPart)
    begun = begun if form.is_valid() else []
    return render(
        request, "surveys/survey/start.html",
        {"form": form, "hood": hood, "begun": begun, "paper": paper_form(request), "no_part": no_part},
        status=422 if form.errors and form.is_bound else 200,
    )  # fmt: skip


# --- the page ---------------------------------------------------------------------------------------------------------


def detail(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    """The survey in the making, or the one that was signed."""
    draft = draft_of(request, id)
    if hasattr(draft, "survey"):
        if request.method == "POST":
            return _save(request, draft)  # kept beside, never lost
        return signed_page(request, draft.survey)
    if not request.user.has_role(draft.hood.site, TECHNICIAN):
        return redirect("surveys:review", draft.pk)
    return _save(request, draft) if request.method == "POST" else _shown(request, page_of(draft, again=request.GET.get("again", "")))


def _shown(request: HttpRequest, page: Page, status: int = 200) -> HttpResponse:
    response = render(request, "surveys/survey/detail.html", {"page": page}, status=status)
    response.headers["Cache-Control"] = "private, no-store"  # a page from the past would be saved over what followed it
    return response


def page_of(draft: Draft, *, form: forms.Survey | None = None, **how: Any) -> Page:
    """The page as it was last kept; with a form that was refused, as that form stands."""
    revision = draft.revisions.order_by("-number").first()
    judging = judging_now(draft)
    content = _content(revision)
    document = judging.document if judging else parse(content)
    stands = judging.around if judging else around(draft, document)
    criteria = Criteria.from_dict(draft.version.document)
    if form is not None and form.boxes:
        texts, wrong, problems = form.boxes, dict(form.wrong), ()
    else:
        texts = to_boxes(content) if revision else first_boxes(stands, criteria)
        problems = check(document, stands.facts)
        wrong = {}
        for problem in problems:
            wrong.setdefault(box_of(problem.path, content), sentence(problem.message))
    texts = with_openings(texts, stands, criteria) | how.pop("typed", {})
    return Page(
        draft=draft, around=stands, criteria=criteria, document=document,
        boxes=Boxes(texts, wrong | how.pop("wrong", {})), revision=revision, judging=judging, problems=problems,
        entered=content, made_from=revision.number if revision else 0, **how,
    )  # fmt: skip


def _content(revision: Any) -> dict[str, Any]:
    """What a revision holds; one that was damaged holds nothing that could be shown."""
    try:
        content = json.loads(revision.content) if revision else {}
        parse(content)
        return content
    except (ValueError, WrongShape):
        return {}


# --- saving -----------------------------------------------------------------------------------------------------------


def _save(request: HttpRequest, draft: Draft) -> HttpResponse:
    """Keep what came, then do what was pressed."""
    form = forms.Survey(request.POST.dict())
    pressed = Pressed(request, draft, form)
    try:
        if not form.is_valid():
            return despite_refusal(pressed) or _refused(request, draft, form)
        if pressed.is_undone(draft.revisions.order_by("-number").first()):
            return pressed.back()
        receipt = _kept(request, draft, form)
    except Conflict as conflict:
        return despite_refusal(pressed) or _conflict(request, draft, conflict)
    if _wants_receipt(request):
        return JsonResponse(receipt.as_dict())
    pressed.receipt = receipt
    do, _colon, what = form.cleaned_data["do"].partition(":")
    try:
        answer = BUTTONS.get(do, BUTTONS["keep"])(pressed, what)
    except NoSuchReading:
        messages.error(request, _("That is not on the page any more: it was changed or struck before."))
        return pressed.back()
    except WrongShape as refused:
        messages.error(request, sentence(refused.problems[0].message))
        return pressed.back()
    if answer is not None:
        return answer
    return _shown(request, page_of(draft, **pressed.how), status=422)


def _kept(request: HttpRequest, draft: Draft, form: forms.Survey) -> Receipt:
    last = draft.revisions.order_by("-number").first()
    at = timezone.now()
    content = with_moments(to_document(form.boxes), _content(last), at.strftime("%Y-%m-%dT%H:%M:%SZ"))
    before = draft.revisions.filter(number=form.cleaned_data["made_from"]).first()
    content["ended_early"] = _content(before).get("ended_early")  # only Stop ends a survey, never what a form carries
    return save_revision(
        draft=draft, content=content, form_id=form.cleaned_data["form_id"], made_from=form.cleaned_data["made_from"],
        by=request.user, at=at, device_at=form.cleaned_data["device_at"],
    )  # fmt: skip


def _wants_receipt(request: HttpRequest) -> bool:
    return request.headers.get("Accept", "").startswith("application/json")


def _refused(request: HttpRequest, draft: Draft, form: forms.Survey) -> HttpResponse:
    """What has not the agreed shape is not kept: said at its box, with everything that was entered."""
    said = " ".join(str(error) for error in form.non_field_errors()) or _("This page was damaged on its way.")
    if _wants_receipt(request):
        named = "; ".join(form.wrong.values())
        return JsonResponse({"error": f"{said} {named}".strip(), "boxes": form.wrong}, status=422)
    page = page_of(draft, form=form, refused=said)
    page.made_from = form.cleaned_data.get("made_from", page.made_from)
    page.form_id = form.cleaned_data.get("form_id", page.form_id)
    return _shown(request, page, status=422)


def _conflict(request: HttpRequest, draft: Draft, conflict: Conflict) -> HttpResponse:
    address = reverse("surveys:set_aside", args=[draft.pk, conflict.set_aside.pk])
    if _wants_receipt(request):
        return JsonResponse({"error": str(conflict), "address": address}, status=409)
    messages.warning(request, str(conflict))
    from surveys.views.survey_aside import both

    return both(request, draft, conflict.set_aside, status=409)
