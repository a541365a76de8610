"""What is told beside what a monitor shows: the velocity or flow that was measured, or the mark of its gauge."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from surveys.core.units import quantity_or_none, with_unit

Figures = Mapping[str, Any]  # by code, as judging gives them: value, unit, shown


def beside(monitor: str, mark: str, figures: Figures) -> str:
    """In a sentence; empty where nothing can be said yet. An error in percent is told of a velocity alone."""
    if monitor == "velocity":
        return _measured(_("The traverse gives %(figure)s."), figures, "average") + _error(figures)
    if monitor == "flow":
        return _measured(_("The traverse gives %(figure)s: average × free area."), figures, "flow")
    if monitor != "pressure":
        return ""
    if not mark:
        return _("The register says no mark of its gauge.")
    said = _("Its mark is %(mark)s.") % {"mark": mark}
    ratio = figures.get("monitor-mark-ratio")
    return f"{said} " + _("Shown ÷ mark: %(ratio)s.") % {"ratio": ratio["shown"]} if ratio else said


def shown(traverse: Mapping[str, Any], figures: Figures, hood: Mapping[str, Any]) -> str:
    """What the monitor showed during a traverse, and what stands beside it; empty where nobody wrote it down."""
    amount, point = quantity_or_none(traverse.get("monitor")), quantity_or_none(hood.get("set_point"))
    if amount is None:
        return ""
    mark = str(point) if point else ""
    said = f"{amount}. " + beside(hood.get("monitor") or "", mark, {code: one for code, one in figures.items() if one})
    return said.strip()


def _measured(said: str, figures: Figures, code: str) -> str:
    number = figures.get(code)
    return said % {"figure": with_unit(number["shown"], number["unit"])} if number else ""


def _error(figures: Figures) -> str:
    error = figures.get("monitor-error-percent")
    if not error:
        return ""
    digits = error["shown"].replace("-", "−")
    signed = digits if digits == "0" or digits.startswith("−") else f"+{digits}"
    return " " + _("The monitor is off by %(error)s.") % {"error": with_unit(signed, error["unit"])}
