"""The tables of a year as files hold them: one row of plain values a line, codes as they are stored, days as they are written.

Every number that was measured stands as it was judged, beside its unit; counts are whole numbers. The columns are named
in words that never change, whatever language the pages are in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any, NamedTuple

from reports.core.year import Year
from reports.core.yearly import STATES, by_status
from reports.core.yearly_counts import Tally
from reports.core.yearly_rows import Average, SurveyRow

Value = str | int | date | None


class Table(NamedTuple):
    """A table: its name, its columns, and its rows one by one."""

    name: str
    columns: tuple[str, ...]
    rows: Iterable[tuple[Value, ...]]


YES = {True: "yes", False: "no"}
VERDICT_COLUMNS = ("pass", "restrict", "fail", "no_verdict")


def tables(year: Year) -> tuple[Table, ...]:
    """Every table of the year, in the order of the page."""
    return tuple(Table(name, columns, rows(year)) for name, columns, rows in TABLES)


def table(year: Year, name: str) -> Table | None:
    return next((one for one in tables(year) if one.name == name), None)


def _about(year: Year) -> Iterable[tuple[Value, ...]]:
    service, stamp, counts = year.counts.service, year.stamp, year.counts
    yield "site", year.site
    yield "building", year.building or "all"
    yield "rooms", "those that the reader answers for" if year.own_rooms else "all"
    yield "first_day", year.period.first
    yield "last_day", year.period.last
    yield "hoods_as_on", year.on
    yield "records_as_of", stamp.at.isoformat()
    yield "time_zone", year.zone
    yield "last_record", stamp.record
    yield "last_record_sha256", stamp.sha256
    yield "hoods_of_the_year", service.hoods
    yield "in_service", service.in_service
    yield "in_service_on_some_day", service.seen_in_service
    for name, number in zip(STATES, service, strict=False):
        yield name.replace("-", "_"), number
    yield "do_not_use_in_service", service.barred
    yield "do_not_use_beside", service.barred_beside
    yield "surveyed_here_and_moved_away", counts.moved_away
    yield "first_survey_of_the_ledger", year.begins
    yield "surveys", len(counts.surveys)
    yield "amended_surveys_not_counted", len(counts.replaced)


def _statuses(year: Year) -> Iterable[tuple[Value, ...]]:
    yield from by_status(year.counts.hoods).items()


def _outcomes(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.counts.outcomes:
        found, left = year.counts.group(one.group)
        yield one.group, one.verdict, one.as_found, found.all, one.as_left, left.all


def _held(year: Year) -> Iterable[tuple[Value, ...]]:
    yield from year.counts.held


def _reasons(year: Year) -> Iterable[tuple[Value, ...]]:
    yield from year.counts.reasons


def _tallies(found: Tally, left: Tally) -> tuple[Value, ...]:
    return (found.all, *found, *left)


def _months(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.counts.months:
        yield f"{one.month:%Y-%m}", *_tallies(one.as_found, one.as_left)


def _buildings(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.counts.buildings:
        yield (
            one.building,
            one.service.hoods,
            one.service.in_service,
            *one.service[:6],
            one.service.barred,
            one.service.by_earlier,
            *_tallies(one.as_found, one.as_left),
        )


def _parted(quantity: str) -> tuple[Value, Value]:
    """A quantity as it is written, its unit in a column of its own."""
    digits, _blank, unit = quantity.partition(" ")
    return (digits, unit) if digits else (None, None)


def _average(average: Average | None) -> tuple[Value, Value, Value]:
    return (average.opening, average.digits, average.unit) if average else (None, None, None)


def _hoods(year: Year) -> Iterable[tuple[Value, ...]]:
    for line in year.counts.hoods:
        hood, status, last = line.hood, line.hood.status, line.last
        yield (
            hood.tag, hood.code, hood.place.building, hood.place.room, hood.kind, hood.criteria, line.state, status.code,
            status.since, " ".join(flag.code for flag in status.flags), status.due.on if status.due else None,
            line.left_on, line.surveys, *_survey(year, last),
        )  # fmt: skip


SURVEY_COLUMNS = (
    "done_on", "record", "reason", "counts_as", "as_found", "as_left", "label", "criteria", "criteria_version",
    "found_opening", "found_average", "found_unit", "left_opening", "left_average", "left_unit", "approved_height", "approved_height_unit", "from_paper",
)  # fmt: skip


def _survey(year: Year, survey: SurveyRow | None) -> tuple[Value, ...]:
    if survey is None:
        return (None,) * len(SURVEY_COLUMNS)
    version = year.version(survey.version)
    return (
        survey.done_on, survey.record, survey.reason, survey.group, survey.as_found, survey.verdict, survey.held,
        version.set if version else None, version.number if version else None, *_average(survey.found),
        *_average(survey.left), *_parted(survey.height), YES[survey.paper is not None],
    )  # fmt: skip


def _surveys(year: Year) -> Iterable[tuple[Value, ...]]:
    for survey in year.counts.surveys:
        instrument, calibration = year.instruments.get(survey.instrument), year.calibrations.get(survey.calibration)
        yield (
            *_hood(year, survey.hood), survey.place.building, survey.place.room, *_survey(year, survey),
            instrument.name if instrument else None, calibration.certificate if calibration else None,
            _covered(survey.instrument, survey.covered), year.measurer(survey) or None,
            year.person(survey.paper.typed_in_by) if survey.paper else None, survey.signed_on,
        )  # fmt: skip


def _covered(instrument: Any, covered: bool) -> str | None:
    return None if instrument is None else YES[covered]


def _hood(year: Year, hood: Any) -> tuple[Value, Value]:
    return year.names.get(hood, ("", ""))


def _failures(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.failures:
        survey, told = one.survey, year.told.get(one.survey.key)
        yield (
            *_hood(year, survey.hood), survey.place.building, survey.place.room, survey.done_on, survey.record,
            survey.reason, survey.as_found, survey.verdict, year.wanting.get(survey.key, ""),
            told.told if told else "", told.order if told else "", one.became, one.met_on, one.met_record, one.days,
            one.failed_again,
        )  # fmt: skip


def _overdue(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.late:
        hood = one.line.hood
        yield (
            hood.tag, hood.code, hood.place.building, hood.place.room, one.due_on, one.since, one.days,
            hood.status.in_grace_until, hood.status.code, one.explained,
        )  # fmt: skip


def _stops(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.stops:
        yield *_hood(year, one.hood), *one[1:]


def _no_verdicts(year: Year) -> Iterable[tuple[Value, ...]]:
    for survey in year.no_verdicts:
        yield (
            *_hood(year, survey.hood), survey.done_on, survey.record, survey.reason, year.wanting.get(survey.key, ""),
        )  # fmt: skip


def _amended(year: Year) -> Iterable[tuple[Value, ...]]:
    for old, new in year.counts.replaced:
        yield (
            *_hood(year, old.hood), old.done_on, old.record, old.verdict, new.record, new.verdict, new.signed_on,
            year.person(new.signed_by), new.why,
        )  # fmt: skip


def _versions(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.versions:
        yield (
            one.set, one.number, one.first_day, one.until, one.adopted_on, one.adopted_by, one.reason, one.record,
            one.months, one.surveys,
        )  # fmt: skip


def _limits(year: Year) -> Iterable[tuple[Value, ...]]:
    for version in year.versions:
        for one in version.limits:
            least, most = _parted(one.least), _parted(one.most)
            yield version.set, version.number, one.figure, one.check, *least, *most, *one[4:]


def _adopted(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.adopted:
        yield one.set, one.number, one.first_day, one.adopted_on, one.adopted_by, one.reason, one.record


def _reassigned(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.reassigned:
        yield *_hood(year, one.hood), *one[1:]


def _instruments(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.measured:
        instrument, calibration = year.instruments.get(one.instrument), year.calibrations.get(one.calibration)
        yield (
            *(instrument or (None, None, None)), *(calibration or (None, None, None, None)),
            _covered(one.instrument, one.covered), one.surveys, one.days, one.first_on, one.last_on, one.in_doubt,
        )  # fmt: skip


def _surveyors(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.surveyors:
        _name, *known = year.people.get(one.person) or ("", "", "", "")
        typed_in_by = year.person(one.paper.typed_in_by) if one.paper else None
        yield year.measurer(one), *known, one.surveys, one.days, one.qualified, YES[one.paper is not None], typed_in_by


def _qualifications(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.qualifications:
        person = year.people.get(one.person)
        yield person.name if person else "", *one[1:]


def _averages(year: Year) -> Iterable[tuple[Value, ...]]:
    for one in year.flows:
        version = year.version(one.version)
        name = (version.set, version.number) if version else ("", None)
        yield *name, len(one.values), *one.verdicts, one.lowest, one.median, one.highest, one.unit


_FOUND_LEFT = ("surveys", *(f"found_{one}" for one in VERDICT_COLUMNS), *(f"left_{one}" for one in VERDICT_COLUMNS))
_NAMED = ("hood", "code")

#: name -> columns, rows. The order is that of the page.
TABLES: tuple[tuple[str, tuple[str, ...], Callable[[Year], Iterable[tuple[Value, ...]]]], ...] = (
    ("about", ("what", "value"), _about),
    ("statuses", ("status", "hoods"), _statuses),
    ("outcomes", ("counts_as", "verdict", "as_found", "as_found_of", "as_left", "as_left_of"), _outcomes),
    ("labels", ("counts_as", "held", "not_held", "not_tested", "no_label"), _held),
    ("reasons", ("counts_as", "reason", "surveys", "as_found_fail", "as_left_fail"), _reasons),
    ("months", ("month", *_FOUND_LEFT), _months),
    ("buildings", ("building", "hoods", "in_service", "within_interval", "overdue", "not_surveyed", "out_of_service",
                   "hibernated", "retired", "do_not_use", "by_earlier_records", *_FOUND_LEFT), _buildings),
    ("averages", ("criteria", "version", "hoods", *VERDICT_COLUMNS, "lowest", "median", "highest", "unit"), _averages),
    ("overdue", (*_NAMED, "building", "room", "due_on", "overdue_since", "days_late", "in_grace_until", "status", "reason_given"), _overdue),
    ("failures", (*_NAMED, "building", "room", "done_on", "record", "reason", "as_found", "as_left", "not_met", "told",
                  "order", "became", "met_on", "met_record", "days", "failed_again"), _failures),
    ("stops", (*_NAMED, "posted_on", "reason", "words", "by", "over_on", "over", "days"), _stops),
    ("no-verdicts", (*_NAMED, "done_on", "record", "reason", "why"), _no_verdicts),
    ("amended", (*_NAMED, "done_on", "record", "verdict", "amended_by_record", "amended_verdict", "amended_on", "by", "why"),
     _amended),
    ("adopted", ("criteria", "version", "first_day", "adopted_on", "adopted_by", "reason", "record"), _adopted),
    ("reassigned", (*_NAMED, "from_on", "before", "after", "why", "evidence", "by"), _reassigned),
    ("criteria", ("criteria", "version", "first_day", "until", "adopted_on", "adopted_by", "reason", "record",
                  "months_until_due", "surveys"), _versions),
    ("limits", ("criteria", "version", "figure", "check", "at_least", "at_least_unit", "at_most", "at_most_unit", "applies_to", "consequence",
                "restriction", "source", "evidence"), _limits),
    ("instruments", ("instrument", "serial", "kind", "certificate", "laboratory", "calibrated_on", "calibration_due_on",
                     "days_covered", "surveys", "days", "first_on", "last_on", "surveys_in_doubt"), _instruments),
    ("surveyors", ("name", "initials", "position", "employer", "surveys", "days", "surveys_on_qualified_days", "from_paper", "typed_in_by"), _surveyors),
    ("qualifications", ("name", "method", "qualified_by", "from_on", "until_on"), _qualifications),
    ("hoods", (*_NAMED, "building", "room", "kind", "judged_by", "place", "status", "since", "flags", "due_on", "moved_away_on", "surveys",
               *(f"last_{one}" for one in SURVEY_COLUMNS)), _hoods),
    ("surveys", (*_NAMED, "building", "room", *SURVEY_COLUMNS, "instrument", "certificate", "day_covered", "surveyor",
                 "typed_in_by", "signed_on"), _surveys),
)  # fmt: skip

#: The readings are no part of the page: they come straight from the database, row by row.
READINGS = "readings"
READING_COLUMNS = (
    "record", "hood", "code", "done_on", "opening", "state", "row", "column", "repeat", "reading", "unit", "at",
    "struck", "traverse_struck",
)  # fmt: skip
NAMES = (*(name for name, _columns, _rows in TABLES), READINGS)
