"""What became of a hood while its survey was open, for the pages of that survey."""

from __future__ import annotations

from typing import Any

from django import template

from hoods import queries
from hoods.core.ending import ENDING
from hoods.models import Hood
from surveys.models import Draft

register = template.Library()


@register.inclusion_tag("components/gone.html")
def gone(hood: Hood) -> dict[str, Any]:
    """A hood that was retired or hibernated: nothing that is measured makes it usable, and nothing is lost."""
    last = queries.last_event(hood, queries.LIFE)
    return {"hood": hood, "last": last if last and last.kind in ("retired", "hibernated") else None}


@register.inclusion_tag("components/changed_under_way.html")
def changed_under_way(draft: Draft) -> dict[str, Any]:
    """What ended approvals of the hood since a survey of it was begun; one that amends has the time of what it amends."""
    begun = draft.started_at
    if draft.from_paper is not None:
        begun = draft.from_paper.measured_at
    elif draft.amends is not None:
        begun = draft.amends.measured_until
    changes = draft.hood.events.filter(kind__in=ENDING, at__gt=begun, on__gte=draft.done_on)
    return {"changes": changes.select_related("opening").order_by("at", "pk")}
