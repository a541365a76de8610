"""What was said of why surveys are overdue, beside the hoods of a list."""

from __future__ import annotations

from collections.abc import Iterable

from hoods.models import HoodEvent
from surveys.actions.overdue import KIND
from surveys.core.status import OVERDUE
from surveys.queries import Line


def with_reasons(lines: Iterable[Line]) -> None:
    """Give each overdue hood `explained`: what was last said of it since it is overdue; in one query."""
    known = {line.hood.pk: line for line in lines}
    rows = HoodEvent.objects.filter(hood__in=known, kind=KIND).select_related("by").order_by("on", "at", "pk")
    for event in rows:
        line = known[event.hood_id]
        flag = line.status.flag(OVERDUE)
        if flag is not None and flag.since is not None and event.on >= flag.since:
            line.hood.explained = event
