"""Signing: the last revision is judged and kept for ever, with its parts, and its record last."""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import Error as DatabaseError
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Person
from surveys.actions import findings, stops
from surveys.actions.attested import survey_record
from surveys.actions.drafts import is_signed, locked_with_revisions
from surveys.actions.moments import Measured, measured
from surveys.actions.notices import tell_of_survey
from surveys.actions.records import append_records, next_number
from surveys.actions.rows import Part, keep_parts
from surveys.actions.survey_row import GRANTING, is_moved, survey_row
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.core.content import check, incomplete, of_no_part
from surveys.core.document import Document, Facts, parse
from surveys.core.judging import Judged, judge
from surveys.core.messages import Problem
from surveys.core.questions import unanswered
from surveys.core.record import sha256_hex
from surveys.facts import Around, Together
from surveys.models import Draft, Revision, Survey

log = logging.getLogger(__name__)

@dataclass(frozen=True)
class Seen:
    """What the one who signs had before their eyes: the number of the revision, the key of the criteria version."""

    revision: int
    criteria_version: int


class SignedUnseen(Refused):
    """Another revision or version than the one on the page that was signed: nobody signs what they have not seen."""

    said = _("This survey was changed since you saw it. Nothing is signed: read it again, then sign.")


class NotReady(Refused):
    """What must be put right before signing; each problem names its place."""

    said = _("The survey cannot be signed yet: see what is marked.")

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__()
        self.problems = tuple(problems)


class NotJudged(NotReady):
    """Judging broke off. There is no verdict, and nothing that could be signed."""

    said = _(
        "This survey could not be judged, so it has no verdict and cannot be signed. What was entered is kept. "
        "Tell the programme manager."
    )

    def __init__(self) -> None:
        super().__init__(())


class NothingEntered(Refused):
    said = _("Nothing has been entered in this survey yet, so there is nothing to sign.")


class StillStopped(Refused):
    said = _(
        "This survey was ended because the hood must not be used, and that stop is up: sign it as ended, or have the "
        "stop withdrawn if it was posted by mistake."
    )


class CannotAmend(Refused):
    field = "amends"


@dataclass(frozen=True)
class Judging:
    """A draft's last revision, judged: what signing keeps and the review page shows."""

    revision: Revision
    document: Document
    around: Around
    judged: Judged


def judging_now(
    draft: Draft, revisions: Sequence[Revision] | None = None, together: Together | None = None
) -> Judging | None:
    """The last revision judged by the draft's criteria; None where nothing was entered or it cannot be judged.

    Whatever breaks off the judging, damaged rows included, is no verdict: it is logged as an error, never passed over.
    """
    try:
        if revisions is None:
            revisions = list(draft.revisions.order_by("-number")[:1])
        if not revisions:
            return None
        revision = revisions[-1]
        _refuse_damage(draft, revision)
        document = parse(revision.content)
        stands = (together or Together([draft])).around(draft, document)
        return Judging(revision, document, stands, judge(document, stands.facts, draft.version.criteria))
    except DatabaseError:
        raise
    except Exception:
        log.exception("survey %s could not be judged", draft.pk)
        return None


def judged_now(draft: Draft) -> Judged | None:
    """What the last revision comes to now; None is no verdict, and refuses signing."""
    judging = judging_now(draft)
    return judging.judged if judging else None


def _refuse_damage(draft: Draft, revision: Revision) -> None:
    """Rows are judged only as they were kept: a revision by its hash, a criteria version by its record."""
    if sha256_hex(revision.content.encode("utf-8")) != revision.sha256:
        raise ValueError(f"revision {revision.number} is not what was kept")
    record = draft.version.record
    if record is None or sha256_hex(record.content.encode("utf-8")) != record.sha256:
        raise ValueError(f"the record of criteria version {draft.version_id} is not what was kept")
    if record.attested["criteria"]["document"] != draft.version.document:
        raise ValueError(f"criteria version {draft.version_id} is not what its record says")


def why_not_sign(document: Document, facts: Facts, *, corrects: bool = False) -> tuple[Problem, ...]:
    """What stops signing: problems of content, soft questions without an answer, an opening of no part of its sash.

    Missing points and answers do not: they are named, confirmed, and signed as judged. A survey ended because the hood
    must not be used can always be signed. One that `corrects` a record keeps the parts that it told.
    """
    if document.ended_early in REASONS_THAT_STOP_A_HOOD:
        return ()
    asked = (question.problem for question in unanswered(document, facts))
    parts = () if corrects else of_no_part(document, facts)
    return (*incomplete(document), *check(document, facts), *parts, *asked)


def sign_survey(
    *, draft: Draft, seen: Seen, by: Person, at: datetime, stop_moved: bool | None = None,
    sign_taken_down: bool = False, amends: Survey | None = None, why: str = "",
) -> Survey:  # fmt: skip
    """Sign one survey: a round of one."""
    signature = Signature(draft, seen, stop_moved, sign_taken_down, amends, why)
    return sign_round(signatures=[signature], by=by, at=at)[0]


@dataclass(frozen=True)
class Signature:
    """A survey to be signed, and what is confirmed with it.

    `stop_moved`: the sash stop and its mark are at the lower height that is approved (without it the survey gives no
    label); left out, it is what was entered. `sign_taken_down` lifts the stops posted before measuring began, if the
    survey ends pass or restrict. `amends` names a signed survey that was wrong; left out, it is the one that the draft
    was started to amend.
    """

    draft: Draft
    seen: Seen
    stop_moved: bool | None = None
    sign_taken_down: bool = False
    amends: Survey | None = None
    why: str = ""


def sign_round(*, signatures: Sequence[Signature], by: Person, at: datetime) -> list[Survey]:
    """Judge each draft's last revision and keep it for ever: surveys, parts, judgements, and the records last.

    Signing again gives the same survey. Each survey is of another hood; where one refuses, none is signed.
    """
    with transaction.atomic():
        held = locked_with_revisions([one.draft for one in signatures])
        if len({draft.hood_id for draft, _revisions in held.values()}) < len(signatures):
            raise ValueError("a hood is surveyed twice in one round")
        waiting = []
        for one in signatures:
            draft, revisions = held[one.draft.pk]
            if not revisions:
                raise NothingEntered()
            if not is_signed(revisions[-1]):
                if one.seen != Seen(revisions[-1].number, draft.version_id):
                    raise SignedUnseen()
                waiting.append(one)
        signed = _sign(waiting, held, by, at) if waiting else {}
        before = [pk for pk in held if pk not in signed]
        signed |= Survey.objects.in_bulk(before) if before else {}
        return [signed[one.draft.pk] for one in signatures]


def _sign(
    waiting: Sequence[Signature], held: Mapping[Any, tuple[Draft, list[Revision]]], by: Person, at: datetime
) -> dict[Any, Survey]:
    number = next_number()  # from here on nobody else signs: what is read of earlier surveys stands
    together = Together(held[one.draft.pk][0] for one in waiting)
    ready = []
    for place, one in enumerate(waiting, start=number):
        draft, revisions = held[one.draft.pk]
        amends, why = (one.amends, one.why) if one.amends else (draft.amends, draft.why)
        _refuse_amending(draft, amends, why)
        judging = judging_now(draft, revisions, together)
        if judging is None:
            raise NotJudged()
        moments = measured(draft, json.loads(judging.revision.content), revisions, at)
        _refuse_if_not_ready(draft, judging, revisions, moments)
        ready.append(_ready(one, draft, judging, moments, number=place, by=by, at=at, amends=amends, why=why))
    _keep(ready, number, by, at)
    return {one.part.survey.pk: one.part.survey for one in ready}


def _refuse_if_not_ready(draft: Draft, judging: Judging, revisions: Sequence[Revision], moments: Measured) -> None:
    if judging.document.ended_early in REASONS_THAT_STOP_A_HOOD:
        return
    ended = any('"ended_early":{' in revision.content for revision in revisions)
    if ended and draft.stops.up().exists():
        raise StillStopped()
    problems = (*why_not_sign(judging.document, judging.around.facts, corrects=draft.corrects), *moments.problems)
    if problems:
        raise NotReady(problems)


def _refuse_amending(draft: Draft, amends: Survey | None, why: str) -> None:
    if amends is None:
        return
    if amends.hood_id != draft.hood_id:
        raise CannotAmend(_("A survey is amended by one of the same hood."))
    if amends.amended_by.exists():
        raise CannotAmend(_("This survey is amended already: amend the one that took its place."))
    if not why.strip():
        raise CannotAmend(_("Say what was wrong in the survey that this one amends."), field="why")


@dataclass(frozen=True)
class _Ready:
    """A judged survey that is about to be kept."""

    part: Part
    ended: str | None
    taken_down: bool
    record: Mapping[str, Any]


def _ready(
    one: Signature, draft: Draft, judging: Judging, moments: Measured, *, number: int, by: Person, at: datetime,
    amends: Survey | None, why: str,
) -> _Ready:  # fmt: skip
    entered, judged, stands = json.loads(judging.revision.content), judging.judged.as_dict(), judging.around
    moved = one.stop_moved if one.stop_moved is not None else is_moved(entered["stop_and_mark_moved"], judged)
    survey = survey_row(
        draft, judged, entered, stands, moments, moved=moved, amends=amends, why=why, signed_at=at, signed_by=by,
        reason=judging.document.reason or "", record_id=number,
    )  # fmt: skip
    taken_down = one.sign_taken_down and survey.verdict in GRANTING
    record = survey_record(
        survey=survey, around=stands, version=draft.version, entered=entered, judged=judged,
        confirmed={"stop_and_mark_moved": bool(moved), "sign_taken_down": taken_down},
    )  # fmt: skip
    return _Ready(Part(survey, entered, judged, stands, moments), judging.document.ended_early, taken_down, record)


def _keep(ready: Sequence[_Ready], number: int, by: Person, at: datetime) -> None:
    """Inserts only; no row of a survey after its record."""
    Survey.objects.bulk_create(one.part.survey for one in ready)
    keep_parts([one.part for one in ready])
    append_records(kind="survey", contents=[one.record for one in ready], at=at, number=number)
    entries = []
    for one in ready:
        survey = one.part.survey
        found = findings.keep_findings(
            survey=survey, judged=one.part.judged, ended=one.ended, earlier=one.part.around.earlier, by=by, at=at
        )
        if one.taken_down:
            stops.lift_stops(survey=survey, by=by, at=at)
        after = {
            "hood": survey.hood.tag, "verdict": survey.verdict, "record": survey.record_id,
            "label_issue": survey.label_issue,
        }  # fmt: skip
        after |= {"findings": found} if found else {}
        entries.append(Entry.of(by=by, at=at, action="survey-signed", what=survey, why=survey.why, after=after))
    Entry.objects.bulk_create(entries)
    for one in ready:
        tell_of_survey(survey=one.part.survey, by=by, at=at)
