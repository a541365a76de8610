"""The counts of a year, from plain rows: nothing is judged here, and every part says of which whole it is one.

The hoods of a year are those that were there on some day of it. On the day that the report looks at (its last, or today
while it is not over) each has one status, and from it one place in this row:

    retired, hibernated, out of service    as its status says
    in service                             every other, a hood posted 'do not use' too: surveys are owed for it
        overdue                            its survey is overdue
        not surveyed                       no full survey that met its criteria since it stands there
        within its interval                otherwise: a full survey let it be used, and the next is not yet late

A survey belongs to the year that holds its day by the site's clock. It counts once; an amendment counts in the place and
on the day of what it amends.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Sequence
from datetime import date
from typing import NamedTuple

from reports.core.period import Period
from reports.core.yearly_rows import GROUPS, VERDICTS, Average, HoodRow, SurveyRow, standing
from surveys.core.history import Event
from surveys.core.status import (
    DO_NOT_USE,
    HIBERNATED,
    NOT_SURVEYED,
    OUT_OF_SERVICE,
    OVERDUE,
    RETIRED,
    STATUSES,
)

WITHIN, UNSURVEYED = "within-interval", "not-surveyed"
STATES = (WITHIN, OVERDUE, UNSURVEYED, OUT_OF_SERVICE, HIBERNATED, RETIRED)
IN_SERVICE = frozenset({WITHIN, OVERDUE, UNSURVEYED})


def state(hood: HoodRow) -> str:
    """The one place that a hood has among STATES."""
    status = hood.status
    if status.code in (RETIRED, HIBERNATED, OUT_OF_SERVICE):
        return status.code
    if status.flag(OVERDUE):
        return OVERDUE
    if status.due is None or status.code == NOT_SURVEYED or hood.moved_under_stop:
        return UNSURVEYED
    return WITHIN


def seen_in_service(events: Sequence[Event], period: Period, until: date) -> bool:
    """Whether a hood was in service, by its events, on some day from the first of a period until a day."""
    days = {period.first, *(event.on for event in events), *_after_outages(events)}
    return any(_is_in_service(events, day) for day in days if period.first <= day <= until)


def _after_outages(events: Sequence[Event]) -> Iterable[date]:
    return (date.fromordinal(event.until_on.toordinal() + 1) for event in events if event.until_on)


def _is_in_service(events: Sequence[Event], day: date) -> bool:
    there, outage = False, None
    for event in events:
        if event.on > day:
            continue
        if event.kind in ("installed", "woken"):
            there = True
        elif event.kind in (RETIRED, HIBERNATED):
            there = False
        elif event.kind == OUT_OF_SERVICE:
            outage = event
        elif event.kind == "back-in-service":
            outage = None
    return there and (outage is None or (outage.until_on is not None and outage.until_on < day))


class Service(NamedTuple):
    """The hoods of the year by where they stand on the day; the first six add up to all."""

    within: int
    overdue: int
    not_surveyed: int
    out_of_service: int
    hibernated: int
    retired: int
    posted: int  # 'do not use', among those in service
    overdue_posted: int
    seen_in_service: int  # in service on some day of the year, those in service on the day among them

    @property
    def in_service(self) -> int:
        return self.within + self.overdue + self.not_surveyed

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


def count(period: Period, on: date, hoods: Sequence[HoodRow], surveys: Sequence[SurveyRow]) -> Counts:
    """Count a year: `surveys` may hold others than those of the year, so that amendments find what they amend."""
    stood = standing(tuple(surveys))
    counted = tuple(survey for survey in stood.counted if survey.done_on in period)
    made: dict[Hashable, list[SurveyRow]] = defaultdict(list)
    for survey in counted:
        made[survey.hood].append(survey)
    lines = tuple(
        HoodLine(hood, state(hood), len(made[hood.key]), made[hood.key][-1] if made[hood.key] else None)
        for hood in sorted(hoods, key=_walked)
        if hood.seen_in_service or hood.status.code != RETIRED or made[hood.key]
    )
    return Counts(
        period, on, service(lines), counted,
        tuple((old, new) for old, new in stood.replaced if old.done_on in period),
        tuple(_outcomes(counted)), tuple(_held(counted)), tuple(_reasons(counted)), tuple(_months(period, counted)),
        tuple(_buildings(lines, counted)), lines,
    )  # fmt: skip


def _walked(hood: HoodRow) -> tuple[bool, tuple[int | str, ...], str]:
    return (not hood.place.building, hood.place.order, hood.tag)


def service(lines: Sequence[HoodLine]) -> Service:
    counted = Counter(line.state for line in lines)
    posted = [line for line in lines if line.state in IN_SERVICE and line.hood.status.code == DO_NOT_USE]
    return Service(
        *(counted[one] for one in STATES),
        posted=len(posted),
        overdue_posted=sum(line.state == OVERDUE for line in posted),
        seen_in_service=sum(line.hood.seen_in_service or line.state in IN_SERVICE for line in lines),
    )


def by_status(lines: Sequence[HoodLine]) -> dict[str, int]:
    """The hoods of the year by the status they have on the day."""
    counted = Counter(line.hood.status.code for line in lines)
    return {code: counted[code] for code in reversed(STATUSES)}


def _outcomes(surveys: Sequence[SurveyRow]) -> Iterable[Outcome]:
    for group in GROUPS:
        made = [survey for survey in surveys if survey.group == group]
        found, left = Tally.of(one.as_found for one in made), Tally.of(one.verdict for one in made)
        for place, verdict in enumerate(VERDICTS):
            yield Outcome(group, verdict, found[place], left[place])


def _held(surveys: Sequence[SurveyRow]) -> Iterable[Held]:
    for group in GROUPS:
        said = Counter(survey.held for survey in surveys if survey.group == group)
        held = said["held"], said["not-held"]
        yield Held(group, *held, said.total() - sum(held) - said["no-label"], said["no-label"])


def _reasons(surveys: Sequence[SurveyRow]) -> Iterable[ReasonLine]:
    made: dict[tuple[str, str], list[SurveyRow]] = defaultdict(list)
    for survey in surveys:
        made[survey.group, survey.reason].append(survey)
    for group, reason in sorted(made, key=lambda one: (GROUPS.index(one[0]), -len(made[one]), one[1])):
        rows = made[group, reason]
        found, left = Tally.of(one.as_found for one in rows), Tally.of(one.verdict for one in rows)
        yield ReasonLine(group, reason, len(rows), found.failed, left.failed)


def _months(period: Period, surveys: Sequence[SurveyRow]) -> Iterable[MonthLine]:
    made: dict[date, list[SurveyRow]] = defaultdict(list)
    for survey in surveys:
        made[survey.done_on.replace(day=1)].append(survey)
    for month in period.months:
        rows = made[month]
        yield MonthLine(month, Tally.of(one.as_found for one in rows), Tally.of(one.verdict for one in rows))


def _buildings(lines: Sequence[HoodLine], surveys: Sequence[SurveyRow]) -> Iterable[BuildingLine]:
    standing_in: dict[str, list[HoodLine]] = defaultdict(list)
    order: dict[str, tuple[int | str, ...]] = {}
    for line in lines:
        place = line.hood.place
        standing_in[place.building].append(line)
        order.setdefault(place.building, place.order[:2])
    made: dict[str, list[SurveyRow]] = defaultdict(list)
    for survey in surveys:
        made[survey.place.building].append(survey)
        order.setdefault(survey.place.building, survey.place.order[:2])
    for building in sorted(order, key=lambda one: (not one, order[one], one)):
        rows = made[building]
        yield BuildingLine(
            building, service(standing_in[building]),
            Tally.of(one.as_found for one in rows), Tally.of(one.verdict for one in rows),
        )  # fmt: skip


__all__ = ["Average", "Counts", "HoodLine", "Service", "Tally", "by_status", "count", "seen_in_service", "state"]
