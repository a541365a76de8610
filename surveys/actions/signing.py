"""Signing: the last revision is judged and kept for ever, with its parts, and its record last."""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
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
from surveys.actions.records import append_record, next_number
from surveys.actions.rows import keep_parts
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.core.content import check, incomplete
from surveys.core.criteria import Criteria
from surveys.core.document import Document, Facts, parse
from surveys.core.due import next_due
from surveys.core.judging import Judged, judge
from surveys.core.messages import Problem
from surveys.core.questions import unanswered
from surveys.core.record import sha256_hex
from surveys.facts import Around, around
from surveys.models import Draft, Revision, Survey

log = logging.getLogger(__name__)

GRANTING = ("pass", "restrict")


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


def judging_now(draft: Draft, revisions: Sequence[Revision] | None = None) -> Judging | None:
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
        stands = around(draft, document)
        return Judging(
            revision, document, stands, judge(document, stands.facts, Criteria.from_dict(draft.version.document))
        )
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


def why_not_sign(document: Document, facts: Facts) -> tuple[Problem, ...]:
    """What stops signing: problems of content, and soft questions without an answer.

    Missing points and answers do not: they are named, confirmed, and signed as judged. A survey ended because the hood
    must not be used can always be signed.
    """
    if document.ended_early in REASONS_THAT_STOP_A_HOOD:
        return ()
    asked = (question.problem for question in unanswered(document, facts))
    return (*incomplete(document), *check(document, facts), *asked)


def sign_survey(
    *, draft: Draft, seen: Seen, by: Person, at: datetime, stop_moved: bool | None = None,
    sign_taken_down: bool = False, amends: Survey | None = None, why: str = "",
) -> Survey:  # fmt: skip
    """Judge the draft's last revision and keep it for ever: survey, parts, judgements, and the record last.

    Signing again gives the same survey. `stop_moved`: the sash stop and its mark are at the lower height that is
    approved (without it the survey gives no label); left out, it is what was entered. `sign_taken_down` lifts the stops
    posted before measuring began, if the survey ends pass or restrict. `amends` names a signed survey that was wrong;
    left out, it is the one that the draft was started to amend.
    """
    with transaction.atomic():
        draft, revisions = locked_with_revisions(draft)
        if not revisions:
            raise NothingEntered()
        if is_signed(revisions[-1]):
            return Survey.objects.get(pk=draft.pk)
        if seen != Seen(revisions[-1].number, draft.version_id):
            raise SignedUnseen()
        number = next_number()  # from here on nobody else signs: what is read of earlier surveys stands
        amends, why = (amends, why) if amends else (draft.amends, draft.why)
        _refuse_amending(draft, amends, why)
        judging = judging_now(draft, revisions)
        if judging is None:
            raise NotJudged()
        moments = measured(draft, json.loads(judging.revision.content), revisions, at)
        _refuse_if_not_ready(draft, judging, revisions, moments)
        return _keep(
            draft, judging, moments, number=number, by=by, at=at, stop_moved=stop_moved,
            sign_taken_down=sign_taken_down, amends=amends, why=why,
        )  # fmt: skip


def _refuse_if_not_ready(draft: Draft, judging: Judging, revisions: Sequence[Revision], moments: Measured) -> None:
    if judging.document.ended_early in REASONS_THAT_STOP_A_HOOD:
        return
    ended = any('"ended_early":{' in revision.content for revision in revisions)
    if ended and draft.stops.up().exists():
        raise StillStopped()
    problems = (*why_not_sign(judging.document, judging.around.facts), *moments.problems)
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


def _keep(
    draft: Draft, judging: Judging, moments: Measured, *, number: int, by: Person, at: datetime,
    stop_moved: bool | None, sign_taken_down: bool, amends: Survey | None, why: str,
) -> Survey:  # fmt: skip
    judged = judging.judged.as_dict()
    entered = json.loads(judging.revision.content)
    restriction = judged["restriction"]
    moved = _is_moved(entered["stop_and_mark_moved"], restriction) if stop_moved is None else stop_moved
    stands = judging.around
    verdict, full = judged["verdict"], is_full(judged, entered)
    survey = Survey(
        draft=draft, hood=draft.hood, version=draft.version, instrument=stands.instrument,
        calibration=stands.calibration, reason=judging.document.reason or "", done_on=draft.done_on,
        measured_from=moments.began, measured_until=moments.ended, verdict=verdict,
        as_found=judged["sets"]["as-found"]["verdict"], held=judged["label"], restriction=restriction, full=full,
        due_on=_due_on(draft, stands, verdict, full, amends),
        label_issue=_label_issue(stands, judged, moved), amends=amends, why=why, signed_at=at, signed_by=by,
        record_id=number,
    )  # fmt: skip
    survey.save(force_insert=True)
    keep_parts(survey, entered, judged, stands, moments)
    taken_down = sign_taken_down and verdict in GRANTING
    content = survey_record(
        survey=survey, around=stands, version=draft.version, entered=entered, judged=judged,
        confirmed={"stop_and_mark_moved": bool(moved), "sign_taken_down": taken_down},
    )  # fmt: skip
    append_record(kind="survey", content=content, at=at, number=number)
    found = findings.keep_findings(
        survey=survey, judged=judged, ended=judging.document.ended_early, earlier=stands.earlier, by=by, at=at
    )
    if taken_down:
        stops.lift_stops(survey=survey, by=by, at=at)
    Entry.objects.add(
        by=by, at=at, action="survey-signed", what=survey, why=why,
        after={"hood": draft.hood.tag, "verdict": verdict, "record": number, "label_issue": survey.label_issue}
        | ({"findings": found} if found else {}),
    )  # fmt: skip
    tell_of_survey(survey=survey, by=by, at=at)
    return survey


def is_full(judged: Mapping[str, Any], entered: Mapping[str, Any]) -> bool:
    """Whether all that the version asks was done, notes included.

    A ratio to a benchmark that was never set is no undone work: nobody could have done it on this visit.
    """
    if entered["ended_early"] or judged["verdict"] == "no-verdict":
        return False
    decides = judged["sets"]["as-left"]
    each = [*decides["hood"], *(one for opening in decides["openings"] for one in opening["judgements"])]
    return all(one["outcome"] != "not-tested" or one.get("figure") == "benchmark-ratio" for one in each)


def _is_moved(entered: Any, restriction: Mapping[str, Any] | None) -> bool:
    return entered is True or (bool(entered) and entered == (restriction or {}).get("largest_opening"))


def _due_on(draft: Draft, stands: Around, verdict: str, full: bool, amends: Survey | None) -> date | None:
    """When the hood is due again: from this survey if it was full, else as the last full one said.

    An amendment counts from the day of what it amends.
    """
    if verdict not in GRANTING:
        return None
    if full:
        earlier_by_key = {earlier.pk: earlier for earlier in stands.earlier}
        while amends is not None and amends.amends_id is not None:
            amends = earlier_by_key[amends.amends_id]
        return next_due(amends.done_on if amends else draft.done_on, draft.version.document["due"]).on
    counted = [earlier for earlier in stands.earlier if earlier.full and earlier.verdict in GRANTING]
    last = max(counted, key=lambda earlier: (earlier.measured_until, earlier.record_id), default=None)
    return last.due_on if last else None


def _label_issue(stands: Around, judged: Mapping[str, Any], moved: bool) -> int | None:
    """The number of the label that this survey gives, or None: one lower height needs the stop and mark moved to it."""
    if judged["verdict"] not in GRANTING or not judged["approved"]:
        return None
    if "largest_opening" in (judged["restriction"] or {}) and not moved:
        return None
    return max((earlier.label_issue or 0 for earlier in stands.earlier), default=0) + 1
