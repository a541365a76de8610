"""Which approved openings are one of several of their panel: how far such a panel may be open is told by its width."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Any

from django.db.models import QuerySet

from hoods.core.part import part_of
from hoods.models import Opening
from surveys.core.history import Approved, Surveyed
from surveys.core.sash import PANELS, of_several

SLIDING = ("horizontal", "combination")
OF_OPENING = ("hood_id", "way", "name")
Approvals = Mapping[Hashable, Sequence[Approved]]  # by survey


def sliding(
    approved: Approvals, surveys: Mapping[int, Iterable[Surveyed]], sashes: Mapping[int, str]
) -> dict[int, list[Hashable]]:
    """By hood, the surveys that approve an opening of a panel."""
    found = {
        pk: [one.id for one in surveys[pk] if any(_is_panel(opening) for opening in approved.get(one.id, ()))]
        for pk, sash in sashes.items()
        if sash in SLIDING and pk in surveys
    }
    return {pk: approving for pk, approving in found.items() if approving}


def openings_of(hoods: Iterable[int]) -> QuerySet[Opening]:
    """The openings of the inventory: one that was only recorded, or never measured, counts too."""
    return Opening.objects.filter(hood__in=list(hoods)).order_by()


def marked(approved: Approvals, sliding: Mapping[int, list[Hashable]], rows: Iterable[Sequence[Any]]) -> Approvals:
    """What surveys approve, as it is, but that the openings of a panel which has several are marked so.

    `rows`: hood, way and name of each opening of these hoods.
    """
    if not sliding:
        return approved
    openings: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for hood, way, name in rows:
        openings[hood].append((way, name))
    found = dict(approved)
    for hood, approving in sliding.items():
        several = of_several(openings[hood])
        for survey in approving if several else ():
            found[survey] = [
                opening._replace(of_several=part_of(opening.way, opening.name) in several)
                for opening in approved[survey]
            ]
    return found


def _is_panel(opening: Approved) -> bool:
    return part_of(opening.way, opening.name) in PANELS
