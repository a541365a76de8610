"""What was measured at an opening: its points, why they are not all there, and its figures."""

from dataclasses import replace
from fractions import Fraction

from hoods.core.cover import Cover
from surveys.core import traverse
from surveys.core.content import why_not_reading
from surveys.core.covered import side_of
from surveys.core.criteria import Criteria, Limit
from surveys.core.entry import Cell, MeasuredOpening
from surveys.core.entry import Traverse as Entered
from surveys.core.facts import Facts, HoodFacts, OpeningFacts
from surveys.core.figures import OF_OPENINGS
from surveys.core.judged import Number
from surveys.core.messages import Message
from surveys.core.opening import Grid, NoGrid, counted_points, free_area, free_points, has_points_enough, plan
from surveys.core.units import (
    FLOW,
    PERCENT,
    PRESSURE,
    SPEED,
    NotANumber,
    Quantity,
    quantity_or_none,
)


def points_of(
    known: OpeningFacts,
    measured: MeasuredOpening | None,
    facts: Facts,
    criteria: Criteria,
    state: str,
    entered: Entered | None,
) -> tuple[traverse.Traverse | None, tuple[Message, ...]]:
    """The points that were read, and why they are not all there."""
    name = known.name
    if entered is None or entered.unit is None:
        return None, (Message("no-traverse", {"opening": name, "state": state}),)
    rows, columns = len(entered.readings), len(entered.readings[0])
    cover, margin = known.cover, criteria.grid.margin
    grid = _grid(measured, criteria, cover)
    counted, free, area = None, None, None
    if grid is not None and measured is not None and measured.width and measured.height:
        counted = counted_points(
            measured.width, measured.height, columns, rows, criteria.edge_exclusion, margin, cover
        )  # fmt: skip
        free = free_points(measured.width, measured.height, columns, rows, margin, cover)
        area = free_area(measured.width, measured.height, side_of(entered.unit), cover)
    elif criteria.edge_exclusion.value:
        counted = (False,) * (rows * columns)  # of a size unknown, no point is known to lie far enough from the edge
    benchmark = facts.benchmarks.get(name)
    points = traverse.of_readings(
        _that_stand(entered, facts),
        entered.unit,
        planned=_asked(criteria, grid, columns, rows, free) if grid else None,
        counted=counted,
        area=area,
        benchmark=benchmark.to(entered.unit) if benchmark else None,
        monitor=_velocity_shown(entered, facts.hood),
        pressure=_pressure(entered.monitor, facts.hood),
        mark=_pressure(facts.hood.set_point, facts.hood),
        free=free,
    )
    if free is not None and _reads_behind(entered, free):
        behind = Message("reading-covered", {"opening": name, "cover": cover.by if cover else ""})
        return replace(points, complete=False), (behind,)
    if points.complete:
        return points, ()
    if grid is None or measured is None:
        return points, (Message("size-missing", {"opening": name}),)
    wanted = _asked(criteria, grid, columns, rows, free)
    read = sum(point is not None for point in points.points)
    if criteria.grid.points is None and (columns - wanted[0]) * (rows - wanted[1]) < 0:  # neither grid has all of the other
        sides = {"columns": columns, "rows": rows, "wanted_columns": wanted[0], "wanted_rows": wanted[1], "read": read}
        told = {key: str(side) for key, side in sides.items()}
        return points, (Message("points-on-another-grid", {"opening": name, "state": state, **told}),)
    if criteria.grid.points is None:
        number = _number_of(max(rows, wanted[1]), max(columns, wanted[0]), measured, margin, cover)
    else:
        number = max(_number_of(down, across, measured, margin, cover) for across, down in ((columns, rows), wanted))
    values = {"opening": name, "missing": str(number - read), "number": str(number), "state": state}
    return points, (Message("points-missing", values),)


def _that_stand(entered: Entered, facts: Facts) -> tuple[tuple[Cell, ...], ...]:
    """The readings of each point; none of one where a reading is refused as it was typed: it is in no figure."""

    def stands(cell: Cell) -> bool:
        counting = (reading.value for reading in cell if reading.counts)
        return not any(why_not_reading(text, entered.unit, facts.resolution, facts.highest) for text in counting)

    return tuple(tuple(cell if stands(cell) else () for cell in row) for row in entered.readings)


def _asked(criteria: Criteria, grid: Grid, columns: int, rows: int, free: tuple[bool, ...] | None) -> tuple[int, int]:
    """The columns and rows that are asked for: those of the plan, or those read where they are points enough."""
    number = columns * rows if free is None else sum(free)
    return (columns, rows) if has_points_enough(criteria.grid, grid, columns, rows, number) else (grid.columns, grid.rows)


def free_area_of(points: traverse.Traverse | None) -> Number | None:
    """The area that the air passes through, as it is told beside its readings."""
    if points is None or points.area is None:
        return None
    return Number(points.area, f"{side_of(points.unit)}**2")


def _reads_behind(entered: Entered, free: tuple[bool, ...]) -> bool:
    """Whether something that counts was read behind a cover: then the size or the cover is not as it is said to be."""
    cells = (cell for row in entered.readings for cell in row)
    return any(reading.counts for cell, is_free in zip(cells, free, strict=True) if not is_free for reading in cell)


def _number_of(rows: int, columns: int, measured: MeasuredOpening, margin: Quantity | None, cover: Cover | None) -> int:
    """How many points a grid has: its places, less those behind a cover."""
    free = free_points(measured.width or "", measured.height or "", columns, rows, margin, cover) if cover else None
    return rows * columns if free is None else sum(free)


def _grid(measured: MeasuredOpening | None, criteria: Criteria, cover: Cover | None) -> Grid | None:
    if measured is None or not measured.width or not measured.height:
        return None
    try:
        return plan(measured.width, measured.height, criteria.grid, cover)
    except (NoGrid, NotANumber):
        return None


def _velocity_shown(entered: Entered, hood: HoodFacts) -> Fraction | None:
    """What a monitor that shows velocity showed, in the unit of the readings; its error is asked of no other."""
    shown = quantity_or_none(entered.monitor if hood.monitor == "velocity" else None, SPEED)
    return shown.to(entered.unit or "") if shown else None


def _pressure(text: str | None, hood: HoodFacts) -> Fraction | None:
    """A pressure of a monitor that shows one [Pa]."""
    shown = quantity_or_none(text if hood.monitor == "pressure" else None, PRESSURE)
    return shown.to("Pa") if shown else None


def figures_of(
    points: traverse.Traverse | None, limits: list[tuple[int, Limit]], hood: HoodFacts
) -> dict[str, Number | None]:
    """Every figure of an opening in the unit it was read in; each is shown so that no limit on it is contradicted."""
    asked = [figure for figure in OF_OPENINGS if figure.is_for(hood)]
    if points is None:
        return {figure.code: None for figure in asked}
    bounds: dict[str, tuple[Quantity, ...]] = {}
    for _, limit in limits:
        bounds[limit.figure.code] = bounds.get(limit.figure.code, ()) + limit.bounds
    figures: dict[str, Number | None] = {}
    for figure in asked:
        value = figure.function(points)
        unit = _unit_of(figure.kind, points.unit)
        figures[figure.code] = None if value is None else Number(value, unit, figure.root, bounds.get(figure.code, ()))
    return figures


def _unit_of(kind: str, read_in: str) -> str:
    """The unit of a figure of this kind, of readings in this unit."""
    if kind == SPEED:
        return read_in
    if kind == FLOW:
        return "ft**3/min" if read_in == "ft/min" else "m**3/s"
    return "%" if kind == PERCENT else ""
