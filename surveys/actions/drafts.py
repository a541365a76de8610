"""From the first reading to the last: a survey in the making, its revisions, and an end that comes early."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, Person
from surveys.actions import stops
from surveys.core.codes import ENDING_REASONS, REASONS_THAT_STOP_A_HOOD
from surveys.core.document import parse
from surveys.core.record import canonical, sha256_hex
from surveys.models import CriteriaVersion, Draft, Revision, SetAside, Stop


class NotToBeSurveyed(Refused):
    """The hood is not there to be surveyed, or nothing says by what it would be judged."""

    field = "hood"


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
        return _start(hood, id, by, at)


def _start(hood: Hood, id: uuid.UUID, by: Person, at: datetime) -> Draft:
    on = hood.site.day_of(at)
    refuse_if_not_there(hood, on)
    version = version_in_force(hood, on)
    draft = Draft.objects.create(id=id, hood=hood, version=version, done_on=on, started_at=at, started_by=by)
    Entry.objects.add(
        by=by, at=at, action="survey-started", what=draft,
        after={"hood": hood.tag, "done_on": on.isoformat(), "criteria": str(version)},
    )  # fmt: skip
    return draft


def version_in_force(hood: Hood, on: date) -> CriteriaVersion:
    """The criteria version that judges a hood on a day, or a refusal that says what is missing."""
    assignment = hood.assignments.filter(from_on__lte=on).select_related("set").order_by("-from_on", "-pk").first()
    if assignment is None:
        raise NotToBeSurveyed(
            _(
                "No criteria are chosen for hood %(hood)s: the programme manager assigns a set first, from the hood's page."
            ),
            hood=hood.tag,
        )
    version = assignment.set.in_force(on)
    if version is None:
        raise NotToBeSurveyed(
            _("No version of the criteria '%(set)s' is in force today: the programme manager adopts one first."),
            set=assignment.set.name,
        )
    return version


def refuse_if_not_there(hood: Hood, on: date) -> None:
    if hood.placement(on) is None:
        raise NotToBeSurveyed(
            _("Hood %(hood)s was not there yet on %(day)s: look at the day on which it was installed."),
            hood=hood.tag, day=on.isoformat(),
        )  # fmt: skip
    life = None
    installed = None
    for event in hood.events.all():
        if event.kind == "installed":
            installed = min(installed or event.on, event.on)
        if event.on <= on and event.kind in ("installed", "retired", "hibernated", "woken"):
            life = event.kind
    if installed is not None and on < installed:
        raise NotToBeSurveyed(
            _("Hood %(hood)s was installed on %(day)s: it cannot be surveyed before."),
            hood=hood.tag, day=installed.isoformat(),
        )  # fmt: skip
    if life == "retired":
        raise NotToBeSurveyed(_("Hood %(hood)s is retired: no survey can make it usable."), hood=hood.tag)
    if life == "hibernated":
        raise NotToBeSurveyed(
            _("Hood %(hood)s is hibernated: wake it on its page first, then survey it."), hood=hood.tag
        )


def save_revision(
    *, draft: Draft, content: Mapping[str, Any] | str, form_id: str, made_from: int, by: Person, at: datetime,
    device_at: datetime | None = None,
) -> Receipt:  # fmt: skip
    """Keep what was entered as the next revision, or raise Conflict with it kept beside.

    Accepted if made from the last revision, or if the last one came from this same form and revision: then its receipt
    was lost. The same content again gets the same receipt. Raises WrongShape where the content is no survey document.
    """
    document = parse(content if isinstance(content, str) else dict(content))
    text = canonical(document.as_dict()).decode("utf-8")
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
    return draft, _revisions(draft).order_by("-number").first()


def locked_with_revisions(draft: Draft) -> tuple[Draft, list[Revision]]:
    """The draft, locked until the transaction ends, and all its revisions."""
    draft = _locked(draft)
    return draft, list(_revisions(draft).order_by("number"))


def _locked(draft: Draft) -> Draft:
    rows = Draft.objects.select_for_update(of=("self",), no_key=True)
    return rows.select_related("hood__site", "version__set", "version__record").get(pk=draft.pk)


def _revisions(draft: Draft) -> QuerySet[Revision]:
    """The revisions, each with `signed`. Asked after the lock is held: PostgreSQL answers the statement that waited for
    the lock as things stood before it waited."""
    return draft.revisions.annotate(signed=F("draft__survey"))


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
