"""Openings: their size, their free area, and the grid of points laid over them.

The grid rule follows the cell rule of ANSI/ASHRAE 110 as digested (cells of at most 1 ft²; the longest edge of 13 in is
common practice): as many columns and rows as the longest edge asks, then the cell's longer edge is divided, if equal the
width, until the area is met.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from surveys.core.units import Quantity, quantity

MOST_POINTS_A_SIDE = 50


@dataclass(frozen=True, slots=True)
class GridRule:
    """The largest area and the longest edge that a cell may have."""

    largest_area: Quantity
    longest_edge: Quantity


@dataclass(frozen=True, slots=True)
class Grid:
    """The planned points: columns and rows, and the size of a cell in the unit that the width was measured in."""

    columns: int
    rows: int
    cell_width: Fraction
    cell_height: Fraction
    unit: str


class NoGrid(ValueError):
    """No grid can be planned: the size is not above zero, or would ask for more points than can be measured."""


@lru_cache(maxsize=1024)
def plan(width: str, height: str, rule: GridRule) -> Grid:
    """Plan the grid of an opening of this measured size: "62 in" by "18 in" gives 5 columns and 2 rows."""
    across = quantity(width, "length")
    wide, high = across.value, quantity(height, "length").to(across.unit)
    edge = rule.longest_edge.to(across.unit)
    if wide <= 0 or high <= 0 or edge <= 0:
        raise NoGrid
    columns, rows = _divided(wide, edge), _divided(high, edge)
    square = rule.largest_area.to("m**2") / (Quantity("1", across.unit).to("m") ** 2)
    if square <= 0:
        raise NoGrid
    while columns <= MOST_POINTS_A_SIDE and rows <= MOST_POINTS_A_SIDE and wide * high > square * columns * rows:
        if wide / columns >= high / rows:
            columns += 1
        else:
            rows += 1
    if columns > MOST_POINTS_A_SIDE or rows > MOST_POINTS_A_SIDE:
        raise NoGrid
    return Grid(columns, rows, wide / columns, high / rows, across.unit)


def _divided(length: Fraction, edge: Fraction) -> int:
    """The least number of equal parts of a length that are no longer than the edge."""
    parts = length / edge
    return max(1, -(-parts.numerator // parts.denominator))


@lru_cache(maxsize=1024)
def free_area(width: str, height: str, side: str = "m") -> Fraction:
    """The area that the air passes through, width by height [square of `side`]."""
    return quantity(width, "length").to(side) * quantity(height, "length").to(side)


@lru_cache(maxsize=1024)
def counted_points(width: str, height: str, columns: int, rows: int, exclusion: Quantity) -> tuple[bool, ...] | None:
    """Which points count for `lowest`, row by row: those not nearer (strictly) to the opening's edge than the exclusion.

    A point is the middle of its cell. None where all count.
    """
    margin = exclusion.to("m")
    wide, high = quantity(width, "length").to("m"), quantity(height, "length").to("m")

    def far(place: int, parts: int, length: Fraction) -> bool:
        nearest = min(place, parts - 1 - place)
        return (2 * nearest + 1) * length / (2 * parts) >= margin

    across = [far(column, columns, wide) for column in range(columns)]
    down = [far(row, rows, high) for row in range(rows)]
    if all(across) and all(down):
        return None
    return tuple(in_row and in_column for in_row in down for in_column in across)


class WouldLoseReadings(ValueError):
    """A smaller grid would drop cells that hold a reading: strike the traverse and start a new one instead."""


def resized(cells: Sequence[Sequence[object]], *, columns: int, rows: int, empty: object = None) -> list[list[object]]:
    """The cells on a grid of another size: each value stays at its own row and column, new points are empty.

    Nothing ever flows on to another point; a value that would fall outside is refused, not dropped.
    """
    for row, line in enumerate(cells):
        for column, cell in enumerate(line):
            if cell not in (None, empty, "", ()) and (row >= rows or column >= columns):
                raise WouldLoseReadings
    return [
        [cells[row][column] if row < len(cells) and column < len(cells[row]) else empty for column in range(columns)]
        for row in range(rows)
    ]
