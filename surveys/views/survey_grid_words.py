"""The grid of an opening in words: how it is planned, how many points each way, how large a cell."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods.core.cover import Cover
from surveys.core.criteria import Criteria, GridRule
from surveys.core.messages import Message
from surveys.core.opening import MOST_POINTS_A_SIDE, Grid, NoFreePoint, NoGrid, TooManyPoints, plan
from surveys.core.rounding import plain
from surveys.core.units import UNIT, NotANumber, Quantity, both, factor, with_unit


def planned(width: str, height: str, criteria: Criteria, cover: Cover | None = None) -> Grid | Message | None:
    """The grid of an opening as measured; a message where none can be planned, None where it is not measured yet."""
    if not width or not height:
        return None
    try:
        return plan(width, height, criteria.grid, cover)
    except NotANumber as refused:
        return refused.message
    except NoFreePoint:
        return Message("no-free-point", {"opening": f"{width} × {height}"})
    except TooManyPoints:
        return Message("grid-too-fine", {"text": f"{width} × {height}", "most": str(MOST_POINTS_A_SIDE)})
    except NoGrid:
        return Message("number-not-positive", {"text": f"{width} × {height}"})


def grid_words(grid: Grid, criteria: Criteria) -> str:
    """The grid in a sentence: columns, rows, and the size of a cell."""
    sides = (grid.cell_width, grid.cell_height)
    wide, high = (_down(side, grid.unit) for side in sides)
    values = {"grid": columns_and_rows(grid), "wide": wide, "high": high, "unit": UNIT[grid.unit].shown}
    if grid.spaced and criteria.grid.margin is not None:
        return _(
            "Grid for this opening: %(grid)s, the outer points %(margin)s from the sides, one %(apart)s from the next."
        ) % (values | {"margin": _margin(criteria.grid.margin, grid.unit), "apart": _apart(sides, grid.unit)})
    if (Fraction(wide), Fraction(high)) == sides:
        return _("Grid for this opening: %(grid)s, cells of %(wide)s × %(high)s %(unit)s.") % values
    return _("Grid for this opening: %(grid)s, cells of %(wide)s × %(high)s %(unit)s, rounded down.") % values


def _margin(margin: Quantity, unit: str) -> str:
    """The margin in the unit that the opening is measured in, that of the criteria or the other one beside it."""
    if margin.unit == unit:
        return both(str(margin), nearest=True)
    return f"{with_unit(plain(margin.to(unit), UNIT[unit].places), unit)} ({margin})"


def _apart(sides: tuple[Fraction, Fraction], unit: str) -> str:
    """How far a point is from the next, each way and in both units, rounded down."""
    other = "mm" if unit in ("in", "ft") else "in"
    told = (
        " × ".join(_down(side * factor(unit, to), to) for side in sides) + f" {UNIT[to].shown}" for to in (unit, other)
    )
    return "{} ({})".format(*told)


def _down(side: Fraction, unit: str) -> str:
    places = UNIT[unit].places
    return plain(Fraction(floor(side * 10**places), 10**places), places)


def rule_words(rule: GridRule) -> str:
    """How the criteria plan points, whatever the opening."""
    if rule.points is not None:
        return _("%(number)d points, on equal cells as near to squares as they come") % {"number": rule.points}
    if rule.margin is not None:
        sizes = {"margin": rule.margin, "spacing": rule.spacing}
        return _("outer points %(margin)s from the sides, the others evenly between, at most %(spacing)s apart") % sizes
    sizes = {"area": rule.largest_area, "edge": rule.longest_edge}
    return _("cells of at most %(area)s, no edge longer than %(edge)s") % sizes


def columns_and_rows(grid: Grid) -> str:
    """How many points a grid has each way: '5 columns, 1 row'."""
    columns = ngettext("%(number)s column", "%(number)s columns", grid.columns) % {"number": grid.columns}
    rows = ngettext("%(number)s row", "%(number)s rows", grid.rows) % {"number": grid.rows}
    return _("%(columns)s, %(rows)s") % {"columns": columns, "rows": rows}
