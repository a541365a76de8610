"""One signature for several surveys: each has its own record, and all are signed or none."""

from __future__ import annotations

from datetime import timedelta

import pytest

from surveys.actions.amendments import start_amendment
from surveys.actions.drafts import start_draft
from surveys.actions.room_signing import NothingToSign, NotSigned, Ticked, sign_surveys
from surveys.actions.signing import Seen
from surveys.models import Record, Survey
from tests import surveying
from tests.surveying import SLOW, SURVEYED, entered

pytestmark = pytest.mark.django_db
AT = SURVEYED + timedelta(minutes=20)


@pytest.fixture
def drafts(make_hood, version, instrument, technician, programme_manager):
    """Two hoods measured: one met, one failed."""
    made = []
    for tag, readings in (("FH-1", None), ("FH-2", SLOW)):
        hood = make_hood(tag=tag)
        surveying.assign(hood, version, programme_manager)
        made.append(start_draft(hood=hood, by=technician, at=SURVEYED))
        surveying.save(made[-1], entered(instrument, readings), technician)
    return made


def ticked(draft, revision=1):
    return Ticked(draft.pk, Seen(revision, draft.version_id))


def test_each_survey_has_its_own_record(drafts, technician, room):
    records = Record.objects.count()
    surveys = sign_surveys(room=room, chosen=[ticked(draft) for draft in drafts], by=technician, at=AT)
    assert [(survey.hood.tag, survey.verdict) for survey in surveys] == [("FH-1", "pass"), ("FH-2", "fail")]
    assert [survey.record_id for survey in surveys] == [records + 1, records + 2]
    assert {survey.record.attested["signed"]["by"]["name"] for survey in surveys} == {"Ruth Okafor"}


def test_c8_signed_twice_they_are_the_same_surveys(drafts, technician, room):
    chosen = [ticked(draft) for draft in drafts]
    first = sign_surveys(room=room, chosen=chosen, by=technician, at=AT)
    assert sign_surveys(room=room, chosen=chosen, by=technician, at=AT + timedelta(seconds=1)) == first
    assert Survey.objects.count() == 2


def test_nothing_is_signed_where_one_was_changed_since_it_was_seen(drafts, technician, instrument, room):
    surveying.save(drafts[1], entered(instrument, notes="later"), technician, SURVEYED + timedelta(minutes=17))
    with pytest.raises(NotSigned) as refused:
        sign_surveys(room=room, chosen=[ticked(draft) for draft in drafts], by=technician, at=AT)
    assert (refused.value.unseen, refused.value.draft) == (True, drafts[1])
    assert str(refused.value).startswith("FH-2: ")
    assert Survey.objects.count() == 0


def test_control_the_one_that_was_seen_as_it_is_can_be_signed_alone(drafts, technician, instrument, room):
    surveying.save(drafts[1], entered(instrument, notes="later"), technician, SURVEYED + timedelta(minutes=17))
    assert len(sign_surveys(room=room, chosen=[ticked(drafts[0])], by=technician, at=AT)) == 1


def test_nothing_is_signed_where_one_cannot_be(drafts, technician, instrument, room):
    surveying.save(drafts[0], entered(instrument, reason=None), technician, SURVEYED + timedelta(minutes=16))
    with pytest.raises(NotSigned, match="^FH-1: ") as refused:
        sign_surveys(room=room, chosen=[ticked(drafts[1]), ticked(drafts[0], 2)], by=technician, at=AT)
    assert (refused.value.unseen, Survey.objects.count()) == (False, 0)


def test_what_somebody_else_kept_a_part_of_is_signed_on_its_own(drafts, technician, programme_manager, instrument, room):
    surveying.save(drafts[1], entered(instrument), programme_manager, SURVEYED + timedelta(minutes=17))
    with pytest.raises(NotSigned, match="Somebody else kept a part of it"):
        sign_surveys(room=room, chosen=[ticked(drafts[0]), ticked(drafts[1], 2)], by=technician, at=AT)
    assert Survey.objects.count() == 0


def test_what_amends_another_is_signed_on_its_own(drafts, technician, room):
    (wrong,) = sign_surveys(room=room, chosen=[ticked(drafts[0])], by=technician, at=AT)
    amendment = start_amendment(survey=wrong, why="typed wrongly", begins="copy", by=technician, at=AT)
    with pytest.raises(NotSigned, match="It amends a signed survey"):
        sign_surveys(room=room, chosen=[ticked(amendment)], by=technician, at=AT)


def test_nothing_chosen_is_nothing_signed(technician, room):
    with pytest.raises(NothingToSign):
        sign_surveys(room=room, chosen=[], by=technician, at=AT)
