"""What accepting a list of earlier results would let people do and would bar, by the rules by which it counts once it is accepted."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import QuerySet

from hoods.models import Hood
from hoods.queries import without_retired
from surveys import earlier_results, queries
from surveys.core.status import DO_NOT_USE, MET_CRITERIA, RESTRICTED, Status, status
from surveys.models import Assignment, CriteriaVersion, EarlierBatch

MOST_NAMED = 100  # hoods of each kind that are named one by one


@dataclass(frozen=True)
class Named:
    """Hoods of which other things would hold: all are counted, the first are named."""

    number: int = 0
    hoods: tuple[Hood, ...] = ()

    @property
    def more(self) -> int:
        return self.number - len(self.hoods)


@dataclass(frozen=True)
class Would:
    """The hoods of a list by what would hold of them if it counted, and how many would stand as they do."""

    barred: Named
    restricted: Named
    approved: Named
    other: Named  # they would lose what holds now, or would rest or be out of service with another approval
    same: int


def would(batch: EarlierBatch, on: date) -> Would:
    """What would hold on a day of each hood of a list, if the list counted from then on."""
    hoods = without_retired(Hood.objects.filter(pk__in=batch.results.order_by().values("hood"))).select_related("site")
    rows = list(hoods.order_by("tag", "pk"))
    facts, versions = queries.facts_of(rows, on), versions_in_force(hoods, on)
    rules = queries.rules_of(set(versions.values()))
    results = defaultdict(list)
    for one in earlier_results.shown(batch.results.order_by("measured_on", "pk"), {}):
        results[one.result.hood_id].append(one)
    found: dict[str, list[Hood]] = defaultdict(list)
    for hood in rows:
        known, new = facts[hood.pk], results[hood.pk]
        counted = known._replace(
            surveys=[*known.surveys, *(earlier_results.as_surveyed(one, hood, versions.get(hood.pk)) for one in new)],
            approved={**known.approved, **{one.result.pk: earlier_results.approved_by(one) for one in new}},
            rules={**known.rules, **rules},
        )
        after = status(counted, on)
        found[after.code if lets(status(known, on)) != lets(after) else ""].append(hood)
    same = len(found.pop("", []))
    barred, restricted, approved = (_named(found.pop(code, [])) for code in (DO_NOT_USE, RESTRICTED, MET_CRITERIA))
    return Would(barred, restricted, approved, _named([hood for left in found.values() for hood in left]), same)


def _named(hoods: list[Hood]) -> Named:
    return Named(len(hoods), tuple(hoods[:MOST_NAMED]))


def lets(status: Status) -> tuple[Any, ...]:
    """What people may do by a status."""
    return status.code, status.approved, status.restriction


def stood(batch: EarlierBatch, on: date) -> tuple[QuerySet[Hood], dict[int, Status]]:
    """The hoods of a list, and how each stands on a day."""
    hoods = Hood.objects.filter(pk__in=batch.results.order_by().values("hood"))
    return hoods, queries.statuses(hoods.all(), on)


def versions_in_force(hoods: QuerySet[Hood], on: date) -> dict[int, int]:
    """The criteria version in force for each hood on a day; a hood that none judges is left out."""
    assigned = dict(
        Assignment.objects.filter(hood__in=hoods.order_by().values("pk"), from_on__lte=on)
        .order_by("hood", "from_on", "pk")
        .values_list("hood_id", "set_id")
    )
    adopted = CriteriaVersion.objects.filter(
        set__in=set(assigned.values()), adopted_at__isnull=False, first_day__lte=on
    ).order_by("set", "first_day", "number")
    in_force = dict(adopted.values_list("set_id", "pk"))
    return {hood: in_force[its_set] for hood, its_set in assigned.items() if its_set in in_force}
