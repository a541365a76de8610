"""The exceptions of a year: each failure and what came of it, what is overdue, what was amended or changed."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from datetime import date
from statistics import median
from typing import NamedTuple

from reports.core.yearly import OVERDUE
from reports.core.yearly_counts import Counts, HoodLine
from reports.core.yearly_rows import Paper, SurveyRow, standing
from surveys.core.status import HIBERNATED, RETIRED

PUT_RIGHT, MET_AGAIN, STILL_OPEN = "put-right-on-the-visit", "met-again", "still-open"
GRANTS = frozenset({"pass", "restrict"})


class Failure(NamedTuple):
    """A survey that ended in fail as found or as left, and what came of it."""

    survey: SurveyRow
    became: str  # PUT_RIGHT, MET_AGAIN, retired, hibernated, STILL_OPEN
    met_on: date | None  # the day on which a survey found the criteria met again, restricted or not
    days: int | None  # from the failure until then
    failed_again: int  # surveys between that failed too
    met_record: int | None = None


class Delay(NamedTuple):
    """How long failures took until the criteria were met again."""

    failures: int
    met_again: int
    still_open: int
    median_days: int | None
    most_days: int | None


class Late(NamedTuple):
    """A hood whose survey is overdue on the day."""

    line: HoodLine
    due_on: date | None
    since: date
    days: int
    explained: str  # the reason given since it was overdue; empty where none was


def failures(counts: Counts, later: Sequence[SurveyRow]) -> tuple[Failure, ...]:
    """Each failure of the year in order; `later` are the surveys of the hoods concerned as far as they are known."""
    every = {survey.key: survey for survey in (*later, *counts.surveys)}
    of_hood: dict[Hashable, list[SurveyRow]] = {}
    for survey in standing(tuple(every.values())).counted:
        of_hood.setdefault(survey.hood, []).append(survey)
    resting = {line.hood.key: line.hood.status.code for line in counts.hoods}
    return tuple(
        _followed(survey, of_hood.get(survey.hood, ()), resting.get(survey.hood, ""))
        for survey in counts.surveys
        if "fail" in (survey.as_found, survey.verdict)
    )


def _followed(failed: SurveyRow, of_hood: Iterable[SurveyRow], status: str) -> Failure:
    if failed.verdict in GRANTS:
        return Failure(failed, PUT_RIGHT, failed.done_on, 0, 0, failed.record)
    again = 0
    for survey in of_hood:
        if (survey.measured_until, survey.record) <= (failed.measured_until, failed.record):
            continue
        if survey.verdict in GRANTS:
            return Failure(
                failed, MET_AGAIN, survey.done_on, (survey.done_on - failed.done_on).days, again, survey.record
            )
        again += survey.verdict == "fail"
    return Failure(failed, status if status in (RETIRED, HIBERNATED) else STILL_OPEN, None, None, again)


def delay(failed: Sequence[Failure]) -> Delay:
    """Of the failures that were left in fail: how many met the criteria again, and after how many days."""
    left = [failure for failure in failed if failure.became != PUT_RIGHT]
    days = [failure.days for failure in left if failure.days is not None]
    return Delay(
        len(left), len(days), sum(failure.became == STILL_OPEN for failure in left),
        round(median(days)) if days else None, max(days, default=None),
    )  # fmt: skip


def late(counts: Counts) -> tuple[Late, ...]:
    """The hoods overdue on the day, the latest first."""
    found = [_late(line, counts.on) for line in counts.hoods if line.state == OVERDUE and line.is_here]
    return tuple(sorted(found, key=lambda one: -one.days))


def _late(line: HoodLine, on: date) -> Late:
    flag, due, hood = line.hood.status.flag(OVERDUE), line.hood.status.due, line.hood
    since = flag.since if flag and flag.since else on
    explained = hood.explained if hood.explained_on and hood.explained_on >= since else ""
    due_on = due.on if due and due.on < on else None
    return Late(line, due_on, since, (on - (due_on or since)).days, explained)


def no_verdicts(counts: Counts) -> tuple[SurveyRow, ...]:
    return tuple(survey for survey in counts.surveys if survey.verdict == "no-verdict")


class Measured(NamedTuple):
    """The surveys made with one instrument under one calibration, on days that it covered or on days that it did not."""

    instrument: Hashable
    calibration: Hashable
    covered: bool
    surveys: int
    days: int
    first_on: date
    last_on: date
    in_doubt: int


def measured(surveys: Sequence[SurveyRow], doubtful: Mapping[Hashable, bool]) -> tuple[Measured, ...]:
    """What was measured with, and whether each day was covered; every survey is in exactly one row."""
    made: dict[tuple[Hashable, Hashable, bool], list[SurveyRow]] = {}
    for survey in surveys:
        made.setdefault((survey.instrument, survey.calibration, survey.covered), []).append(survey)
    found = [
        Measured(
            *key, len(rows), len({one.done_on for one in rows}), min(one.done_on for one in rows),
            max(one.done_on for one in rows), sum(doubtful.get(one.key, False) for one in rows),
        )
        for key, rows in made.items()
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.instrument is None, str(one.instrument), one.first_on)))


class Qualified(NamedTuple):
    """A qualification, as far as counting asks."""

    person: Hashable
    from_on: date
    until_on: date | None


class Surveyor(NamedTuple):
    """Who measured, how many surveys, on how many days, and how many of them on days covered by a qualification.

    Those that somebody typed in from paper stand apart: they credit who measured, and nothing of who typed.
    """

    person: Hashable
    surveys: int
    days: int
    qualified: int
    paper: Paper | None = None


def surveyors(surveys: Sequence[SurveyRow], qualified: Sequence[Qualified]) -> tuple[Surveyor, ...]:
    made: dict[tuple[Hashable, Paper | None], list[SurveyRow]] = {}
    for survey in surveys:
        made.setdefault((survey.surveyor, survey.paper), []).append(survey)
    found = [
        Surveyor(
            person, len(rows), len({one.done_on for one in rows}),
            sum(any(_covers(one, person, survey.done_on) for one in qualified) for survey in rows), paper,
        )
        for (person, paper), rows in made.items()
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: -one.surveys))


def _covers(qualification: Qualified, person: Hashable, on: date) -> bool:
    until = qualification.until_on
    return qualification.person == person and qualification.from_on <= on and (until is None or on <= until)
