"""A finding as pages tell it: what was found, how long ago, who sees to it, and whether the promised day is past."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Case, QuerySet, Value, When
from django.utils.translation import gettext as _

from hoods.models import Hood, Person, Placement
from hoods.queries import without_retired
from surveys import words
from surveys.core.checks import CHECK
from surveys.core.criteria import FIGURE, Criteria, Limit
from surveys.core.findings import KINDS
from surveys.core.units import with_unit
from surveys.models import CriteriaVersion, Finding
from surveys.wording import sentence


@dataclass(frozen=True)
class Told:
    """One finding with what a list or page says of it; `finding` carries what holds (see `with_what_holds`)."""

    finding: Any
    what: str
    limit: str  # the limit that was not met, in words; empty of a check
    place: Placement | None
    today: date

    @property
    def hood(self) -> Any:
        return self.finding.hood

    @property
    def where(self) -> str:
        """The opening that it is of; empty of the hood itself."""
        return self.finding.opening_name

    @property
    def since(self) -> date:
        return self.finding.survey.done_on

    @property
    def is_open(self) -> bool:
        return self.finding.closed_at is None

    @property
    def closed_on(self) -> date | None:
        at = self.finding.closed_at
        return self.hood.site.day_of(at) if at else None

    @property
    def days(self) -> int:
        """How long it waits, or waited."""
        return ((self.closed_on or self.today) - self.since).days

    @property
    def is_past(self) -> bool:
        """Whether it was promised for a day that is over."""
        promised = self.finding.promised_on
        return self.is_open and promised is not None and promised < self.today


def told(findings: Iterable[Finding], today: date, places: Mapping[int, Placement] | None = None) -> list[Told]:
    """Findings as they are told, in the order given; each criteria version is read once."""
    versions: dict[int, Criteria] = {}
    made = []
    for finding in findings:
        limit = limit_of(finding, versions)
        said = sentence(limit.said()) if limit else ""
        made.append(Told(finding, what(finding), said, (places or {}).get(finding.hood_id), today))
    return made


def with_all(rows: Any) -> Any:
    """Findings with what their telling takes, in one query."""
    return rows.with_what_holds().select_related("hood__site", "survey__version__set")


def waiting() -> QuerySet[Finding]:
    """Open findings that somebody can see to: of a hood that is retired nothing is mended any more."""
    return Finding.objects.open().filter(hood__in=_hoods_that_are_there())


def with_whether_retired(findings: QuerySet[Finding]) -> QuerySet[Finding]:
    """Adds `of_retired`: the hood is retired, and its open findings stay in the records as they are."""
    there = When(hood__in=_hoods_that_are_there(), then=Value(False))
    return findings.annotate(of_retired=Case(there, default=Value(True)))


def _hoods_that_are_there() -> QuerySet:
    return without_retired(Hood.objects.order_by()).values("pk")


def open_at(hoods: Collection[Any], person: Person, today: date) -> list[Told]:
    """The open findings of hoods that a person may see, in one query: hood by hood as given, the gravest first."""
    order = {hood.pk: place for place, hood in enumerate(hoods)}
    rows = with_all(Finding.objects.visible_to(person).filter(hood__in=list(order)).open()) if order else ()
    found = sorted(rows, key=lambda one: (order[one.hood_id], KINDS.index(one.kind), one.survey.done_on, one.pk))
    return told(found, today)


def what(finding: Finding) -> str:
    """What was found, in words: a figure with its value, a check, an end, a label that did not hold."""
    if finding.ended:
        return _("Survey ended: %(reason)s") % {
            "reason": str(words.STOP_REASONS.get(finding.ended, finding.ended)).lower()
        }
    if finding.kind == "label-not-held":
        return _("What the label allowed did not hold")
    if finding.check_code:
        name = _(CHECK[finding.check_code].short) if finding.check_code in CHECK else finding.check_code
        return _("%(check)s: not as it should be") % {"check": name}
    name = _(FIGURE[finding.figure].name) if finding.figure in FIGURE else finding.figure
    return f"{name} {with_unit(finding.value, finding.unit)}" if finding.value else name


def limit_of(finding: Finding, versions: dict[int, Criteria]) -> Limit | None:
    """The limit that was not met, in the version that judged."""
    if finding.limit is None:
        return None
    version: CriteriaVersion = finding.survey.version
    if version.pk not in versions:
        versions[version.pk] = Criteria.from_dict(version.document)
    return versions[version.pk].limits[finding.limit]
