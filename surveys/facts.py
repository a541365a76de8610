"""What stands around a survey in the making: the facts that judging takes and that its record keeps.

Facts are written by the program alone, never from a form: the hood and where it stands, its openings and their valid
benchmarks, the instrument and whether its calibration covers the day, and what the label allowed before this visit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from django.db.models import BooleanField, OuterRef, Subquery
from django.db.models.expressions import RawSQL

from hoods.models import Hood, Opening, Placement
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
        stood = ("kind", "control", "sash", "monitor")
        return {
            "hood": {name: then["hood"][name] if then else getattr(hood, name) for name in stood},
            "openings": list(then["openings"]) if then else [_as_dict(opening) for opening in self.openings],
            "benchmarks": [{"opening": name, "value": value} for name, value in self.benchmarks.items()],
            "calibration_covers": self.calibration_covers,
            "labelled": None if self.labelled is None else list(self.labelled),
            "resolution": (instrument and instrument.resolution) or None,
            "lowest": (instrument and instrument.lowest) or None,
            "highest": (instrument and instrument.highest) or None,
        }  # fmt: skip

    def place(self) -> Placement | None:
        return self.hood.placement(self.on)


def _as_dict(opening: Opening) -> dict[str, Any]:
    return {
        "name": opening.name, "use": opening.use, "way": opening.way or None, "width": opening.width,
        "height": opening.height, "tested_every_survey": opening.tested_every_survey,
    }  # fmt: skip


def facts_for(draft: Draft, document: Document | None = None) -> Facts:
    """The facts to judge a draft with; the document of its last revision names the instrument."""
    return around(draft, document).facts


def around(draft: Draft, document: Document | None = None) -> Around:
    """Load what stands around a draft on its day, in a fixed number of queries."""
    if document is None:
        last = draft.revisions.order_by("-number").first()
        document = parse(last.content if last else {})
    hood, on = draft.hood, draft.done_on
    valid = Benchmark.objects.filter(opening=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk")
    openings = tuple(hood.openings.annotate(benchmark=Subquery(valid.values("value")[:1])).order_by("order", "pk"))
    instrument, calibration = _measured_with(hood, document, on)
    earlier = tuple(Survey.objects.filter(hood=hood.pk).annotate(leaves_open=_LEAVES_OPEN).order_by())
    then = draft.amends.record.attested["facts"] if draft.corrects and draft.amends else None
    return Around(
        hood=hood,
        on=on,
        openings=openings,
        benchmarks={opening.name: opening.benchmark for opening in openings if opening.benchmark is not None},
        instrument=instrument,
        calibration=calibration,
        earlier=earlier,
        labelled=_labelled(hood, earlier, on) if then is None else _tuple(then["labelled"]),
        attested=then,
    )


def _tuple(names: Sequence[str] | None) -> tuple[str, ...] | None:
    return None if names is None else tuple(names)


def _measured_with(hood: Hood, document: Document, on: date) -> tuple[Instrument | None, Calibration | None]:
    """The instrument chosen, and its last calibration done by the day."""
    chosen = document.instrument
    if not chosen or not chosen.isascii() or not chosen.isdigit():
        return None, None
    key = int(chosen[:18])
    calibrations = Calibration.objects.filter(instrument=key, instrument__site=hood.site_id, done_on__lte=on)
    calibration = calibrations.select_related("instrument").order_by("-done_on", "-pk").first()
    if calibration is not None:
        return calibration.instrument, calibration
    return Instrument.objects.filter(pk=key, site=hood.site_id).first(), None


def _labelled(hood: Hood, earlier: tuple[Survey, ...], on: date) -> tuple[str, ...] | None:
    """The openings that the label on the sash allowed when the day began; None where no label stood.

    A stop, an outage or a survey that is overdue takes no label off the sash: they are left out here.
    """
    issued = [survey.pk for survey in earlier if survey.label_issue is not None]
    if not issued:
        return None
    approved: dict[Any, list[history.Approved]] = {}
    for row in Approval.objects.filter(survey__in=issued).order_by("pk"):
        approved.setdefault(row.survey_id, []).append(
            history.Approved(row.opening_name, row.height, row.use, row.way, row.opening_id)
        )
    stood = status.status(
        history.HoodFacts(
            events=[
                history.Event(event.kind, event.on, event.at, event.until_on, event.opening_id)
                for event in hood.events.order_by("on", "at", "pk")
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
            approved=approved,
        ),
        on,
    )  # fmt: skip
    return tuple(opening.name for opening in stood.approved) if status.grants_label(stood) else None
