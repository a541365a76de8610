"""Amendments, which take the place and time of what they amend."""

import pytest

from surveys.core.status import (
    DO_NOT_USE,
    MET_CRITERIA,
    RESTRICTED,
    status,
)
from tests.surveys.core.histories import day, hood, survey

AMENDED = [
    # facts, day, status, survey, why
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1")],
        "2026-04-02",
        DO_NOT_USE,
        "s2",
        "the amendment takes the place of what it amends",
    ),
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1")],
        "2026-03-12",
        DO_NOT_USE,
        "s2",
        "and its time: that day, too, is asked for as it is known now",
    ),
    (
        [survey(1, "fail", "2026-03-12"), survey(2, "pass", "2026-03-20"),
         survey(3, "fail", "2026-04-01", amends="s1")],
        "2026-04-02",
        MET_CRITERIA,
        "s2",
        "what came after the amended one still comes after",
    ),
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1"),
         survey(3, "restrict", "2026-05-01", amends="s2")],
        "2026-05-02",
        RESTRICTED,
        "s3",
        "an amendment of an amendment",
    ),
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1"),
         survey(3, "pass", "2026-05-01", amends="s1")],
        "2026-05-02",
        MET_CRITERIA,
        "s3",
        "amended twice: the later record",
    ),
    (
        [survey(1, "pass", "2025-03-12"), survey(2, "pass", "2026-03-12"),
         survey(3, "no-verdict", "2026-04-01", amends="s2")],
        "2026-04-02",
        MET_CRITERIA,
        "s1",
        "an amendment without a verdict takes a pass away: the one before holds",
    ),
    (
        [survey(1, "pass", "2025-03-12"), survey(2, "fail", "2026-03-12"),
         survey(3, "no-verdict", "2026-04-01", amends="s2")],
        "2026-04-02",
        DO_NOT_USE,
        "s2",
        "but not a failure: unfinished work does not hide one",
    ),
    (
        [survey(1, "fail", "2026-03-12"), survey(2, "pass", "2026-04-01", amends="s1")],
        "2026-04-02",
        MET_CRITERIA,
        "s2",
        "a failure entered in error",
    ),
    ([survey(2, "pass", "2026-04-01", amends="s9")], "2026-04-02", MET_CRITERIA, "s2", "what it amends is not here"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "code", "by", "why"), AMENDED)
def test_amendments(facts, on, code, by, why):
    found = status(hood(*facts), day(on))
    assert (found.code, found.survey) == (code, by), why
    assert found == status(hood(*reversed(facts)), day(on))


def test_an_amendment_is_due_from_the_day_of_what_it_amends():
    facts = hood(survey(1, "pass", "2026-03-12"), survey(2, "restrict", "2026-06-01", amends="s1"))
    found = status(facts, day("2026-06-02"))
    assert (found.since, found.due.on) == (day("2026-03-12"), day("2027-03-12"))


EARLIER = [  # surveys, on, status, why
    (
        [survey(9, "fail", "2025-01-10", signed_here=False), survey(3, "pass", "2025-06-10", signed_here=False),
         survey(4, "pass", "2026-03-12")],
        "2026-03-12", MET_CRITERIA, "the last of earlier records is the one measured last, whatever its number",
    ),
    (
        [survey(3, "pass", "2025-01-10", signed_here=False), survey(2, "fail", "2025-06-10", signed_here=False),
         survey(4, "pass", "2025-03-12")],
        "2026-03-12", DO_NOT_USE, "an earlier record that failed after the survey bars the hood",
    ),
    ([survey(1, "pass", "2026-03-12"), survey(2, "fail", "2027-01-10", signed_here=False)], "2026-03-13", MET_CRITERIA, "one of a later day"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "code", "why"), EARLIER, ids=[row[-1] for row in EARLIER])
def test_results_from_earlier_records_beside_signed_ones(facts, on, code, why):
    assert status(hood(*facts), day(on)).code == code, why
