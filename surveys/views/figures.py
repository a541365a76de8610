"""What can be judged: every figure with its definition, formula and source, drawn from FIGURES."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from hoods.words import KINDS, MONITORS
from surveys.core.codes import MONITORS_WITH_ALARM
from surveys.core.figures import FIGURES, Figure
from surveys.core.units import UNITS


def figure_list(request: HttpRequest) -> HttpResponse:
    return render(request, "surveys/criteria/figures.html", {
        "figures": [(figure, units_of(figure), where(figure)) for figure in FIGURES],
    })  # fmt: skip


def units_of(figure: Figure) -> str:
    """The units that a limit on this figure may be written in; empty for a ratio."""
    return ", ".join(unit.shown for unit in UNITS if unit.kind == figure.kind and unit.shown)


def where(figure: Figure) -> str:
    """What a figure is of, and which hoods have it."""
    said = [_("the hood, as it was measured there") if figure.of_hood else _("an opening, from its traverse")]
    if figure.monitors == MONITORS_WITH_ALARM:
        said.append(_("only where there is an alarm"))
    elif figure.monitors:
        shown = ", ".join(str(MONITORS[code]) for code in figure.monitors)
        said.append(_("only where the monitor is of this kind: %(monitors)s") % {"monitors": shown})
    if figure.kinds:
        said.append(_("only of hoods of this kind: %(kinds)s") % {"kinds": ", ".join(str(KINDS[code]) for code in figure.kinds)})
    return "; ".join(said)
