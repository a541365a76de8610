"""Which of a hood's surveys has the last verdict, and from which one it is due: amendments in the place of what they amend."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from surveys.core.history import Surveyed


def last_surveys(surveys: Sequence[Surveyed], on: date) -> tuple[Surveyed | None, Surveyed | None]:
    """The survey with the last verdict, and the last full one that ended pass or restrict: due is counted from it.

    In order of (end of measuring, record number). An amendment takes the place and time of what it amends, which is
    then void. An amendment without a verdict takes away a pass or restrict but never a failure: unfinished work does
    not hide one.
    """
    amended, signed_here = False, set()
    for survey in surveys:
        amended = amended or survey.amends is not None
        signed_here.add(survey.signed_here)
    if amended:
        surveys = _amended(surveys)
    if len(signed_here) == 2:
        surveys = _beside_signed(surveys, on)
    last = counted = None
    last_key = counted_key = None
    for survey in surveys:
        verdict = survey.verdict
        if survey.done_on > on or verdict == "no-verdict":
            continue
        key = _in_time(survey)
        if last_key is None or key > last_key:
            last, last_key = survey, key
        if survey.full and verdict != "fail" and (counted_key is None or key > counted_key):
            counted, counted_key = survey, key
    return last, counted


def restricted_since(surveys: Sequence[Surveyed], verdict: Surveyed, on: date) -> Surveyed | None:
    """The last of earlier records, where it restricts a hood and was measured after the last verdict; else None."""
    last = None
    for survey in surveys:
        if survey.signed_here or survey.done_on > on or survey.verdict == "no-verdict":
            continue
        if last is None or _in_time(survey) > _in_time(last):
            last = survey
    if last is None or last.verdict != "restrict":
        return None
    return last if _in_time(last) > _in_time(verdict) else None


def _beside_signed(surveys: Sequence[Surveyed], on: date) -> list[Surveyed]:
    """What counts where both are among them: once a verdict is signed here, what is signed here.

    Of earlier records the last verdict alone stays then, and only if it is a failure: they may bar a hood, and free none.
    One that restricts what was signed is no verdict of its own: `restricted_since`.
    """
    known = [survey for survey in surveys if survey.done_on <= on and survey.verdict != "no-verdict"]
    signed = [survey for survey in known if survey.signed_here]
    if not signed:
        return known
    last = max((survey for survey in known if not survey.signed_here), key=_in_time, default=None)
    return [*signed, last] if last is not None and last.verdict == "fail" else signed


def _in_time(survey: Surveyed) -> tuple[datetime, int]:
    """The place of a survey in time: the end of measuring, then its record."""
    return survey.measured_until, survey.record


def _amended(surveys: Sequence[Surveyed]) -> list[Surveyed]:
    """The surveys that stand, each amendment at the place and time of the first survey that it goes back to."""
    by_id = {survey.id: survey for survey in surveys}
    standing = dict(by_id)
    for survey in sorted(surveys, key=lambda survey: survey.record):
        amended = by_id.get(survey.amends)
        if amended is None:
            continue
        if survey.verdict == "no-verdict" and amended.verdict == "fail":
            del standing[survey.id]
            continue
        standing.pop(amended.id, None)
        root = by_id[amended.id]
        by_id[survey.id] = standing[survey.id] = survey._replace(
            done_on=root.done_on, measured_until=root.measured_until
        )
    return list(standing.values())
