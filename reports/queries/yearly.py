"""The rows of a year, in a number of queries that does not rise with hoods, surveys or years kept."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from django.db.models import OuterRef, Q, QuerySet, Subquery

from hoods.models import Building, Hood, HoodEvent, Person, Placement, Site
from reports.core import yearly, yearly_exceptions
from reports.core.period import Period
from reports.core.year import Flow, Stamp, Year, flows, named
from reports.core.yearly_counts import Counts
from reports.core.yearly_rows import Average, HoodRow, Paper, Place, SurveyRow
from reports.queries import yearly_beside as beside
from reports.queries.snapshot import snapshot
from surveys import assigned, queries
from surveys.core import status as core
from surveys.core import units
from surveys.core.approval import highest
from surveys.core.history import Approved
from surveys.core.life import life_of
from surveys.models import Approval, Judgement, Record, Survey


@dataclass(frozen=True)
class Scope:
    """What a report is about, and for whom: the hoods that this person may see, of a site or of one building."""

    site: Site
    person: Person
    building: Building | None = None

    @property
    def own_rooms(self) -> bool:
        return self.site.pk not in self.person.standing.whole_sites

    @property
    def hoods(self) -> QuerySet[Hood]:
        return Hood.objects.visible_to(self.person).filter(site=self.site)

    @property
    def surveys(self) -> QuerySet[Survey]:
        return Survey.objects.filter(hood__in=self.hoods.order_by().values("pk"))


def years_with_surveys(scope: Scope, today: date) -> list[int]:
    """The calendar years from the first survey that this person may see until now, the newest first."""
    first = queries.first_survey(scope.hoods)
    return list(range(today.year, first.year - 1, -1)) if first else []


def year(scope: Scope, period: Period, today: date, at: datetime) -> Year:
    """The whole year as it stands at a moment: one state of the ledger, whatever is written meanwhile."""
    with snapshot():
        return _year(scope, period, today, at)


def counted(scope: Scope, period: Period, today: date) -> Counts:
    """The counts alone, as the drawings need them."""
    with snapshot():
        return _counts(scope, period, today)


def _year(scope: Scope, period: Period, today: date, at: datetime) -> Year:
    site = scope.site
    stamp = _stamp(at)
    counts = _counts(scope, period, today)
    surveys = counts.surveys
    later = _later(scope, period)
    failed = yearly_exceptions.failures(counts, later)
    versions = beside.versions(site, period, surveys)
    measured_with = beside.instruments(site, surveys, today)
    people, qualifications = beside.people(site, surveys)
    names = {line.hood.key: (line.hood.tag, line.hood.code) for line in counts.hoods}
    return Year(
        site=site.name,
        building=scope.building.name if scope.building else "",
        own_rooms=scope.own_rooms,
        zone=site.time_zone,
        speed_unit=site.speed_unit,
        height_from=site.height_from,
        telephone=site.telephone,
        stamp=stamp,
        over=today > period.last,
        begins=queries.first_survey(scope.hoods),
        counts=counts,
        failures=failed,
        delay=yearly_exceptions.delay(failed),
        told=beside.told(scope.surveys.filter(in_year(period)), site),
        wanting=beside.wanting(scope.surveys.filter(in_year(period))),
        late=yearly_exceptions.late(counts),
        no_verdicts=yearly_exceptions.no_verdicts(counts),
        versions=versions,
        adopted=beside.adopted(site, versions, period),
        reassigned=beside.reassigned(scope.hoods, period, names),
        measured=yearly_exceptions.measured(surveys, measured_with.doubtful),
        instruments=measured_with.instruments,
        calibrations=measured_with.calibrations,
        surveyors=yearly_exceptions.surveyors(
            surveys, [yearly_exceptions.Qualified(one.person, one.from_on, one.until_on) for one in qualifications]
        ),
        people=people,
        qualifications=beside.overlapping(qualifications, period, {one.surveyor for one in surveys if one.surveyor is not None}),
        stops=beside.stops(scope.hoods, site, period, counts.on, names),
        flows=flows(counts, versions, site.speed_unit),
        names=names,
    )


def _stamp(at: datetime) -> Stamp:
    last = Record.objects.order_by("-number").values_list("number", "sha256").first()
    return Stamp(at, *(last or (0, "")))


def _counts(scope: Scope, period: Period, today: date) -> Counts:
    on = period.until(today)
    places = _places(scope.hoods)
    surveys = _surveys(scope, period, places)
    hoods = _hoods(scope, period, on, places)
    building = scope.building.name if scope.building else None
    return yearly.count(period, on, hoods, surveys, building)


Places = Mapping[Hashable, tuple[list[date], list[Place]]]


def _places(hoods: QuerySet[Hood]) -> Places:
    """Where each hood has stood, from when on."""
    rows = Placement.objects.filter(hood__in=hoods.order_by().values("pk")).order_by("hood", "from_on", "pk")
    found: dict[Hashable, tuple[list[date], list[Place]]] = defaultdict(lambda: ([], []))
    columns = (
        "hood_id", "from_on", "order", "room__number", "room__order", "room__building__name", "room__building__order",
    )  # fmt: skip
    known: dict[tuple[Any, ...], Place] = {}
    for hood, from_on, order, *room in rows.values_list(*columns).iterator(5000):
        number, room_order, building, building_order = room
        key = (building, number, building_order, room_order, order)
        place = known.setdefault(key, Place(building, number, (building_order, building, room_order, number, order)))
        days, stood = found[hood]
        days.append(from_on)
        stood.append(place)
    return found


def _place(places: Places, hood: Hashable, on: date) -> Place:
    days, stood = places.get(hood, ((), ()))
    number = bisect_right(days, on)
    return stood[number - 1] if number else Place()


def _stood(places: Places, hood: Hashable, on: date) -> tuple[tuple[date, str], ...]:
    days, stood = places.get(hood, ((), ()))
    return tuple((day, place.building) for day, place in zip(days, stood, strict=True) if day <= on)


def _hoods(scope: Scope, period: Period, on: date, places: Places) -> list[HoodRow]:
    """The hoods that were there by the day, with their status on it."""
    facts = queries.facts_of(scope.hoods, on)
    judged_by = assigned.judged_by(scope.hoods, on).names
    explained = _explained(scope.hoods, on)
    found = []
    for pk, tag, code, kind in scope.hoods.order_by().values_list("pk", "tag", "code", "kind"):
        known = facts.get(pk)
        if known is None or not any(event.kind == "installed" for event in known.events):
            continue
        why, explained_on = explained.get(pk, ("", None))
        found.append(HoodRow(
            pk, tag, code, kind, _place(places, pk, on), judged_by.get(pk, ""), core.status(known, on),
            life_of(known.events, on),
            yearly.seen_in_service(known.events, period, on), why, explained_on, _stood(places, pk, on),
        ))  # fmt: skip
    return found


def _explained(hoods: QuerySet[Hood], on: date) -> dict[Hashable, tuple[str, date]]:
    """Why the survey of a hood is late, as last said by the day."""
    rows = HoodEvent.objects.filter(hood__in=hoods.order_by().values("pk"), kind="overdue-explained", on__lte=on)
    return {hood: (why, day) for hood, why, day in rows.order_by("on", "at", "pk").values_list("hood_id", "why", "on")}


_COLUMNS = (
    "pk", "hood_id", "record_id", "done_on", "measured_until", "signed_at", "reason", "as_found", "verdict", "held",
    "version_id", "instrument_id", "calibration_id", "calibration__done_on", "calibration__due_on", "signed_by_id",
    "amends_id", "why", "draft__transcription__measured_by", "draft__transcription__person_id", "draft__transcription__by_id",
)  # fmt: skip


def in_year(period: Period) -> Q:
    """The surveys of a year, and all that amend or are amended: an amendment counts on the day of what it amends."""
    return Q(done_on__range=(period.first, period.last)) | _amending()


def _amending() -> Q:
    """Surveys that amend, or are amended: looked up once, where a join of surveys with themselves could be planned badly."""
    amended = Survey.objects.order_by().filter(amends__isnull=False).values("amends")
    return Q(amends__isnull=False) | Q(pk__in=amended)


def _surveys(scope: Scope, period: Period, places: Places) -> list[SurveyRow]:
    asked = scope.surveys.filter(in_year(period))
    averages = _averages(asked)
    approved = _approved(asked)
    rows = asked.order_by("measured_until", "record").values_list(*_COLUMNS)
    return [
        _survey(row, scope.site, places, averages.get(row[0], {}), approved.get(row[0], []))
        for row in rows.iterator(5000)
    ]


def _survey(
    row: tuple[Any, ...], site: Site, places: Places, averages: Mapping[tuple[str, str], Average],
    approved: list[Approved],
) -> SurveyRow:  # fmt: skip
    (pk, hood, record, done_on, until, signed_at, reason, found, verdict, held, version, instrument, calibration,
     valid_from, valid_until, by, amends, why, measured_by, measurer, typist) = row  # fmt: skip
    covered = bool(instrument and calibration and valid_from <= done_on <= valid_until)
    top = highest(approved)
    first = next((opening for state, opening in averages if state == "as-found"), "")
    main = top.name if top else first
    return SurveyRow(
        pk, hood, record, done_on, until, site.day_of(signed_at), reason, found, verdict, held, version, instrument,
        calibration, covered, measurer if measured_by else by, _place(places, hood, done_on), amends, why, top.height if top else "",
        _at(averages.get(("as-found", first)), top if top and top.name == first else None),
        _at(averages.get(("as-left", main)) or averages.get(("as-found", main)), top),
        Paper(measured_by, typist) if measured_by else None, by,
    )  # fmt: skip


def _at(average: Average | None, opening: Approved | None) -> Average | None:
    return average._replace(height=opening.height, use=opening.use) if average and opening else average


def _averages(surveys: QuerySet[Survey]) -> dict[Hashable, dict[tuple[str, str], Average]]:
    """The average of each opening in each state, as it was judged; digits as the hood's own page shows them."""
    rows = Judgement.objects.filter(survey__in=surveys.order_by().values("pk"), figure="average").order_by(
        "survey", "pk"
    )
    found: dict[Hashable, dict[tuple[str, str], Average]] = defaultdict(dict)
    columns = ("survey_id", "state", "opening_name", "value", "unit", "survey__version_id")
    bounds = beside.Bounds()
    for survey, state, opening, value, unit, version in rows.values_list(*columns).iterator(5000):
        if value and (state, opening) not in found[survey]:
            exact = Fraction(value)
            digits = units.shown(exact, unit, bounds.of(version, unit))
            found[survey][state, opening] = Average(opening, exact, unit, digits)
    return found


def _approved(surveys: QuerySet[Survey]) -> dict[Hashable, list[Approved]]:
    found: dict[Hashable, list[Approved]] = defaultdict(list)
    rows = Approval.objects.filter(survey__in=surveys.order_by().values("pk")).order_by("pk")
    columns = ("survey_id", "opening_name", "height", "use")
    for survey, *approved in rows.values_list(*columns).iterator(5000):
        found[survey].append(Approved(*approved))
    return found


def _later(scope: Scope, period: Period) -> list[SurveyRow]:
    """The surveys, from the first day of the year on, of the hoods that failed in it: what came of each failure."""
    failed = scope.surveys.order_by().filter(in_year(period)).filter(Q(verdict="fail") | Q(as_found="fail"))
    rows = Survey.objects.filter(hood__in=failed.values("hood")).filter(Q(done_on__gte=period.first) | _amending())
    columns = ("pk", "hood_id", "record_id", "done_on", "measured_until", "as_found", "verdict", "amends_id")
    return [_light(*row) for row in rows.order_by("measured_until", "record").values_list(*columns)]


def _light(
    pk: Any, hood: Any, record: int, done_on: date, until: datetime, found: str, verdict: str, amends: Any
) -> SurveyRow:
    return SurveyRow(
        pk, hood, record, done_on, until, done_on, "", found, verdict, "", None, None, None, False, None, Place(), amends
    )  # fmt: skip


def readings_of(scope: Scope, period: Period) -> Iterable[tuple[Any, ...]]:
    """Every reading of the surveys made in a building or site in the year, one by one, as the database hands them over."""
    asked = scope.surveys.filter(done_on__range=(period.first, period.last))
    if scope.building is not None:
        stood = Placement.objects.filter(hood=OuterRef("hood"), from_on__lte=OuterRef("done_on"))
        building = Subquery(stood.order_by("-from_on", "-pk").values("room__building")[:1])
        asked = asked.alias(stood_in=building).filter(stood_in=scope.building.pk)
    return beside.readings(asked)


def averages(scope: Scope, period: Period, today: date) -> list[tuple[str, Flow]]:
    """The averages of the hoods by the version that judged them, with its name and limits."""
    with snapshot():
        counts = _counts(scope, period, today)
        versions = beside.versions(scope.site, period, counts.surveys)
        found = flows(counts, versions, scope.site.speed_unit)
    return [(named(versions, flow.version), flow) for flow in found]
