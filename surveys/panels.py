"""Which approved openings are one of several of their panel: how far such a panel may be open is told by its width."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence

from hoods.models import Opening
from surveys.core.history import Approved, Surveyed
from surveys.core.sash import PANELS, of_several, part_of

SLIDING = ("horizontal", "combination")
Approvals = Mapping[Hashable, Sequence[Approved]]  # by survey


def marked(approved: Approvals, surveys: Mapping[int, Iterable[Surveyed]], sashes: Mapping[int, str]) -> Approvals:
    """What surveys approve, as it is, but that the openings of a panel which has several are marked so.

    The other openings are those of the inventory: one that was only recorded, or never measured, counts too.
    """
    sliding = {
        pk: [survey.id for survey in found if any(_is_panel(opening) for opening in approved.get(survey.id, ()))]
        for pk, found in surveys.items()
        if sashes[pk] in SLIDING
    }
    hoods = [pk for pk, found in sliding.items() if found]
    if not hoods:
        return approved
    openings: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for hood, *opening in Opening.objects.filter(hood__in=hoods).order_by().values_list("hood_id", "way", "name"):
        openings[hood].append((opening[0], opening[1]))
    found = dict(approved)
    for hood in hoods:
        several = of_several(openings[hood])
        for survey in sliding[hood] if several else ():
            found[survey] = [
                opening._replace(of_several=part_of(opening.way, opening.name) in several)
                for opening in approved[survey]
            ]
    return found


def _is_panel(opening: Approved) -> bool:
    return part_of(opening.way, opening.name) in PANELS
