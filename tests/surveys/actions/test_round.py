"""A round that is signed at once: the same code for one and for many, and hardly more statements."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Entry
from surveys.actions import drafts as starting
from surveys.actions.labels import NotToday, OtherLabel, PutOn, labels_put_on, record_label_copies
from surveys.actions.signing import NothingEntered, Seen, Signature, SignedUnseen, sign_round
from surveys.actions.stops import post_stop
from surveys.models import Draft, Finding, LabelPutOn, Reading, Record, Survey
from tests.surveying import SLOW, SURVEYED, assign, entered, save

pytestmark = pytest.mark.django_db
AT = SURVEYED + timedelta(minutes=20)
LATER = SURVEYED + timedelta(days=360)


@pytest.fixture
def begun(make_hood, version, programme_manager, technician, instrument):
    """Starts surveys of so many hoods at once, each with its readings; the last of them is too slow."""

    def begin(many: int, at=SURVEYED) -> list[Draft]:
        hoods = [make_hood() for _ in range(many)]
        for hood in hoods:
            assign(hood, version, programme_manager)
        drafts = starting.start_drafts(hoods=hoods, by=technician, at=at)
        for place, draft in enumerate(drafts, start=1):
            save(draft, entered(instrument, SLOW if place == many else None), technician, at)
        return drafts

    return begin


def of(drafts: list[Draft]) -> list[Signature]:
    return [Signature(draft, Seen(1, draft.version_id)) for draft in drafts]


def test_a_round_keeps_each_survey_with_its_record_in_the_order_given(begun, technician):
    drafts = begun(4)
    first = Record.objects.count() + 1
    surveys = sign_round(signatures=of(drafts), by=technician, at=AT)
    assert [one.pk for one in surveys] == [draft.pk for draft in drafts]
    assert [one.record_id for one in surveys] == [first, first + 1, first + 2, first + 3]
    assert [one.verdict for one in surveys] == ["pass", "pass", "pass", "fail"]
    for one in Survey.objects.filter(pk__in=[one.pk for one in surveys]):
        assert one.record.attested["survey"]["id"] == str(one.pk)
        assert Reading.objects.filter(traverse__survey=one).count() == 10
        assert (
            Entry.objects.get(thing="survey", thing_id=str(one.pk), action="survey-signed").after["record"]
            == one.record_id
        )
    assert set(Finding.objects.values_list("survey", flat=True)) == {surveys[-1].pk}


def test_what_is_signed_in_a_round_is_what_is_signed_alone(begun, technician):
    """Everything attested is the same but what names the hood, the survey and the record."""
    alone, together = begun(3), begun(3)
    for signature in of(alone):
        sign_round(signatures=[signature], by=technician, at=AT)
    sign_round(signatures=of(together), by=technician, at=AT)
    for one, other in zip(alone, together, strict=True):
        left, right = (Survey.objects.get(pk=draft.pk).record.attested for draft in (one, other))
        for attested in (left, right):
            del attested["number"], attested["survey"]["id"], attested["facts"]["hood"]["tag"]
            del attested["facts"]["hood"]["code"]
        assert left == right


def test_a_year_later_the_label_of_each_hood_is_known(begun, technician, instrument):
    drafts = begun(3)
    sign_round(signatures=of(drafts), by=technician, at=AT)
    again = starting.start_drafts(hoods=[draft.hood for draft in drafts], by=technician, at=LATER)
    for draft in again:
        save(draft, entered(instrument), technician, LATER)
    surveys = sign_round(signatures=of(again), by=technician, at=LATER + timedelta(minutes=20))
    assert [one.held for one in surveys] == ["held", "held", "no-label"]
    assert [one.label_issue for one in surveys] == [2, 2, 1]
    assert [one.record.attested["facts"]["labelled"] for one in surveys] == [["working"], ["working"], None]


def test_where_one_refuses_none_is_signed(begun, technician, ready):
    drafts = begun(3)
    empty = starting.start_draft(hood=ready, by=technician, at=SURVEYED)
    before = Record.objects.count()
    with pytest.raises(NothingEntered):
        sign_round(signatures=of([*drafts, empty]), by=technician, at=AT)
    with pytest.raises(SignedUnseen):
        sign_round(signatures=[*of(drafts[:2]), Signature(drafts[2], Seen(7, 1))], by=technician, at=AT)
    assert (Survey.objects.count(), Record.objects.count()) == (0, before)


def test_signed_again_it_is_the_same_round(begun, technician):
    drafts = begun(3)
    first = sign_round(signatures=of(drafts[:2]), by=technician, at=AT)
    again = sign_round(signatures=of(drafts), by=technician, at=AT + timedelta(hours=1))
    assert again[:2] == first
    assert [one.signed_at for one in again] == [AT, AT, AT + timedelta(hours=1)]


def test_a_round_has_one_survey_of_a_hood(begun, technician, instrument):
    (draft,) = begun(1)
    other = starting.start_draft(hood=draft.hood, by=technician, at=SURVEYED)
    save(other, entered(instrument), technician)
    with pytest.raises(ValueError, match="twice"):
        sign_round(signatures=of([draft, other]), by=technician, at=AT)


def test_a_round_of_nine_asks_as_much_as_one_of_three(begun, technician):
    """Told of one failure in each; only what tells of it and finds it is asked a hood."""
    counts = []
    for many in (3, 9):
        drafts = begun(many)
        with CaptureQueriesContext(connection) as asked:
            sign_round(signatures=of(drafts), by=technician, at=AT)
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_surveys_of_many_hoods_start_in_as_many_statements(make_hood, version, programme_manager, technician):
    counts = []
    for many in (1, 6):
        hoods = [make_hood() for _ in range(many)]
        for hood in hoods:
            assign(hood, version, programme_manager)
        with CaptureQueriesContext(connection) as asked:
            drafts = starting.start_drafts(hoods=hoods, by=technician, at=SURVEYED)
        assert [draft.hood for draft in drafts] == hoods
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_no_survey_starts_where_one_hood_has_no_criteria(make_hood, ready, technician):
    with pytest.raises(starting.NotToBeSurveyed, match=r"FH-0777"):
        starting.start_drafts(hoods=[ready, make_hood(tag="FH-0777")], by=technician, at=SURVEYED)
    assert not Draft.objects.exists()


def test_the_labels_of_a_round_are_put_on_at_once_or_none(begun, technician):
    passed = sign_round(signatures=of(begun(4)), by=technician, at=AT)[:3]
    record_label_copies(surveys=passed, sheet="100x50", by=technician, at=AT)
    wrong = [PutOn(passed[0], 1, old_removed=False), PutOn(passed[1], 5, old_removed=False)]
    with pytest.raises(OtherLabel):
        labels_put_on(labels=wrong, by=technician, at=AT)
    assert not LabelPutOn.objects.exists()
    labels = [PutOn(one, 1, old_removed=False) for one in passed]
    put_on = labels_put_on(labels=labels, by=technician, at=AT)
    assert [one.survey for one in put_on] == passed
    assert Entry.objects.filter(action="label-put-on").count() == 3
    assert labels_put_on(labels=labels, by=technician, at=AT + timedelta(seconds=20)) == put_on  # pressed twice


def test_no_label_is_put_on_that_does_not_hold_today(begun, technician):
    passed = sign_round(signatures=of(begun(3)), by=technician, at=AT)[:2]
    post_stop(hood=passed[1].hood, reason="glass-broken", by=technician, at=AT)
    with pytest.raises(NotToday):
        labels_put_on(labels=[PutOn(one, 1, old_removed=False) for one in passed], by=technician, at=AT)
    assert not LabelPutOn.objects.exists()
