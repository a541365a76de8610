"""The twelve months that a report is about: a calendar year, or any twelve months from the first day of one."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import NamedTuple

from surveys.core.due import months_after

MONTHS = 12
FROM, UNTIL = 1900, 2999  # years that a report may begin in
_WRITTEN = re.compile(r"([0-9]{4})(?:-([0-9]{2}))?")


class Period(NamedTuple):
    """Twelve calendar months, both days included; a day of the site's own clock falls into exactly one of a row of them."""

    first: date
    last: date

    @classmethod
    def beginning(cls, first: date) -> Period:
        """The twelve months that begin with the month of a day."""
        first = first.replace(day=1)
        return cls(first, months_after(first, MONTHS) - timedelta(days=1))

    @classmethod
    def of(cls, text: str) -> Period | None:
        """What was asked for, as `2026-04` or, for the calendar year, `2026`; None where it is neither."""
        found = _WRITTEN.fullmatch(text.strip())
        if found is None:
            return None
        year, month = int(found[1]), int(found[2] or 1)
        if not (FROM <= year <= UNTIL and 1 <= month <= MONTHS):
            return None
        return cls.beginning(date(year, month, 1))

    def __contains__(self, day: object) -> bool:
        return isinstance(day, date) and self.first <= day <= self.last

    @property
    def is_calendar_year(self) -> bool:
        return self.first.month == 1

    @property
    def written(self) -> str:
        """As it is asked for: `2026-04`."""
        return f"{self.first:%Y-%m}"

    @property
    def name(self) -> str:
        """For the name of a file: `2026`, or `2026-04 to 2027-03`."""
        return f"{self.first.year}" if self.is_calendar_year else f"{self.first:%Y-%m} to {self.last:%Y-%m}"

    @property
    def months(self) -> tuple[date, ...]:
        """The first days of its months."""
        return tuple(months_after(self.first, month) for month in range(MONTHS))

    def until(self, today: date) -> date:
        """The day on which the report looks: its last, or today while it is not over."""
        return min(self.last, today)
