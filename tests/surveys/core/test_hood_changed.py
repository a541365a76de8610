"""What a hood loses when it becomes another: every approval, whatever the survey found, until it is surveyed again."""

from datetime import timedelta

import pytest

from hoods.core.ending import ENDING
from surveys.core.messages import SENTENCES, Message
from surveys.core.status import (
    DO_NOT_USE,
    MET_CRITERIA,
    NOT_SURVEYED,
    OUT_OF_SERVICE,
    OUTDATED,
    RETIRED,
    SUSPENDED,
    VALID,
    label_standing,
    status,
)
from tests.surveys.core.histories import (
    BOTH,
    FAILED,
    INSTALLED,
    LEFT,
    PASSED,
    RESTRICTED_USE,
    RIGHT,
    at,
    day,
    event,
    hood,
    stop,
    survey,
)

OF_THE_HOOD = ("kind-changed", "control-changed", "sash-changed")
AFTER = day("2026-06-05")
KIND, SASH, CONTROL = (event(f"{what}-changed", "2026-05-01") for what in ("kind", "sash", "control"))
RAISED = event("opening-changed", "2026-05-01", opening=71)


@pytest.mark.parametrize("kind", OF_THE_HOOD)
@pytest.mark.parametrize("made", [PASSED, RESTRICTED_USE], ids=["passed", "restricted"])
@pytest.mark.parametrize(("approved", "one_way"), [(BOTH, True), ((LEFT, RIGHT), False)], ids=["one way", "panels"])
def test_a_hood_that_became_another_is_not_surveyed_and_its_label_is_to_be_taken_off(kind, made, approved, one_way):
    facts = hood(made, event(kind, "2026-05-01"), approved=approved, one_way=one_way)
    before, found = status(facts, day("2026-04-30")), status(facts, day("2026-05-01"))
    assert before.grants
    assert label_standing(facts, 1, day("2026-04-30")) == VALID
    assert (found.code, found.since, found.approved, found.restriction) == (NOT_SURVEYED, day("2026-05-01"), (), None)
    assert found.reasons == (Message(f"{kind}-since"),)
    assert (found.in_use, found.why_no_label) == (False, Message("no-label-for-status"))
    assert label_standing(facts, 1, day("2026-05-01")) == OUTDATED


@pytest.mark.parametrize("kind", ENDING)
def test_each_cause_has_a_sentence_of_its_own(kind):
    said = SENTENCES[f"{kind}-since"]
    assert {"kind": "kind", "control": "control", "sash": "sash", "opening": "opening"}[kind.split("-")[0]] in said
    assert len({SENTENCES[f"{each}-since"] for each in ENDING}) == len(ENDING)


SAID = [
    # events, reasons, why
    ([SASH, KIND], ["kind-changed-since", "sash-changed-since"], "several of one act, in one order"),
    ([KIND, CONTROL, SASH, RAISED], [f"{kind}-since" for kind in ENDING], "every cause"),
    ([KIND, event("kind-changed", "2026-05-02")], ["kind-changed-since"], "each cause once"),
    (
        [event("sash-changed", "2026-03-11"), KIND],
        ["kind-changed-since"],
        "what was so before the survey ended nothing",
    ),
    ([event("sash-changed", "2026-06-09"), KIND], ["kind-changed-since"], "what is still to come ended nothing yet"),
    ([KIND, event("repaired", "2026-05-02")], ["kind-changed-since"], "a repair is no change of what it is"),
]


@pytest.mark.parametrize(("events", "codes", "why"), SAID, ids=[row[2] for row in SAID])
def test_every_cause_is_told_once(events, codes, why):
    found = status(hood(PASSED, *events, approved=BOTH), AFTER)
    assert [reason.code for reason in found.reasons] == codes, why


def test_it_is_so_since_the_last_change():
    assert status(hood(PASSED, KIND, event("sash-changed", "2026-05-20")), AFTER).since == day("2026-05-20")


def test_changed_back_it_stays_ended_until_a_survey():
    """The register cannot tell whether it was only written otherwise for an hour."""
    there_and_back = [event("kind-changed", "2026-05-01", 10), event("kind-changed", "2026-05-01", 11)]
    assert status(hood(PASSED, *there_and_back), day("2026-05-01")).code == NOT_SURVEYED
    again = survey(2, "pass", "2026-05-02")
    facts = hood(PASSED, again, *there_and_back)
    assert status(facts, day("2026-05-02")).code == MET_CRITERIA
    assert [label_standing(facts, issue, day("2026-05-02")) for issue in (1, 2)] == [OUTDATED, VALID]


WHEN = [
    # changed on, hour, ends, why
    ("2026-03-11", 12, False, "before the survey"),
    ("2026-03-12", 8, False, "that day, before the last reading: the survey was judged as the hood is"),
    ("2026-03-12", 12, False, "at the last reading"),
    ("2026-03-12", 15, True, "that day, after it"),
    ("2026-03-13", 8, True, "the next day"),
]


@pytest.mark.parametrize(("on", "hour", "ends", "why"), WHEN)
def test_a_survey_under_way_counts_if_it_was_still_measured_when_the_hood_was_changed(on, hour, ends, why):
    found = status(hood(PASSED, event("kind-changed", on, hour)), day("2026-03-14"))
    assert (found.code == NOT_SURVEYED) is ends, why


BESIDE = [
    # facts, status, standing of label 1, why
    ([PASSED, KIND, stop("2026-05-02")], DO_NOT_USE, OUTDATED, "a stop goes before, and the label ends all the same"),
    ([PASSED, stop("2026-05-02")], DO_NOT_USE, SUSPENDED, "the control: a stop alone suspends it"),
    ([PASSED, KIND, event("out-of-service", "2026-05-02")], OUT_OF_SERVICE, OUTDATED, "out of service"),
    ([PASSED, event("out-of-service", "2026-05-02")], OUT_OF_SERVICE, SUSPENDED, "the control"),
    ([PASSED, KIND, event("retired", "2026-05-02")], RETIRED, OUTDATED, "retired"),
    ([PASSED, FAILED, event("sash-changed", "2026-06-02")], DO_NOT_USE, OUTDATED, "a failure is not forgotten"),
]


@pytest.mark.parametrize(("facts", "code", "standing", "why"), BESIDE, ids=[row[3] for row in BESIDE])
def test_what_bars_the_hood_anyway_goes_before(facts, code, standing, why):
    assert status(hood(*facts), AFTER).code == code
    assert label_standing(hood(*facts), 1, AFTER) == standing


def test_a_hood_back_in_service_has_not_got_its_approval_back():
    facts = hood(PASSED, event("out-of-service", "2026-05-01"), event("sash-changed", "2026-05-03"),
                 event("back-in-service", "2026-05-09"))  # fmt: skip
    assert (status(facts, AFTER).code, label_standing(facts, 1, AFTER)) == (NOT_SURVEYED, OUTDATED)


def test_a_hood_that_was_never_approved_loses_nothing():
    """A slip on registering is put right: the hood is what it was, not yet surveyed, and for that reason alone."""
    for events in ([INSTALLED], [INSTALLED, event("kind-changed", "2024-01-10", 13)]):
        found = status(hood(*events), day("2024-01-11"))
        assert (found.code, found.since, found.reasons) == (NOT_SURVEYED, INSTALLED.on, (Message("never-surveyed"),))


EARLIER = survey(0, "pass", "2023-06-01", signed_here=False, label_issue=None)._replace(signed_at=at("2024-02-01"))
REGISTERED = at("2024-01-10")
LISTED = [
    # the change was entered after registering by, ends, why
    (timedelta(0), False, "with it"),
    (timedelta(minutes=5), False, "minutes later: what was typed was put right"),
    (timedelta(days=1) - timedelta(seconds=1), False, "within a day"),
    (timedelta(days=1), True, "a day later it is a change of the hood"),
    (-timedelta(seconds=1), True, "before it was registered: of another stay"),
]


@pytest.mark.parametrize("kind", ENDING)
@pytest.mark.parametrize(("later", "ends", "why"), LISTED, ids=[row[2] for row in LISTED])
def test_a_slip_put_right_on_registering_ends_nothing_of_a_list_brought_in_after_it(kind, later, ends, why):
    moment = REGISTERED + later
    changed = event(kind, moment.date().isoformat(), opening=71 if kind == "opening-changed" else None)._replace(
        at=moment
    )
    installed = event("installed", "2020-01-10")._replace(at=REGISTERED)
    found = status(hood(installed, changed, EARLIER), day("2024-03-01"))
    assert (found.code == NOT_SURVEYED) is ends, why


def test_a_list_that_was_brought_in_before_the_slip_was_put_right_approves_nothing_by_it():
    """It was held beside the hood as it was typed: a canopy, perhaps, that was written as another kind."""
    installed = event("installed", "2020-01-10")._replace(at=REGISTERED)
    changed = event("kind-changed", "2024-01-10")._replace(at=REGISTERED + timedelta(minutes=5))
    for brought, code in (
        (timedelta(minutes=4), NOT_SURVEYED),
        (timedelta(minutes=5), NOT_SURVEYED),
        (timedelta(minutes=6), MET_CRITERIA),
    ):
        listed = EARLIER._replace(signed_at=REGISTERED + brought)
        assert status(hood(installed, changed, listed), day("2024-03-01")).code == code


def test_a_survey_signed_here_is_never_excused_by_the_day_of_registering():
    made = survey(1, "pass", "2024-01-10", 13)
    changed = event("kind-changed", "2024-01-10", 16)
    facts = hood(event("installed", "2024-01-10", 12), changed, made._replace(signed_at=at("2024-01-11")))
    assert status(facts, day("2024-01-12")).code == NOT_SURVEYED
