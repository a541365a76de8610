"""Facts of many hoods in a fixed number of queries, and the status that core makes of them.

Every status that is shown anywhere comes from `statuses`. It asks five queries, whether for one hood or for thousands:
events; stops; surveys with what they approve; results from earlier records that count, with what they approve; and in one
the rules of the versions that judged them, calibrations, and the openings of panels. Of the surveys of a hood only the last with a verdict and the last full
one that granted use are read, each found by its index; those of a hood with an amendment are read whole, since an
amendment takes the place of what it amends.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Exists, Min, OuterRef, Q, QuerySet, Subquery

from hoods.models import Hood, HoodEvent, Placement, Site
from hoods.queries import Gathered, as_walked, kept, shared_utc, utc
from surveys import earlier_results, panels
from surveys.core import status as core
from surveys.core.calibration import Calibrated, Doubt, doubts
from surveys.core.due import DueRule
from surveys.core.history import Approved, Event, HoodFacts, Stop, Surveyed
from surveys.core.status import Status
from surveys.models import (
    Calibration,
    CriteriaVersion,
    Instrument,
    Survey,
    Transcription,
)
from surveys.models import Stop as StopRow

Hoods = QuerySet[Hood] | Collection[Hood]
Known = dict[int, tuple[ZoneInfo, str]]  # of each hood the clock of its site, and the kind of its sash

SURVEYED = (
    "hood_id", "draft_id", "record_id", "verdict", "done_on", "measured_until", "signed_at", "full", "reason",
    "version_id", "instrument_id", "restriction", "label_issue", "amends_id",
)  # fmt: skip
_KEPT = ("done_on", "full", "measured_until", "signed_at")
OF_APPROVAL = ("opening_name", "height", "use", "way", "opening_id", "cover", "flow_state", "width")
OF_CALIBRATION = ("done_on", "pk", "due_on", "in_tolerance")
_APPROVED = tuple(f"approvals__{name}" for name in (*OF_APPROVAL, "id"))
_SURVEYED_COLUMNS = len(SURVEYED)


@dataclass(frozen=True, slots=True)
class Line:
    """A hood as a list shows it: where it stands, and its status on the day."""

    hood: Hood
    placement: Placement | None
    status: Status


def statuses(hoods: Hoods, on: date) -> dict[int, Status]:
    """The status of each hood on a day, by the hood's key."""
    return {pk: core.status(facts, on) for pk, facts in facts_of(hoods, on).items()}


def status_of(hood: Hood, on: date) -> Status:
    return statuses([hood], on)[hood.pk]


def label_standing(hood: Hood, issue: int, on: date) -> str:
    """What a label of this hood with this issue number is worth on a day (one of core's STANDINGS)."""
    return core.label_standing(facts_of([hood], on, whole=True)[hood.pk], issue, on)


def lines(hoods: QuerySet[Hood], on: date) -> list[Line]:
    """The hoods with their places and statuses, in walking order."""
    return sorted(lines_of(as_walked(hoods, on), on), key=walking_order)


def lines_of(walked: QuerySet[Hood], on: date) -> list[Line]:
    """The hoods of a query that has them in walking order (`as_walked`), or of a page of it; their places come with them."""
    rows = list(walked.select_related("site", "placed__room__building", "placed__exhaust"))
    known = statuses(rows, on)
    return [Line(hood, getattr(hood, "placed", None), known[hood.pk]) for hood in rows]  # none before it stood anywhere


def walking_order(line: Line) -> tuple[Any, ...]:
    """Building, room, place in the room, tag; what stands nowhere comes last."""
    place = line.placement
    if place is None:
        return (1, line.hood.tag)
    building = place.room.building
    return (0, building.order, building.name, place.room.order, place.room.number, place.order, line.hood.tag)


def placements(hoods: Hoods, on: date | None = None) -> dict[int, Placement]:
    """Where each hood stands (on a day), with room and building."""
    rows = Placement.objects.filter(hood__in=_keys(hoods)).select_related("room__building", "exhaust")
    if on is not None:
        rows = rows.filter(from_on__lte=on)
    return {row.hood_id: row for row in rows.order_by("hood", "from_on", "pk")}


def first_survey(hoods: QuerySet[Hood]) -> date | None:
    """The day of the first survey that the ledger holds of these hoods: of earlier days it can say nothing."""
    return Survey.objects.filter(hood__in=hoods.order_by().values("pk")).aggregate(first=Min("done_on"))["first"]


def facts_of(hoods: Hoods, on: date, *, whole: bool = False, known: Known | None = None) -> dict[int, HoodFacts]:
    """What core's status asks of each hood, as known on a day; with `whole`, all surveys and not the last ones alone."""
    keys = _keys(hoods)
    known = known or _known(hoods)
    zones = {pk: zone for pk, (zone, _) in known.items()}
    events = _events(keys, on)
    stops = _stops(keys, zones)
    surveys, approved = _surveys(keys, on, whole)
    earlier, approved_then = earlier_results.counted(keys, on, zones)
    surveys = {**earlier, **{pk: [*found, *earlier.get(pk, ())] for pk, found in surveys.items()}}
    granted = approved | approved_then
    sliding = panels.sliding(granted, surveys, {pk: sash for pk, (_, sash) in known.items()})
    rules, found_doubts, openings = _beside(surveys.values(), sliding)
    granted = panels.marked(granted, sliding, openings)
    return {
        pk: HoodFacts(
            events.get(pk, ()),
            stops.get(pk, ()),
            surveys.get(pk, ()),
            granted,
            rules,
            found_doubts,
            sash == "vertical",
        )
        for pk, (_, sash) in known.items()
    }


def _keys(hoods: Hoods) -> Any:
    """The hoods for an `in`: as a query of their own where they come as one that has not been read yet."""
    if isinstance(hoods, QuerySet) and hoods._result_cache is None:
        return hoods.order_by().values("pk")
    return [hood.pk for hood in hoods]


def _known(hoods: Hoods) -> Known:
    """The clock of each hood's site, and the kind of its sash: the openings of a vertical one are all of one way."""
    if isinstance(hoods, QuerySet) and hoods._result_cache is None:
        rows = hoods.order_by().values_list("pk", "site__time_zone", "sash")
        return {pk: (ZoneInfo(zone), sash) for pk, zone, sash in rows}
    return {hood.pk: (hood.site.zone, hood.sash) for hood in hoods}


def _events(keys: Any, on: date) -> Mapping[int, list[Event]]:
    events: dict[int, list[Event]] = defaultdict(list)
    rows = HoodEvent.objects.filter(hood__in=keys, on__lte=on).order_by("hood", "on", "at", "pk")
    columns = ("hood_id", "kind", kept("on"), kept("at"), kept("until_on"), "opening_id")
    for hood, kind, day, at, until_on, opening in rows.values_list(*columns).iterator(5000):
        events[hood].append(Event(kind, day, shared_utc(at), until_on, opening))
    return events


def _stops(keys: Any, zones: Mapping[int, ZoneInfo]) -> Mapping[int, list[Stop]]:
    """Posted stops by the days of their own site."""
    stops: dict[int, list[Stop]] = defaultdict(list)
    over = Min("changes__at", filter=Q(changes__kind__in=("lifted", "withdrawn")))
    rows = StopRow.objects.filter(hood__in=keys).annotate(over_at=over).order_by("at", "pk")
    for hood, reason, at, over_at in rows.values_list("hood_id", "reason", "at", "over_at"):
        zone = zones[hood]
        stops[hood].append(
            Stop(reason, at.astimezone(zone).date(), over_at.astimezone(zone).date() if over_at else None)
        )
    return stops


def _surveys(keys: Any, on: date, whole: bool) -> tuple[dict[int, list[Surveyed]], dict[Any, list[Approved]]]:
    rows = Survey.objects.filter(hood__in=keys) if whole else Survey.objects.filter(pk__in=_asked(keys, on))
    surveys: dict[int, list[Surveyed]] = defaultdict(list)
    approved: dict[Any, list[Approved]] = defaultdict(list)
    record = None
    columns = (*(kept(name) if name in _KEPT else name for name in SURVEYED), "paper", *_APPROVED)
    rows = rows.annotate(paper=Exists(Transcription.objects.filter(draft=OuterRef("draft_id"))))
    rows = rows.order_by("hood", "measured_until", "record", "approvals__id").values_list(*columns)
    for row in rows.iterator(5000):
        if row[2] != record:
            record = row[2]
            told = (*row[1:5], utc(row[5]), utc(row[6]), *row[7:_SURVEYED_COLUMNS])
            surveys[row[0]].append(Surveyed(*told, True, bool(row[_SURVEYED_COLUMNS])))
        if row[-1] is not None:
            approved[row[1]].append(Approved(*row[_SURVEYED_COLUMNS + 1 : -1]))
    return surveys, approved


def _asked(keys: Any, on: date) -> QuerySet:
    """The surveys that status asks of hoods: the last verdict, the last full grant, and all where one was amended."""
    known = Survey.objects.filter(hood=OuterRef("pk"), done_on__lte=on).order_by("-measured_until", "-record")
    hoods = Hood.objects.order_by().filter(pk__in=keys)
    verdict = hoods.values_list(Subquery(known.exclude(verdict="no-verdict").values("pk")[:1]))
    full = hoods.values_list(Subquery(known.filter(full=True, verdict__in=("pass", "restrict")).values("pk")[:1]))
    amendment = Survey.objects.filter(hood=OuterRef("hood"), amends__isnull=False)
    amended = Survey.objects.order_by().filter(Exists(amendment), hood__in=keys).values_list("pk")
    return verdict.union(full, amended)


def _beside(
    surveys: Iterable[Iterable[Surveyed]], sliding: Collection[int]
) -> tuple[dict[Any, DueRule], dict[Any, tuple[Doubt, ...]], list[list[Any]]]:
    """In one query: the rules of the versions that judged, what calibrations put in doubt, the openings of hoods with panels."""
    judged_by = {(one.version, one.instrument) for found in surveys for one in found}
    if not judged_by:
        return {}, {}, []
    rules, calibrations, openings = Site.objects.order_by().values_list(
        Gathered(CriteriaVersion.objects.filter(pk__in={version for version, _ in judged_by}), "pk", "content"),
        _calibrations({instrument for _, instrument in judged_by}),
        Gathered(panels.openings_of(sliding), *panels.OF_OPENING),
    )[0]
    return _rules(rules or ()), _doubts(calibrations or ()), openings or []


def rules_of(versions: Iterable[Any]) -> dict[Any, DueRule]:
    """When a hood is due again, by the versions that judged."""
    return _rules(CriteriaVersion.objects.filter(pk__in=list(versions)).order_by().values_list("pk", "content"))


def _rules(rows: Iterable[Sequence[Any]]) -> dict[Any, DueRule]:
    return {pk: DueRule.of(json.loads(content)["due"]) for pk, content in rows}


def _calibrations(instruments: Iterable[Any]) -> Gathered:
    rows = Calibration.objects.filter(instrument__in=[key for key in instruments if key])
    return Gathered(rows, "instrument_id", *OF_CALIBRATION)


def calibrated(rows: Iterable[Sequence[Any]]) -> list[Calibrated]:
    """Calibrations from a column of them, in the order in which they were done."""
    return [
        Calibrated(date.fromisoformat(done_on), date.fromisoformat(due_on), None if good is None else bool(good))
        for done_on, _pk, due_on, good in sorted(rows)
    ]


def _doubts(rows: Iterable[Sequence[Any]]) -> dict[Any, tuple[Doubt, ...]]:
    """Days on which an instrument may have read wrongly; instruments without any are left out."""
    of_instrument: dict[Any, list[Sequence[Any]]] = defaultdict(list)
    for instrument, *calibration in rows:
        of_instrument[instrument].append(calibration)
    return doubted({instrument: calibrated(found) for instrument, found in of_instrument.items()})


def doubted(calibrations: Mapping[Any, list[Calibrated]]) -> dict[Any, tuple[Doubt, ...]]:
    found = {instrument: doubts(known) for instrument, known in calibrations.items()}
    return {instrument: days for instrument, days in found.items() if days}


def in_doubt(instrument: Instrument, hoods: QuerySet[Hood], on: date) -> list[Line]:
    """The hoods that rest today on a survey made while the instrument may have read wrongly, in walking order."""
    calibrations = instrument.calibrations.order_by().values_list("done_on", "pk", "due_on", "in_tolerance")
    if not doubted({instrument.pk: [Calibrated(done_on, *said) for done_on, _pk, *said in sorted(calibrations)]}):
        return []
    made = Survey.objects.order_by().filter(instrument=instrument).values_list("pk", "hood")
    surveys = dict(made)
    found = lines(hoods.filter(pk__in=made.values("hood")), on)
    return [line for line in found if line.status.flag(core.INSTRUMENT_IN_DOUBT) and line.status.survey in surveys]
