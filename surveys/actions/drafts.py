"""From the first reading to the last: a survey in the making, its revisions, and an end that comes early."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, Person
from surveys.actions import stops
from surveys.actions.moments import without_moments
from surveys.actions.surveyable import NotToBeSurveyed as NotToBeSurveyed
from surveys.actions.surveyable import refuse_if_no_part, refuse_those_not_there, versions_in_force
from surveys.core.codes import ENDING_REASONS, REASONS_THAT_STOP_A_HOOD
from surveys.core.document import parse
from surveys.core.record import canonical, sha256_hex
from surveys.models import CriteriaVersion, Draft, Revision, SetAside, Stop, Transcription


class SignedAlready(Refused):
    said = _("This survey is signed and stays as it is: what was wrong in it is amended by another survey.")


class NoSuchEnd(Refused):
    said = _("Say why the survey ends: choose a reason from the list.")
    field = "reason"


@dataclass(frozen=True)
class Receipt:
    """What was kept: the survey, the number of its revision, the hash of the content, and when by the server's clock."""

    id: uuid.UUID
    revision: int
    sha256: str
    at: datetime

    def as_dict(self) -> dict[str, Any]:
        return {"id": str(self.id), "revision": self.revision, "sha256": self.sha256, "at": self.at.isoformat()}


class Conflict(Refused):
    """A save that cannot follow the last revision. Its content is kept beside, so nothing of it is lost."""

    said = _(
        "This survey was changed from another page since this one was opened. What you entered is kept beside it: "
        "go on from theirs, or from yours."
    )
    signed_said = _(
        "This survey was signed before this was sent. What you entered is kept beside it; the record stands."
    )

    def __init__(self, set_aside: SetAside, last: Revision | None, *, signed: bool) -> None:
        super().__init__(self.signed_said if signed else None)
        self.set_aside = set_aside
        self.last = last
        self.signed = signed


@dataclass(frozen=True)
class Ended:
    """A survey ended early: the revision that says so, and the stop it posted, where its reason stops a hood."""

    receipt: Receipt
    stop: Stop | None


def start_draft(*, hood: Hood, by: Person, at: datetime, id: uuid.UUID | None = None) -> Draft:
    """Start a survey of a hood, to be judged by the criteria in force today at its site.

    A form may bring the id of the survey that it starts: sent twice, it starts one; sent for another hood, another.
    """
    id = id or uuid.uuid4()
    if Draft.objects.filter(pk=id).exclude(hood=hood).exists():  # a form sent again for another hood
        id = uuid.uuid5(id, f"hood {hood.pk}")
    started = Draft.objects.filter(pk=id, hood=hood)  # looked at before waiting for other writers, too
    if draft := started.first():
        return draft
    with transaction.atomic():
        Hood.objects.select_for_update(no_key=True).get(pk=hood.pk)
        if draft := started.all().first():
            return draft
        return _start([(hood, id)], by, at)[0]


def start_drafts(*, hoods: Sequence[Hood], by: Person, at: datetime) -> list[Draft]:
    """Start a survey of each of these hoods, or of none: a round."""
    with transaction.atomic():
        list(Hood.objects.select_for_update(no_key=True).filter(pk__in=[hood.pk for hood in hoods]).order_by("pk"))
        return _start([(hood, uuid.uuid4()) for hood in hoods], by, at)


def _start(new: Sequence[tuple[Hood, uuid.UUID]], by: Person, at: datetime) -> list[Draft]:
    on = new[0][0].site.day_of(at)
    hoods = [hood for hood, _id in new]
    refuse_those_not_there(hoods, on)
    refuse_if_no_part(hoods)
    versions = versions_in_force(hoods, on)
    drafts = Draft.objects.bulk_create(
        Draft(id=id, hood=hood, version=versions[hood.pk], done_on=on, started_at=at, started_by=by)
        for hood, id in new
    )
    Entry.objects.bulk_create(
        Entry.of(
            by=by, at=at, action="survey-started", what=draft,
            after={"hood": draft.hood.tag, "done_on": on.isoformat(), "criteria": str(draft.version)},
        )
        for draft in drafts
    )  # fmt: skip
    return drafts


def save_revision(
    *, draft: Draft, content: Mapping[str, Any] | str, form_id: str, made_from: int, by: Person, at: datetime,
    device_at: datetime | None = None,
) -> Receipt:  # fmt: skip
    """Keep what was entered as the next revision, or raise Conflict with it kept beside.

    Accepted if made from the last revision, or if the last one came from this same form and revision: then its receipt
    was lost. The same content again gets the same receipt. Raises WrongShape where the content is no survey document.
    """
    document = parse(content if isinstance(content, str) else dict(content))
    entered = document.as_dict()
    if Transcription.objects.filter(draft=draft.pk).exists():
        entered = parse(without_moments(entered)).as_dict()
    text = canonical(entered).decode("utf-8")
    if same := _kept_as_last(draft, text):
        return receipt_of(same)
    with transaction.atomic():
        draft, last = locked(draft)
        kept = _keep(draft, last, text, form_id, made_from, by, at, device_at)
    if isinstance(kept, SetAside):  # outside the transaction: raising inside would undo what is kept beside
        raise Conflict(kept, last, signed=is_signed(last))
    return receipt_of(kept)


def _kept_as_last(draft: Draft, text: str) -> Revision | None:
    """The last revision of an unsigned survey where it holds this content already: sent again, nobody waits for it."""
    last = Revision.objects.filter(draft=draft.pk, draft__survey__isnull=True).order_by("-number").first()
    return last if last is not None and last.content == text else None


def locked(draft: Draft) -> tuple[Draft, Revision | None]:
    """The draft, locked until the transaction ends, and its last revision. SQLite's transactions lock as they begin."""
    draft = _locked(draft)
    return draft, _revisions([draft.pk]).order_by("-number").first()


def locked_with_revisions(drafts: Iterable[Draft]) -> dict[uuid.UUID, tuple[Draft, list[Revision]]]:
    """The drafts, locked in one order until the transaction ends, each with all its revisions."""
    rows: dict[uuid.UUID, tuple[Draft, list[Revision]]]
    judged_by = ("version__set", "version__record", "transcription")
    rows = {draft.pk: (draft, []) for draft in _lock([draft.pk for draft in drafts], *judged_by)}
    for revision in sorted(_revisions(rows).order_by(), key=lambda one: one.number):
        rows[revision.draft_id][1].append(revision)
    return rows


def _locked(draft: Draft) -> Draft:
    (row,) = _lock([draft.pk])
    return row


def _lock(keys: Sequence[uuid.UUID], *also: str) -> list[Draft]:
    """The drafts, locked, with what else is read of them; those of one criteria version share it."""
    rows = Draft.objects.select_for_update(of=("self",), no_key=True).filter(pk__in=keys).order_by("pk")
    versions: dict[int, CriteriaVersion] = {}
    found = list(rows.select_related("hood__site", *also))
    for draft in found if also else ():
        draft.version = versions.setdefault(draft.version_id, draft.version)
    return found


def _revisions(drafts: Iterable[uuid.UUID]) -> QuerySet[Revision]:
    """The revisions, each with `signed`. Asked after the lock is held: PostgreSQL answers the statement that waited for
    the lock as things stood before it waited."""
    return Revision.objects.filter(draft__in=list(drafts)).annotate(signed=F("draft__survey"))


def is_signed(last: Revision | None) -> bool:
    """Whether the survey is signed, by its last revision as `locked` gives it; nothing is signed without one."""
    return last is not None and last.signed is not None  # type: ignore[attr-defined]  # annotated above


def receipt_of(revision: Revision) -> Receipt:
    return Receipt(id=revision.draft_id, revision=revision.number, sha256=revision.sha256, at=revision.at)


def _keep(
    draft: Draft, last: Revision | None, text: str, form_id: str, made_from: int, by: Person, at: datetime,
    device_at: datetime | None,
) -> Revision | SetAside:  # fmt: skip
    """The revision that holds this content, new or kept before; or the content set aside."""
    sha256 = sha256_hex(text.encode("utf-8"))
    came = {"form_id": form_id, "made_from": made_from, "sha256": sha256}
    if not is_signed(last):
        if last is not None and last.sha256 == sha256:
            return last
        number = last.number if last else 0
        if made_from == number or (last and (last.form_id, last.made_from) == (form_id, made_from)):
            return Revision.objects.create(
                draft=draft, number=number + 1, content=text, device_at=device_at, at=at, by=by, **came
            )
        if before := draft.revisions.filter(**came).order_by("number").first():
            return before  # sent again after others had followed it
    if aside := draft.set_aside.filter(**came).first():
        return aside
    return SetAside.objects.create(draft=draft, content=text, at=at, by=by, **came)


@transaction.atomic
def end_draft(
    *, draft: Draft, reason: str, by: Person, at: datetime, words: str = "", form_id: str = "",
    device_at: datetime | None = None,
) -> Ended:  # fmt: skip
    """End a survey early, on the content of its last revision; a reason that stops a hood posts its stop at once.

    What the page holds is saved before, by `save_revision`; if that is refused the survey is ended all the same. Sent
    twice, it ends and stops once. Once ended for a reason that stops the hood it stays ended.
    """
    if reason not in ENDING_REASONS:
        raise NoSuchEnd()
    draft, last = locked(draft)
    if is_signed(last):
        raise SignedAlready()
    content = parse(last.content).as_dict() if last else parse({}).as_dict()
    ended = (content.get("ended_early") or {}).get("reason")
    if last is None or ended is None or (ended != reason and ended not in REASONS_THAT_STOP_A_HOOD):
        content["ended_early"] = {"reason": reason, **({"words": words} if words else {})}
        text = canonical(parse(content).as_dict()).decode("utf-8")
        number = last.number if last else 0
        last = Revision.objects.create(
            draft=draft, number=number + 1, content=text, sha256=sha256_hex(text.encode("utf-8")),
            form_id=form_id or f"end-{draft.pk}", made_from=number, device_at=device_at, at=at, by=by,
        )  # fmt: skip
        Entry.objects.add(by=by, at=at, action="survey-ended", what=draft, after={"reason": reason}, why=words)
    stop = None
    if reason in REASONS_THAT_STOP_A_HOOD:
        stop = draft.stops.filter(reason=reason).first() or stops.post_stop(
            hood=draft.hood, reason=reason, words=words, by=by, at=at, draft=draft
        )
    return Ended(receipt_of(last), stop)
