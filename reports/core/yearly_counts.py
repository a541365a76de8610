"""What is counted of a year: each line says of which whole it is a part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from reports.core.period import Period
from reports.core.yearly_rows import VERDICTS, HoodRow, SurveyRow


class Service(NamedTuple):
    """The hoods of the year by where they stand on the day; the first seven add up to all.

    Whether a hood is in service is a matter of its life, and not of what forbids its use: those not to be used are counted beside.
    """

    within: int
    overdue: int
    not_surveyed: int
    out_of_service: int
    hibernated: int
    retired: int
    by_earlier: int  # in service and not overdue by results from earlier records, which were not signed here
    barred: int  # not to be used, because of a stop or of what a survey found; among those in service
    overdue_barred: int
    seen_in_service: int  # in service on some day of the year, those in service on the day among them
    barred_beside: int  # among those out of service

    @property
    def in_service(self) -> int:
        return self.within + self.by_earlier + self.overdue + self.not_surveyed

    @property
    def hoods(self) -> int:
        return self.in_service + self.out_of_service + self.hibernated + self.retired


class Tally(NamedTuple):
    """Surveys by verdict."""

    passed: int = 0
    restricted: int = 0
    failed: int = 0
    no_verdict: int = 0

    @property
    def all(self) -> int:
        return sum(self)

    @classmethod
    def of(cls, verdicts: Iterable[str]) -> Tally:
        counted = Counter(verdict if verdict in VERDICTS else "no-verdict" for verdict in verdicts)
        return cls(*(counted[verdict] for verdict in VERDICTS))


class Outcome(NamedTuple):
    """Surveys of one group with one verdict, as found and as left."""

    group: str
    verdict: str
    as_found: int
    as_left: int


class Held(NamedTuple):
    """Surveys of one group by whether the label had held."""

    group: str
    held: int
    not_held: int
    not_tested: int
    no_label: int


class ReasonLine(NamedTuple):
    """Surveys by why they were made."""

    group: str
    reason: str
    surveys: int
    as_found_fail: int
    as_left_fail: int


class MonthLine(NamedTuple):
    """The surveys of one month, as found and as left."""

    month: date
    as_found: Tally
    as_left: Tally


class BuildingLine(NamedTuple):
    """The hoods that stand in a building on the day, and the surveys that were made in it."""

    building: str
    service: Service
    as_found: Tally
    as_left: Tally


class HoodLine(NamedTuple):
    """A hood on one line: where it stands on the day, and its last survey of the year."""

    hood: HoodRow
    state: str
    surveys: int
    last: SurveyRow | None
    is_here: bool = True  # False: it was surveyed in the building and stands elsewhere on the day
    left_on: date | None = None  # the day from which it stood there no more


class Counts(NamedTuple):
    """All that is counted of a year."""

    period: Period
    on: date
    service: Service
    surveys: tuple[SurveyRow, ...]  # each that counts, in the order in which they were measured
    replaced: tuple[tuple[SurveyRow, SurveyRow], ...]
    outcomes: tuple[Outcome, ...]
    held: tuple[Held, ...]
    reasons: tuple[ReasonLine, ...]
    months: tuple[MonthLine, ...]
    buildings: tuple[BuildingLine, ...]
    hoods: tuple[HoodLine, ...]

    @property
    def moved_away(self) -> int:
        """The hoods of the list that stand elsewhere on the day; those that stand here are the whole of `service`."""
        return sum(not line.is_here for line in self.hoods)

    def group(self, group: str) -> tuple[Tally, Tally]:
        """The surveys of a group as found and as left."""
        rows = [outcome for outcome in self.outcomes if outcome.group == group]
        return Tally(*(row.as_found for row in rows)), Tally(*(row.as_left for row in rows))

    @property
    def as_found(self) -> Tally:
        return Tally.of(survey.as_found for survey in self.surveys)

    @property
    def as_left(self) -> Tally:
        return Tally.of(survey.verdict for survey in self.surveys)
