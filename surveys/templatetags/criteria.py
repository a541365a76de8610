"""Codes of instruments and criteria as words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import template
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hoods import words as hood_words
from surveys import wording, words
from surveys.core.checks import CHECKS
from surveys.core.compared import Difference, Item, Rule
from surveys.core.criteria import Asked, Limit
from surveys.core.units import Quantity

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


# --- two versions beside one another ----------------------------------------------------------------------------------

#: How a rule, or a part of a limit or check, is called.
PARTS: dict[str, Any] = {
    "compare": _("Compared"),
    "grid.largest_area": _("Grid: largest area of a cell"),
    "grid.longest_edge": _("Grid: longest edge of a cell"),
    "grid.margin": _("Grid: margin to the outer points"),
    "grid.spacing": _("Grid: widest spacing of points"),
    "grid.points": _("Grid: number of points"),
    "grid.source": _("Grid: source"),
    "edge_exclusion": _("Edge left out"),
    "least_height": _("Least useful height"),
    "must_pass": _("Must pass"),
    "due.months": _("Due again: months"),
    "due.anchor": _("Due again: counted"),
    "due.grace_days": _("Due again: days of grace, never in date"),
    "due.use_ends_days": _("Due again: days after which use ends"),
    "due.source": _("Due again: source"),
    "evidence_required": _("Evidence for each hood"),
    "smoke_first": _("Smoke before the traverse"),
    "at_least": _("at least"),
    "at_most": _("at most"),
    "applies_to": _("applies to"),
    "consequence": _("where it is not met"),
    "restriction": _("use excluded"),
    "source": _("source"),
    "evidence": _("how the source was seen"),
}
CODED: dict[str, Any] = {"compare": words.COMPARED, "due.anchor": words.ANCHORS, "consequence": words.COSTS}


@register.filter
def part_name(key: str) -> str:
    return str(PARTS.get(key, key))


@register.filter
def rule_name(item: Item) -> str:
    """What a rule is about: a figure, a check, or a rule of its own."""
    if isinstance(item, Limit):
        return gettext(item.figure.name)
    if isinstance(item, Asked):
        return gettext(item.check.short)
    return part_name(item.key)


@register.filter
def rule_words(item: Item | None) -> str:
    """What a rule says; a dash where a version has it not."""
    if item is None:
        return "–"
    if isinstance(item, Rule):
        return value_words(item.key, item.value)
    said = [applies(item.applies_to), cost(item)]
    if isinstance(item, Limit):
        said.insert(0, wording.sentence(item.said()))
    return "; ".join(said)


@register.filter
def was(change: Difference) -> str:
    return value_words(change.key, change.before)


@register.filter
def becomes(change: Difference) -> str:
    return value_words(change.key, change.after)


def value_words(key: str, value: Any) -> str:
    """A value of a rule as it is read: words for a code, a quantity as it is written, 'never' or 'none' for nothing."""
    if isinstance(value, bool):
        return gettext("demanded") if value else gettext("not demanded")
    if value in (None, "", ()):
        return gettext("never") if key == "due.use_ends_days" else gettext("none")
    if isinstance(value, tuple):
        return ", ".join(str(hood_words.USES.get(use, use)) for use in value)
    if isinstance(value, Quantity):
        return str(value).replace("-", "\N{MINUS SIGN}")
    if key == "applies_to":
        return applies(value)
    return str(CODED.get(key, {}).get(value, value))


@register.filter
def excluded(restriction: Any) -> str:
    """A restriction in words."""
    return wording.restriction(restriction)
