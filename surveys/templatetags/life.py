"""What became of a hood while its survey was open, for the pages of that survey."""

from __future__ import annotations

from typing import Any

from django import template

from hoods import queries
from hoods.models import Hood

register = template.Library()


@register.inclusion_tag("components/gone.html")
def gone(hood: Hood) -> dict[str, Any]:
    """A hood that was retired or hibernated: nothing that is measured makes it usable, and nothing is lost."""
    last = queries.last_event(hood, queries.LIFE)
    return {"hood": hood, "last": last if last and last.kind in ("retired", "hibernated") else None}
