"""What somebody was told by mail, for pages of an app that comes before this one."""

from __future__ import annotations

from typing import Any

from django import template

from surveys.models import Notice
from surveys.views.told import gathered, with_tries

register = template.Library()
NEWEST = 3


@register.inclusion_tag("components/invited.html", takes_context=True)
def invitations_of(context: template.Context, person: Any) -> dict[str, Any]:
    """The last invitations of a person, with whether their mail went out."""
    request = context["request"]
    notices = Notice.objects.visible_to(request.user).filter(to=person, hood__isnull=True, site=request.site)
    return {"tellings": gathered(with_tries(notices).order_by("-at", "-pk")[:NEWEST])}
