"""When a hood is due again: calendar months from the day it was surveyed, by the rule of its criteria version."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping
from datetime import date, timedelta
from functools import lru_cache
from typing import Any, NamedTuple

DAY = "day"
MONTH_END = "month-end"


class DueRule(NamedTuple):
    """The `due` of a criteria document: when the next survey is due, and what follows when it is late."""

    months: int
    anchor: str = DAY  # to the day, or to the end of the month that it falls in
    grace_days: int = 0  # how long the site allows a late survey; the hood is overdue all the same
    use_ends_days: int | None = None  # so many days after due the hood must not be used; None: never by rule

    @classmethod
    def of(cls, due: Mapping[str, Any]) -> DueRule:
        """The rule as its document writes it, its numbers as text."""
        ends = due.get("use_ends_days")
        return cls(
            months=int(due["months"]),
            anchor=due.get("anchor") or DAY,
            grace_days=int(due.get("grace_days") or 0),
            use_ends_days=None if ends is None else int(ends),
        )


#: Half a year for radioisotope hoods: twice-yearly velocity is a university's published practice (Notre Dame, as digested).
MOST_MONTHS = {"radioisotope": 6}


def asks_too_seldom(kind: str, due: Mapping[str, Any]) -> int | None:
    """The months after which a hood of this kind is usually surveyed again, where criteria ask for it later."""
    most = MOST_MONTHS.get(kind)
    return most if most is not None and int(due["months"]) > most else None


class Due(NamedTuple):
    """The days that follow from a survey; each is the last of its kind, so the day itself still counts."""

    on: date  # the last day in date: overdue from the next day
    grace_until: date  # the last day of grace; never to be shown as in date
    use_ends_on: date | None  # the last day on which the hood may be used at all

    @property
    def overdue_from(self) -> date:
        """The first day on which the hood is overdue."""
        return self.on + timedelta(days=1)


def next_due(done_on: date, due: DueRule | Mapping[str, Any]) -> Due:
    """When the next survey is due after one done on a day.

    The months are added once, from the day of the survey, so that yearly surveys do not drift as 365 days would. Where
    the month is too short its last day is taken: 12 months after 29 February is 28 February (the rule that dateutil's
    relativedelta states too).
    """
    return _next_due(done_on, due if isinstance(due, DueRule) else DueRule.of(due))


@lru_cache(maxsize=4096)  # the hoods of a site are surveyed on the same days, by the same rule
def _next_due(done_on: date, rule: DueRule) -> Due:
    on = months_after(done_on, rule.months)
    if rule.anchor == MONTH_END:
        on = month_end(on)
    ends = None if rule.use_ends_days is None else on + timedelta(days=rule.use_ends_days)
    return Due(on, on + timedelta(days=rule.grace_days), ends)


def months_after(day: date, months: int) -> date:
    """The same day so many calendar months later, or the last day of that month where it is shorter."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    month += 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def month_end(day: date) -> date:
    """The last day of the month that a day falls in."""
    return day.replace(day=monthrange(day.year, day.month)[1])
