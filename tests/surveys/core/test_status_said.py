"""What a status says beside its code: the reasons, why there is no label, and amendments in whatever order they come."""

import pytest

from surveys.core.approval import changes
from surveys.core.messages import Message
from surveys.core.status import (
    DO_NOT_USE,
    MET_CRITERIA,
    NOT_SURVEYED,
    RESTRICTED,
    status,
)
from tests.surveys.core.histories import (
    BOTH,
    FAILED,
    INSTALLED,
    PASSED,
    RESTRICTED_USE,
    WORKING,
    YEARLY_THEN_BARRED,
    day,
    event,
    hood,
    stop,
    survey,
)

PASSED_ON = Message("last-survey-passed", {"on": "2026-03-12"})
SAID = [
    # facts, approved, status, reasons, why no label, why
    ([PASSED], BOTH, MET_CRITERIA, (PASSED_ON,), None, "passed"),
    (
        [PASSED, event("opening-changed", "2026-05-01", opening=71)], BOTH, RESTRICTED,
        (PASSED_ON, Message("opening-changed-since")), Message("no-label-opening-changed"), "a part of its approval has ended",
    ),
    (
        [PASSED, event("opening-changed", "2026-05-01", opening=71)], (WORKING,), NOT_SURVEYED,
        (Message("opening-changed-since"),), Message("no-label-for-status"), "all of it has ended",
    ),
    ([PASSED], (), NOT_SURVEYED, (Message("nothing-approved"),), Message("no-label-for-status"), "nothing was ever approved"),
    ([INSTALLED], (), NOT_SURVEYED, (Message("never-surveyed"),), Message("no-label-for-status"), "never surveyed"),
    (
        [FAILED, stop("2026-06-02")], (), DO_NOT_USE,
        (Message("stopped-no-flow", {"on": "2026-06-02"}), Message("last-survey-failed", {"on": "2026-06-01"})),
        Message("no-label-for-status"), "everything that bars it is said",
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "approved", "code", "reasons", "why_no_label", "why"), SAID, ids=[row[5] for row in SAID]
)
def test_a_status_says_why(facts, approved, code, reasons, why_no_label, why):
    found = status(hood(*facts, approved=approved), day("2026-06-05"))
    assert (found.code, found.reasons, found.why_no_label) == (code, reasons, why_no_label)


@pytest.mark.parametrize("facts", [[INSTALLED], [FAILED], [PASSED, FAILED], [PASSED, stop("2026-06-02")]])
def test_what_grants_nothing_approves_no_opening(facts):
    assert status(hood(*facts), day("2026-06-05")).approved == ()


def named(id: str, record: int, verdict: str, on: str, amends: str | None = None):
    return survey(record, verdict, on, amends=amends)._replace(id=id)


def test_a_chain_of_amendments_goes_back_to_its_first_survey_whatever_its_keys_are():
    """Keys are drawn by lot, so the order of amending is the order of the records and of nothing else."""
    first = named("zz", 1, "pass", "2026-03-12")
    second = named("mm", 2, "restrict", "2026-04-01", amends="zz")
    third = named("aa", 3, "pass", "2026-05-01", amends="mm")
    for order in ([first, second, third], [third, second, first]):
        found = status(hood(*order), day("2026-06-05"))
        assert (found.code, found.since, found.survey) == (MET_CRITERIA, day("2026-03-12"), "aa")


UNCOUNTED = {
    "one that hides no failure": (
        named("s1", 1, "fail", "2026-03-12"),
        named("s3", 3, "no-verdict", "2026-04-02", amends="s1"),
    ),
    "one of a survey that is not here": (named("s3", 3, "pass", "2026-03-20", amends="s9"),),
}


@pytest.mark.parametrize("before", UNCOUNTED.values(), ids=UNCOUNTED)
def test_an_amendment_that_changes_nothing_keeps_no_later_one_from_its_place(before):
    """The pass of May amends one of 1 April, so what failed on 2 April comes after it."""
    facts = hood(
        *before,
        named("s2", 2, "pass", "2026-04-01"),
        named("s4", 4, "fail", "2026-04-02"),
        named("s5", 5, "pass", "2026-05-03", amends="s2"),
    )
    found = status(facts, day("2026-06-05"))
    assert (found.code, found.survey) == (DO_NOT_USE, "s4")


def test_the_reasons_name_the_day_they_hold_since():
    moved = event("moved", "2026-04-01")
    found = status(hood(PASSED, moved), day("2026-06-05"))
    assert found.reasons == (Message("not-surveyed-since-moved", {"on": "2026-04-01"}),)
    assert (found.code, found.since) == (NOT_SURVEYED, day("2026-04-01"))


CHANGED = [
    # events, the day of the last change that ended an approval, why
    ([], None, "nothing changed"),
    ([event("opening-changed", "2026-05-01", opening=71)], "2026-05-01", "the one that changed"),
    (
        [event("opening-changed", "2026-05-01", opening=71), event("opening-changed", "2026-05-03", opening=72)],
        "2026-05-03", "the last of two",
    ),
    (
        [event("opening-changed", "2026-05-01", opening=71), event("opening-changed", "2026-05-03", opening=99)],
        "2026-05-01", "one that was not approved ends nothing",
    ),
    (
        [event("opening-changed", "2026-05-01", opening=71), event("repaired", "2026-05-03", opening=71)],
        "2026-05-01", "a repair changes no size",
    ),
    (
        [event("opening-changed", "2026-05-01", opening=71), event("repaired", "2026-05-03")],
        "2026-05-01", "nor does one that names no opening",
    ),
    (
        [event("opening-changed", "2026-05-01", opening=71), event("opening-changed", "2026-06-09", opening=71)],
        "2026-05-01", "one that is still to come",
    ),
    ([event("opening-changed", "2026-03-11", opening=71)], None, "one from before the survey"),
    (
        [event("opening-changed", "2026-03-11", opening=72), event("opening-changed", "2026-05-01", opening=71)],
        "2026-05-01", "of another from before the survey",
    ),
    ([event("opening-changed", "2026-05-01", opening=None)], "2026-05-01", "one of which nobody can say which it was"),
]  # fmt: skip


@pytest.mark.parametrize(("events", "on", "why"), CHANGED, ids=[row[2] for row in CHANGED])
def test_an_approval_ended_on_the_day_of_its_last_change_of_size(events, on, why):
    found = changes(hood(PASSED, *events, approved=BOTH), PASSED, day("2026-06-05"))
    assert (found[-1].on if found else None) == (on and day(on)), why


REASONS = [
    # facts, day, messages, why
    ([INSTALLED], "2026-01-01", [("never-surveyed", {})], "no verdict at all"),
    ([event("moved", "2026-05-01"), PASSED], "2026-05-02", [("not-surveyed-since-moved", {"on": "2026-05-01"})], "moved"),
    ([PASSED], "2026-05-02", [("last-survey-passed", {"on": "2026-03-12"})], "passed"),
    ([RESTRICTED_USE], "2026-05-02", [("last-survey-restricted", {"on": "2026-03-12"})], "restricted"),
    (
        [FAILED, stop("2026-05-30"), stop("2026-05-31", reason="smoke-came-out")],
        "2026-06-02",
        [("stopped-no-flow", {"on": "2026-05-30"}), ("stopped-smoke-came-out", {"on": "2026-05-31"}),
         ("last-survey-failed", {"on": "2026-06-01"})],
        "every cause is named",
    ),
    ([stop("2026-05-30", reason="of-old")], "2026-06-02", [("stopped", {"on": "2026-05-30"})], "a reason of old records"),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-06-11",
        [("survey-overdue", {"on": "2027-06-11", "due_on": "2027-03-12"})],
        "use has ended",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-05-10")],
        "2026-05-02",
        [("out-of-service-until", {"on": "2026-05-01", "until_on": "2026-05-10"})],
        "a planned outage says until when",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "messages", "why"), REASONS)
def test_reasons(facts, on, messages, why):
    assert status(hood(*facts), day(on)).reasons == tuple(Message(*message) for message in messages), why
