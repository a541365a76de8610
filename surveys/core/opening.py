"""Openings: their size, their free area, and the grid of points laid over them.

The grid rule follows the cell rule of ANSI/ASHRAE 110 as digested (cells of at most 1 ft²; the longest edge of 13 in is
common practice): as many columns and rows as the longest edge asks, then the cell's longer edge is divided, if equal the
width, until the area is met. A site may plan in two other ways: lines at a margin from the sides and evenly spaced between (as
EN 14175-3 is remembered to do), or a number of points, on the equal cells that come nearest to squares; in two rows and two
columns at least, where its factors allow it and no cell becomes less than 4 in high or wide. One university reads 9 cells of
an opening of 18 in, and 3 of one of 6 in (EHS, University of Texas at Austin, fume hood testing); that a cell is seldom under
4 in is common practice, no source.

Where something covers a part of an opening the grid lies over the whole of it, and places behind the cover are no points.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from hoods.core.cover import Cover
from surveys.core.units import Quantity, quantity

MOST_POINTS_A_SIDE = 50
LEAST_CELL = Quantity("4", "in")  # for the sake of a second row or column no cell gets smaller
MOST_WITH_COVER = 4  # times the points that a rule asks for, until so many are free


@dataclass(frozen=True, slots=True)
class GridRule:
    """How points are planned: by the largest area and longest edge of a cell, by margin and spacing, or by their number."""

    largest_area: Quantity
    longest_edge: Quantity
    margin: Quantity | None = None
    spacing: Quantity | None = None
    points: int | None = None

    @property
    def by_cells(self) -> bool:
        return self.margin is None and self.points is None


@dataclass(frozen=True, slots=True)
class Grid:
    """The planned points: columns and rows, and the size of a cell in the unit that the width was measured in."""

    columns: int
    rows: int
    cell_width: Fraction
    cell_height: Fraction
    unit: str
    spaced: bool = False  # the sizes are from point to point, and points are no middles of cells


class NoGrid(ValueError):
    """No grid can be planned: the size is not above zero, or would ask for more points than can be measured."""


class TooManyPoints(NoGrid):
    """The opening is so large, or the rule so fine, that more points are planned on a side than can be measured."""


class NoFreePoint(NoGrid):
    """The free part of an opening is so narrow that no point of its grid lies there."""


@lru_cache(maxsize=1024)
def plan(width: str, height: str, rule: GridRule, cover: Cover | None = None) -> Grid:
    """Plan the grid of an opening of this measured size: "62 in" by "18 in" gives 5 columns and 2 rows.

    A rule of so many points means points that are free: behind a cover there are none.
    """
    if cover is None or cover.within(width, height) is None:
        return _plan(width, height, rule)
    if rule.points is not None:
        return _of_free_points(width, height, rule, rule.points, cover)
    grid = _plan(width, height, rule)
    if _free(grid, width, height, rule, cover) == 0:
        raise NoFreePoint
    return grid


def _of_free_points(width: str, height: str, rule: GridRule, points: int, cover: Cover) -> Grid:
    """The smallest grid of which so many points are free; first of those whose cells are not over twice as long as wide."""
    grids = []
    for number in range(points, MOST_WITH_COVER * points):
        try:
            grid = _plan(width, height, replace(rule, points=number))
        except TooManyPoints:  # a prime number of them stands in one row
            continue
        if _free(grid, width, height, rule, cover) >= points:
            grids.append(grid)
    even = [one for one in grids if max(one.cell_width, one.cell_height) <= 2 * min(one.cell_width, one.cell_height)]
    if not grids:
        raise NoFreePoint
    return (even or grids)[0]


def _free(grid: Grid, width: str, height: str, rule: GridRule, cover: Cover) -> int:
    """How many points of a grid nothing covers."""
    free = free_points(width, height, grid.columns, grid.rows, rule.margin, cover)
    return grid.columns * grid.rows if free is None else sum(free)


def _plan(width: str, height: str, rule: GridRule) -> Grid:
    across = quantity(width, "length")
    wide, high = across.value, quantity(height, "length").to(across.unit)
    if wide <= 0 or high <= 0:
        raise NoGrid
    if rule.points is not None:
        return _of_points(wide, high, rule.points, across.unit)
    if rule.margin is not None and rule.spacing is not None:
        return _spaced(wide, high, rule.margin.to(across.unit), rule.spacing.to(across.unit), across.unit)
    edge = rule.longest_edge.to(across.unit)
    if edge <= 0:
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
        raise TooManyPoints
    return Grid(columns, rows, wide / columns, high / rows, across.unit)


def _of_points(wide: Fraction, high: Fraction, points: int, unit: str) -> Grid:
    """So many equal cells, as near to squares as they come; of two grids alike the one with more columns.

    One row or one column only where the number has no two factors, or two of them would make cells under the least.
    """
    least = LEAST_CELL.to(unit)
    ways = [(columns, points // columns) for columns in range(1, points + 1) if points % columns == 0]

    def lengthened(way: tuple[int, int]) -> tuple[Fraction, int]:
        across, down = wide / way[0], high / way[1]
        return max(across, down) / min(across, down), -way[0]

    both_ways = [way for way in ways if min(way) > 1 and min(wide / way[0], high / way[1]) >= least]
    columns, rows = min(both_ways or ways, key=lengthened)
    if max(columns, rows) > MOST_POINTS_A_SIDE:
        raise TooManyPoints
    return Grid(columns, rows, wide / columns, high / rows, unit)


def has_points_enough(rule: GridRule, grid: Grid, columns: int, rows: int, free: int) -> bool:
    """Whether a grid that was read has the points that are asked for: at least the rows and columns of the plan.

    A rule of so many points asks for their number alone, so that readings on a grid that was planned otherwise stand.
    """
    if rule.points is not None:
        return free >= rule.points
    return columns >= grid.columns and rows >= grid.rows


def _spaced(wide: Fraction, high: Fraction, margin: Fraction, spacing: Fraction, unit: str) -> Grid:
    """The outer lines at the margin from the sides, the others evenly between, no further apart than the spacing."""
    if margin < 0 or spacing <= 0:
        raise NoGrid
    (columns, across), (rows, down) = (_lines(side - 2 * margin, side, spacing) for side in (wide, high))
    if max(columns, rows) > MOST_POINTS_A_SIDE:
        raise TooManyPoints
    return Grid(columns, rows, across, down, unit, spaced=True)


def _lines(between: Fraction, side: Fraction, spacing: Fraction) -> tuple[int, Fraction]:
    """How many lines, and how far apart; a side too short for two margins has one line in its middle."""
    if between <= 0:
        return 1, side
    parts = _divided(between, spacing)
    return parts + 1, between / parts


def _divided(length: Fraction, edge: Fraction) -> int:
    """The least number of equal parts of a length that are no longer than the edge."""
    parts = length / edge
    return max(1, -(-parts.numerator // parts.denominator))


@lru_cache(maxsize=1024)
def free_area(width: str, height: str, side: str = "m", cover: Cover | None = None) -> Fraction:
    """The area that the air passes through, width by height less what is covered [square of `side`]."""
    whole = quantity(width, "length").to(side) * quantity(height, "length").to(side)
    taken = cover and cover.within(width, height)
    if not taken:
        return whole
    in_mm = Quantity("1", side).to("mm")
    return whole - taken.area / in_mm**2


@lru_cache(maxsize=1024)
def free_points(
    width: str, height: str, columns: int, rows: int, margin: Quantity | None, cover: Cover | None
) -> tuple[bool, ...] | None:
    """Which places of a grid are points, row by row from the top: those behind a cover are none. None where all are."""
    taken = cover and cover.within(width, height)
    if not taken:
        return None
    across, down = _places(width, columns, margin), _places(height, rows, margin)
    tall = quantity(height, "length").to("mm")
    free = tuple(not taken.holds(x, tall - y) for y in down for x in across)
    return None if all(free) else free


def _places(side: str, parts: int, margin: Quantity | None) -> list[Fraction]:
    """Where the lines of a grid lie: through the middles of cells, or by a margin from the sides [mm]."""
    length = quantity(side, "length").to("mm")
    if margin is None or parts == 1:
        return [(2 * place + 1) * length / (2 * parts) for place in range(parts)]
    inset = margin.to("mm")
    return [inset + place * (length - 2 * inset) / (parts - 1) for place in range(parts)]


@lru_cache(maxsize=1024)
def counted_points(
    width: str,
    height: str,
    columns: int,
    rows: int,
    exclusion: Quantity,
    margin: Quantity | None = None,
    cover: Cover | None = None,
) -> tuple[bool, ...] | None:
    """Which places count for `lowest`, row by row: those not nearer (strictly) to the opening's edge than the exclusion.

    A point is the middle of its cell; by a margin it stands on its line. What covers a part of the opening is an edge of
    it. None where all count.
    """
    least = exclusion.to("mm")
    taken = cover and cover.within(width, height)
    wide, tall = quantity(width, "length").to("mm"), quantity(height, "length").to("mm")

    def counts(x: Fraction, y: Fraction) -> bool:
        if min(x, wide - x, y, tall - y) < least:
            return False
        up = tall - y
        return not taken or (not taken.holds(x, up) and taken.square_of_distance(x, up) >= least * least)

    across, down = _places(width, columns, margin), _places(height, rows, margin)
    counted = tuple(counts(x, y) for y in down for x in across)
    return None if all(counted) else counted


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
