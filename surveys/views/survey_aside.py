"""Two entries of one survey that could not follow one another: both shown, and gone on from theirs or from mine."""

from __future__ import annotations

import json
import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from surveys.actions.drafts import Conflict, save_revision
from surveys.forms.survey_document import to_boxes
from surveys.models import Draft, SetAside
from surveys.views.survey import draft_of, page_of
from surveys.views.survey_names import name_of


def set_aside(request: HttpRequest, id: uuid.UUID, pk: int) -> HttpResponse:
    """Show both entries; or go on from the one that was kept beside."""
    draft = draft_of(request, id)
    aside = get_object_or_404(draft.set_aside.select_related("by"), pk=pk)
    if request.method != "POST":
        return both(request, draft, aside)
    last = request.POST.get("made_from", "")
    try:
        save_revision(
            draft=draft, content=aside.content, form_id=f"aside-{aside.pk}",
            made_from=int(last) if last.isascii() and last.isdigit() else 0, by=request.user, at=timezone.now(),
        )  # fmt: skip
    except Conflict as conflict:
        messages.warning(request, str(conflict))
        return both(request, draft, conflict.set_aside, status=409)
    messages.success(request, _("Kept: the survey goes on from this entry. The other one stays among its revisions."))
    return redirect("surveys:detail", draft.pk)


def both(request: HttpRequest, draft: Draft, aside: SetAside, status: int = 200) -> HttpResponse:
    """The page that shows where the two differ, box by box."""
    last = draft.revisions.select_related("by").order_by("-number").first()
    page = page_of(draft)
    theirs = to_boxes(json.loads(last.content)) if last else {}
    mine = to_boxes(json.loads(aside.content))
    rows: list[dict[str, Any]] = [
        {"name": name_of(name, page), "theirs": theirs.get(name, ""), "mine": mine.get(name, "")}
        for name in sorted(theirs.keys() | mine.keys())
        if theirs.get(name, "") != mine.get(name, "") and not name.endswith(("-at", "_unit", "_rows", "_columns"))
    ]
    context = {
        "draft": draft, "hood": draft.hood, "aside": aside, "last": last, "rows": rows,
        "signed": hasattr(draft, "survey"),
    }  # fmt: skip
    return render(request, "surveys/survey/aside.html", context, status=status)
