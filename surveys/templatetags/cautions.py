"""The usual cautions, worded by the kind of sash."""

from __future__ import annotations

from django import template
from django.utils.translation import gettext

from surveys.core import cautions

register = template.Library()


@register.filter
def caution(sash: str | None, what: str) -> str:
    """Of one hood by its sash; without one, of many hoods."""
    return gettext(cautions.caution(what, sash or cautions.MANY))
