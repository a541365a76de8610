"""Signing: what was seen is judged and kept whole, once, by what stood around it on that day; or not at all."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from hoods.models import Entry
from surveys.actions import signing
from surveys.actions.drafts import end_draft, save_revision, start_draft
from surveys.actions.signing import (
    CannotAmend,
    NothingEntered,
    NotReady,
    Seen,
    SignedUnseen,
    StillStopped,
    sign_survey,
)
from surveys.core.record import canonical, sha256_hex
from surveys.facts import facts_for
from surveys.models import (
    Approval,
    Judgement,
    Reading,
    Record,
    Revision,
    Survey,
    Traverse,
)
from tests import surveying
from tests.surveying import GOOD, LOWER, SLOW, SURVEYED, entered, with_lower
from tests.surveys.actions.moments import SIGNED, at_minute

pytestmark = pytest.mark.django_db


# --- what is kept ---


def test_a_signed_survey_is_kept_whole_and_its_record_says_the_same(draft, technician, instrument):
    surveying.save(draft, entered(instrument, notes="quiet day"), technician)
    survey = surveying.sign(draft, technician)
    attested = survey.record.attested
    assert (survey.verdict, survey.full, survey.held, survey.label_issue) == ("pass", True, "no-label", 1)
    assert (survey.done_on, survey.due_on) == (date(2026, 3, 12), date(2027, 3, 12))
    assert survey.record.sha256 == sha256_hex(canonical(attested))
    assert set(attested) == {
        "kind", "format", "number", "survey", "entered", "facts", "criteria", "judged", "signed", "program",
    }  # fmt: skip
    assert attested["entered"] == json.loads(Revision.objects.get().content)
    assert attested["survey"] == {
        "id": str(draft.pk), "reason": "annual", "done_on": "2026-03-12", "measured_from": at_minute(0),
        "measured_until": "2026-03-12T13:30:00Z", "full": True, "amends": None, "why": None, "label_issue": 1,
        "due_on": "2027-03-12",
    }  # fmt: skip
    assert attested["facts"]["hood"]["tag"] == "FH-0142"
    assert attested["facts"]["place"]["building"] == "North Range"
    assert attested["facts"]["instrument"]["name"] == instrument.name
    assert attested["facts"]["calibration"]["due_on"] == "2030-03-31"
    assert attested["criteria"]["document"] == surveying.CRITERIA
    assert attested["criteria"]["record"] == draft.version.record_id
    assert attested["judged"]["verdict"] == "pass"
    assert attested["signed"]["by"]["name"] == "Ruth Okafor"
    assert (attested["signed"]["at"], attested["signed"]["zone"]) == ("2026-03-12T13:50:00Z", "Europe/London")
    assert [(row.state, row.rows, row.columns) for row in Traverse.objects.all()] == [("as-found", 2, 5)]
    assert [row.value for row in Reading.objects.all()] == [value for row in GOOD for value in row]
    assert Judgement.objects.count() == 5
    assert Judgement.objects.get(figure="average").value == "99.6"
    assert list(Approval.objects.values_list("opening_name", "height")) == [("working", "18 in")]
    assert Entry.objects.of(survey).get().after["record"] == survey.record_id


def test_a_record_holds_only_text_whole_numbers_booleans_and_null(draft, technician, instrument):
    surveying.save(draft, entered(instrument), technician)
    content = surveying.sign(draft, technician).record.content

    def refuse(text):
        raise AssertionError(f"{text} is a float")

    json.loads(content, parse_float=refuse, parse_constant=refuse)


def test_struck_readings_and_traverses_are_kept_with_their_reason(draft, technician, instrument):
    readings = [list(row) for row in GOOD]
    readings[0][0] = [{"value": "9", "at": None, "struck": "probe not out of its cap"}, "98"]
    content = entered(instrument, readings)
    content["struck_traverses"] = [
        {"opening": "working", "state": "as-found", "unit": "ft/min", "monitor": None, "readings": SLOW,
         "struck": "a door stood open"}
    ]  # fmt: skip
    surveying.save(draft, content, technician)
    survey = surveying.sign(draft, technician)
    assert survey.verdict == "pass"
    assert list(survey.traverses.values_list("struck", flat=True)) == ["", "a door stood open"]
    struck = Reading.objects.get(struck="probe not out of its cap")
    assert (struck.value, struck.row, struck.column, struck.repeat) == ("9", 1, 1, 1)
    assert Reading.objects.count() == 21


def test_adjusted_keeps_both_sets(draft, technician, instrument):
    content = entered(instrument, SLOW, adjusted=True)
    content["traverses"].append(dict(content["traverses"][0], state="as-left", readings=GOOD))
    content["answers"].append({"check": "smoke-at-opening", "opening": "working", "state": "as-left", "answer": "yes"})
    surveying.save(draft, content, technician)
    survey = surveying.sign(draft, technician)
    assert (survey.as_found, survey.verdict) == ("fail", "pass")
    states = Judgement.objects.filter(figure="average").values_list("state", "outcome")
    assert set(states) == {("as-found", "not-met"), ("as-left", "met")}


# --- seen, and once ---


@pytest.mark.parametrize("seen", [(1, 0), (3, 0), (0, 0), (2, 1), (2, -1)])
def test_g1_what_was_not_seen_is_not_signed(draft, technician, instrument, seen):
    surveying.save(draft, entered(instrument), technician)
    surveying.save(draft, entered(instrument, notes="changed since"), technician)
    with pytest.raises(SignedUnseen, match="Nothing is signed"):
        sign_survey(draft=draft, seen=Seen(seen[0], draft.version_id + seen[1]), by=technician, at=SIGNED)
    assert not Survey.objects.exists()


def test_signing_again_gives_the_same_survey(draft, technician, instrument):
    surveying.save(draft, entered(instrument), technician)
    first = surveying.sign(draft, technician)
    assert sign_survey(draft=draft, seen=Seen(0, 0), by=technician, at=SIGNED + timedelta(days=1)) == first
    assert (Survey.objects.count(), Record.objects.filter(kind="survey").count()) == (1, 1)


def test_g2_an_empty_draft_is_not_signed(draft, technician):
    with pytest.raises(NothingEntered):
        surveying.sign(draft, technician)
    assert not Record.objects.filter(kind="survey").exists()


# G1: what an entry may look like, and whether it can be signed with which verdict
STATES = {
    "everything met": ({}, None, "pass"),
    "a point without a reading": ({}, [GOOD[0], [*GOOD[1][:4], None]], "no-verdict"),
    "no reading at all": ({"traverses": []}, None, "no-verdict"),
    "a check not answered": ({"answers": []}, None, "no-verdict"),
    "left early": ({"ended_early": {"reason": "called-away"}}, None, "no-verdict"),
    "ended for a danger": ({"ended_early": {"reason": "no-flow"}, "traverses": [], "answers": []}, None, "fail"),
    "ended for a danger, half typed": ({"ended_early": {"reason": "no-flow"}}, [["9", "1o1", "1."]], "fail"),
    "a letter in a reading": ({}, [["98", "1o1", *GOOD[0][2:]], GOOD[1]], NotReady),
    "a comma": ({}, [["98,5", *GOOD[0][1:]], GOOD[1]], NotReady),
    "more digits than the instrument shows": ({}, [["98.25", *GOOD[0][1:]], GOOD[1]], NotReady),
    "a negative reading": ({}, [["-98", *GOOD[0][1:]], GOOD[1]], NotReady),
    "above the instrument": ({}, [["980", *GOOD[0][1:]], GOOD[1]], NotReady),
    "no reason": ({"reason": None}, None, NotReady),
    "no instrument": ({"instrument": None}, None, NotReady),
    "an opening of no size": ({"openings": [{"name": "working", "width": "62 in", "height": ""}]}, None, NotReady),
    "an opening that the hood has not": ({"openings": [{"name": "side", "width": "62 in", "height": "18 in"}]}, None, NotReady),
    "a height without a unit": ({"openings": [{"name": "working", "width": "62 in", "height": "18"}]}, None, NotReady),
    "an instrument of another site": ({"instrument": "999999"}, None, "no-verdict"),
}  # fmt: skip


@pytest.mark.parametrize("state", STATES)
def test_g1_only_what_is_whole_and_judged_is_signed(draft, technician, instrument, state):
    changes, readings, expected = STATES[state]
    surveying.save(draft, entered(instrument, readings) | changes, technician)
    if isinstance(expected, str):
        assert surveying.sign(draft, technician).verdict == expected
        return
    with pytest.raises(expected) as refused:
        surveying.sign(draft, technician)
    assert refused.value.problems
    assert not Survey.objects.exists()
    assert not Record.objects.filter(kind="survey").exists()


@pytest.mark.parametrize(
    ("readings", "code"),
    [([["0"] * 5] * 2, "all-zero"), ([["100"] * 5] * 2, "four-alike"), ([["98", "980", *GOOD[0][2:]], GOOD[1]], "reading-ten-times")],
)  # fmt: skip
def test_e12_suspicious_readings_are_asked_about_before_signing(
    draft, technician, site, programme_manager, readings, code
):
    instrument = surveying.make_instrument(site, programme_manager, highest="1200 ft/min", lowest="0 ft/min")
    surveying.save(draft, entered(instrument, readings), technician)
    with pytest.raises(NotReady) as refused:
        surveying.sign(draft, technician)
    assert code in {problem.message.code for problem in refused.value.problems}


def test_e11_a_blank_is_not_zero(draft, technician, instrument):
    blank = entered(instrument, [[*GOOD[0][:4], None], GOOD[1]])
    surveying.save(draft, blank, technician)
    survey = surveying.sign(draft, technician)
    assert survey.verdict == "no-verdict"
    assert Judgement.objects.get(figure="average").outcome == "not-tested"


# --- calibration ---


@pytest.mark.parametrize(
    ("done_on", "due_on", "covers"),
    [
        (date(2025, 4, 1), date(2026, 3, 12), True),  # T13: its last day counts
        (date(2026, 3, 12), date(2027, 3, 11), True),
        (date(2025, 4, 1), date(2026, 3, 11), False),
        (date(2026, 3, 13), date(2027, 3, 12), False),
    ],
)
def test_e22_t13_the_calibration_covers_its_days_inclusive(
    draft, technician, site, programme_manager, done_on, due_on, covers
):
    instrument = surveying.make_instrument(site, programme_manager, done_on=done_on, due_on=due_on)
    surveying.save(draft, entered(instrument), technician)
    survey = surveying.sign(draft, technician)
    assert survey.verdict == ("pass" if covers else "no-verdict")
    assert survey.record.attested["facts"]["calibration_covers"] is covers


def test_e22_a_lapsed_calibration_does_not_hide_a_failure(draft, technician, site, programme_manager):
    instrument = surveying.make_instrument(site, programme_manager, due_on=date(2026, 3, 11))
    surveying.save(draft, entered(instrument, SLOW), technician)
    assert surveying.sign(draft, technician).verdict == "fail"


# --- ended, stopped, amended ---


def test_a_survey_ended_for_a_danger_is_signed_as_failed_whatever_was_typed(draft, technician, instrument):
    surveying.save(draft, entered(instrument, [["9", "1o"]]), technician)
    end_draft(draft=draft, reason="smoke-came-out", by=technician, at=SURVEYED)
    survey = surveying.sign(draft, technician)
    assert (survey.verdict, survey.label_issue, survey.due_on, survey.full) == ("fail", None, None, False)


def test_the_end_cannot_be_typed_away_while_its_stop_is_up(draft, technician, instrument, programme_manager):
    from surveys.actions.stops import withdraw_stop

    ended = end_draft(draft=draft, reason="no-flow", by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician, made_from=ended.receipt.revision)
    with pytest.raises(StillStopped):
        surveying.sign(draft, technician)
    withdraw_stop(stop=ended.stop, why="wrong button", by=programme_manager, at=SURVEYED)
    assert surveying.sign(draft, technician).verdict == "pass"


def test_g4_an_amendment_names_what_it_amends_and_both_stay(ready, technician, instrument):
    wrong = surveying.survey(ready, entered(instrument), technician)
    draft = start_draft(hood=ready, by=technician, at=SURVEYED + timedelta(days=3))
    surveying.save(draft, entered(instrument, SLOW), technician, SURVEYED + timedelta(days=3))
    later = SURVEYED + timedelta(days=3, minutes=20)
    with pytest.raises(CannotAmend, match="Say what was wrong"):
        surveying.sign(draft, technician, later, amends=wrong)
    survey = surveying.sign(draft, technician, later, amends=wrong, why="read on the wrong hood")
    attested = survey.record.attested["survey"]
    assert (attested["amends"], attested["why"]) == (str(wrong.pk), "read on the wrong hood")
    assert Survey.objects.filter(pk=wrong.pk).exists()
    third = start_draft(hood=ready, by=technician, at=later)
    surveying.save(third, entered(instrument), technician, later)
    with pytest.raises(CannotAmend, match="amended already"):
        surveying.sign(third, technician, later, amends=wrong, why="again")


def test_a_survey_of_another_hood_is_not_amended(ready, ready_with_lower, technician, instrument):
    other = surveying.survey(ready_with_lower, with_lower(instrument), technician)
    draft = start_draft(hood=ready, by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician)
    with pytest.raises(CannotAmend, match="of the same hood"):
        surveying.sign(draft, technician, amends=other, why="mixed up")


def test_why_not_sign_says_nothing_of_a_survey_ended_for_a_danger(draft, technician, instrument):
    from surveys.core.document import parse

    content = entered(instrument, [["1o"]], ended_early={"reason": "no-flow"})
    save_revision(draft=draft, content=content, form_id="f", made_from=0, by=technician, at=SURVEYED)
    assert signing.why_not_sign(parse(content), facts_for(draft)) == ()
    assert LOWER
