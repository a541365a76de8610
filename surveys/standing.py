"""Many hoods with little of each: where it stands, and its status.

A page counts and orders these, however many there are, and loads whole (`dressed`) only the hoods that it shows.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple
from zoneinfo import ZoneInfo

from django.db.models import FilteredRelation, Q, QuerySet

from hoods.models import Hood
from hoods.queries import as_walked
from surveys import queries
from surveys.core import status as core
from surveys.core.status import Status
from surveys.queries import Line


class Named(NamedTuple):
    """A building by its key and its name."""

    pk: int
    name: str


class Standing(NamedTuple):
    """A hood among many: enough to count, narrow and order it."""

    hood: int
    placement: int | None
    room: int | None
    building: Named | None
    status: Status


_COLUMNS = (
    "pk", "sash", "site__time_zone", "placed__pk", "placed__room_id", "placed__room__building_id",
    "placed__room__building__name",
)  # fmt: skip


def standings(hoods: QuerySet[Hood], on: date) -> list[Standing]:
    """Every hood with its status on a day, in walking order; what stands nowhere comes last. Six queries."""
    rows = list(as_walked(hoods, on).values_list(*_COLUMNS))
    zones = {name: ZoneInfo(name) for name in {row[2] for row in rows}}
    facts = queries.facts_of(hoods, on, known={row[0]: (zones[row[2]], row[1]) for row in rows})
    buildings = {pk: pk and Named(pk, name) for pk, name in {row[5:7] for row in rows}}
    return [
        Standing(hood, placement, room, buildings[building], core.status(facts[hood], on))
        for hood, _sash, _zone, placement, room, building, _name in rows
    ]


def dressed(chosen: Iterable[Standing]) -> list[Line]:
    """The hoods that a page shows, with all that is kept of them and their places, in the order given. One query."""
    chosen = list(chosen)
    keys = [one.placement for one in chosen if one.placement is not None]
    placed = FilteredRelation("placements", condition=Q(placements__pk__in=keys))
    hoods = Hood.objects.annotate(placed=placed).select_related("site", "placed__room__building", "placed__exhaust")
    whole = hoods.order_by().in_bulk([one.hood for one in chosen])
    return [Line(whole[one.hood], getattr(whole[one.hood], "placed", None), one.status) for one in chosen]
