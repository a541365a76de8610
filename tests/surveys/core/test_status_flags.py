"""The flags that stand beside a status and never hide it."""

import pytest

from surveys.core.calibration import Doubt
from surveys.core.status import (
    FLAGS,
    MET_CRITERIA,
    Flag,
    status,
)
from tests.surveys.core.histories import (
    FAILED,
    INSTALLED,
    METER,
    MONTH_END,
    PASSED,
    YEARLY_THEN_BARRED,
    day,
    event,
    hood,
    survey,
)

FLAGGED = [
    # facts, day, flags, why
    ([PASSED], "2027-03-12", [], "T10: due today is in date"),
    ([PASSED], "2027-03-13", [("overdue", "2027-03-13")], "T10: overdue from the day after due"),
    ([survey(1, "pass", "2026-03-12", version=MONTH_END)], "2027-03-31", [], "to the end of the month"),
    ([survey(1, "pass", "2026-03-12", version=MONTH_END)], "2027-04-01", [("overdue", "2027-04-01")], "and not longer"),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-03-20",
        [("overdue", "2027-03-13")],
        "in grace is not in date",
    ),
    ([PASSED, FAILED], "2027-03-13", [("overdue", "2027-03-13")], "beside 'do not use', not hidden by it"),
    ([PASSED, event("hibernated", "2026-05-01")], "2028-01-01", [], "nothing is owed of a hood that sleeps"),
    ([PASSED, event("retired", "2026-05-01")], "2028-01-01", [], "nor of a retired one"),
    (
        [survey(1, "pass", "2026-03-12", full=False)],
        "2026-03-12",
        [("overdue", "2026-03-12")],
        "never surveyed in full: that is owed",
    ),
    (
        [survey(1, "pass", "2025-03-12"), survey(2, "pass", "2026-02-01", full=False)],
        "2026-03-13",
        [("overdue", "2026-03-13")],
        "due is counted from the last full survey",
    ),
    (
        [survey(1, "restrict", "2025-03-12"), survey(2, "fail", "2026-02-01"), survey(3, "no-verdict", "2026-02-02")],
        "2026-03-12",
        [],
        "a restricted full survey counts, a failed one and one without a verdict do not",
    ),
    ([INSTALLED], "2030-01-01", [], "'not yet surveyed' says it already"),
    ([survey(1, "pass", "2026-03-12", version=99)], "2026-03-12", [("overdue", "2026-03-12")], "a rule that is lost"),
    (
        [survey(1, "pass", "2026-03-12", signed_here=False)],
        "2026-04-01",
        [("not-signed-here", "2026-03-12")],
        "accepted",
    ),
    ([survey(1, "pass", "2026-03-12", from_paper=True)], "2026-04-01", [("from-paper", "2026-03-12")], "typed in"),
    (
        [survey(1, "pass", "2026-03-12", from_paper=True), survey(2, "pass", "2026-03-20")],
        "2026-04-01",
        [],
        "a tablet measured it since",
    ),
]


@pytest.mark.parametrize(("facts", "on", "flags", "why"), FLAGGED)
def test_t10_flags_stand_beside_the_status(facts, on, flags, why):
    assert status(hood(*facts), day(on)).flags == tuple(Flag(code, day(since)) for code, since in flags), why


DOUBT = Doubt(day("2025-09-01"), day("2026-09-01"), day("2026-09-01"))


@pytest.mark.parametrize(
    ("on", "instrument", "since", "why"),
    [
        ("2026-08-31", METER, None, "nobody knew"),
        ("2026-09-01", METER, "2026-09-01", "the day that it was found"),
        ("2026-12-01", METER, "2026-09-01", "until surveyed again"),
        ("2026-12-01", 6, None, "another instrument"),
        ("2026-12-01", None, None, "no instrument was named"),
    ],
)
def test_a_survey_with_an_instrument_found_wrong_is_in_doubt(on, instrument, since, why):
    found = status(hood(survey(1, "pass", "2026-03-12", instrument=instrument), doubts=[DOUBT]), day(on))
    assert found.code == MET_CRITERIA, "a flag changes no status"
    assert found.flag("instrument-in-doubt") == (since and Flag("instrument-in-doubt", day(since))), why


def test_every_flag_is_seen():
    seen = {code for _, _, flags, _ in FLAGGED for code, _ in flags} | {"instrument-in-doubt"}
    assert seen == set(FLAGS)
