"""What a person's page says beside the register: what they are qualified to measure."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import template

register = template.Library()


@register.inclusion_tag("components/qualifications.html", takes_context=True)
def qualifications(context: template.Context, person: Any) -> dict[str, Any]:
    """The qualifications of a person at the site that is looked at, the last first, each with whether it is over."""
    request = context["request"]
    today: date = request.site.today()
    rows = person.qualifications.filter(site=request.site).order_by("-from_on", "-pk")
    return {
        "request": request, "person": person,
        "rows": [(row, row.until_on is not None and row.until_on < today) for row in rows],
    }  # fmt: skip
