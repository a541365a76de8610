"""FIGURES: what can be judged. A new figure is one function in traverse.py, one row here, and its table of cases."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from surveys.core import traverse
from surveys.core.messages import gettext_noop as _
from surveys.core.units import FLOW, PERCENT, RATIO, SPEED


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that can be judged, with the words that readers are shown for it.

    `root`: `function` gives the exact square, and the figure is judged on it. `signed`: it may be below zero.
    """

    code: str
    name: str
    function: Callable[[traverse.Traverse], Fraction | None]
    kind: str
    definition: str
    formula: str
    source: str
    root: bool = False
    signed: bool = False


_COMMON = _("common practice, no source")

# What can be judged; the order here is the order in print.
FIGURES: tuple[Figure, ...] = (
    Figure(
        "average", _("Average face velocity"), traverse.average, SPEED,
        _("The mean of all points of the grid."),
        _("sum of the points ÷ number of points"),
        _("Prudent Practices in the Laboratory (National Research Council, 2011), chapter 9"),
    ),
    Figure(
        "lowest", _("Lowest point"), traverse.lowest, SPEED,
        _("The lowest point of the grid. Points nearer the edge of the opening than the criteria say are not counted."),
        _("least of the points that count"),
        _("California Code of Regulations, Title 8, section 5154.1(c)(1)"),
    ),
    Figure(
        "highest", _("Highest point"), traverse.highest, SPEED,
        _("The highest point of the grid."),
        _("greatest of the points"),
        _COMMON,
    ),
    Figure(
        "spread", _("Spread"), traverse.spread, SPEED,
        _("How far apart the highest and the lowest of all points are."),
        _("highest − lowest"),
        _COMMON,
    ),
    Figure(
        "spread-percent", _("Spread, of the average"), traverse.spread_percent, PERCENT,
        _("The spread as a part of the average."),
        _("100 × (highest − lowest) ÷ average"),
        _COMMON,
    ),
    Figure(
        "deviation-percent", _("Largest deviation of a point from the average"), traverse.largest_deviation, PERCENT,
        _("How far the point that departs most lies from the average, up or down, as a part of the average."),
        _("100 × largest |point − average| ÷ average"),
        _("AS/NZS 2243.9:2009, clause 4.1.2: points more than 20 % from the average are investigated"),
    ),
    Figure(
        "low-deviation-percent", _("Deviation of the lowest point below the average"), traverse.low_deviation, PERCENT,
        _("How far the lowest of all points lies below the average, as a part of the average."),
        _("100 × (average − lowest) ÷ average"),
        _COMMON,
    ),
    Figure(
        "standard-deviation", _("Standard deviation"), traverse.deviation_squared, SPEED,
        _("The scatter of the points about their average. It is judged on its exact square."),
        _("√( sum of (point − average)² ÷ (number − 1) )"),
        _("JCGM 100:2008, section 4.2"),
        root=True,
    ),
    Figure(
        "coefficient-of-variation", _("Coefficient of variation"), traverse.variation_squared, PERCENT,
        _("The standard deviation as a part of the average. It is judged on its exact square."),
        _("100 × standard deviation ÷ average"),
        _COMMON,
        root=True,
    ),
    Figure(
        "flow", _("Flow through the opening"), traverse.flow, FLOW,
        _("The average velocity times the free area of the opening, its width by its height."),
        _("average × width × height"),
        _COMMON,
    ),
    Figure(
        "benchmark-ratio", _("Average against its benchmark"), traverse.benchmark_ratio, RATIO,
        _("The average divided by the benchmark set for the same opening when the hood proved itself."),
        _("average ÷ benchmark"),
        _("ANSI/AIHA/ASSE Z9.5-2012, as a draft's summary gives it"),
    ),
    Figure(
        "monitor-error-percent", _("Error of the monitor"), traverse.monitor_error, PERCENT,
        _("What the hood's monitor showed during the traverse less the average, as a part of the average, with its sign."),
        _("100 × (shown − average) ÷ average"),
        _COMMON,
        signed=True,
    ),
)  # fmt: skip
FIGURE: dict[str, Figure] = {figure.code: figure for figure in FIGURES}
