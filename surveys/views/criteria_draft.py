"""A draft of criteria written by form: kept whole, or refused with each sentence at its box and the entry kept."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.views.page import done
from surveys.actions import criteria as actions
from surveys.core.compared import compared
from surveys.core.criteria import Criteria
from surveys.forms.criteria_document import Boxes, pressed
from surveys.forms.criteria_draft import DraftDocument, rows_of
from surveys.models import CriteriaVersion
from surveys.views.criteria import adopted, version_of


def change_draft(request: HttpRequest, pk: int) -> HttpResponse:
    version = version_of(request, pk)
    if version.adopted_at is not None:
        return adopted(request, version)
    if request.method != "POST":
        return draft_page(request, version, _new(version))
    boxes = _boxes_sent(request)
    if (moved := pressed(boxes, request.POST.get("press", ""))) is not None:
        return draft_page(request, version, DraftDocument(made_from=version.document, boxes=moved), unkept=True)
    form = DraftDocument(request.POST, made_from=version.document)
    if not form.is_valid():
        return draft_page(request, version, form, status=422)
    try:
        actions.change_draft(version=version, **form.cleaned_data, by=request.user, at=timezone.now())
    except actions.DraftChanged as refusal:
        return conflict_page(request, refusal, form)
    except actions.Adopted:
        return adopted(request, version)
    return done(request, _("The draft is kept."), "surveys:criteria_version", pk)


def _new(version: CriteriaVersion) -> DraftDocument:
    return DraftDocument(made_from=version.document, initial={"seen": actions.content_hash(version)})


def _boxes_sent(request: HttpRequest) -> Boxes:
    """What was sent, as boxes; rows are counted no further than a document may have."""
    boxes: Boxes = {**request.POST.dict(), "must_pass": request.POST.getlist("must_pass")}
    return boxes | {f"{part}-number": rows_of(boxes, part) or 0 for part in ("limits", "checks")}


def draft_page(
    request: HttpRequest, version: CriteriaVersion, form: DraftDocument, *, status: int = 200, unkept: bool = False,
    **more: Any,
) -> HttpResponse:  # fmt: skip
    """The page; what stands in the way of adopting is said where the draft is shown as it is kept."""
    as_kept = not form.is_bound and not unkept
    waiting = form.wait(Criteria.from_dict(version.document)) if as_kept else []
    return render(request, "surveys/criteria/draft.html", {
        "version": version, "form": form, "unkept": unkept, "waiting": waiting,
        "refusals": form.refusals if form.is_bound else [], **more,
    }, status=status)  # fmt: skip


def conflict_page(request: HttpRequest, refusal: actions.DraftChanged, form: DraftDocument) -> HttpResponse:
    """What is kept now beside what was entered; sent again from here, what was entered takes its place."""
    theirs = Criteria.from_dict(refusal.version.document)
    mine = Criteria.from_dict(form.document)
    form.data = form.data.copy()
    form.data["seen"] = actions.content_hash(refusal.version)
    return draft_page(
        request, refusal.version, form, status=409, conflict=refusal.sentence, compared=compared(theirs, mine)
    )
