"""The averages of a hood over the years, with what each was held against: plain values, in the order of time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import NamedTuple

Bound = tuple[Fraction, str, str]  # the value in the unit of the trend, 'least' or 'most', what it costs


class Measured(NamedTuple):
    """An opening in one survey: its average as found, and as left where something was adjusted."""

    on: date
    record: int
    reason: str
    opening: str
    found: Fraction | None  # in the unit of the trend
    left: Fraction | None  # the same as found where nothing was adjusted
    found_said: str  # as it was judged: '98 ft/min'
    left_said: str
    as_found: str  # the verdicts of the survey
    verdict: str
    version: str
    limits: tuple[str, ...]  # the limits of the average in words, as the version that judged it writes them
    signed_here: bool = True  # False: from earlier records
    from_paper: bool = False  # measured with pen and paper, typed in later

    @property
    def adjusted(self) -> bool:
        return self.found is not None and self.left is not None and self.found_said != self.left_said


class Judged(NamedTuple):
    """A survey as far as bands and restrictions ask."""

    on: date
    version: str
    first_day: date | None
    bounds: tuple[Bound, ...]
    verdict: str
    restriction: str  # in words; empty where there is none


class Band(NamedTuple):
    """The days on which surveys were judged by one version, and its limits of the average."""

    from_on: date
    until_on: date
    version: str
    bounds: tuple[Bound, ...]


class Restricted(NamedTuple):
    from_on: date
    until_on: date
    words: str


class Benchmarked(NamedTuple):
    """The average that an opening had when it was shown to contain, from a day until the next one."""

    opening: str
    from_on: date
    until_on: date
    value: Fraction
    said: str
    source: str = ""


class Trend(NamedTuple):
    """All that is drawn."""

    unit: str
    today: date
    measured: tuple[Measured, ...]
    bands: tuple[Band, ...]
    restricted: tuple[Restricted, ...]
    benchmarks: tuple[Benchmarked, ...]

    @property
    def openings(self) -> tuple[str, ...]:
        """The openings, the one that was measured most first."""
        return tuple(name for name, _times in Counter(one.opening for one in self.measured).most_common())


def bands(judged: Sequence[Judged], today: date) -> tuple[Band, ...]:
    """Which version held when: from its first day, or from its first survey where another was used after that day."""
    found: list[Band] = []
    last: date | None = None
    for one in judged:
        if found and found[-1].version == one.version:
            last = one.on
            continue
        begun = one.on
        if last is not None and one.first_day is not None and last < one.first_day <= one.on:
            begun = one.first_day
        if found:
            found[-1] = found[-1]._replace(until_on=begun - timedelta(days=1))
        found.append(Band(begun, today, one.version, one.bounds))
        last = one.on
    return tuple(found)


def restricted(judged: Sequence[Judged], today: date) -> tuple[Restricted, ...]:
    """Each restriction from the survey that made it until the next one that ended otherwise; one without a verdict ends none."""
    found: list[Restricted] = []
    open_: Restricted | None = None
    for one in judged:
        if one.verdict == "no-verdict" or (open_ is not None and one.restriction == open_.words):
            continue
        if open_ is not None:
            found.append(open_._replace(until_on=one.on))
        open_ = Restricted(one.on, today, one.restriction) if one.restriction else None
    return tuple([*found, open_] if open_ else found)


def benchmarked(rows: Sequence[tuple[str, date, Fraction, str, str]], today: date) -> tuple[Benchmarked, ...]:
    """The benchmarks of each opening, each until the next; `rows` are in the order of time."""
    found: list[Benchmarked] = []
    for opening, from_on, value, said, source in rows:
        for number, before in enumerate(found):
            if before.opening == opening and before.until_on == today:
                found[number] = before._replace(until_on=from_on)
        found.append(Benchmarked(opening, from_on, today, value, said, source))
    return tuple(found)
