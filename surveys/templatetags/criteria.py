"""Codes of instruments and criteria as words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import template
from django.utils.translation import gettext

from hoods import words as hood_words
from surveys import words
from surveys.core.checks import CHECKS

register = template.Library()


@register.filter
def instrument_kind(code: str) -> Any:
    return words.INSTRUMENT_KINDS.get(code, code)


@register.filter
def instrument_velocity(code: str) -> Any:
    return words.VELOCITIES.get(code, code)


@register.filter
def as_asked(checks: Iterable[Any]) -> list[Any]:
    """Checks in the order in which the survey page asks them."""
    places = {check.code: place for place, check in enumerate(CHECKS)}
    return sorted(checks, key=lambda asked: places[asked.check.code])


@register.filter
def cost(item: Any) -> str:
    """What a limit or check costs where it is not met, with the words of a restriction."""
    if item.consequence == "restrict" and item.restriction:
        return gettext("restricted: %(words)s") % {"words": item.restriction}
    return {
        "fail": gettext("fails: not to be used"),
        "restrict": gettext("restricted"),
        "note": gettext("noted, nothing more"),
        "undecided": gettext("not decided yet"),
    }.get(item.consequence, item.consequence)


@register.filter
def applies(code: str) -> str:
    if code == "each":
        return gettext("each opening to be approved")
    if code == "hood":
        return gettext("the hood")
    return gettext("each opening of the use “%(use)s”") % {"use": hood_words.USES.get(code, code)}
