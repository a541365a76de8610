"""What each button of the survey page does, once what the page holds is kept: go on, undo, strike, add, stop."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from surveys import forms
from surveys.actions.drafts import Receipt, end_draft, save_revision
from surveys.core.codes import ENDING_REASONS, REASONS_THAT_STOP_A_HOOD, REASONS_TO_LEAVE
from surveys.core.document import parse
from surveys.core.questions import questions
from surveys.core.units import NotANumber
from surveys.facts import facts_for
from surveys.forms.survey_document import STATES, opening_names
from surveys.models import Draft, Revision
from surveys.views import survey_adding as adding
from surveys.views import survey_changes as changes
from surveys.views.survey_changes import is_number
from surveys.views.survey_doubts import SEPARATOR

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

    def despite_refusal(self) -> HttpResponse | None:
        """A hood that must not be used is stopped even where the rest of the page could not be kept."""
        return stop(self, "") if self.form.data.get("do") == "stop" and self.reason("stop_reason") else None

    def reason(self, name: str) -> str:
        held = self.form.boxes.get(name, "")
        return held if held in ENDING_REASONS else ""


# --- going on ---------------------------------------------------------------------------------------------------------


def keep(pressed: Pressed, what: str) -> HttpResponse:
    return go_on(pressed, what)


def go_on(pressed: Pressed, what: str) -> HttpResponse:
    """To the first box that waits."""
    from surveys.views.survey import page_of

    return pressed.back(page_of(pressed.draft).next_target)


def draw(pressed: Pressed, what: str) -> HttpResponse:
    """To the first point of the grid that was drawn; or to the opening, where none could be."""
    from surveys.views.survey import page_of

    place = next((one for one in page_of(pressed.draft).openings if str(one.index) == what), None)
    if place is None or place.found is None:
        return pressed.back(f"part-opening-{what}")
    waiting = [cell for cell in place.found.cells if not cell.is_filled]
    return pressed.back(waiting[0].target if waiting else f"part-traverse-{what}")


def review(pressed: Pressed, what: str) -> HttpResponse:
    return redirect("surveys:review", pressed.draft.pk)


def undo(pressed: Pressed, what: str) -> HttpResponse:
    """Back to what was kept before the last change that still stands; every change stays among the revisions."""
    before = _before_the_last_change(pressed.draft, pressed.receipt.revision)
    if before is None:
        messages.info(pressed.request, _("There is nothing to take back: nothing was kept before this."))
        return pressed.back()
    pressed.keep(json.loads(before.content), form_id=undone_by(pressed.form.cleaned_data["form_id"]))
    messages.success(pressed.request, _("Undone: the last change was taken back."))
    return go_on(pressed, what)


def undone_by(form_id: str) -> str:
    """The name under which a form's undo is kept, so that it is told from what was entered."""
    return f"{UNDO}{form_id}"[:64]


def _before_the_last_change(draft: Draft, number: int) -> Revision | None:
    """The revision to which undo goes back from this one; None where nothing is left to take back.

    Revisions are the history: each undo among them took back one change, and what came after stands on that.
    """
    standing: list[Revision] = []
    for revision in draft.revisions.filter(number__lte=number).order_by("number"):
        if revision.form_id.startswith(UNDO) and len(standing) > 1:
            standing.pop()
        if not standing or standing[-1].sha256 != revision.sha256:
            standing.append(revision)
    return standing[-2] if len(standing) > 1 else None


# --- readings ---------------------------------------------------------------------------------------------------------


def again(pressed: Pressed, prefix: str) -> HttpResponse | None:
    """One more box for a point that was read: its readings are averaged."""
    point = pressed.point(prefix)
    if point is None:
        return _choose_a_point(pressed, prefix)
    return pressed.back(_box_after(pressed, prefix, *point), again=f"{prefix[1:]}:{point[0] + 1}.{point[1] + 1}")


def strike(pressed: Pressed, prefix: str) -> HttpResponse | None:
    """Strike the newest reading of a point, with the reason; the point is to be read again."""
    point, why = pressed.point(prefix), pressed.form.boxes.get(f"{prefix}_why", "").strip()
    if point is None:
        return _choose_a_point(pressed, prefix)
    if not why:
        return _ask(pressed, prefix, "why", _("A struck reading needs a reason: write why it does not count."))
    changes.strike(pressed.content, changes.traverse_index(pressed.content, *pressed.place(prefix)), *point, why)
    pressed.keep(pressed.content)
    return pressed.back(_box_after(pressed, prefix, *point))


def _box_after(pressed: Pressed, prefix: str, row: int, column: int) -> str:
    """The box for the next reading of a point."""
    index = changes.traverse_index(pressed.content, *pressed.place(prefix))
    return f"r{prefix[1:]}-{row}-{column}-{len(changes.taken(pressed.content, index, row, column))}"


def _choose_a_point(pressed: Pressed, prefix: str) -> None:
    _ask(pressed, prefix, "place", _("Choose the point first."))


def _ask(pressed: Pressed, prefix: str, box: str, words: str) -> None:
    """Show the page again with what is wrong at a box beside the grid, and what was entered there."""
    pressed.place(prefix)
    typed = {name: pressed.form.boxes.get(name, "") for name in (f"{prefix}_place", f"{prefix}_why")}
    pressed.how = {"typed": typed, "wrong": {f"{prefix}_{box}": words}}


def strike_all(pressed: Pressed, prefix: str) -> HttpResponse | None:
    """Set a whole traverse aside, with the reason, and begin a new one."""
    why = pressed.form.boxes.get(f"{prefix}_why", "").strip()
    if not why:
        return _ask(pressed, prefix, "why", _("A struck traverse needs a reason: write why it does not count."))
    changes.strike_traverse(pressed.content, changes.traverse_index(pressed.content, *pressed.place(prefix)), why)
    pressed.keep(pressed.content)
    return pressed.back(f"r{prefix[1:]}-0-0-0")


def stays(pressed: Pressed, named: str) -> HttpResponse:
    """A soft question answered: what was read stays."""
    return _answered(pressed, named, "stays")


def doubted(pressed: Pressed, named: str) -> HttpResponse:
    """A soft question answered: what was read is struck, and read again."""
    return _answered(pressed, named, "struck")


def _answered(pressed: Pressed, named: str, answer: str) -> HttpResponse:
    code, path, value = (*named.split(SEPARATOR, 2), "", "")[:3]
    parts = path.split(".")
    numbers = [parts[1] if len(parts) > 1 else "", *parts[3:]]
    if len(parts) < 3 or not named.isprintable() or not all(map(is_number, numbers)):
        raise changes.NoSuchReading
    if not _is_asked(pressed, code, path, value):
        messages.info(pressed.request, _("What was asked about was changed meanwhile: what is asked now stands under the grid."))
        return pressed.back()
    index, why = int(parts[1]), _("said to be wrong when asked")
    traverse = pressed.content["traverses"][index]
    letter = next(letter for letter, state in STATES.items() if state == traverse["state"])
    number = {name: i for i, name in opening_names(pressed.form.boxes).items()}.get(traverse["opening"], 0)
    target = f"grid-{number}{letter}"
    if answer == "struck" and code == "all-zero":
        changes.strike_traverse(pressed.content, index, why)
    elif answer == "struck" and len(parts) >= 5:
        row, column = int(parts[3]), int(parts[4])
        run = _run(traverse, row, column, value) if code == "four-alike" else 0
        if run:
            changes.strike_run(pressed.content, index, row, column, run, why)
        else:
            changes.strike(pressed.content, index, row, column, why)
        target = f"r{number}{letter}-{row}-{column}-{len(changes.taken(pressed.content, index, row, column))}"
    changes.answer_question(pressed.content, code, path, value, answer, pressed.moment)
    pressed.keep(pressed.content)
    return pressed.back(target)


def _is_asked(pressed: Pressed, code: str, path: str, value: str) -> bool:
    """Whether the readings as just kept raise this question, answered or not: what is gone is not answered for."""
    document = parse(pressed.content)
    raised = questions(document, facts_for(pressed.draft, document))
    return (code, path, value) in {(one.code, one.path, one.value) for one in raised}


def _run(traverse: dict[str, Any], row: int, column: int, value: str) -> int:
    """How many readings in a row, from one on, are alike."""
    number = 0
    for r, line in enumerate(traverse["readings"]):
        for c, cell in enumerate(line):
            if (r, c) < (row, column):
                continue
            held = cell if isinstance(cell, list) else [] if cell is None else [cell]
            texts = [one if isinstance(one, str) else one["value"] for one in held if isinstance(one, str) or one.get("struck") is None]
            if any(not _alike(text, value) for text in texts):
                return number
            number += len(texts)
    return number


def _alike(text: str, value: str) -> bool:
    from surveys.core.units import number

    try:
        return number(text) == number(value)
    except NotANumber:
        return False


# --- ends -------------------------------------------------------------------------------------------------------------


def stop(pressed: Pressed, what: str) -> HttpResponse | None:
    """The hood must not be used: the survey ends, the stop is posted at once."""
    return _end(pressed, "stop_reason", REASONS_THAT_STOP_A_HOOD)


def leave(pressed: Pressed, what: str) -> HttpResponse | None:
    """The surveyor cannot go on: the survey ends, the hood keeps its status."""
    return _end(pressed, "leave_reason", REASONS_TO_LEAVE)


def _end(pressed: Pressed, name: str, known: tuple[str, ...]) -> HttpResponse | None:
    reason = pressed.form.boxes.get(name, "")
    if reason not in known:
        typed = {name: pressed.form.boxes.get(name, "") for name in ("stop_reason", "leave_reason", "stop_words")}
        pressed.how = {"stop_problem": _("Choose the reason first; then press once more."), "typed": typed}
        return None
    try:
        ended = end_draft(
            draft=pressed.draft, reason=reason, words=pressed.form.boxes.get("stop_words", "")[:400],
            by=pressed.request.user, at=pressed.at,
        )  # fmt: skip
    except Refused as refusal:
        messages.error(pressed.request, str(refusal))
        return pressed.back()
    if ended.stop is not None:
        messages.warning(
            pressed.request,
            (
                _("‘Do not use’ is posted on %(tag)s. Hang the sign at its open front; then sign the survey as ended.")
                if pressed.draft.hood.sash == "none"
                else _("‘Do not use’ is posted on %(tag)s. Hang the sign on the sash; then sign the survey as ended.")
            )
            % {"tag": pressed.draft.hood.tag},
        )
    return redirect("surveys:review", pressed.draft.pk)


BUTTONS: dict[str, Callable[[Pressed, str], HttpResponse | None]] = {
    "keep": keep, "next": go_on, "draw": draw, "review": review, "undo": undo, "again": again, "strike": strike,
    "strike-all": strike_all, "stays": stays, "doubted": doubted, "also": adding.also, "another": adding.another,
    "leave-out": adding.leave_out, "stop": stop, "leave": leave,
}  # fmt: skip
