"""The averages of a year's hoods: each a mark at its value, the limits drawn across."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from reports.core.year import Flow
from reports.pdf.plot import Plot, Scale, steps, text_width
from reports.pdf.wording import Wording
from reports.pdf.year_plots import LEFT, RIGHT, STACKED

BINS = 64
STACK = 9  # dots on one another at most: beyond, a dot stands for more hoods


def averages(
    flows: Sequence[tuple[str, Flow]], title: str, unit: str, wording: Wording, among: Sequence[Flow] = (),
    key: bool = True,
) -> Plot:  # fmt: skip
    """Each hood a mark at its average as left, by the criteria that judged it, the limits drawn across.

    The axis is that of all among which these are shown, and so is the key under them: what is drawn of all of them.
    """
    _ = wording
    every = among or [flow for _name_, flow in flows]
    marks = [float(value) for flow in every for value, _verdict in flow.values]
    ends = [float(bound) for flow in every for bound, _end, _cost in flow.bounds]
    axis = steps(min([*marks, *ends], default=0), max([*marks, *ends], default=1), 6)
    scale = Scale(axis[0], axis[-1], LEFT, RIGHT - 20)
    each = _hoods_a_dot([flow for _name_, flow in flows], scale)
    levels = max([2, *(_levels(flow, scale, each) for _name_, flow in flows)])
    strip = 82.0 + 12.6 * levels
    foot = 66.0 if key else 44.0 if each > 1 else 6.0
    high = foot + strip * max(len(flows), 1)
    said = "; ".join(
        f"{name}: {len(flow.values)}, {flow.lowest} – {flow.median} – {flow.highest} {unit}" for name, flow in flows
    )
    plot = Plot(high, title, said)
    for number, (name, flow) in enumerate(flows):
        _strip(plot, _named(name, flow, wording), flow, high - number * strip, strip, scale, axis, each, unit)
    if not every:
        plot.text(12, high - 24, _("No average was measured."), "soft")
    if key:
        _key(plot, every, wording)
    if each > 1:
        plot.text(RIGHT, foot - 32, _("a mark: up to %(each)s hoods") % {"each": each}, "soft", "end")
    return plot


LINES: dict[str, tuple[str, tuple[float, float] | None]] = {  # how a limit is drawn, by what it costs
    "fail": ("stop", None),
    "restrict": ("limit", (6, 3)),
    "note": ("soft", (2, 3)),
}


def _line_of(cost: str) -> tuple[str, tuple[float, float] | None]:
    return LINES.get(cost, LINES["note"])


def _key(plot: Plot, flows: Sequence[Flow], wording: Wording) -> None:
    """What marks and lines stand for: those that are drawn, and no others."""
    _ = wording
    x, y = LEFT, 34.0
    marks = {verdict for flow in flows for _value, verdict in flow.values}
    for verdict in reversed(STACKED):
        if verdict in marks:
            plot.mark(x + 6, y + 5, verdict)
            words = wording.codes("verdict", verdict)
            plot.text(x + 20, y, words)
            x += 20 + text_width(words) + 24
    x, y = LEFT, 12.0
    costs = {cost for flow in flows for _bound, _end, cost in flow.bounds}
    for cost, words in (("fail", _("limit: fail")), ("restrict", _("limit: restrict")), ("note", _("limit: note"))):
        if cost in costs:
            ink, dashes = _line_of(cost)
            plot.line(x, y + 5, x + 30, y + 5, ink, 2, dashes)
            plot.text(x + 38, y, words)
            x += 38 + text_width(words) + 24


def _named(name: str, flow: Flow, wording: Wording) -> str:
    _ = wording
    if not flow.elsewhere:
        return name
    return _("%(name)s (not at a working opening: %(number)s)") % {"name": name, "number": len(flow.elsewhere)}


def _binned(flow: Flow, scale: Scale) -> dict[tuple[float, str], int]:
    """Hoods by where their mark stands and their verdict."""
    return Counter((_gathered_at(value, flow, scale), verdict) for value, verdict in flow.values)


def _gathered_at(value: Fraction, flow: Flow, scale: Scale) -> float:
    """Where a mark stands that is gathered with those close to it: on the same side of every limit as its value."""
    below, above = [scale.start], [scale.end]
    for bound, end, _cost in flow.bounds:
        is_above = value >= bound if end == "least" else value > bound
        (below if is_above else above).append(scale(float(bound)))
    start, end_ = max(below), min(above)
    if start >= end_:
        return start
    bins = max(1, int((end_ - start) * BINS / (scale.end - scale.start)))
    apart = (end_ - start) / bins
    return start + (min(int((scale(float(value)) - start) / apart), bins - 1) + 0.5) * apart


def _hoods_a_dot(flows: Sequence[Flow], scale: Scale) -> int:
    most = 0
    for flow in flows:
        stacked: Counter[float] = Counter()
        for (place, _verdict), hoods in _binned(flow, scale).items():
            stacked[place] += hoods
        most = max([most, *stacked.values()])
    return max(1, -(-most // (STACK - 2)))


def _strip(
    plot: Plot, name: str, flow: Flow, top: float, strip: float, scale: Scale, axis: Sequence[float], each: int,
    unit: str,
) -> None:  # fmt: skip
    ground = top - strip + 34
    plot.text(12, top - 18, name, bold=True)
    plot.text(RIGHT, top - 18, unit, "soft", "end")
    plot.line(scale.start, ground, scale.end, ground, "ink", 1.5)
    for mark in axis:
        plot.line(scale(mark), ground, scale(mark), ground - 6)
        plot.text(scale(mark), ground - 22, f"{mark:g}", "soft", "middle")
    for x, bound, cost, step in _apart(flow, scale):
        ink, dashes = _line_of(cost)
        plot.line(x, ground, x, top - 44, ink, 2, dashes)
        plot.text(x, top - 40 + 16 * step, bound, ink, "middle")
    if each == 1 and len(flow.values) <= FEW:
        _marks_in_place(plot, flow, ground, scale)
    else:
        _marks_in_bins(plot, flow, ground, scale, each)


def _apart(flow: Flow, scale: Scale) -> list[tuple[float, str, str, int]]:
    """The limits from left to right; the words of one that stands close to the last are a step higher."""
    found: list[tuple[float, str, str, int]] = []
    for bound, _end, cost in sorted(flow.bounds):
        x = scale(float(bound))
        step = 1 if found and found[-1][3] == 0 and x - found[-1][0] < 46 else 0
        found.append((x, f"{float(bound):g}", cost, step))
    return found


def _levels(flow: Flow, scale: Scale, each: int) -> int:
    """How many marks stand on one another at most."""
    if each == 1 and len(flow.values) <= FEW:
        return 1 + max((level for _x, level, _verdict in _in_place(flow, scale)), default=0)
    stacked: Counter[float] = Counter()
    for (place, _verdict), hoods in _binned(flow, scale).items():
        stacked[place] += -(-hoods // each)
    return max(stacked.values(), default=1)


FEW = 40  # hoods whose marks stand at their own value, beside each other; more are gathered


def _in_place(flow: Flow, scale: Scale) -> list[tuple[float, int, str]]:
    """Each mark's place along the axis and its level, so that none stands on another."""
    taken: list[tuple[float, int, str]] = []
    for value, verdict in flow.values:
        x = scale(float(value))
        near = {level for other, level, _verdict in taken if abs(x - other) < 13}
        taken.append((x, next(level for level in range(len(taken) + 1) if level not in near), verdict))
    return taken


def _marks_in_place(plot: Plot, flow: Flow, ground: float, scale: Scale) -> None:
    for x, level, verdict in _in_place(flow, scale):
        plot.mark(x, ground + 9 + 12.6 * level, verdict, 6)


def _marks_in_bins(plot: Plot, flow: Flow, ground: float, scale: Scale, each: int) -> None:
    heights: Counter[float] = Counter()
    binned = _binned(flow, scale)
    for place, verdict in sorted(binned, key=lambda one: (one[0], STACKED.index(one[1]))):
        for _mark in range(-(-binned[place, verdict] // each)):
            plot.mark(place, ground + 9 + 12.6 * heights[place], verdict, 6)
            heights[place] += 1
