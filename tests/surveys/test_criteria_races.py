"""People who act on criteria at the same moment: M4, two adopt one draft; C5, one adopts while others sign."""

from __future__ import annotations

import uuid
from copy import deepcopy
from datetime import timedelta
from functools import partial

import pytest
from django.db.models import Max, Min

from surveys.actions import criteria
from surveys.actions.drafts import save_revision, start_draft
from surveys.actions.signing import Seen, sign_survey
from surveys.models import CriteriaVersion, Record, Survey
from tests import surveying
from tests.racing import dealt, together
from tests.surveying import CRITERIA, SURVEYED, entered

pytestmark = pytest.mark.django_db(transaction=True)
DAY = SURVEYED.date()


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def draft(version, programme_manager):
    """The next version of the set: what has an average of 99 ft/min fails by it."""
    made = criteria.start_version(set=version.set, by=programme_manager, at=SURVEYED)
    stricter = deepcopy(CRITERIA)
    stricter["limits"][0] |= {"at_least": "105 ft/min"}
    return criteria.change_draft(version=made, document=stricter, by=programme_manager, at=SURVEYED)


def adopt(version, by, reason):
    """One person: adopt, and say what came of it."""
    try:
        criteria.adopt_version(
            version=version, first_day=DAY, reason=reason, by=by, at=SURVEYED, seen=criteria.content_hash(version)
        )
    except criteria.Adopted as refusal:
        return "told", str(refusal)
    return "adopted", reason


def both_adopt(draft, people, *, guarded=True):
    return together([partial(adopt, draft, by, f"by {by.initials}") for by in people], guarded=guarded)


@pytest.mark.parametrize("time", range(3))
def test_m4_of_two_who_adopt_at_once_one_adopts_and_the_other_is_told(draft, programme_manager, technician, time):
    results = both_adopt(draft, (programme_manager, technician))
    (done, reason), (told, said) = sorted(results)
    assert (done, told) == ("adopted", "told"), results
    assert "adopted and never changes" in said
    draft.refresh_from_db()
    assert draft.reason == reason
    assert draft.record.attested["reason"] == reason
    assert Record.objects.filter(kind="criteria").count() == 2, "the first version, and this one once"


def test_m4_control_without_locks_the_other_is_not_told(draft, programme_manager, technician):
    results = both_adopt(draft, (programme_manager, technician), guarded=False)
    assert "told" not in [result[0] for result in results if isinstance(result, tuple)], results
    assert any(isinstance(result, Exception) for result in results)


def survey_all(ids, hood, by, content):
    """One client: make and sign each survey of its list, one after the other."""
    signed = []
    for id in ids:
        draft = start_draft(hood=hood, by=by, at=SURVEYED, id=id)
        save_revision(draft=draft, content=content, form_id=f"form-{id}", made_from=0, by=by, at=SURVEYED)
        survey = sign_survey(
            draft=draft, seen=Seen(1, draft.version_id), by=by, at=SURVEYED + timedelta(minutes=20)
        )  # fmt: skip
        signed.append(str(survey.pk))
    return signed


def adopted_amid(draft, hood, by, technician, instrument, *, number, clients, guarded=True):
    ids = [uuid.UUID(int=n + 1) for n in range(number)]
    content = entered(instrument)
    surveyors = [partial(survey_all, hand, hood, technician, content) for hand in dealt(ids, clients)]
    return together([*surveyors, partial(adopt, draft, by, "stricter")], guarded=guarded)


SIZES = [
    pytest.param(12, 3, id="a few"),
    pytest.param(80, 8, id="many", marks=[pytest.mark.long, pytest.mark.timeout(900)]),
]


@pytest.mark.parametrize(("number", "clients"), SIZES)
def test_c5_a_version_adopted_while_surveys_are_judged_each_names_exactly_one(
    hood, version, draft, programme_manager, technician, instrument, number, clients
):
    surveying.assign(hood, version, programme_manager)
    results = adopted_amid(draft, hood, programme_manager, technician, instrument, number=number, clients=clients)
    assert [error for error in results if isinstance(error, Exception)] == []
    surveys = Survey.objects.select_related("record", "version", "draft")
    assert len(surveys) == number
    expected = {version.pk: "pass", draft.pk: "fail"}
    records = {one.pk: one.record_id for one in CriteriaVersion.objects.all()}
    for survey in surveys:
        attested = survey.record.attested
        assert survey.version_id == survey.draft.version_id
        assert attested["criteria"]["record"] == records[survey.version_id]
        assert attested["criteria"]["document"] == survey.version.document
        assert (survey.verdict, attested["judged"]["verdict"]) == (expected[survey.version_id],) * 2
        if survey.version_id == draft.pk:
            assert survey.record_id > records[draft.pk], "nobody is judged by a version before it is adopted"
    ends = Record.objects.aggregate(first=Min("number"), last=Max("number"))
    assert ends == {"first": 1, "last": number + 2}, "without gaps: two versions, and each survey once"


def test_c5_surveys_begun_before_and_after_are_judged_each_by_its_own(
    hood, version, draft, programme_manager, technician, instrument
):
    """The two ends of the race, one after the other: a survey that was begun keeps the version it was begun with."""
    surveying.assign(hood, version, programme_manager)
    begun = start_draft(hood=hood, by=technician, at=SURVEYED, id=uuid.UUID(int=1))
    adopt(draft, programme_manager, "stricter")
    survey_all([uuid.UUID(int=1), uuid.UUID(int=2)], hood, technician, entered(instrument))
    assert begun.version == version
    found = Survey.objects.order_by("record").values_list("version", "verdict")
    assert list(found) == [(version.pk, "pass"), (draft.pk, "fail")]


@pytest.mark.long
def test_c5_control_without_locks_adopting_and_signing_break_one_another(
    hood, version, draft, programme_manager, technician, instrument
):
    surveying.assign(hood, version, programme_manager)
    results = adopted_amid(draft, hood, programme_manager, technician, instrument, number=6, clients=3, guarded=False)
    assert [error for error in results if isinstance(error, Exception)] != []


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


def change(version, by, months, seen):
    """One editor: keep other months, made from what both have seen."""
    document = version.document | {"due": version.document["due"] | {"months": months}}
    try:
        criteria.change_draft(version=version, document=document, by=by, at=SURVEYED, seen=seen)
    except criteria.DraftChanged:
        return "told", months
    return "kept", months


@pytest.mark.parametrize("time", range(3))
def test_c2_of_two_who_change_a_draft_at_once_one_is_kept_and_the_other_told(
    draft, programme_manager, technician, time
):
    seen = criteria.content_hash(draft)
    editors = ((programme_manager, "6"), (technician, "18"))
    results = together([partial(change, draft, by, months, seen) for by, months in editors])
    assert sorted(result[0] for result in results) == ["kept", "told"], results
    draft.refresh_from_db()
    assert draft.document["due"]["months"] == dict(results)["kept"]
