"""What each button of the survey page does, once what the page holds is kept: go on, undo, strike, add, stop."""

from __future__ import annotations

import json
from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from surveys.actions.drafts import end_draft
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD, REASONS_TO_LEAVE
from surveys.models import Draft, Revision
from surveys.views import survey_adding as adding
from surveys.views import survey_readings as at_readings
from surveys.views.survey_pressed import UNDO, Pressed, undone_by

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


# --- ends -------------------------------------------------------------------------------------------------------------


def stop(pressed: Pressed, what: str) -> HttpResponse | None:
    """The hood must not be used: the survey ends, the stop is posted at once."""
    return _end(pressed, "stop_reason", REASONS_THAT_STOP_A_HOOD)


def leave(pressed: Pressed, what: str) -> HttpResponse | None:
    """The surveyor cannot go on: the survey ends, the hood keeps its status."""
    return _end(pressed, "leave_reason", REASONS_TO_LEAVE)


def despite_refusal(pressed: Pressed) -> HttpResponse | None:
    """A hood that must not be used is stopped even where the rest of the page could not be kept."""
    return stop(pressed, "") if pressed.form.data.get("do") == "stop" and pressed.reason("stop_reason") else None


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
    "keep": keep, "next": go_on, "draw": draw, "review": review, "undo": undo, "again": at_readings.again,
    "strike": at_readings.strike, "strike-all": at_readings.strike_all, "stays": at_readings.stays,
    "doubted": at_readings.doubted, "also": adding.also, "another": adding.another,
    "leave-out": adding.leave_out, "stop": stop, "leave": leave,
}  # fmt: skip
