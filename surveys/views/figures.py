"""What can be judged: every figure with its definition, formula and source, drawn from FIGURES."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from surveys.core.figures import FIGURES, Figure
from surveys.core.units import UNITS


def figure_list(request: HttpRequest) -> HttpResponse:
    return render(request, "surveys/criteria/figures.html", {
        "figures": [(figure, units_of(figure)) for figure in FIGURES],
    })  # fmt: skip


def units_of(figure: Figure) -> str:
    """The units that a limit on this figure may be written in; empty for a ratio."""
    return ", ".join(unit.shown for unit in UNITS if unit.kind == figure.kind and unit.shown)
