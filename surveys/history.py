"""All that the ledger keeps of one hood, as its page tells it: events, stops, drafts, surveys, earlier records.

Its status is made of the same facts as that of many hoods (`surveys/queries.py`); a test holds the two together.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

from django.db.models import Case, Count, Max, Min, OuterRef, Q, Subquery, When

from hoods.models import Hood, HoodEvent
from hoods.queries import Gathered
from surveys import earlier_results, panels
from surveys.core import units
from surveys.core.approval import highest
from surveys.core.due import DueRule
from surveys.core.history import Approved, Event, HoodFacts, Stop, Surveyed
from surveys.core.said import said_by
from surveys.core.sash import slides
from surveys.models import Approval, Calibration, Draft, Judgement, Survey
from surveys.models import Stop as StopRow
from surveys.queries import OF_APPROVAL, OF_CALIBRATION, SURVEYED, calibrated, doubted, rules_of


@dataclass(frozen=True, slots=True)
class Told:
    """A signed survey as the history of its hood tells it."""

    survey: Survey
    approved: tuple[Approved, ...]
    averages: Mapping[tuple[str, str], Figure]  # by state and opening, in the order judged
    lowest: Mapping[tuple[str, str], Figure]
    reasons: tuple[Mapping[str, Any], ...] = ()  # why it ended as it did, from its record; of the last verdict alone
    said: Mapping[tuple[str, str | None], str] = field(default_factory=dict)  # beside its answers, likewise
    sash: str = ""  # the kind of sash that its hood has

    @property
    def main(self) -> str:
        """The opening whose figures are told: the highest approved, else the first that was judged."""
        top = highest(self.approved)
        return top.name if top else next((opening for _, opening in self.averages), "")

    @property
    def height(self) -> str:
        """How high the sash may rise; of panels that slide aside the width says how far, and no height is told."""
        top = highest([one for one in self.approved if not slides(self.sash, one.way, one.name)])
        return top.height if top else ""

    @property
    def found_at(self) -> str:
        """The opening whose average as found is told: the first one that was measured; the main one where nothing was adjusted."""
        states = {state for state, _ in self.averages}
        if "as-left" not in states and ("as-found", self.main) in self.averages:
            return self.main
        return next((opening for state, opening in self.averages if state == "as-found"), "")

    @property
    def average_found(self) -> Figure | None:
        return self.averages.get(("as-found", self.found_at))

    @property
    def average_left(self) -> Figure | None:
        return self.averages.get(("as-left", self.main)) or self.averages.get(("as-found", self.main))

    @property
    def averages_left(self) -> dict[str, str]:
        """The average of each opening as left, as quantities are written; as found where nothing was adjusted."""
        by_state = [{name: one.text for (state, name), one in self.averages.items() if state == asked} for asked in ("as-found", "as-left")]
        return by_state[0] | by_state[1]

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


def history_of(hood: Hood, on: date | None = None) -> History:
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
                "pk", *OF_APPROVAL,
            ),
            figures=Gathered(
                Judgement.objects.filter(survey=OuterRef("pk"), figure__in=("average", "lowest")).exclude(value=""),
                "pk", "state", "opening_name", "figure", "value", "unit",
            ),
            calibrations=Gathered(
                Calibration.objects.filter(instrument=OuterRef("survey__instrument")),
                *OF_CALIBRATION,
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
    attested = {draft.pk: json.loads(draft.attested) for draft in drafts if draft.attested}
    told = [
        Told(
            survey, tuple(approved.get(survey.pk, ())), *figures.get(survey.pk, ({}, {})), *_of_record(attested.get(survey.pk, {})),
            hood.sash,
        )
        for survey in sorted(signed, key=lambda survey: (survey.measured_until, survey.record_id), reverse=True)
    ]
    for draft in drafts:
        if hasattr(draft, "survey"):
            draft.survey.copies, draft.survey.put_on_at = draft.copies, draft.put_on_at
    earlier = earlier_results.of_hood(hood, on)
    counted, approved_then = earlier_results.facts(hood, earlier)
    surveyed = [*(_surveyed(survey) for survey in signed), *counted]
    granted = approved | approved_then
    sliding = panels.sliding(granted, {hood.pk: surveyed}, {hood.pk: hood.sash})
    openings = panels.openings_of(sliding).values_list(*panels.OF_OPENING) if sliding else ()
    facts = HoodFacts(
        events=[Event(event.kind, event.on, event.at, event.until_on, event.opening_id) for event in events],
        stops=[
            Stop(stop.reason, hood.site.day_of(stop.at), hood.site.day_of(stop.over_at) if stop.over_at else None)
            for stop in stops
        ],
        surveys=surveyed,
        approved=panels.marked(granted, sliding, openings),
        rules={survey.version_id: DueRule.of(survey.version.document["due"]) for survey in signed}
        | (rules_of({one.version for one in counted}) if counted else {}),
        doubts=doubted(
            {draft.survey.instrument_id: calibrated(draft.calibrations) for draft in drafts if draft.calibrations}
        ),
        one_way=hood.sash == "vertical",
    )
    open_drafts = [draft for draft in drafts if not hasattr(draft, "survey")]
    return History(events[::-1], stops[::-1], open_drafts, told, facts, tuple(earlier))


def _last_verdict(hood: Hood, on: date | None) -> Subquery:
    """The record of the last survey with a verdict (by a day): the one record that is read whole."""
    known = {} if on is None else {"done_on__lte": on}
    surveys = Survey.objects.filter(hood=hood, **known).exclude(verdict="no-verdict").order_by("-measured_until", "-record")
    return Subquery(surveys.values("record")[:1])


def _of_record(attested: Mapping[str, Any]) -> tuple[tuple[Mapping[str, Any], ...], Mapping[tuple[str, str | None], str]]:
    """Why a survey ended as it did, and what it says beside its answers."""
    return tuple(attested.get("judged", {}).get("reasons", ())), said_by(attested.get("entered", {}))


def _surveyed(survey: Survey) -> Surveyed:
    return Surveyed(*(getattr(survey, name) for name in SURVEYED[1:]), True, survey.draft.from_paper is not None)


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
