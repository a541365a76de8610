"""One signature for the finished surveys of a room: each listed with its verdict and what it asks, one password."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from hoods.models import Hood, Room
from surveys.actions.room_signing import NotSigned, Ticked, problems_of, sign_surveys, why_not_together
from surveys.actions.signing import Seen
from surveys.forms.survey import Signing
from surveys.forms.survey import Ticked as TickedForm
from surveys.models import Draft
from surveys.views.survey import page_of
from surveys.views.survey_review import Review
from surveys.wording import sentence

MOST = 60  # surveys that one signature is asked for: a room has a few hoods


@dataclass
class Finished:
    """One survey of the list: how it would be judged, what it asks, and why it cannot be signed here, if it cannot."""

    draft: Draft
    review: Review
    why_not: str
    form: TickedForm | None = None

    @property
    def is_ready(self) -> bool:
        return not self.why_not and not self.review.problems


def sign_room(request: HttpRequest, pk: int) -> HttpResponse:
    rooms = Room.objects.visible_to(request.user).select_related("building__site")
    room = get_object_or_404(rooms, pk=pk)
    if request.method != "POST":
        return _shown(request, room)
    drafts = _sent(request, room)
    form = Signing(request.POST, person=request.user)
    ticks = {draft.pk: _tick(request, draft) for draft in drafts}
    if not all([form.is_valid(), *(tick.is_valid() for tick in ticks.values())]):
        refused = _("Nothing is signed yet: see what is marked.")
        return _shown(request, room, form, ticks, refused=refused, status=422)
    chosen = [
        _as_seen(draft, ticks[draft.pk].cleaned_data) for draft in drafts if ticks[draft.pk].cleaned_data["chosen"]
    ]
    try:
        surveys = sign_surveys(room=room, chosen=chosen, by=request.user, at=timezone.now())
    except NotSigned as refusal:
        said = " ".join([str(refusal), *(sentence(one) for one in problems_of(refusal)), _("None of them is signed.")])
        status = 409 if refusal.unseen else 422
        return _shown(request, room, ticks={} if refusal.unseen else ticks, refused=said, status=status)
    except Refused as refusal:
        return _shown(request, room, ticks=ticks, refused=str(refusal), status=422)
    kept = ", ".join(
        _("%(hood)s as record %(number)s") % {"hood": one.hood.tag, "number": one.record_id} for one in surveys
    )
    messages.success(request, _("Signed and kept: %(surveys)s.") % {"surveys": kept})
    return redirect("surveys:room", room.pk)


def _sent(request: HttpRequest, room: Room) -> list[Draft]:
    """The surveys that the form lists, in its order; one that this person may not see is not there."""
    ids = [_id(text) for text in request.POST.getlist("draft")[:MOST]]
    rows = Draft.objects.visible_to(request.user).filter(pk__in=ids, hood__site=room.building.site_id)
    found = {draft.pk: draft for draft in _whole(rows)}
    if set(ids) != set(found):
        raise Http404
    return [found[id] for id in dict.fromkeys(ids)]


def _id(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError:
        raise Http404 from None


def _whole(rows: Any) -> Any:
    return rows.select_related("hood__site", "version__set", "version__record", "started_by", "survey", "amends", "transcription__by")


def _tick(request: HttpRequest, draft: Draft) -> TickedForm:
    """The boxes of one survey. What is missing in it is asked as it was seen: changed since, it is not signed at all."""
    page = None if hasattr(draft, "survey") else page_of(draft)
    seen = page is not None and request.POST.get(f"{draft.pk}-revision") == str(page.made_from)
    missing = bool(page is not None and seen and Review(page, None).missing)
    return TickedForm(request.POST, prefix=str(draft.pk), missing=missing)


def _as_seen(draft: Draft, held: dict[str, Any]) -> Ticked:
    seen = Seen(held["revision"] or 0, held["version"] or 0)
    return Ticked(draft.pk, seen, stop_moved=held["stop_moved"], sign_taken_down=held["sign_taken_down"])


def _shown(
    request: HttpRequest, room: Room, form: Signing | None = None, ticks: dict[uuid.UUID, TickedForm] | None = None,
    *, refused: str = "", status: int = 200,
) -> HttpResponse:  # fmt: skip
    listed = [_finished(draft, request.user) for draft in _open_in(request.user, room)]
    ready = [one for one in listed if one.is_ready]
    for one in ready:
        one.form = (ticks or {}).get(one.draft.pk) or _fresh(one)
    response = render(request, "surveys/room_sign.html", {
        "room": room, "ready": ready, "unready": [one for one in listed if not one.is_ready], "refused": refused,
        "form": form or Signing(person=request.user),
    }, status=status)  # fmt: skip
    response.headers["Cache-Control"] = "private, no-store"
    return response


def _open_in(person: Any, room: Room) -> list[Draft]:
    """The surveys of this room's hoods that are not signed, as the room is walked."""
    hoods = Hood.objects.visible_to(person).in_room(room).order_by().values("pk")
    return list(_whole(Draft.objects.open().filter(hood__in=hoods)).order_by("hood__tag", "started_at", "pk")[:MOST])


def _finished(draft: Draft, by: Any) -> Finished:
    review = Review(page_of(draft), None)
    if not review.page.made_from:
        return Finished(draft, review, _("Nothing is kept in it yet."))
    if review.page.judging is None:
        return Finished(draft, review, _("It could not be judged: tell the programme manager."))
    refusal = why_not_together(draft, by)
    return Finished(draft, review, str(refusal) if refusal else "")


def _fresh(one: Finished) -> TickedForm:
    seen = {"chosen": True, "revision": one.review.page.made_from, "version": one.draft.version_id}
    return TickedForm(prefix=str(one.draft.pk), initial=seen)
