"""What stands around a survey in the making: the facts that judging takes and that its record keeps.

Facts are written by the program alone, never from a form: the hood and where it stands, its openings and their valid
benchmarks, the instrument and whether its calibration covers the day, and what the label allowed before this visit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any

from django.db.models import BooleanField, OuterRef, Subquery
from django.db.models.expressions import RawSQL

from hoods.models import Hood, HoodEvent, Opening, Person, Placement
from surveys.core import history, status
from surveys.core.document import Document, Facts, parse
from surveys.models import Approval, Benchmark, Calibration, Draft, Instrument, Survey

#: Whether a finding that a survey opened is open. Written out: to have it made anew costs each signature an insert.
_LEAVES_OPEN = RawSQL(  # noqa: S611  nothing in it comes from outside
    "EXISTS (SELECT 1 FROM surveys_finding f WHERE f.survey_id = surveys_survey.draft_id AND NOT EXISTS"
    " (SELECT 1 FROM surveys_findingchange c WHERE c.finding_id = f.id AND c.kind = 'closed'))",
    (),
    output_field=BooleanField(),
)

#: Columns of a placement, as a record names them.
PLACE = {
    "room__building__name": "building", "room__number": "room", "room__name": "room_name", "room__floor": "floor",
    "room__department": "department", "position": "position",
}  # fmt: skip


@dataclass(frozen=True)
class Around:
    """The rows around a draft, each loaded once; `facts` is what core takes of them."""

    hood: Hood
    on: date
    openings: tuple[Opening, ...]
    benchmarks: Mapping[str, str]  # by the name of the opening
    instrument: Instrument | None
    calibration: Calibration | None  # the last one done by the day, whether or not it covers it
    earlier: tuple[Survey, ...]  # each with `leaves_open`: whether a finding that it opened is open
    labelled: tuple[str, ...] | None
    together: Together = field(repr=False, compare=False)  # with the drafts that it was loaded beside
    attested: Mapping[str, Any] | None = None  # of a correction: the facts of the record that it corrects

    @property
    def calibration_covers(self) -> bool:
        return self.calibration is not None and self.calibration.covers(self.on)

    @cached_property
    def facts(self) -> Facts:
        return Facts.from_dict(self.as_dict())

    def as_dict(self) -> dict[str, Any]:
        """The facts as the survey document writes them."""
        hood, instrument, then = self.hood, self.instrument, self.attested
        stood = ("kind", "control", "sash", "monitor", "powered", "set_point", "alarm_point")
        return {
            "hood": {name: then["hood"][name] if then else getattr(hood, name) for name in stood},
            "openings": list(then["openings"]) if then else [_as_dict(opening) for opening in self.openings],
            "benchmarks": [{"opening": name, "value": value} for name, value in self.benchmarks.items()],
            "calibration_covers": self.calibration_covers,
            "labelled": None if self.labelled is None else list(self.labelled),
            "resolution": (instrument and instrument.resolution) or None,
            "lowest": (instrument and instrument.lowest) or None,
            "highest": (instrument and instrument.highest) or None,
            "done_on": self.on.isoformat(),
        }  # fmt: skip

    def place(self) -> Placement | None:
        return self.hood.placement(self.on)


def _as_dict(opening: Opening) -> dict[str, Any]:
    made = {
        "name": opening.name, "use": opening.use, "way": opening.way or None, "width": opening.width,
        "height": opening.height, "tested_every_survey": opening.tested_every_survey,
    }  # fmt: skip
    return made | ({"cover": opening.covered.as_dict()} if opening.covered else {})


def facts_for(draft: Draft, document: Document | None = None) -> Facts:
    """The facts to judge a draft with; the document of its last revision names the instrument."""
    return around(draft, document).facts


def around(draft: Draft, document: Document | None = None) -> Around:
    """Load what stands around a draft on its day, in a fixed number of queries."""
    if document is None:
        last = draft.revisions.order_by("-number").first()
        document = parse(last.content if last else {})
    return Together([draft]).around(draft, document)


class Together:
    """What stands around drafts of several hoods, loaded for all of one day in as many queries as for one alone."""

    def __init__(self, drafts: Iterable[Draft]) -> None:
        self._hoods: dict[date, list[int]] = {}
        for draft in drafts:
            self._hoods.setdefault(draft.done_on, []).append(draft.hood_id)
        self._days: dict[date, _Day] = {}
        self._instruments: dict[tuple[int, int, date], tuple[Instrument | None, Calibration | None]] = {}
        self._served: dict[tuple[int, date], int] = {}
        self._qualified: dict[tuple[int, int, date], list[tuple[Any, ...]]] = {}

    def around(self, draft: Draft, document: Document) -> Around:
        hood, on = draft.hood, draft.done_on
        stood = self._of(on)
        openings = tuple(stood.openings.get(hood.pk, ()))
        instrument, calibration = self._measured_with(hood, document, on)
        earlier = tuple(stood.earlier.get(hood.pk, ()))
        then = draft.amends.record.attested["facts"] if draft.corrects and draft.amends else None
        return Around(
            hood=hood,
            on=on,
            openings=openings,
            benchmarks={opening.name: opening.benchmark for opening in openings if opening.benchmark is not None},
            instrument=instrument,
            calibration=calibration,
            earlier=earlier,
            labelled=stood.labelled(hood, earlier) if then is None else _tuple(then["labelled"]),
            together=self,
            attested=then,
        )

    def place(self, hood: Hood, on: date) -> Mapping[str, Any] | None:
        """Where a hood stood on the day: the columns of PLACE, and the key and the name of its fan."""
        return self._of(on).places.get(hood.pk)

    def served(self, fan: int, on: date) -> int:
        """How many hoods a fan served by a day."""
        if (fan, on) not in self._served:
            last = Placement.objects.filter(hood=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk")
            hoods = Hood.objects.filter(placements__exhaust=fan).annotate(fan=Subquery(last.values("exhaust_id")[:1]))
            self._served[fan, on] = hoods.filter(fan=fan).distinct().count()
        return self._served[fan, on]

    def qualified(self, person: Person, site: int, on: date) -> list[tuple[Any, ...]]:
        """Method, by whom, first and last day of each qualification that somebody had begun by a day."""
        key = (person.pk, site, on)
        if key not in self._qualified:
            begun = person.qualifications.filter(site=site, from_on__lte=on).order_by()
            rows = sorted(begun.values_list("from_on", "pk", "method", "qualified_by", "until_on"))
            self._qualified[key] = [(method, by, first, last) for first, _pk, method, by, last in rows]
        return self._qualified[key]

    def _of(self, on: date) -> _Day:
        if on not in self._days:
            self._days[on] = _Day(on, self._hoods[on])
        return self._days[on]

    def _measured_with(
        self, hood: Hood, document: Document, on: date
    ) -> tuple[Instrument | None, Calibration | None]:
        """The instrument chosen, and its last calibration done by the day."""
        chosen = document.instrument
        if not chosen or not chosen.isascii() or not chosen.isdigit():
            return None, None
        key = (int(chosen[:18]), hood.site_id, on)
        if key not in self._instruments:
            self._instruments[key] = _calibrated(*key)
        return self._instruments[key]


def _calibrated(key: int, site: int, on: date) -> tuple[Instrument | None, Calibration | None]:
    calibrations = Calibration.objects.filter(instrument=key, instrument__site=site, done_on__lte=on)
    calibration = calibrations.select_related("instrument").order_by("-done_on", "-pk").first()
    if calibration is not None:
        return calibration.instrument, calibration
    return Instrument.objects.filter(pk=key, site=site).first(), None


class _Day:
    """What is read of some hoods for one day. A hood's few rows are put in order here: it costs less than in a query."""

    def __init__(self, on: date, hoods: Sequence[int]) -> None:
        self.on, self._hoods = on, hoods
        valid = Benchmark.objects.filter(opening=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk")
        openings = Opening.objects.filter(hood__in=hoods).annotate(benchmark=Subquery(valid.values("value")[:1]))
        self.openings = _by_hood(sorted(openings.order_by(), key=lambda one: (one.order, one.pk)))
        self.earlier = _by_hood(Survey.objects.filter(hood__in=hoods).annotate(leaves_open=_LEAVES_OPEN).order_by())

    @cached_property
    def places(self) -> dict[int, Mapping[str, Any]]:
        placed = Placement.objects.filter(hood__in=self._hoods, from_on__lte=self.on).order_by()
        rows = placed.values("pk", "from_on", "hood_id", *PLACE, "exhaust_id", "exhaust__name")
        rows = sorted(rows, key=lambda row: (row["from_on"], row["pk"]))
        return {row["hood_id"]: row for row in rows}

    @cached_property
    def _events(self) -> dict[int, list[HoodEvent]]:
        return _by_hood(HoodEvent.objects.filter(hood__in=self._hoods).order_by("on", "at", "pk"))

    @cached_property
    def _approved(self) -> dict[Any, list[history.Approved]]:
        approved: dict[Any, list[history.Approved]] = {}
        issued = [one.pk for rows in self.earlier.values() for one in rows if one.label_issue is not None]
        for row in Approval.objects.filter(survey__in=issued).order_by("pk"):
            approved.setdefault(row.survey_id, []).append(
                history.Approved(
                    row.opening_name, row.height, row.use, row.way, row.opening_id, row.cover, row.flow_state,
                    row.width,
                )
            )
        return approved

    def labelled(self, hood: Hood, earlier: Sequence[Survey]) -> tuple[str, ...] | None:
        """The openings that the label on the sash allowed when the day began; None where no label stood.

        A stop, an outage or a survey that is overdue takes no label off the sash: they are left out here.
        """
        if all(survey.label_issue is None for survey in earlier):
            return None
        stood = status.status(
            history.HoodFacts(
                events=[
                    history.Event(event.kind, event.on, event.at, event.until_on, event.opening_id)
                    for event in self._events.get(hood.pk, ())
                    if event.kind != status.OUT_OF_SERVICE
                ],
                surveys=[
                    history.Surveyed(
                        id=survey.pk, record=survey.record_id, verdict=survey.verdict, done_on=survey.done_on,
                        measured_until=survey.measured_until, signed_at=survey.signed_at, full=False,
                        reason=survey.reason, version=survey.version_id, restriction=survey.restriction,
                        label_issue=survey.label_issue, amends=survey.amends_id,
                    )
                    for survey in earlier
                ],
                approved=self._approved,
            ),
            self.on,
        )  # fmt: skip
        return tuple(opening.name for opening in stood.approved) if status.grants_label(stood) else None


def _by_hood(rows: Iterable[Any]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    for row in rows:
        found.setdefault(row.hood_id, []).append(row)
    return found


def _tuple(names: Sequence[str] | None) -> tuple[str, ...] | None:
    return None if names is None else tuple(names)
