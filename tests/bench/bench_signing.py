"""Signing a survey of 24 readings beside a bulk_create of the same rows in one transaction."""

from __future__ import annotations

import uuid
from itertools import count

import pytest
from django.db import transaction
from django.utils import timezone

from hoods.models import Entry
from surveys.actions.drafts import start_draft
from surveys.actions.signing import Seen, sign_survey
from surveys.models import Approval, Draft, Judgement, Reading, Record, Survey, Traverse
from tests import surveying
from tests.bench.ratio import ratio, said
from tests.making import make_building, make_hood, make_person, make_room, make_site

ROUNDS = 40


@pytest.mark.django_db(transaction=True)
def bench_signing_beside_the_same_rows():
    site = make_site()
    by = make_person("Ruth Okafor", site, "technician")
    version = surveying.make_version(site, by)
    anemometer = surveying.make_instrument(site, by)
    room = make_room(make_building(site))
    content = surveying.entered(
        anemometer, [[str(95 + (3 * row + column) % 9) for column in range(8)] for row in range(3)]
    )
    content["openings"] = [{"name": "working", "width": "96 in", "height": "36 in"}]
    drafts = []
    for _ in range(ROUNDS + 2):
        hood = make_hood(room=room, by=by, openings=(("working", "working", "96 in", "36 in"),))
        surveying.assign(hood, version, by)
        draft = start_draft(hood=hood, by=by, at=surveying.SURVEYED)
        surveying.save(draft, content, by)
        drafts.append(draft)
    waiting = iter(drafts)

    def sign() -> Survey:
        return sign_survey(draft=next(waiting), seen=Seen(1, version.pk), by=by, at=timezone.now())

    same = SameRows(sign())
    assert Reading.objects.filter(traverse__survey=same.survey).count() == 24
    said("signing 24 readings, beside bulk_create of its rows", ratio(sign, same.keep, rounds=ROUNDS), at_most=3)


class SameRows:
    """The rows of one signed survey, inserted again as if of another, in one transaction."""

    def __init__(self, survey: Survey) -> None:
        self.survey = survey
        self.rows = [Entry.objects.filter(action="survey-signed").latest("pk")]
        self.record = survey.record
        self.traverses = list(survey.traverses.all())
        self.readings = [list(traverse.readings.all()) for traverse in self.traverses]
        self.judgements = list(survey.judgements.all())
        self.approvals = list(survey.approvals.all())
        self.drafts = iter(
            Draft.objects.bulk_create(
                Draft(
                    hood=survey.hood, version=survey.version, done_on=survey.done_on, started_at=survey.signed_at,
                    started_by=survey.signed_by,
                )
                for _ in range(ROUNDS + 1)
            )
        )  # fmt: skip
        self.issue = count(2)

    def keep(self) -> None:
        with transaction.atomic():
            survey = Survey.objects.get(pk=self.survey.pk)
            survey.draft = next(self.drafts)
            survey.label_issue = next(self.issue)
            survey.record_id = Record.objects.order_by("-number").values_list("number", flat=True)[0] + 1
            Survey.objects.bulk_create([survey])
            traverses = Traverse.objects.bulk_create(_again(row, survey=survey) for row in self.traverses)
            Reading.objects.bulk_create(
                _again(row, traverse=traverse)
                for traverse, rows in zip(traverses, self.readings, strict=True)
                for row in rows
            )
            Judgement.objects.bulk_create(_again(row, survey=survey) for row in self.judgements)
            Approval.objects.bulk_create(_again(row, survey=survey) for row in self.approvals)
            Entry.objects.bulk_create(_again(row, thing_id=str(uuid.uuid4())) for row in self.rows)
            Record.objects.bulk_create([_again(self.record, number=survey.record_id)])


def _again(row, **changes):
    """A new unsaved row with the same values, but for what changes."""
    made = type(row)()
    for field in row._meta.concrete_fields:
        if not field.primary_key:
            setattr(made, field.attname, getattr(row, field.attname))
    for name, value in changes.items():
        setattr(made, name, value)
    return made
