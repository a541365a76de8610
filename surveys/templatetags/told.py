"""What somebody was told by mail, for pages of an app that comes before this one."""

from __future__ import annotations

from typing import Any

from django import template

from surveys.models import Notice
from surveys.models.notice import INVITATIONS
from surveys.views.told import Telling, gathered, with_tries

register = template.Library()
NEWEST = 3


@register.inclusion_tag("components/invited.html", takes_context=True)
def invitations_of(context: template.Context, person: Any) -> dict[str, Any]:
    """The last invitations of a person, with whether their mail went out."""
    return {"tellings": _invitations(context, person, NEWEST)}


@register.simple_tag(takes_context=True)
def invitation_of(context: template.Context, person: Any) -> Telling | None:
    """The last invitation of a person, with whether its mail went out."""
    return next(iter(_invitations(context, person, 1)), None)


def _invitations(context: template.Context, person: Any, newest: int) -> list[Telling]:
    request = context["request"]
    notices = Notice.objects.visible_to(request.user).filter(to=person, kind__in=INVITATIONS, site=request.site)
    return gathered(with_tries(notices).order_by("-at", "-pk")[:newest])
