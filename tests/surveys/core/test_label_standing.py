"""What a label is worth on a day, and why a hood gets none."""

import pytest

from surveys.core.messages import Message
from surveys.core.status import (
    NO_LABEL,
    OUTDATED,
    STANDINGS,
    SUSPENDED,
    VALID,
    grants_label,
    label_standing,
    status,
)
from tests.surveys.core.histories import (
    BOTH,
    FAILED,
    INSTALLED,
    PASSED,
    RESTRICTED_USE,
    YEARLY_THEN_BARRED,
    day,
    event,
    hood,
    stop,
    survey,
)

LABELS = [
    # facts, issue, day, standing, why
    ([PASSED], 1, "2026-03-12", VALID, "just put on"),
    ([PASSED], 1, "2027-12-01", VALID, "overdue is said beside it"),
    ([PASSED], 2, "2026-03-12", NO_LABEL, "a number that was never issued"),
    ([PASSED, survey(2, "no-verdict", "2026-06-01")], 1, "2026-06-02", VALID, "no verdict ends no label"),
    ([PASSED, FAILED], 1, "2026-06-01", OUTDATED, "failed since"),
    ([PASSED, survey(2, "pass", "2027-03-01")], 1, "2027-03-01", OUTDATED, "a later label"),
    ([PASSED, survey(2, "pass", "2027-03-01")], 2, "2027-03-01", VALID, "which is valid"),
    ([PASSED, survey(2, "restrict", "2026-04-01", amends="s1")], 1, "2026-04-02", OUTDATED, "amended"),
    ([PASSED, event("moved", "2026-05-01")], 1, "2026-05-01", OUTDATED, "moved"),
    ([PASSED, event("hibernated", "2026-05-01")], 1, "2026-05-01", OUTDATED, "hibernated: waking wants a survey"),
    ([PASSED, event("retired", "2026-05-01")], 1, "2026-05-01", OUTDATED, "retired"),
    ([PASSED, stop("2026-04-02")], 1, "2026-04-02", SUSPENDED, "stopped: its survey stands"),
    ([PASSED, stop("2026-04-02", "2026-04-03")], 1, "2026-04-03", VALID, "the stop was withdrawn"),
    ([PASSED, stop("2026-04-02"), event("moved", "2026-05-01")], 1, "2026-05-02", OUTDATED, "stopped, and moved"),
    ([PASSED, event("out-of-service", "2026-05-01")], 1, "2026-05-02", SUSPENDED, "out of service"),
    (
        [PASSED, event("out-of-service", "2026-05-01"), event("opening-changed", "2026-05-02", opening=71)],
        1,
        "2026-05-03",
        OUTDATED,
        "out of service, and its opening was changed there",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        1,
        "2027-06-11",
        SUSPENDED,
        "use has ended until it is surveyed",
    ),
]


@pytest.mark.parametrize(("facts", "issue", "on", "standing", "why"), LABELS)
def test_what_a_label_is_worth(facts, issue, on, standing, why):
    assert label_standing(hood(*facts), issue, day(on)) == standing, why


def test_every_standing_is_in_the_table():
    assert {standing for *_, standing, _ in LABELS} == set(STANDINGS)


NO_LABELS = [
    # survey, why there is none
    (survey(1, "pass", "2026-03-12"), None),
    (survey(1, "restrict", "2026-03-12", restriction={"largest_opening": "12 in"}), None),
    (
        survey(1, "restrict", "2026-03-12", restriction={"largest_opening": "12 in"}, label_issue=None),
        "no-label-stop-not-moved",
    ),
    (survey(1, "pass", "2026-03-12", label_issue=None), "no-label-issued"),
    (survey(1, "restrict", "2026-03-12", restriction={"use": "not for acids"}, label_issue=None), "no-label-issued"),
    (
        survey(
            1,
            "restrict",
            "2026-03-12",
            restriction={"use": "not for acids; not for hazardous vapours"},
            label_issue=None,
        ),
        "no-label-canopy",
    ),
    (survey(1, "fail", "2026-03-12"), "no-label-for-status"),
    (survey(1, "no-verdict", "2026-03-12"), "no-label-for-status"),
]


@pytest.mark.parametrize(("last", "why"), NO_LABELS)
def test_g18_no_label_where_the_status_grants_none(last, why):
    found = status(hood(last), day("2026-03-12"))
    assert grants_label(found) is (why is None)
    assert found.why_no_label == (why and Message(why))
    assert found.in_use is (found.grants and why is None)
    assert bool(found.unlabelled) is (found.grants and why is not None)


def test_a_hood_without_a_valid_label_is_not_in_use_and_says_why():
    restricted = survey(1, "restrict", "2026-03-12", restriction={"largest_opening": "12 in"}, label_issue=None)
    found = status(hood(restricted), day("2026-03-12"))
    assert (found.code, found.grants, found.in_use) == ("restricted", True, False)
    assert found.unlabelled == Message("unlabelled-stop-not-moved", {"height": "12 in (304 mm)"})
    changed = hood(RESTRICTED_USE, event("opening-changed", "2026-05-01", opening=71), approved=BOTH)
    assert status(changed, day("2026-04-30")).in_use
    assert status(changed, day("2026-05-02")).unlabelled.code == "unlabelled-opening-changed"
    assert status(hood(survey(1, "pass", "2026-03-12")), day("2026-03-12")).in_use


EARLIER = survey(1, "pass", "2026-03-12", label_issue=None, signed_here=False)
VOID = [
    # facts, day, whether what hangs is void, why
    ([PASSED, event("kind-changed", "2026-05-01")], "2026-05-02", True, "the hood was changed"),
    ([PASSED, event("kind-changed", "2026-05-01")], "2026-04-30", False, "the control: before it was changed"),
    ([PASSED, event("opening-changed", "2026-05-01", opening=71)], "2026-05-02", True, "its one opening was changed"),
    ([PASSED, event("moved", "2026-05-01")], "2026-05-02", True, "it was moved"),
    ([EARLIER, event("kind-changed", "2026-05-01")], "2026-05-02", True, "a label of before this ledger"),
    ([EARLIER], "2026-05-02", False, "the control: it grants use"),
    ([INSTALLED], "2026-05-02", False, "never surveyed: it had no label"),
    ([survey(1, "restrict", "2026-03-12", label_issue=None), event("moved", "2026-05-01")], "2026-05-02", False, "no label came of it"),
    ([FAILED], "2026-06-02", False, "barred, and its sign says so"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "void", "why"), VOID, ids=[row[3] for row in VOID])
def test_a_label_that_granted_use_before_the_hood_was_changed_is_said_to_be_void(facts, on, void, why):
    assert status(hood(*facts), day(on)).label_void == (Message("label-void") if void else None), why
