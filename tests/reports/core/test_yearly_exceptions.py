"""What came of each failure, and what is late."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given

from reports.core.period import Period
from reports.core.yearly import count
from reports.core.yearly_exceptions import delay, failures, late, no_verdicts
from tests.reports.core.yearly_made import hood, status, survey, years

YEAR, ON = Period.of("2026"), date(2026, 12, 31)
FAILED = date(2026, 3, 1)


def followed(*after, code: str = "do-not-use", **failed):
    first = survey(1, FAILED, failed.pop("verdict", "fail"), **({"as_found": "fail"} | failed))
    later = [survey(1, FAILED + timedelta(days=days), verdict) for days, verdict in after]
    counts = count(YEAR, ON, [hood(1, status=status(code))], [first, *(one for one in later if one.done_on in YEAR)])
    return [one for one in failures(counts, [first, *later]) if one.survey.key == first.key][0]


BECAME = [
    # surveys after it (days, verdict), status on the day, what came of it, days, failed again, why
    ([(12, "pass")], "met-criteria", ("met-again", 12, 0), "met at the next"),
    ([(5, "fail"), (9, "no-verdict"), (71, "restrict")], "restricted", ("met-again", 71, 1), "failed again before"),
    ([(400, "pass")], "do-not-use", ("met-again", 400, 0), "met after the year was over"),
    ([(5, "no-verdict")], "do-not-use", ("still-open", None, 0), "a survey without a verdict meets nothing"),
    ([], "do-not-use", ("still-open", None, 0), "nothing since"),
    ([(5, "fail")], "retired", ("retired", None, 1), "given up"),
    ([], "hibernated", ("hibernated", None, 0), "its air turned off"),
]  # fmt: skip


@pytest.mark.parametrize(("after", "code", "became", "why"), BECAME, ids=[row[3] for row in BECAME])
def test_what_came_of_a_failure(after, code, became, why):
    found = followed(*after, code=code)
    assert (found.became, found.days, found.failed_again) == became, why


def test_a_failure_put_right_on_the_visit_took_no_day():
    found = followed((90, "pass"), verdict="pass")
    assert (found.became, found.days, found.met_on) == ("put-right-on-the-visit", 0, FAILED)


def test_an_amendment_decides_what_came_of_a_failure():
    first = survey(1, FAILED, "fail")
    met = survey(1, FAILED + timedelta(days=9), "pass")
    taken_away = survey(1, FAILED + timedelta(days=20), "fail", amends=met.key)
    counts = count(YEAR, ON, [hood(1)], [first, met, taken_away])
    assert [one.became for one in failures(counts, [])] == ["still-open", "still-open"]


def test_the_delay_of_those_left_in_fail():
    found = [followed((days, "pass")) for days in (4, 10, 71)] + [followed(), followed(verdict="pass")]
    assert delay(found) == (4, 3, 1, 10, 71)
    assert delay([]) == (0, 0, 0, None, None)


@given(years())
def test_each_failure_of_the_year_is_followed_once(made):
    counts = count(YEAR, ON, *made)
    found = failures(counts, made[1])
    failed = [one.key for one in counts.surveys if "fail" in (one.as_found, one.verdict)]
    assert [one.survey.key for one in found] == failed
    said = delay(found)
    assert said.failures == counts.as_left.failed + sum(
        one.survey.verdict == "no-verdict" for one in found
    )  # found in fail and left without a verdict: it waits too
    assert all(one.days is None or one.days >= 0 for one in found)
    assert len(no_verdicts(counts)) == counts.as_left.no_verdict


def test_late_says_how_late_and_why():
    due = date(2026, 10, 31)
    gave = {"explained": "Room closed for works", "explained_on": date(2026, 11, 3)}
    hoods = [
        hood(1, status=status(due=due, overdue=due + timedelta(days=1)), **gave),
        hood(2, status=status(due=date(2026, 11, 30), overdue=date(2026, 12, 1))),
        hood(3, status=status(due=due, overdue=due + timedelta(days=1)), explained="old", explained_on=due),
        hood(4, status=status(due=None, overdue=date(2026, 12, 1))),
        hood(5),
    ]  # fmt: skip
    found = {one.line.hood.key: one for one in late(count(YEAR, ON, hoods, []))}
    assert {key: (one.due_on, one.days, one.explained) for key, one in found.items()} == {
        1: (due, 61, "Room closed for works"), 2: (date(2026, 11, 30), 31, ""), 3: (due, 61, ""), 4: (None, 30, ""),
    }  # fmt: skip
