"""A button of the survey page that was pressed, with what the page held and where the answer goes."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone

from surveys import forms
from surveys.actions.drafts import Receipt, save_revision
from surveys.core.codes import ENDING_REASONS
from surveys.forms.survey_document import STATES, opening_names
from surveys.models import Draft, Revision
from surveys.views import survey_changes as changes
from surveys.views.survey_changes import is_number

UNDO = "undo-"


@dataclass
class Pressed:
    """A button of one survey's page, with what the page held."""

    request: HttpRequest
    draft: Draft
    form: forms.Survey
    receipt: Receipt | None = None
    how: dict[str, Any] = field(default_factory=dict)  # what the page says where a button refuses
    at: datetime = field(default_factory=timezone.now)

    @property
    def moment(self) -> str:
        return self.at.strftime("%Y-%m-%dT%H:%M:%SZ")

    @cached_property
    def content(self) -> dict[str, Any]:
        """The survey document as it was just kept."""
        return json.loads(self.draft.revisions.get(number=self.receipt.revision).content)

    def keep(self, content: dict[str, Any], form_id: str = "") -> None:
        """Keep what a button changed as the next revision."""
        self.receipt = save_revision(
            draft=self.draft, content=content, form_id=form_id or self.form.cleaned_data["form_id"],
            made_from=self.receipt.revision, by=self.request.user, at=self.at,
        )  # fmt: skip

    def back(self, target: str = "", **query: str) -> HttpResponse:
        """To the page again, at a box."""
        address = reverse("surveys:detail", args=[self.draft.pk])
        asked = f"?again={query['again']}" if query.get("again") else ""
        return HttpResponseRedirect(f"{address}{asked}{f'#{target}' if target else ''}")

    def place(self, prefix: str) -> tuple[str, str]:
        """The opening and state of a grid, by the beginning of its names: 't0f'."""
        index, letter = prefix[1:-1], prefix[-1:]
        names = opening_names(self.form.boxes)
        if not is_number(index) or int(index) not in names or letter not in STATES:
            raise changes.NoSuchReading
        return names[int(index)], STATES[letter]

    def point(self, prefix: str) -> tuple[int, int] | None:
        """The point that was chosen for a grid, as row and column counted from 0."""
        row, _dot, column = self.form.boxes.get(f"{prefix}_place", "").partition(".")
        if not (is_number(row) and is_number(column)) or "0" in (row, column):
            return None
        return int(row) - 1, int(column) - 1

    def is_undone(self, last: Revision | None) -> bool:
        """Whether this very undo was done before and only its answer was lost."""
        held = self.form.cleaned_data
        made_from = (held["made_from"], held["made_from"] + 1)  # what the form held may have been kept first
        return bool(
            held["do"] == "undo" and last and last.form_id == undone_by(held["form_id"]) and last.made_from in made_from
        )

    def reason(self, name: str) -> str:
        held = self.form.boxes.get(name, "")
        return held if held in ENDING_REASONS else ""


def undone_by(form_id: str) -> str:
    """The name under which a form's undo is kept, so that it is told from what was entered."""
    return f"{UNDO}{form_id}"[:64]
