"""A signed survey that was wrong: another is started that names it, with the reason. Both stay."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from copy import deepcopy
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Hood, Person
from hoods.models.people import PROGRAMME_MANAGER
from surveys.actions.drafts import save_revision
from surveys.actions.moments import measured, readings
from surveys.actions.surveyable import refuse_if_no_part, refuse_if_not_there, version_in_force
from surveys.models import Draft, Survey, Transcription


class AmendedAlready(Refused):
    said = _("This survey is amended already: amend the one that took its place.")


class NoReasonToAmend(Refused):
    said = _("Say what was wrong in this survey.")
    field = "why"


class AnothersSurvey(Refused):
    said = _("You amend what you signed yourself; another's survey is amended when the programme manager starts it.")


class AnothersReadings(Refused):
    said = _("Only who made these measurements can correct them: start with an empty survey, and measure again.")
    field = "begins"


def why_not_amend(survey: Survey, by: Person) -> Refused | None:
    """Why somebody cannot start an amendment of this survey; None where it can be done."""
    if survey.amended_by.exists():
        return AmendedAlready()
    if survey.signed_by_id != by.pk and not by.has_role(survey.hood.site, PROGRAMME_MANAGER):
        return AnothersSurvey()
    return None


@transaction.atomic
def start_amendment(
    *, survey: Survey, why: str, begins: str, by: Person, at: datetime, draft: uuid.UUID | None = None
) -> Draft:
    """Start the survey that will amend a signed one, once signed.

    It `begins` as a `copy`, to correct what was written: judged as of the same day, by the same criteria and the facts
    of that record. Or it begins `empty`, to measure again: judged as of today. `draft` is the id that a form brings:
    sent twice, it starts one.
    """
    Hood.objects.select_for_update(no_key=True).get(pk=survey.hood_id)
    id = uuid.uuid5(draft, f"amends {survey.pk}") if draft else uuid.uuid4()
    if begun := Draft.objects.filter(pk=id).first():
        return begun
    if not why.strip():
        raise NoReasonToAmend()
    if refusal := why_not_amend(survey, by):
        raise refusal
    if begins == "copy" and survey.signed_by_id != by.pk:
        raise AnothersReadings()
    made = _copy(survey, id, why, by, at) if begins == "copy" else _empty(survey, id, why, by, at)
    Entry.objects.add(
        by=by, at=at, action="amendment-started", what=made, why=why,
        after={"hood": survey.hood.tag, "amends": survey.record_id, "done_on": made.done_on.isoformat()},
    )  # fmt: skip
    return made


def _empty(survey: Survey, id: uuid.UUID, why: str, by: Person, at: datetime) -> Draft:
    hood = survey.hood
    on = hood.site.day_of(at)
    refuse_if_not_there(hood, on)
    refuse_if_no_part([hood])
    return Draft.objects.create(
        id=id, hood=hood, version=version_in_force(hood, on), done_on=on, started_at=at, started_by=by, amends=survey,
        why=why,
    )  # fmt: skip


def _copy(survey: Survey, id: uuid.UUID, why: str, by: Person, at: datetime) -> Draft:
    made = Draft.objects.create(
        id=id, hood=survey.hood, version=survey.version, done_on=survey.done_on, started_at=at, started_by=by,
        amends=survey, why=why, corrects=True,
    )  # fmt: skip
    if paper := survey.draft.from_paper:
        Transcription.objects.create(
            draft=made, measured_by=paper.measured_by, person=paper.person, at=paper.at, by=paper.by
        )
    content = with_moments_as_corrected(survey)
    save_revision(draft=made, content=content, form_id=f"amends-{survey.pk}", made_from=0, by=by, at=at)
    return made


def with_moments_as_corrected(survey: Survey) -> dict[str, Any]:
    """What was entered, each moment by the clock that signing corrected it to: the copy knows no device."""
    entered: dict[str, Any] = deepcopy(dict(survey.record.attested["entered"]))
    revisions = list(survey.draft.revisions.order_by("number"))
    moments = measured(survey.draft, entered, revisions, survey.signed_at).at
    for traverse in (*entered["traverses"], *entered["struck_traverses"]):
        for *_place, reading in readings(traverse):
            _correct(reading, moments)
    return entered


def _correct(reading: Any, moments: Mapping[str, datetime]) -> None:
    """In place: `readings` gives the reading itself where it has a moment at all."""
    if reading.get("at") in moments:
        reading["at"] = moments[reading["at"]].isoformat().replace("+00:00", "Z")
