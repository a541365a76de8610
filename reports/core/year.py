"""A year with all that a report says of it, as plain values: what was counted, and what stands beside the counts."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from statistics import median
from typing import NamedTuple

from reports.core.period import Period
from reports.core.yearly_counts import Counts, Tally
from reports.core.yearly_exceptions import Delay, Failure, Late, Measured, Surveyor
from reports.core.yearly_rows import Average, SurveyRow
from surveys.core.units import factor, quantity, shown


class Stamp(NamedTuple):
    """The moment as which a report holds, and the last record by then: what it says can be checked against it."""

    at: datetime
    record: int
    sha256: str


class LimitRow(NamedTuple):
    """A limit, or a check, of a criteria version."""

    figure: str  # empty: a check
    check: str
    least: str
    most: str
    applies_to: str
    consequence: str
    restriction: str
    source: str
    evidence: str


class VersionRow(NamedTuple):
    """A criteria version that was in force in the year, or judged a survey of it."""

    key: Hashable
    set: str
    number: int
    first_day: date | None
    adopted_on: date | None
    adopted_by: str
    reason: str
    record: int | None
    months: str  # after how many a hood is due again
    until: date | None  # the day before the next version of the set
    surveys: int
    limits: tuple[LimitRow, ...]
    address: Hashable = None

    @property
    def name(self) -> str:
        return f"{self.set}, {self.number}"


class Reassigned(NamedTuple):
    """A hood that came to be judged by another set."""

    hood: Hashable
    from_on: date
    before: str
    after: str
    why: str
    evidence: str
    by: str


class InstrumentRow(NamedTuple):
    name: str
    serial: str
    kind: str


class CalibrationRow(NamedTuple):
    certificate: str
    laboratory: str
    done_on: date
    due_on: date


class PersonRow(NamedTuple):
    name: str
    initials: str
    position: str
    employer: str


class QualificationRow(NamedTuple):
    person: Hashable
    method: str
    qualified_by: str
    from_on: date
    until_on: date | None


class StopRow(NamedTuple):
    """A 'do not use' that was posted in the year, and what became of it."""

    hood: Hashable
    posted_on: date
    reason: str
    words: str
    by: str
    over_on: date | None
    over: str  # lifted, withdrawn; empty while it is up
    days: int | None


class Told(NamedTuple):
    """What was done about a failure, beside a later survey."""

    told: str = ""  # who was told, and when
    order: str = ""


class Flow(NamedTuple):
    """The averages as left of the last survey of each hood in the year, by the version that judged it."""

    version: Hashable
    unit: str
    values: tuple[tuple[Fraction, str], ...]  # in the unit, lowest first, each with the verdict
    verdicts: Tally
    bounds: tuple[tuple[Fraction, str, str], ...]  # (value, 'least' or 'most', consequence)
    elsewhere: tuple[tuple[str, Average], ...] = ()  # the hoods, by tag, measured at no working opening

    @property
    def lowest(self) -> str:
        return self._said(self.values[0][0])

    @property
    def highest(self) -> str:
        return self._said(self.values[-1][0])

    @property
    def median(self) -> str:
        return self._said(median(value for value, _verdict in self.values))

    def _said(self, value: Fraction) -> str:
        return shown(value, self.unit, tuple(bound for bound, _end, _cost in self.bounds))


@dataclass(frozen=True)
class Year:
    """The year of a site, of one of its buildings, or of the rooms that somebody answers for."""

    site: str
    building: str  # empty: all of them
    own_rooms: bool  # only the rooms of the person who asks
    zone: str
    speed_unit: str
    height_from: str
    telephone: str
    stamp: Stamp
    over: bool  # its last day is past
    begins: date | None  # the day of the first survey that the ledger holds
    counts: Counts
    failures: tuple[Failure, ...]
    delay: Delay
    told: Mapping[Hashable, Told]  # by survey
    wanting: Mapping[Hashable, str]  # by survey: what was not met, or why it was ended
    late: tuple[Late, ...]
    no_verdicts: tuple[SurveyRow, ...]
    versions: tuple[VersionRow, ...]
    adopted: tuple[VersionRow, ...]
    reassigned: tuple[Reassigned, ...]
    measured: tuple[Measured, ...]
    instruments: Mapping[Hashable, InstrumentRow]
    calibrations: Mapping[Hashable, CalibrationRow]
    surveyors: tuple[Surveyor, ...]
    people: Mapping[Hashable, PersonRow]
    qualifications: tuple[QualificationRow, ...]
    stops: tuple[StopRow, ...]
    flows: tuple[Flow, ...]
    names: Mapping[Hashable, tuple[str, str]]  # by hood: its tag and code

    @property
    def period(self) -> Period:
        return self.counts.period

    @property
    def on(self) -> date:
        return self.counts.on

    @property
    def is_before_records(self) -> bool:
        """Whether it was over before the first survey: nothing is known of it, which is not the same as none."""
        return self.begins is not None and self.period.last < self.begins

    def person(self, key: Hashable) -> str:
        """The name of a person; empty where nobody is meant."""
        found = self.people.get(key)
        return found.name if found else ""

    def measurer(self, of: SurveyRow | Surveyor) -> str:
        """Who measured: as the paper says, where it was paper."""
        return of.paper.measured_by if of.paper else self.person(of.surveyor if isinstance(of, SurveyRow) else of.person)

    def version(self, key: Hashable) -> VersionRow | None:
        return next((one for one in self.versions if one.key == key), None)


def named(versions: Sequence[VersionRow], key: Hashable) -> str:
    """What a version is called: its set and number."""
    return next((one.name for one in versions if one.key == key), "")


def flows(counts: Counts, versions: Sequence[VersionRow], unit: str) -> tuple[Flow, ...]:
    """The averages of the hoods by version, in the unit of the site."""
    last = [(line.hood.tag, line.last, line.last.left) for line in counts.hoods if line.last and line.last.left]
    found = []
    for version in versions:
        judged = [(tag, average, one.verdict) for tag, one, average in last if one.version == version.key]
        made = [(average, verdict) for _tag, average, verdict in judged]
        if made:
            values = sorted((average.value * factor(average.unit, unit), verdict) for average, verdict in made)
            found.append(
                Flow(version.key, unit, tuple(values), Tally.of(verdict for _value, verdict in made),
                     tuple(bounds(version.limits, unit)),
                     tuple((tag, average) for tag, average, _verdict in judged if average.elsewhere))
            )  # fmt: skip
    return tuple(found)


def bounds(limits: Sequence[LimitRow], unit: str) -> list[tuple[Fraction, str, str]]:
    """The limits on an average, in a unit: the value, whether it is the least or the most, and what it costs."""
    return [
        (quantity(text).to(unit), end, limit.consequence)
        for limit in limits
        if limit.figure == "average"
        for end, text in (("least", limit.least), ("most", limit.most))
        if text
    ]
