"""Whether a hood may be used on a day: the table is the specification."""

import pytest

from surveys.core import status as module
from surveys.core import status_reasons
from surveys.core.life import BEGINNINGS
from surveys.core.messages import SENTENCES
from surveys.core.status import (
    DO_NOT_USE,
    GRANTING,
    HIBERNATED,
    MET_CRITERIA,
    NOT_SURVEYED,
    OUT_OF_SERVICE,
    RESTRICTED,
    RETIRED,
    STATUSES,
    status,
)
from tests.surveys.core.histories import (
    FAILED,
    INSTALLED,
    PASSED,
    RESTRICTED_USE,
    YEARLY,
    YEARLY_THEN_BARRED,
    day,
    event,
    hood,
    stop,
    survey,
)

CASES = [
    # facts, day, status, since, why
    ([], "2026-03-12", NOT_SURVEYED, None, "nothing is known"),
    ([INSTALLED], "2026-03-12", NOT_SURVEYED, "2024-01-10", "installed, never surveyed"),
    ([INSTALLED, survey(1, "no-verdict", "2026-03-12")], "2026-03-13", NOT_SURVEYED, "2024-01-10", "no verdict yet"),
    ([INSTALLED, PASSED], "2026-03-12", MET_CRITERIA, "2026-03-12", "passed that day"),
    ([INSTALLED, PASSED], "2026-03-11", NOT_SURVEYED, "2024-01-10", "the day before: facts after the day are not seen"),
    ([INSTALLED, RESTRICTED_USE], "2026-03-12", RESTRICTED, "2026-03-12", "restricted"),
    ([INSTALLED, PASSED, FAILED], "2026-06-01", DO_NOT_USE, "2026-06-01", "failed after a pass"),
    ([INSTALLED, PASSED, FAILED], "2026-05-31", MET_CRITERIA, "2026-03-12", "the day before it failed"),
    ([FAILED, survey(3, "pass", "2026-06-09")], "2026-06-09", MET_CRITERIA, "2026-06-09", "passed after the repair"),
    ([PASSED, survey(2, "no-verdict", "2026-06-01")], "2026-06-02", MET_CRITERIA, "2026-03-12", "no verdict, no change"),
    ([FAILED, survey(3, "no-verdict", "2026-06-09")], "2026-06-10", DO_NOT_USE, "2026-06-01", "nor does it lift one"),
    (
        [survey(1, "fail", "2026-03-12", 9), survey(2, "pass", "2026-03-12", 15)],
        "2026-03-12",
        MET_CRITERIA,
        "2026-03-12",
        "two on one day: the one whose measuring ended last",
    ),
    (
        [survey(2, "fail", "2026-03-12", 9), survey(1, "pass", "2026-03-12", 15)],
        "2026-03-12",
        MET_CRITERIA,
        "2026-03-12",
        "by the end of measuring, though the other was signed last",
    ),
    (
        [survey(1, "pass", "2026-03-12", 9), survey(2, "fail", "2026-03-12", 9)],
        "2026-03-12",
        DO_NOT_USE,
        "2026-03-12",
        "the same moment: the higher record number",
    ),
    # stops
    ([PASSED, stop("2026-04-02")], "2026-04-02", DO_NOT_USE, "2026-04-02", "posted today"),
    ([PASSED, stop("2026-04-02")], "2026-04-01", MET_CRITERIA, "2026-03-12", "posted tomorrow"),
    ([PASSED, stop("2026-04-02", "2026-04-05")], "2026-04-04", DO_NOT_USE, "2026-04-02", "lifted tomorrow"),
    ([PASSED, stop("2026-04-02", "2026-04-05")], "2026-04-05", MET_CRITERIA, "2026-03-12", "lifted today: as it stands"),
    ([PASSED, stop("2026-04-02", "2026-04-02")], "2026-04-02", MET_CRITERIA, "2026-03-12", "posted and withdrawn"),
    (
        [PASSED, stop("2026-04-02", "2026-04-05"), stop("2026-04-03")],
        "2026-04-06",
        DO_NOT_USE,
        "2026-04-03",
        "one of two lifted: the other is up",
    ),
    ([FAILED, stop("2026-05-30")], "2026-06-02", DO_NOT_USE, "2026-05-30", "two causes: since the first"),
    ([INSTALLED, stop("2024-01-11")], "2024-01-12", DO_NOT_USE, "2024-01-11", "a hood never surveyed can be stopped"),
    # outages
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-05-10")],
        "2026-05-10",
        OUT_OF_SERVICE,
        "2026-05-01",
        "the last planned day",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-05-10")],
        "2026-05-11",
        MET_CRITERIA,
        "2026-03-12",
        "the plan is over",
    ),
    ([PASSED, event("out-of-service", "2026-05-01")], "2027-01-01", OUT_OF_SERVICE, "2026-05-01", "without an end"),
    (
        [PASSED, event("out-of-service", "2026-05-01"), event("back-in-service", "2026-05-04")],
        "2026-05-04",
        MET_CRITERIA,
        "2026-03-12",
        "ended by hand",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-06-30"),
         event("out-of-service", "2026-05-10", until_on="2026-05-12")],
        "2026-05-20",
        OUT_OF_SERVICE,
        "2026-05-01",
        "a shorter one inside a longer one does not end it",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01"), stop("2026-05-02")],
        "2026-05-03",
        DO_NOT_USE,
        "2026-05-02",
        "a stop comes before an outage",
    ),
    ([FAILED, event("out-of-service", "2026-06-05")], "2026-06-06", DO_NOT_USE, "2026-06-01", "so does a failure"),
    ([INSTALLED, event("out-of-service", "2024-02-01")], "2024-02-02", OUT_OF_SERVICE, "2024-02-01", "before a verdict"),
    # installed, moved, woken
    ([INSTALLED, PASSED, event("moved", "2026-05-01")], "2026-05-01", NOT_SURVEYED, "2026-05-01", "moved since"),
    ([INSTALLED, PASSED, event("moved", "2026-05-01")], "2026-04-30", MET_CRITERIA, "2026-03-12", "not moved yet"),
    (
        [PASSED, event("moved", "2026-05-01"), survey(2, "pass", "2026-05-02")],
        "2026-05-02",
        MET_CRITERIA,
        "2026-05-02",
        "surveyed where it stands now",
    ),
    (
        [event("moved", "2026-05-01", 8), survey(2, "pass", "2026-05-01", 15)],
        "2026-05-01",
        MET_CRITERIA,
        "2026-05-01",
        "moved in the morning, surveyed in the afternoon",
    ),
    (
        [event("moved", "2026-05-01", 15), survey(2, "pass", "2026-05-01", 15)],
        "2026-05-01",
        MET_CRITERIA,
        "2026-05-01",
        "entered at the moment of the last reading",
    ),
    (
        [survey(2, "pass", "2026-05-01", 9), event("moved", "2026-05-01", 15)],
        "2026-05-01",
        NOT_SURVEYED,
        "2026-05-01",
        "surveyed in the morning, moved in the afternoon",
    ),
    (
        [survey(2, "pass", "2026-05-01", 9, reason="after-a-move"), event("moved", "2026-05-01", 15)],
        "2026-05-01",
        MET_CRITERIA,
        "2026-05-01",
        "the move was entered late, but the survey says that it came after it",
    ),
    (
        [survey(2, "pass", "2026-05-01", 9, reason="initial"), event("moved", "2026-05-01", 15)],
        "2026-05-01",
        NOT_SURVEYED,
        "2026-05-01",
        "a reason that says nothing of this move",
    ),
    ([FAILED, event("moved", "2026-06-05")], "2026-06-06", DO_NOT_USE, "2026-06-01", "a move does not cure a failure"),
    # hibernated, woken, retired
    ([PASSED, event("hibernated", "2026-05-01")], "2026-05-01", HIBERNATED, "2026-05-01", "put to sleep"),
    ([PASSED, event("hibernated", "2026-05-01"), stop("2026-05-02")], "2026-05-03", HIBERNATED, "2026-05-01", "first line"),
    (
        [PASSED, event("hibernated", "2026-05-01"), event("woken", "2026-07-01")],
        "2026-07-01",
        NOT_SURVEYED,
        "2026-07-01",
        "woken: a verdict from before its sleep does not count",
    ),
    (
        [PASSED, event("hibernated", "2026-05-01"), event("woken", "2026-07-01"),
         survey(2, "pass", "2026-07-02", reason="wake-from-hibernation")],
        "2026-07-02",
        MET_CRITERIA,
        "2026-07-02",
        "surveyed after it woke",
    ),
    ([PASSED, event("retired", "2026-05-01")], "2030-01-01", RETIRED, "2026-05-01", "retired for good"),
    ([FAILED, event("retired", "2026-07-01")], "2026-07-02", RETIRED, "2026-07-01", "retired after it failed"),
    (
        [event("hibernated", "2026-05-01"), event("retired", "2026-06-01")],
        "2026-06-02",
        RETIRED,
        "2026-06-01",
        "the last such event",
    ),
    (
        [PASSED, event("hibernated", "2026-05-01"), event("moved", "2026-05-05")],
        "2026-05-06",
        HIBERNATED,
        "2026-05-01",
        "moved in its sleep",
    ),
    ([PASSED, event("repaired", "2026-05-01")], "2026-05-02", MET_CRITERIA, "2026-03-12", "a repair alone ends nothing"),
    # the end of use after due
    ([survey(1, "pass", "2026-03-12", version=YEARLY)], "2030-01-01", MET_CRITERIA, "2026-03-12", "overdue is a flag"),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-06-10",
        MET_CRITERIA,
        "2026-03-12",
        "90 days after due: the last day of use",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-06-11",
        DO_NOT_USE,
        "2027-06-11",
        "the day after it",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED),
         survey(2, "pass", "2027-06-20", version=YEARLY_THEN_BARRED, full=False)],
        "2027-06-21",
        DO_NOT_USE,
        "2027-06-11",
        "a survey that was not full does not move due",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED), survey(2, "pass", "2027-06-20", version=YEARLY)],
        "2027-06-21",
        MET_CRITERIA,
        "2027-06-20",
        "a full one does, by its own version",
    ),
    # damaged rows
    ([survey(1, "perhaps", "2026-03-12")], "2026-03-12", NOT_SURVEYED, "2026-03-12", "an unknown verdict grants nothing"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "code", "since", "why"), CASES)
def test_the_first_line_that_holds(facts, on, code, since, why):
    found = status(hood(*facts), day(on))
    assert (found.code, found.since) == (code, since and day(since)), why
    assert found.grants is (code in GRANTING)
    assert bool(found.approved) is found.grants
    assert found.reasons
    assert found == status(hood(*reversed(facts)), day(on)), "the order of rows does not matter"


def test_every_status_is_in_the_table():
    assert {code for _, _, code, _, _ in CASES} == set(STATUSES)


def test_every_reason_has_its_sentence():
    codes = {name for of in (module, status_reasons) for name in _literals(of) if name in SENTENCES}
    assert {"retired", "survey-overdue", "no-label-issued", "nothing-approved"} <= codes
    for code in status_reasons.CHANGED_SINCE.values():
        assert code in SENTENCES
    for reason in status_reasons._STOPPING:
        assert f"stopped-{reason}" in SENTENCES
    for kind in BEGINNINGS:
        assert f"not-surveyed-since-{kind}" in SENTENCES
    for facts, on, *_ in CASES:
        found = status(hood(*facts), day(on))
        for message in (*found.reasons, *filter(None, [found.why_no_label])):
            assert SENTENCES[message.code] % message.values


def _literals(of) -> set[str]:
    import ast
    from pathlib import Path

    tree = ast.parse(Path(of.__file__).read_text(encoding="utf-8"))
    return {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
