"""The counts of a year, from plain rows: nothing is judged here, and every part says of which whole it is one.

The hoods of a year are those that were there on some day of it. On the day that the report looks at (its last, or today
while it is not over) each has one status, and from it one place in this row:

    retired, hibernated, out of service    as its events say, whatever was posted or found
    in service                             every other, one that must not be used too: surveys are owed for it
        overdue                            its survey is overdue
        not surveyed                       no full survey that met its criteria since it stands there as it is: it waits
        by earlier records                 an accepted result of before this ledger lets it be used: not surveyed here
        within its interval                otherwise: a full survey let it be used, and the next is not yet late

A survey belongs to the year that holds its day by the site's clock. It counts once; an amendment counts in the place and
on the day of what it amends.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Sequence
from datetime import date

from reports.core.period import Period
from reports.core.yearly_counts import (
    BuildingLine,
    Counts,
    Held,
    HoodLine,
    MonthLine,
    Outcome,
    ReasonLine,
    Service,
    Tally,
)
from reports.core.yearly_rows import GROUPS, VERDICTS, HoodRow, SurveyRow, standing
from surveys.core.history import Event
from surveys.core.life import life_of
from surveys.core.status import DO_NOT_USE, HIBERNATED, NOT_SIGNED_HERE, OUT_OF_SERVICE, OVERDUE, RETIRED, STATUSES

WITHIN, UNSURVEYED, EARLIER = "within-interval", "not-surveyed", "by-earlier-records"
STATES = (WITHIN, OVERDUE, UNSURVEYED, OUT_OF_SERVICE, HIBERNATED, RETIRED, EARLIER)
IN_SERVICE = frozenset({WITHIN, OVERDUE, UNSURVEYED, EARLIER})


def state(hood: HoodRow) -> str:
    """The one place that a hood has among STATES."""
    if hood.life:
        return hood.life
    if hood.status.flag(OVERDUE):
        return OVERDUE
    if hood.status.waits:
        return UNSURVEYED
    return EARLIER if hood.status.flag(NOT_SIGNED_HERE) else WITHIN


def seen_in_service(events: Sequence[Event], period: Period, until: date) -> bool:
    """Whether a hood was in service, by its events, on some day from the first of a period until a day."""
    days = {period.first, *(event.on for event in events), *_after_outages(events)}
    return any(_is_in_service(events, day) for day in days if period.first <= day <= until)


def _after_outages(events: Sequence[Event]) -> Iterable[date]:
    return (date.fromordinal(event.until_on.toordinal() + 1) for event in events if event.until_on)


def _is_in_service(events: Sequence[Event], day: date) -> bool:
    return life_of(events, day) is None and any(event.kind == "installed" and event.on <= day for event in events)


def count(
    period: Period, on: date, hoods: Sequence[HoodRow], surveys: Sequence[SurveyRow], building: str | None = None
) -> Counts:
    """Count a year, of one building where it is named.

    `surveys` may hold others than those of the year and the building, so that amendments find what they amend. The hoods
    of a building are those that stand in it on the day, and those surveyed in it in the year.
    """
    stood = standing(tuple(surveys))

    def is_here(survey: SurveyRow) -> bool:
        return survey.done_on in period and building in (None, survey.place.building)

    def stands_here(hood: HoodRow) -> bool:
        return building in (None, hood.place.building)

    counted = tuple(survey for survey in stood.counted if is_here(survey))
    surveyed = {survey.hood for survey in stood.counted if survey.done_on in period}
    made: dict[Hashable, list[SurveyRow]] = defaultdict(list)
    for survey in counted:
        made[survey.hood].append(survey)
    lines = tuple(
        HoodLine(
            hood,
            state(hood),
            len(made[hood.key]),
            _last(made[hood.key]),
            stands_here(hood),
            None if stands_here(hood) else hood.left_on(building or ""),
        )
        for hood in sorted(hoods, key=_walked)
        if (stands_here(hood) and (hood.key in surveyed or hood.seen_in_service or hood.life != RETIRED))
        or made[hood.key]
    )
    here = [line for line in lines if line.is_here]
    return Counts(
        period, on, service(here), counted,
        tuple((old, new) for old, new in stood.replaced if is_here(old)),
        tuple(_outcomes(counted)), tuple(_held(counted)), tuple(_reasons(counted)), tuple(_months(period, counted)),
        tuple(_buildings(here, counted)), lines,
    )  # fmt: skip


def _last(made: Sequence[SurveyRow]) -> SurveyRow | None:
    return made[-1] if made else None


def _walked(hood: HoodRow) -> tuple[bool, tuple[int | str, ...], str]:
    return (not hood.place.building, hood.place.order, hood.tag)


def service(lines: Sequence[HoodLine]) -> Service:
    counted = Counter(line.state for line in lines)
    every = [line for line in lines if line.hood.status.code == DO_NOT_USE]
    barred = [line for line in every if line.state in IN_SERVICE]
    within, overdue, not_surveyed, out_of_service, hibernated, retired, earlier = (counted[one] for one in STATES)
    return Service(
        within, overdue, not_surveyed, out_of_service, hibernated, retired, earlier,
        barred=len(barred),
        overdue_barred=sum(line.state == OVERDUE for line in barred),
        seen_in_service=sum(line.hood.seen_in_service or line.state in IN_SERVICE for line in lines),
        barred_beside=len(every) - len(barred),
    )  # fmt: skip


def by_status(lines: Sequence[HoodLine]) -> dict[str, int]:
    """The hoods of the year by the status they have on the day."""
    counted = Counter(line.hood.status.code for line in lines if line.is_here)
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
