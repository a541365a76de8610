"""Facts of many hoods in a fixed number of queries, and the status that core makes of them.

Every status that is shown anywhere comes from `statuses`. It asks six queries, whether for one hood or for thousands:
events; stops; surveys with what they approve; results from earlier records that count, with what they approve; the rules
of the versions that judged them; calibrations. Of the surveys of a hood only the last with a verdict and the last full
one that granted use are read, each found by its index; those of a hood with an amendment are read whole, since an
amendment takes the place of what it amends.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Case, Count, Exists, Max, Min, OuterRef, Q, QuerySet, Subquery, When

from hoods.models import Hood, HoodEvent, Placement
from hoods.queries import Gathered, as_walked, kept, moment
from surveys import earlier_results, panels
from surveys.core import status as core
from surveys.core import units
from surveys.core.approval import highest
from surveys.core.calibration import Calibrated, Doubt, doubts
from surveys.core.due import DueRule
from surveys.core.history import Approved, Event, HoodFacts, Stop, Surveyed
from surveys.core.status import Status
from surveys.models import (
    Approval,
    Assignment,
    Calibration,
    CriteriaSet,
    CriteriaVersion,
    Draft,
    Instrument,
    Judgement,
    Survey,
    Transcription,
)
from surveys.models import Stop as StopRow

Hoods = QuerySet[Hood] | Collection[Hood]
Known = dict[int, tuple[ZoneInfo, str]]  # of each hood the clock of its site, and the kind of its sash

_SURVEYED = (
    "hood_id", "draft_id", "record_id", "verdict", "done_on", "measured_until", "signed_at", "full", "reason",
    "version_id", "instrument_id", "restriction", "label_issue", "amends_id",
)  # fmt: skip
_READ = {"done_on": kept, "full": kept, "measured_until": moment, "signed_at": moment}
_OF_APPROVAL = ("opening_name", "height", "use", "way", "opening_id", "cover", "flow_state", "width")
_APPROVED = tuple(f"approvals__{name}" for name in (*_OF_APPROVAL, "id"))
_SURVEYED_COLUMNS = len(_SURVEYED)


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
    for pk, found in earlier.items():
        surveys[pk] = [*surveys.get(pk, ()), *found]
    granted = panels.marked(approved | approved_then, surveys, {pk: sash for pk, (_, sash) in known.items()})
    rules = _rules({survey.version for found in surveys.values() for survey in found})
    found_doubts = _doubts({survey.instrument for found in surveys.values() for survey in found})
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
    columns = ("hood_id", "kind", kept("on"), moment("at"), kept("until_on"), "opening_id")
    for row in rows.values_list(*columns).iterator(5000):
        events[row[0]].append(Event._make(row[1:]))
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
    columns = (*(_READ[name](name) if name in _READ else name for name in _SURVEYED), "paper", *_APPROVED)
    rows = rows.annotate(paper=Exists(Transcription.objects.filter(draft=OuterRef("draft_id"))))
    rows = rows.order_by("hood", "measured_until", "record", "approvals__id").values_list(*columns)
    for row in rows.iterator(5000):
        if row[2] != record:
            record = row[2]
            surveys[row[0]].append(Surveyed(*row[1:_SURVEYED_COLUMNS], True, bool(row[_SURVEYED_COLUMNS])))
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


def _rules(versions: Iterable[Any]) -> dict[Any, DueRule]:
    """When a hood is due again, by the versions that judged."""
    rows = CriteriaVersion.objects.filter(pk__in=list(versions)).order_by()
    return {pk: DueRule.of(json.loads(content)["due"]) for pk, content in rows.values_list("pk", "content")}


def _doubts(instruments: Iterable[Any]) -> dict[Any, tuple[Doubt, ...]]:
    """Days on which an instrument may have read wrongly; instruments without any are left out."""
    calibrations: dict[int, list[Calibrated]] = defaultdict(list)
    rows = Calibration.objects.filter(instrument__in=[key for key in instruments if key]).order_by("done_on", "pk")
    for instrument, *calibration in rows.values_list("instrument_id", "done_on", "due_on", "in_tolerance"):
        calibrations[instrument].append(Calibrated._make(calibration))
    return _doubted(calibrations)


def _doubted(calibrations: Mapping[Any, list[Calibrated]]) -> dict[Any, tuple[Doubt, ...]]:
    found = {instrument: doubts(known) for instrument, known in calibrations.items()}
    return {instrument: days for instrument, days in found.items() if days}


def in_doubt(instrument: Instrument, hoods: QuerySet[Hood], on: date) -> list[Line]:
    """The hoods that rest today on a survey made while the instrument may have read wrongly, in walking order."""
    if not _doubts([instrument.pk]):
        return []
    made = Survey.objects.order_by().filter(instrument=instrument).values_list("pk", "hood")
    surveys = dict(made)
    found = lines(hoods.filter(pk__in=made.values("hood")), on)
    return [line for line in found if line.status.flag(core.INSTRUMENT_IN_DOUBT) and line.status.survey in surveys]


@dataclass(frozen=True, slots=True)
class Told:
    """A signed survey as the history of its hood tells it."""

    survey: Survey
    approved: tuple[Approved, ...]
    averages: Mapping[tuple[str, str], Figure]  # by state and opening, in the order judged
    lowest: Mapping[tuple[str, str], Figure]
    reasons: tuple[Mapping[str, Any], ...] = ()  # why it ended as it did, from its record; of the last verdict alone

    @property
    def main(self) -> str:
        """The opening whose figures are told: the highest approved, else the first that was judged."""
        top = highest(self.approved)
        return top.name if top else next((opening for _, opening in self.averages), "")

    @property
    def height(self) -> str:
        top = highest(self.approved)
        return top.height if top else ""

    @property
    def found_at(self) -> str:
        """The opening whose average as found is told: the first one that was measured."""
        return next((opening for state, opening in self.averages if state == "as-found"), "")

    @property
    def average_found(self) -> Figure | None:
        return self.averages.get(("as-found", self.found_at))

    @property
    def average_left(self) -> Figure | None:
        return self.averages.get(("as-left", self.main)) or self.averages.get(("as-found", self.main))

    @property
    def lowest_left(self) -> Figure | None:
        return self.lowest.get(("as-left", self.main)) or self.lowest.get(("as-found", self.main))


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as judged, with digits enough that it never contradicts its outcome."""

    value: str
    unit: str
    bounds: tuple[Fraction, ...] = ()

    @property
    def digits(self) -> str:
        return units.shown(Fraction(self.value), self.unit, self.bounds)

    @property
    def text(self) -> str:
        """The figure as a quantity is written: digits, a space, the unit's code."""
        return f"{self.digits} {self.unit}"

    def __str__(self) -> str:
        return units.with_unit(self.digits, self.unit)


@dataclass(frozen=True, slots=True)
class History:
    """All that a hood's page tells of its past, newest first, and the facts that its status is made of."""

    events: list[HoodEvent]
    stops: list[StopRow]
    drafts: list[Draft]
    surveys: list[Told]
    facts: HoodFacts
    earlier: tuple[earlier_results.Shown, ...] = ()  # from earlier records, not signed here; newest first

    @property
    def unit(self) -> str:
        """The unit of all figures told, as it is shown; empty where they are in several."""
        found = {figure.unit for told in self.surveys for figure in (*told.averages.values(), *told.lowest.values())}
        return units.UNIT[found.pop()].shown if len(found) == 1 else ""

    def told(self, survey: Any) -> Told | None:
        return next((told for told in self.surveys if told.survey.pk == survey), None)

    def told_earlier(self, result: Any) -> earlier_results.Shown | None:
        """The result from earlier records that has the last verdict, where one has it."""
        return next((one for one in self.earlier if result is not None and one.result.pk == result), None)


def history(hood: Hood, on: date | None = None) -> History:
    """Events, stops, drafts and surveys of one hood, whole, in three queries; results from earlier records are a fourth.

    The reasons told are those of the last verdict by a day, or of the last of all.
    """
    events = list(hood.events.select_related("by", "opening").order_by("on", "at", "pk"))
    kinds = ("lifted", "withdrawn")
    stops = list(
        hood.stops.select_related("by").order_by("at", "pk").annotate(
            over_at=Min("changes__at", filter=Q(changes__kind__in=kinds)),
            hung_at=Min("changes__at", filter=Q(changes__kind="hung")),
            withdrawn_at=Min("changes__at", filter=Q(changes__kind="withdrawn")),
        )
    )  # fmt: skip
    drafts = list(
        Draft.objects.filter(hood=hood)
        .select_related("started_by", "survey__signed_by", "survey__version__set", "survey__instrument", "transcription__by")
        .annotate(
            copies=Count("survey__label_copies", distinct=True),
            put_on_at=Max("survey__labels_put_on__at"),
            attested=Case(When(survey__record=_last_verdict(hood, on), then="survey__record__content")),
            approved=Gathered(
                Approval.objects.filter(survey=OuterRef("pk")),
                "pk", *_OF_APPROVAL,
            ),
            figures=Gathered(
                Judgement.objects.filter(survey=OuterRef("pk"), figure__in=("average", "lowest")).exclude(value=""),
                "pk", "state", "opening_name", "figure", "value", "unit",
            ),
            calibrations=Gathered(
                Calibration.objects.filter(instrument=OuterRef("survey__instrument")),
                "done_on", "pk", "due_on", "in_tolerance",
            ),
        )
    )  # fmt: skip
    signed = [draft.survey for draft in drafts if hasattr(draft, "survey")]
    approved = {draft.pk: [Approved(*row[1:]) for row in sorted(draft.approved or ())] for draft in drafts}
    figures = {
        draft.pk: _figures(draft.figures, draft.survey.version.document)
        for draft in drafts
        if hasattr(draft, "survey") and draft.figures
    }
    reasons = {draft.pk: _reasons(draft.attested) for draft in drafts if draft.attested}
    told = [
        Told(survey, tuple(approved.get(survey.pk, ())), *figures.get(survey.pk, ({}, {})), reasons.get(survey.pk, ()))
        for survey in sorted(signed, key=lambda survey: (survey.measured_until, survey.record_id), reverse=True)
    ]
    for draft in drafts:
        if hasattr(draft, "survey"):
            draft.survey.copies, draft.survey.put_on_at = draft.copies, draft.put_on_at
    earlier = earlier_results.of_hood(hood, on)
    counted, approved_then = earlier_results.facts(hood, earlier)
    surveyed = [*(_surveyed(survey) for survey in signed), *counted]
    facts = HoodFacts(
        events=[Event(event.kind, event.on, event.at, event.until_on, event.opening_id) for event in events],
        stops=[
            Stop(stop.reason, hood.site.day_of(stop.at), hood.site.day_of(stop.over_at) if stop.over_at else None)
            for stop in stops
        ],
        surveys=surveyed,
        approved=panels.marked(approved | approved_then, {hood.pk: surveyed}, {hood.pk: hood.sash}),
        rules={survey.version_id: DueRule.of(survey.version.document["due"]) for survey in signed}
        | (_rules({one.version for one in counted}) if counted else {}),
        doubts=_doubted(
            {draft.survey.instrument_id: _calibrated(draft.calibrations) for draft in drafts if draft.calibrations}
        ),
        one_way=hood.sash == "vertical",
    )
    open_drafts = [draft for draft in drafts if not hasattr(draft, "survey")]
    return History(events[::-1], stops[::-1], open_drafts, told, facts, tuple(earlier))


def _calibrated(rows: Iterable[list[Any]]) -> list[Calibrated]:
    """Calibrations from a column of them, in the order in which they were done."""
    return [
        Calibrated(date.fromisoformat(done_on), date.fromisoformat(due_on), None if good is None else bool(good))
        for done_on, _pk, due_on, good in sorted(rows)
    ]


def _last_verdict(hood: Hood, on: date | None) -> Subquery:
    """The record of the last survey with a verdict (by a day): the one record that is read whole."""
    known = {} if on is None else {"done_on__lte": on}
    surveys = Survey.objects.filter(hood=hood, **known).exclude(verdict="no-verdict").order_by("-measured_until", "-record")
    return Subquery(surveys.values("record")[:1])


def _reasons(attested: str) -> tuple[Mapping[str, Any], ...]:
    return tuple(json.loads(attested).get("judged", {}).get("reasons", ()))


def _surveyed(survey: Survey) -> Surveyed:
    return Surveyed(*(getattr(survey, name) for name in _SURVEYED[1:]), True, survey.draft.from_paper is not None)


def _figures(rows: Iterable[list[Any]], document: Mapping[str, Any]) -> tuple[dict, dict]:
    """Average and lowest of a survey, by state and opening, from its judgements."""
    kept: tuple[dict, dict] = ({}, {})
    for _pk, state, opening, figure, value, unit in sorted(rows):
        known = Figure(value, unit, _bounds(document, figure, unit))
        kept[figure == "lowest"].setdefault((state, opening), known)
    return kept


def _bounds(document: Mapping[str, Any], figure: str, unit: str) -> tuple[Fraction, ...]:
    """The limits on a figure in a version, in a unit."""
    written = [
        limit[end]
        for limit in document.get("limits", ())
        if limit.get("figure") == figure
        for end in ("at_least", "at_most")
        if limit.get(end)
    ]
    return tuple(units.quantity(text).to(unit) for text in written)


@dataclass(frozen=True, slots=True)
class JudgedBy:
    """Which set judges each hood on a day: names by hood, and how many hoods each set judges."""

    names: dict[int, str]
    counts: dict[int, int]
    without: int  # hoods without a set

    def hoods(self, one: CriteriaSet) -> int:
        return self.counts.get(one.pk, 0)


def judged_by(hoods: QuerySet[Hood], on: date) -> JudgedBy:
    """The last assignment of each hood that has come by a day, in one query."""
    last = Assignment.objects.filter(hood=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk")
    rows = hoods.order_by().annotate(
        judge=Subquery(last.values("set")[:1]), judge_name=Subquery(last.values("set__name")[:1])
    )
    found = list(rows.values_list("pk", "judge", "judge_name"))
    return JudgedBy(
        names={hood: name for hood, _set, name in found if name is not None},
        counts=Counter(key for _hood, key, _name in found if key is not None),
        without=sum(1 for _hood, key, _name in found if key is None),
    )
