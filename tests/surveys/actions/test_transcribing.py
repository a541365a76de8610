"""Surveys typed in from paper: their day, who measured, what is marked, and where they stand among the others."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import DatabaseError, connection, transaction

from hoods.models import Entry, HoodEvent
from surveys import queries
from surveys.actions.amendments import start_amendment
from surveys.actions.criteria import adopt_version, change_draft, start_version
from surveys.actions.mails import letter_of
from surveys.actions.room_signing import FromPaper, why_not_together
from surveys.actions.transcribing import NobodyMeasured, WrongDay, start_transcription
from surveys.models import Draft, Notice, Reading, Transcription
from tests import making, surveying
from tests.breaking import broken_at_each_statement
from tests.surveying import GOOD, SLOW, SURVEYED, entered

pytestmark = pytest.mark.django_db

DAY = date(2026, 3, 2)
TYPED = SURVEYED  # ten days later


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager, name="A-07")


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager, name="Laboratory hoods")


@pytest.fixture
def ready(hood, version, programme_manager):
    surveying.assign(hood, version, programme_manager)
    return hood


def begun(hood, by, on=DAY, at=TYPED, **who):
    return start_transcription(hood=hood, measured_on=on, by=by, at=at, **(who or {"measured_by": "Lena Orth"}))


def typed_in(hood, instrument, by, on=DAY, at=TYPED, readings=None, **who):
    draft = begun(hood, by, on, at, **who)
    with_moments = [
        [{"value": text, "at": "2026-03-12T13:31:00Z", "struck": None} for text in row] for row in readings or GOOD
    ]
    surveying.save(draft, entered(instrument, with_moments), by, at + timedelta(minutes=10))
    return surveying.sign(draft, by, at + timedelta(minutes=20))


def test_i12_a_record_from_paper_says_who_measured_on_which_day_and_who_typed_it_in(ready, instrument, technician):
    survey = typed_in(ready, instrument, technician)
    attested = survey.record.attested
    assert attested["survey"]["transcribed"] == {
        "measured_by": "Lena Orth", "initials": "LO", "typed_in_by": "Ruth Okafor", "typed_in_on": "2026-03-12",
        "typed_in_at": "2026-03-12T13:30:00Z",
    }  # fmt: skip
    assert (attested["survey"]["done_on"], survey.done_on, survey.due_on) == ("2026-03-02", DAY, date(2027, 3, 2))
    assert attested["signed"]["meaning"] == "typed-in-from-paper"
    assert attested["signed"]["at"] == "2026-03-12T13:50:00Z", "the server's moments stand beside"
    assert attested["signed"]["qualifications"] == [], "those of who typed it in say nothing of who measured"


def test_i12_no_moment_of_a_reading_is_made_up(ready, instrument, technician):
    survey = typed_in(ready, instrument, technician)
    assert set(Reading.objects.filter(traverse__survey=survey).values_list("at", flat=True)) == {None}
    assert '"at":"2026-03-12T13:31' not in json.dumps(survey.record.attested["entered"], separators=(",", ":"))
    assert all('"at":"2026-03-12T13:31' not in one.content for one in survey.draft.revisions.all())
    first = datetime(2026, 3, 2, tzinfo=UTC)
    assert (survey.measured_from, survey.measured_until) == (first, first), "the day, and no time of it"


def test_i12_the_control_a_survey_with_a_tablet_keeps_its_moments_and_its_meaning(ready, instrument, technician):
    readings = [[{"value": text, "at": "2026-03-12T13:31:00Z", "struck": None} for text in row] for row in GOOD]
    survey = surveying.survey(ready, entered(instrument, readings), technician)
    assert None not in set(Reading.objects.filter(traverse__survey=survey).values_list("at", flat=True))
    assert "transcribed" not in survey.record.attested["survey"]
    assert survey.record.attested["signed"]["meaning"] == "made-these-measurements"


def test_who_measured_may_be_a_person_of_the_site_or_a_name_but_somebody(ready, technician, programme_manager):
    assert begun(ready, technician, person=programme_manager).from_paper.measured_by == "Henrik Sole"
    for blank in ("", "  "):
        with pytest.raises(NobodyMeasured):
            begun(ready, technician, DAY + timedelta(days=1), measured_by=blank)


DAYS = [  # day, moment of typing in, is it taken, why
    (date(2026, 3, 12), datetime(2026, 3, 12, 0, 0, tzinfo=UTC), True, "T9: the day itself, in its first minute"),
    (date(2026, 3, 13), datetime(2026, 3, 12, 23, 59, 59, tzinfo=UTC), False, "T7: tomorrow, a second before midnight"),
    (date(2026, 3, 13), datetime(2026, 3, 13, 0, 0, tzinfo=UTC), True, "T9: and at midnight"),
    (date(2026, 7, 2), datetime(2026, 7, 1, 22, 59, 59, tzinfo=UTC), False, "T7: in summer, by the clock of the site"),
    (date(2026, 7, 2), datetime(2026, 7, 1, 23, 0, tzinfo=UTC), True, "T9: midnight there is eleven in UTC"),
    (making.ON, TYPED, True, "the day on which it was installed, and its criteria came into force"),
    (making.ON - timedelta(days=1), TYPED, False, "T7: before the hood was there"),
]


@pytest.mark.parametrize(("day", "at", "taken", "why"), DAYS)
def test_t7_t9_the_day_measured_is_not_in_the_future_and_not_before_the_hood_was_there(
    ready, technician, day, at, taken, why
):
    if taken:
        assert begun(ready, technician, day, at).done_on == day, why
        return
    with pytest.raises(WrongDay) as refused:
        begun(ready, technician, day, at)
    assert str(day) in str(refused.value)
    assert not Draft.objects.exists(), why


JUDGED_BY = [  # day on the paper, which of the two judges, why
    (date(2026, 3, 4), "older", "the day before the newer begins"),
    (date(2026, 3, 5), "newer", "its first day"),
    (date(2026, 3, 12), "newer", "the day typed in"),
]


@pytest.mark.parametrize("another", ["set", "version"])
@pytest.mark.parametrize(("day", "by", "why"), JUDGED_BY)
def test_t7_the_version_in_force_for_the_hood_on_the_day_measured_judges(
    ready, version, site, instrument, technician, programme_manager, another, day, by, why
):
    """By the older one 95 ft/min pass; by the newer one, whose survey is due sooner, they do not."""
    document = surveying.CRITERIA | {"due": {**surveying.CRITERIA["due"], "months": "6"}}
    document["limits"] = [{**surveying.CRITERIA["limits"][0], "at_least": "110 ft/min"}]
    newer = newer_version(another, version, site, programme_manager, document)
    if another == "set":
        surveying.assign(ready, newer, programme_manager, from_on=date(2026, 3, 5))
    survey = typed_in(ready, instrument, technician, day)
    judge = {"older": version, "newer": newer}[by]
    assert (survey.version, survey.verdict) == (judge, {"older": "pass", "newer": "fail"}[by]), why
    assert survey.record.attested["criteria"]["record"] == judge.record_id
    if by == "older":
        assert survey.due_on == date(2027, 3, 4), "when it is due is a rule of the version that judged, as of any survey"
        assert queries.status_of(ready, TYPED.date()).due.on == survey.due_on


def newer_version(another, version, site, by, document):
    """A version that is in force from 5 March on: of another set, or the next of the same."""
    first = date(2026, 3, 5)
    if another == "set":
        return surveying.make_version(site, by, document, name="Newer", first_day=first)
    at = datetime(2026, 3, 5, 8, 0, tzinfo=UTC)
    draft = start_version(set=version.set, by=by, at=at)
    draft = change_draft(version=draft, document=document, by=by, at=at)
    return adopt_version(version=draft, first_day=first, reason="agreed", by=by, at=at)


def test_t7_a_day_before_any_criteria_judged_the_hood_is_refused(make_hood, site, technician, programme_manager):
    hood = make_hood(tag="FH-0150")
    newer = surveying.make_version(site, programme_manager, name="Newer", first_day=date(2026, 3, 5))
    surveying.assign(hood, newer, programme_manager, from_on=date(2026, 3, 5))
    assert begun(hood, technician, date(2026, 3, 5)).version == newer
    with pytest.raises(WrongDay, match="Compare the day with the paper"):
        begun(hood, technician, date(2026, 3, 4))


def test_a_hood_that_is_retired_by_now_gets_no_survey_from_paper(ready, technician, programme_manager):
    HoodEvent.objects.create(hood=ready, kind="retired", on=date(2026, 3, 10), at=SURVEYED, by=programme_manager)
    with pytest.raises(Exception, match="is retired"):
        begun(ready, technician)


def test_the_same_day_begun_twice_is_one_and_a_day_with_a_signed_survey_is_refused(ready, instrument, technician):
    assert begun(ready, technician) == begun(ready, technician, measured_by="Somebody else")
    surveying.survey(ready, entered(instrument), technician)
    with pytest.raises(WrongDay, match="signed already"):
        begun(ready, technician, date(2026, 3, 12), TYPED + timedelta(hours=2))


ORDER = [  # day of the tablet's survey, day of the paper, which decides
    (date(2026, 3, 1), date(2026, 3, 2), "paper"),
    (date(2026, 3, 3), date(2026, 3, 2), "tablet"),
    (date(2026, 3, 12), date(2026, 3, 11), "tablet"),
]


@pytest.mark.parametrize(("tablet", "paper", "decides"), ORDER)
def test_the_status_counts_from_the_day_measured_and_not_from_the_day_typed_in(
    ready, instrument, technician, tablet, paper, decides
):
    """The tablet's survey passes; the one from paper, typed in later, does not."""
    surveying.survey(
        ready, entered(instrument), technician, datetime(tablet.year, tablet.month, tablet.day, 9, tzinfo=UTC)
    )
    typed_in(ready, instrument, technician, paper, TYPED + timedelta(hours=3), SLOW)
    expected = {"paper": "do-not-use", "tablet": "met-criteria"}[decides]
    assert queries.status_of(ready, date(2026, 3, 20)).code == expected
    assert queries.status_of(ready, paper - timedelta(days=1)).code == (
        "met-criteria" if tablet < paper else "not-surveyed"
    )


def test_a_correction_of_a_survey_from_paper_is_from_paper_too(ready, instrument, technician):
    survey = typed_in(ready, instrument, technician)
    draft = start_amendment(survey=survey, why="misread", begins="copy", by=technician, at=TYPED + timedelta(days=1))
    again = surveying.sign(draft, technician, TYPED + timedelta(days=1, hours=1))
    assert again.record.attested["survey"]["transcribed"] == survey.record.attested["survey"]["transcribed"]
    assert (again.done_on, again.measured_until) == (survey.done_on, survey.measured_until)


def test_a_survey_from_paper_is_signed_on_its_own_review(ready, instrument, technician):
    assert isinstance(why_not_together(begun(ready, technician), technician), FromPaper)


def test_what_is_said_of_paper_is_permanent(ready, technician):
    draft = begun(ready, technician)
    with pytest.raises(DatabaseError), transaction.atomic():
        Transcription.objects.filter(pk=draft.pk).update(measured_by="Another")
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM surveys_transcription")


CALIBRATED = [  # first and last day of a calibration, verdict of a survey of 2 March that is typed in on 12 March, why
    (date(2025, 3, 1), date(2026, 3, 2), "pass", "it ended with the day measured"),
    (date(2026, 3, 2), date(2027, 3, 1), "pass", "it began with it"),
    (date(2025, 3, 1), date(2026, 3, 1), "no-verdict", "it had ended the day before"),
    (date(2026, 3, 3), date(2027, 3, 2), "no-verdict", "it covers the day typed in, and not the day measured"),
]


@pytest.mark.parametrize(("done_on", "due_on", "verdict", "why"), CALIBRATED)
def test_e22_t13_the_calibration_covers_the_day_measured_and_not_the_day_typed_in(
    ready, site, technician, programme_manager, done_on, due_on, verdict, why
):
    instrument = surveying.make_instrument(site, programme_manager, done_on=done_on, due_on=due_on)
    survey = typed_in(ready, instrument, technician)
    assert (survey.verdict, survey.record.attested["facts"]["calibration_covers"]) == (verdict, verdict == "pass"), why


def kept() -> list[int]:
    return [model.objects.count() for model in (Draft, Transcription, Entry)]


def test_d6_a_survey_from_paper_is_begun_with_who_measured_it_or_not_at_all(ready, technician):
    before = kept()
    assert broken_at_each_statement(lambda: begun(ready, technician), kept) > 5
    assert [now - was for was, now in zip(before, kept(), strict=True)] == [1, 1, 1]


def test_d6_control_without_its_transaction_a_draft_stays_of_which_nobody_says_that_it_is_from_paper(ready, technician):
    what = {"hood": ready, "measured_on": DAY, "measured_by": "Lena Orth", "by": technician, "at": TYPED}
    with pytest.raises(AssertionError, match="something stayed"):
        broken_at_each_statement(lambda: start_transcription.__wrapped__(**what), kept)


@pytest.mark.parametrize(("readings", "kind"), [(SLOW, "failed"), (surveying.UNEVEN, "restricted")])
def test_i12_the_mail_names_who_measured_and_who_typed_it_in(ready, instrument, technician, lab_manager, readings, kind):
    typed_in(ready, instrument, technician, readings=readings)
    notice = Notice.objects.get()
    assert notice.kind == kind
    letter = letter_of(notice, TYPED + timedelta(hours=1))
    assert ("Surveyed by", "Lena Orth, from paper; typed in by Ruth Okafor") in letter.facts


def test_the_control_the_mail_of_a_tablet_names_who_measured_alone(ready, instrument, technician, lab_manager):
    surveying.survey(ready, entered(instrument, SLOW), technician)
    assert ("Surveyed by", "Ruth Okafor") in letter_of(Notice.objects.get(), TYPED + timedelta(hours=1)).facts
