"""Results from earlier records: those of a hood, and those that an accepted batch lets count for status and due.

A batch counts from the day on which it was accepted until the day on which that was withdrawn, or the batch struck; a day
is asked for as it stands at its end. Its results stand in time at the first moment of their day, since a list has none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Prefetch, Q, Subquery

from hoods.models import Hood
from hoods.queries import kept, shared_utc
from surveys.core import earlier
from surveys.core.approval import highest
from surveys.core.history import Approved, Surveyed
from surveys.models import EarlierChange, EarlierCounted, EarlierOpening, EarlierResult
from surveys.models.earlier import ACCEPTED, STRUCK

GRANTING = ("pass", "restrict")
_RESULT = ("hood_id", "pk", "batch__at", "measured_on", "verdict", "restriction", "flow_state", "hood__kind", "hood__control")
_OPENING = ("opening_name", "height", "opening__use", "opening__way", "opening_id", "opening__cover")
_KEPT = ("at", "measured_on", "approves")


def _columns() -> tuple[Any, ...]:
    """What is read of a result that counts: the result, the version by whose rule it is due again, and an opening."""
    told = (*(f"result__{name}" for name in _RESULT), "version_id")
    opening = tuple(f"result__openings__{name}" for name in ("approves", *_OPENING))
    return tuple(kept(name) if name.rpartition("__")[2] in _KEPT else name for name in (*told, *opening))


_COLUMNS = _columns()


def counting(on: date, **of: Any) -> dict[int, int]:
    """The acceptances that hold on a day, each by its batch."""
    held: dict[int, int] = {}
    columns = ("batch_id", "pk", "kind", "at", "batch__site__time_zone")
    for batch, pk, kind, at, zone in EarlierChange.objects.filter(**of).order_by("at", "pk").values_list(*columns):
        if at.astimezone(ZoneInfo(zone)).date() > on:
            continue
        if kind == ACCEPTED:
            held[batch] = pk
        else:
            held.pop(batch, None)
    return held


def counted(
    keys: Any, on: date, zones: Mapping[int, ZoneInfo]
) -> tuple[Mapping[int, list[Surveyed]], Mapping[Any, list[Approved]]]:
    """What status asks of the results that count, by hood: the last verdict and the last that granted use, with what they approve."""
    if not zones:
        return {}, {}  # no hood is asked about
    held = _held(on, set(zones.values()))
    rows = EarlierCounted.objects.filter(held, result__in=_asked(keys, on, held))
    rows = rows.order_by("result__hood", "result__measured_on", "result__openings__id").values_list(*_COLUMNS)
    found: dict[int, list[Surveyed]] = defaultdict(list)
    approved: dict[Any, list[Approved]] = defaultdict(list)
    last = None
    for hood, result, at, measured_on, verdict, restriction, state, kind, control, version, approves, *opened in rows.iterator(5000):
        says_height = bool(opened[1])
        if result != last:
            last = result
            why = earlier.why_nowhere(kind, control, state)
            one = _surveyed(result, shared_utc(at), measured_on, verdict, restriction, version, zones[hood], says_height, why)
            found[hood].append(one)
        elif says_height and not found[hood][-1].says_height:
            found[hood][-1] = found[hood][-1]._replace(says_height=True)
        if approves:
            approved[result].append(Approved(*opened, state))
    return found, approved


def _asked(keys: Any, on: date, held: Q) -> Any:
    """The results that status asks of hoods: of those that count the last verdict, and the last that granted use.

    Each is found by the index of its hood, the newest first, however little the database knows of its tables.
    """
    counts = Exists(EarlierCounted.objects.filter(held, result=OuterRef("pk")))
    known = EarlierResult.objects.filter(counts, hood=OuterRef("pk"), measured_on__lte=on).order_by("-measured_on", "-pk")
    brought = EarlierResult.objects.order_by().values("hood")
    hoods = Hood.objects.order_by().filter(pk__in=keys).filter(pk__in=brought)
    verdict = hoods.values_list(Subquery(known.exclude(verdict="no-verdict").values("pk")[:1]))
    return verdict.union(hoods.values_list(Subquery(known.filter(verdict__in=GRANTING).values("pk")[:1])))


def _held(on: date, zones: Iterable[ZoneInfo]) -> Q:
    """That an acceptance holds at the end of a day by the clock of its site: nothing became of its batch after it."""
    held = Q(pk__in=[])
    for zone in zones:
        over = datetime.combine(on + timedelta(days=1), time.min, zone)
        changes = EarlierChange.objects.filter(batch=OuterRef("change__batch"), at__lt=over)
        after = Q(at__gt=OuterRef("change__at")) | Q(at=OuterRef("change__at"), pk__gt=OuterRef("change"))
        held |= Q(change__at__lt=over, change__batch__site__time_zone=zone.key) & ~Exists(changes.filter(after))
    return held


def _surveyed(
    result: int, brought_at: datetime, measured_on: date, verdict: str, restriction: str, version: int | None, zone: ZoneInfo,
    says_height: bool, nowhere: str,
) -> Surveyed:  # fmt: skip
    use = {"use": restriction} if restriction else None
    return Surveyed(
        result, 0, verdict, measured_on, _begun(measured_on, zone), brought_at, verdict in GRANTING, "", version,
        None, use, None, None, False, False, says_height, nowhere,  # no instrument, label or amendment; not signed here, nor on paper
    )  # fmt: skip


@lru_cache(maxsize=4096)  # a list tells of many hoods on one day
def _begun(measured_on: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(measured_on, time.min, zone)


@dataclass(frozen=True, slots=True)
class Shown:
    """A result from earlier records as the page of its hood, its trend and its batch show it."""

    result: EarlierResult
    openings: tuple[EarlierOpening, ...]
    accepted: int | None = None  # the acceptance by which it counts on the day

    @property
    def counts(self) -> bool:
        return self.accepted is not None

    @property
    def lines(self) -> list[tuple[EarlierOpening, earlier.Said | None, earlier.Said | None, earlier.Points | None]]:
        """Each opening with its average, its lowest value and its points."""
        return [_line(opening) for opening in self.openings]

    @property
    def first(self) -> tuple[EarlierOpening, earlier.Said | None, earlier.Said | None, earlier.Points | None] | None:
        """The line whose figures are told: that of the highest opening that it approves, else the first."""
        return next((line for line in self.lines if line[0].height == self.height), None) or next(
            iter(self.lines), None
        )

    @property
    def nowhere(self) -> str:
        """Why it lets nobody use such a hood, though it says pass or restrict: a code, or empty."""
        result, hood = self.result, self.result.hood
        return earlier.why_nowhere(hood.kind, hood.control, result.flow_state) if result.verdict in GRANTING else ""

    @property
    def height(self) -> str:
        """Up to which height the record approves: the greatest of its openings."""
        top = highest([Approved(one.opening_name, one.height) for one in self.openings if one.approves])
        return top.height if top else ""


def _line(opening: EarlierOpening) -> tuple[Any, ...]:
    points = earlier.points(opening.points) if opening.points else None
    return opening, earlier.average(opening.average, points), earlier.lowest(opening.lowest, points), points


def shown(results: Any, accepted: Mapping[int, int]) -> list[Shown]:
    """Results with their openings, in two queries; `accepted`: batch -> the acceptance by which it counts."""
    openings = EarlierOpening.objects.select_related("opening").order_by("pk")
    found = results.select_related("batch", "hood").prefetch_related(Prefetch("openings", openings))
    return [Shown(one, tuple(one.openings.all()), accepted.get(one.batch_id)) for one in found]


def of_hood(hood: Hood, on: date | None) -> list[Shown]:
    """All that earlier records say of a hood (by a day), newest first; nothing of a list that was struck."""
    results = EarlierResult.objects.filter(hood=hood).exclude(batch__changes__kind=STRUCK)
    if on is not None:
        results = results.filter(measured_on__lte=on)
    found = shown(results.order_by("-measured_on", "-pk"), {})
    if not found or on is None:
        return found
    accepted = counting(on, batch__results__hood=hood)
    return [Shown(one.result, one.openings, accepted.get(one.result.batch_id)) for one in found]


def acceptance(one: Shown) -> EarlierChange:
    """Who let a result count, when and why."""
    return EarlierChange.objects.select_related("batch", "by").get(pk=one.accepted)


def facts(hood: Hood, found: Iterable[Shown]) -> tuple[list[Surveyed], dict[Any, list[Approved]]]:
    """Of the results of one hood those that count, as status asks for them."""
    counts = {one.accepted for one in found if one.counts}
    if not counts:
        return [], {}
    rows = EarlierCounted.objects.filter(change__in=counts, result__hood=hood).values_list("result_id", "version_id")
    versions = dict(rows)
    counted = [one for one in found if one.counts and one.result.pk in versions]
    surveyed = [as_surveyed(one, hood, versions[one.result.pk]) for one in counted]
    return surveyed, {one.result.pk: approved_by(one) for one in counted}


def as_surveyed(one: Shown, hood: Hood, version: int | None) -> Surveyed:
    """A result as status asks for it, if it counts by a version."""
    result = one.result
    said = (result.measured_on, result.verdict, result.restriction)
    says_height = any(row.height for row in one.openings)
    why = earlier.why_nowhere(hood.kind, hood.control, result.flow_state)
    return _surveyed(result.pk, result.batch.at, *said, version, hood.site.zone, says_height, why)


def approved_by(one: Shown) -> list[Approved]:
    """The openings at which a result lets its hood be used, if it counts."""
    return [
        Approved(
            row.opening_name, row.height, row.opening.use, row.opening.way, row.opening_id, row.opening.cover,
            one.result.flow_state,
        )
        for row in one.openings
        if row.approves
    ]  # fmt: skip
