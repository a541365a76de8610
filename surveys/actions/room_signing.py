"""One signature for several finished surveys: each is judged and kept as if signed alone, all of them or none."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Hood, Person, Room
from surveys.actions.signing import NotReady, Seen, SignedUnseen, sign_survey
from surveys.models import Draft, Survey


class NothingToSign(Refused):
    said = _("Nothing is chosen: tick the surveys that you sign.")


class NotSigned(Refused):
    """One of the surveys refused; the others are not signed either. `refusal` is what that one said."""

    def __init__(self, draft: Draft, refusal: Refused) -> None:
        self.draft, self.refusal = draft, refusal
        self.unseen = isinstance(refusal, SignedUnseen)
        super().__init__(_("%(hood)s: %(why)s"), hood=draft.hood.tag, why=str(refusal))


class AnothersMeasurements(Refused):
    said = _("Somebody else kept a part of it: who measured signs it, on its own review.")


class AmendsAnother(Refused):
    said = _("It amends a signed survey: read and sign it on its own review.")


class NotInThisRoom(Refused):
    said = _("It does not stand in this room: sign its survey in the room where it stands, or on its own review.")


class FromPaper(Refused):
    said = _("It is typed in from paper: read and sign it on its own review.")


@dataclass(frozen=True)
class Ticked:
    """One survey of those to be signed: what was seen of it, and what was confirmed."""

    draft: uuid.UUID
    seen: Seen
    stop_moved: bool = False
    sign_taken_down: bool = False


def why_not_together(draft: Draft, by: Person) -> Refused | None:
    """Why a survey is not signed together with others, but on its own review; None where it can be."""
    if draft.amends_id is not None:
        return AmendsAnother()
    if draft.from_paper is not None:
        return FromPaper()
    return AnothersMeasurements() if draft.revisions.exclude(by=by).exists() else None


@transaction.atomic
def sign_surveys(*, room: Room, chosen: Sequence[Ticked], by: Person, at: datetime) -> list[Survey]:
    """Sign what was seen of each hood of a room, in the order given; each has its own record. Signed again, they are the same.

    All or none: one signature stands for one list, so that a survey that cannot be signed stops the others too.
    """
    if not chosen:
        raise NothingToSign()
    drafts = _locked(chosen)
    here = set(Hood.objects.in_room(room).values_list("pk", flat=True))
    return [_signed(drafts[one.draft], one, here, by, at) for one in chosen]


def _locked(chosen: Sequence[Ticked]) -> dict[uuid.UUID, Draft]:
    """All drafts, locked in one order before any record is numbered: two who sign at once wait, and never cross."""
    rows = Draft.objects.select_for_update(of=("self",), no_key=True).select_related("hood__site").order_by("pk")
    return {draft.pk: draft for draft in rows.filter(pk__in=[one.draft for one in chosen])}


def _signed(draft: Draft, one: Ticked, here: set[int], by: Person, at: datetime) -> Survey:
    """Sign one of them; `here` are the hoods of the room."""
    try:
        if not Survey.objects.filter(pk=draft.pk).exists():
            if draft.hood_id not in here:
                raise NotInThisRoom()
            if refusal := why_not_together(draft, by):
                raise refusal
        return sign_survey(
            draft=draft, seen=one.seen, by=by, at=at, stop_moved=one.stop_moved, sign_taken_down=one.sign_taken_down
        )
    except Refused as refusal:
        raise NotSigned(draft, refusal) from refusal


def problems_of(refusal: NotSigned) -> tuple[object, ...]:
    """What has to be put right in the survey that refused, as messages."""
    return tuple(one.message for one in refusal.refusal.problems) if isinstance(refusal.refusal, NotReady) else ()
