"""The figures of a traverse, exact. A new figure is one function here, one row in FIGURES (figures.py), and its cases.

Readings become whole numbers on one scale (a power of ten, times what repeats need), so a figure is one division. A
figure is a `Fraction` in the unit said at the end of its first line, or None where it cannot be had; the two that are
roots give their exact square. Deviations use all points; `lowest` alone leaves out points near the edge.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from surveys.core import entry
from surveys.core.units import NotANumber, scaled


@dataclass(frozen=True, slots=True)
class Traverse:
    """The points of one opening in one state, as whole numbers of 1/scale of the unit, with what figures also need."""

    unit: str
    scale: int
    points: tuple[int | None, ...]
    complete: bool
    counted: tuple[bool, ...] | None = None
    area: Fraction | None = None
    benchmark: Fraction | None = None
    monitor: Fraction | None = None
    pressure: Fraction | None = None  # what a gauge of pressure showed, and its mark [Pa]
    mark: Fraction | None = None
    total: int = 0
    least: int = 0
    most: int = 0

    @property
    def number(self) -> int:
        return len(self.points)


def of_readings(
    readings: tuple[tuple[entry.Cell, ...], ...],
    unit: str,
    *,
    planned: tuple[int, int] | None,
    counted: tuple[bool, ...] | None = None,
    area: Fraction | None = None,
    benchmark: Fraction | None = None,
    monitor: Fraction | None = None,
    pressure: Fraction | None = None,
    mark: Fraction | None = None,
    free: tuple[bool, ...] | None = None,
) -> Traverse:
    """The points of a grid of readings; `planned` is (columns, rows) of the plan, None where none can be made.

    Places that are not `free` are no points, and neither counted as missing nor read.

    A point whose readings are missing, all struck, or not plain numbers is missing; readings repeated at a point are
    averaged first.
    """
    cells = [_numbers(cell) for row in readings for cell in row]
    if free is not None:
        cells = [cell for cell, is_free in zip(cells, free, strict=True) if is_free]
        if counted is not None:
            counted = tuple(counts for counts, is_free in zip(counted, free, strict=True) if is_free)
    decimals = max((places for cell in cells for _, places in cell), default=0)
    repeats = lcm(*(len(cell) for cell in cells if cell))
    up = [10 ** (decimals - places) * repeats for places in range(decimals + 1)]
    points = tuple(sum(digits * up[places] for digits, places in cell) // len(cell) if cell else None for cell in cells)
    read = [point for point in points if point is not None]
    columns, rows = (len(readings[0]), len(readings)) if readings else (0, 0)
    enough = planned is not None and columns >= planned[0] and rows >= planned[1]
    return Traverse(
        unit=unit,
        scale=10**decimals * repeats,
        points=points,
        complete=enough and len(read) == len(points) and bool(read),
        counted=counted,
        area=area,
        benchmark=benchmark,
        monitor=monitor,
        pressure=pressure,
        mark=mark,
        total=sum(read),
        least=min(read, default=0),
        most=max(read, default=0),
    )


def _numbers(cell: entry.Cell) -> tuple[tuple[int, int], ...]:
    """The readings of a cell that count, as (digits, decimals); none where the point has no reading."""
    try:
        return tuple(scaled(reading.value) for reading in cell if reading.struck is None)
    except NotANumber:
        return ()


# --- figures ----------------------------------------------------------------------------------------------------------


def average(traverse: Traverse) -> Fraction | None:
    """The sum of the points divided by their number [unit of the traverse]."""
    if not traverse.complete:
        return None
    return Fraction(traverse.total, traverse.scale * traverse.number)


def lowest(traverse: Traverse) -> Fraction | None:
    """The lowest point, leaving out points nearer the edge than the criteria say [unit of the traverse]."""
    return lowest_so_far(traverse) if traverse.complete else None


def lowest_so_far(traverse: Traverse) -> Fraction | None:
    """The lowest point of those that have a reading: it can break a limit before the grid is full [unit of the traverse]."""
    if traverse.counted is None:
        read = [point for point in traverse.points if point is not None]
    else:
        both = zip(traverse.points, traverse.counted, strict=True)
        read = [point for point, counts in both if counts and point is not None]
    return Fraction(min(read), traverse.scale) if read else None


def highest(traverse: Traverse) -> Fraction | None:
    """The highest point [unit of the traverse]."""
    return highest_so_far(traverse) if traverse.complete else None


def highest_so_far(traverse: Traverse) -> Fraction | None:
    """The highest point of those that have a reading: it can break a limit before the grid is full [unit of the traverse]."""
    read = any(point is not None for point in traverse.points)
    return Fraction(traverse.most, traverse.scale) if read else None


def spread(traverse: Traverse) -> Fraction | None:
    """The highest point less the lowest, of all points [unit of the traverse]."""
    if not traverse.complete:
        return None
    return Fraction(traverse.most - traverse.least, traverse.scale)


def spread_percent(traverse: Traverse) -> Fraction | None:
    """The spread as a part of the average [percent]."""
    if not traverse.complete or not traverse.total:
        return None
    return Fraction(100 * (traverse.most - traverse.least) * traverse.number, traverse.total)


def largest_deviation(traverse: Traverse) -> Fraction | None:
    """The largest departure of a point from the average, up or down, as a part of the average [percent]."""
    if not traverse.complete or not traverse.total:
        return None
    up = traverse.most * traverse.number - traverse.total
    down = traverse.total - traverse.least * traverse.number
    return Fraction(100 * max(up, down), traverse.total)


def low_deviation(traverse: Traverse) -> Fraction | None:
    """The departure of the lowest of all points below the average, as a part of the average [percent]."""
    if not traverse.complete or not traverse.total:
        return None
    return Fraction(100 * (traverse.total - traverse.least * traverse.number), traverse.total)


def deviation_squared(traverse: Traverse) -> Fraction | None:
    """The square of the standard deviation over n − 1 [unit of the traverse, squared]."""
    number = traverse.number
    if not traverse.complete or number < 2:
        return None
    squares = sum(point * point for point in traverse.points if point is not None)
    return Fraction(number * squares - traverse.total**2, number * (number - 1) * traverse.scale**2)


def variation_squared(traverse: Traverse) -> Fraction | None:
    """The square of the coefficient of variation: standard deviation as a part of the average [percent, squared]."""
    number = traverse.number
    if not traverse.complete or number < 2 or not traverse.total:
        return None
    squares = sum(point * point for point in traverse.points if point is not None)
    return Fraction(10_000 * number * (number * squares - traverse.total**2), (number - 1) * traverse.total**2)


def flow(traverse: Traverse) -> Fraction | None:
    """The average times the free area of the opening [unit of the traverse times the unit of the area]."""
    if not traverse.complete or traverse.area is None:
        return None
    return Fraction(traverse.total, traverse.scale * traverse.number) * traverse.area


def benchmark_ratio(traverse: Traverse) -> Fraction | None:
    """The average divided by the benchmark of the same opening [1]."""
    if not traverse.complete or not traverse.benchmark:
        return None
    return Fraction(traverse.total, traverse.scale * traverse.number) / traverse.benchmark


def monitor_error(traverse: Traverse) -> Fraction | None:
    """What the monitor showed less the average, as a part of the average, with its sign [percent]."""
    if not traverse.complete or traverse.monitor is None or not traverse.total:
        return None
    return 100 * traverse.monitor * traverse.scale * traverse.number / traverse.total - 100


def mark_ratio(traverse: Traverse) -> Fraction | None:
    """What a gauge of pressure showed divided by its mark; it needs no reading [1]."""
    if traverse.pressure is None or not traverse.mark:
        return None
    return traverse.pressure / traverse.mark
