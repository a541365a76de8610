"""FIGURES: what can be judged. A new figure is one function in traverse.py, one row here, and its table of cases.

Those of the hood as a whole have their functions in hood_figures.py.
"""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from surveys.core import codes, hood_figures, traverse
from surveys.core.facts import HoodFacts
from surveys.core.messages import gettext_noop as _
from surveys.core.units import FLOW, LIGHT, PERCENT, PRESSURE, RATIO, SOUND, SPEED, TIME


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that can be judged, with the words that readers are shown for it.

    `root`: `function` gives the exact square, and the figure is judged on it. `signed`: it may be below zero. `of_hood`:
    it is of the hood and not of an opening. `plain`: it is not made of readings, so the calibration of the instrument that
    they are read with does not bear on it. `monitors`, `kinds`, `controls`, `sashes`: only hoods that have such a
    monitor or sash, or are of such a kind or control, are judged by it.
    """

    code: str
    name: str
    function: Callable[[Any], Fraction | None]  # of a traverse, or of what was measured at the hood
    kind: str
    definition: str
    formula: str
    source: str
    root: bool = False
    signed: bool = False
    of_hood: bool = False
    plain: bool = False
    monitors: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    controls: tuple[str, ...] = ()
    sashes: tuple[str, ...] = ()

    def is_for(self, hood: HoodFacts) -> bool:
        """Whether a hood like this can have the figure; a limit on it is taken away elsewhere."""
        of = ((self.monitors, hood.monitor), (self.kinds, hood.kind), (self.controls, hood.control), (self.sashes, hood.sash))
        return all(not those or its in those for those, its in of)


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
        signed=True, monitors=("velocity",),
    ),
    Figure(
        "monitor-mark-ratio", _("Pressure of the monitor against its mark"), traverse.mark_ratio, RATIO,
        _("What a gauge of pressure showed during the traverse divided by its mark: the set point of the register."),
        _("pressure shown ÷ mark"),
        _("California Code of Regulations, Title 8, section 5154.1(e)(3)(A): a gauge of pressure may show the flow"),
        plain=True, monitors=("pressure",),
    ),
    Figure(
        "alarm-ratio", _("Alarm against its alarm point"), hood_figures.alarm_ratio, RATIO,
        _("What the monitor showed when the alarm tripped divided by the alarm point of the register."),
        _("shown at the trip ÷ alarm point"),
        _COMMON,
        of_hood=True, plain=True, monitors=codes.MONITORS_WITH_ALARM,
    ),
    Figure(
        "alarm-seconds", _("Time until the alarm tripped"), hood_figures.alarm_seconds, TIME,
        _("How long it took from forcing the alarm until it sounded or lit."),
        _("seconds, as counted"),
        _COMMON,
        of_hood=True, plain=True, monitors=codes.MONITORS_WITH_ALARM,
    ),
    Figure(
        "light", _("Light on the work surface"), hood_figures.light, LIGHT,
        _("What a light meter showed on the work surface, the hood’s own light on."),
        _("as shown"),
        _("AS/NZS 2243.8:2014, as a guide to it gives it: 400 lx"),
        of_hood=True, plain=True,
    ),
    Figure(
        "noise", _("Noise in front of the hood"), hood_figures.noise, SOUND,
        _("What a sound level meter showed in front of the opening, weighted by curve A."),
        _("as shown"),
        _("Washington State University, Facilities design standard 11 53 13 (2018), 1.03 C: 62 dBA, 1 ft from the hood, sash fully open"),
        of_hood=True, plain=True,
    ),
    Figure(
        "filter-pressure", _("Pressure across the filter"), hood_figures.filter_pressure, PRESSURE,
        _("The difference of pressure across the filter of a filtered hood, as its gauge showed it."),
        _("as shown"),
        _COMMON,
        of_hood=True, plain=True, kinds=("filtered",),
    ),
    Figure(
        "closed-flow", _("Flow with the sash closed"), hood_figures.closed_flow, FLOW,
        _("What a hood of variable volume still draws while its sash is closed, as its monitor or a station in its duct showed it."),
        _("as shown"),
        _("NFPA 45-2004, A.8.4.7, as a page quotes it: 25 ft³/min for each ft² of the work surface inside; later editions give factors"),
        of_hood=True, plain=True, controls=("variable-volume",), sashes=("vertical", "horizontal", "combination"),
    ),
)  # fmt: skip
OF_OPENINGS = tuple(figure for figure in FIGURES if not figure.of_hood)
FIGURE: dict[str, Figure] = {figure.code: figure for figure in FIGURES}
