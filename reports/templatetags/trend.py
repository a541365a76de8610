"""The values behind the plot of a hood, for the table that says the same."""

from __future__ import annotations

from typing import Any

from django import template

from reports.core.trend import Measured
from reports.queries import trend as queries

register = template.Library()


@register.simple_tag
def trend_rows(hood: Any, history: Any) -> list[Measured]:
    """What each survey measured, the newest first, from the history that the page has loaded."""
    return list(reversed(queries.measured(history, hood.site.speed_unit)))
