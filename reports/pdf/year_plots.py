"""The plots of a year: outcomes by month and by building, averages of the hoods with the limits drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from reports.core.year import Flow
from reports.core.yearly_counts import BuildingLine, MonthLine, Tally
from reports.pdf.plot import FACE, SIZE, Plot, Scale, steps, text_width
from reports.pdf.style import month, wrap
from reports.pdf.wording import Wording

LEFT, RIGHT = 56.0, 894.0
BAR = 40.0
STACKED = ("fail", "restrict", "no-verdict", "pass")  # from the ground up: what matters most stands on it


def _counts(tally: Tally) -> dict[str, int]:
    return {"pass": tally.passed, "restrict": tally.restricted, "fail": tally.failed, "no-verdict": tally.no_verdict}


def _field(plot: Plot, verdict: str, x: float, y: float, wide: float, high: float) -> None:
    if verdict == "restrict":
        plot.hatched(x, y, wide, high)
    elif verdict == "no-verdict":
        plot.rect(x, y, wide, high, fill="paper", edge="line", dashes=(2, 2))
    else:
        plot.rect(x, y, wide, high, fill="stop" if verdict == "fail" else "pale")


def _legend(plot: Plot, tally: Tally | None, y: float, wording: Wording) -> None:
    """Which field is which verdict; with how many there are, where a tally is given."""
    x = LEFT
    for verdict in reversed(STACKED):
        said = wording.codes("verdict", verdict)
        if tally is not None:
            said = f"{said} {_counts(tally)[verdict]}"
        _field(plot, verdict, x, y - 2, 24, 14)
        plot.rect(x, y - 2, 24, 14, edge="ink")
        plot.text(x + 32, y, said)
        x += 32 + text_width(said) + 28


def _added(tallies: Sequence[Tally]) -> Tally:
    return Tally(*(sum(part) for part in zip(*tallies, strict=True))) if tallies else Tally()


def by_month(months: Sequence[MonthLine], title: str, wording: Wording) -> Plot:
    """Surveys of each month as found, one on the other by verdict."""
    _ = wording
    names = [(line, month(line.month.month, wording.words)) for line in months]
    said = "; ".join(f"{name} {line.month.year}: {_of(line.as_found, wording)}" for line, name in names)
    plot = Plot(380, title, said)
    most = max((line.as_found.all for line in months), default=0)
    marks = [mark for mark in steps(0, max(most, 4), 3) if mark == int(mark)]
    scale = Scale(0, max(marks[-1], most), 68, 335)
    plot.text(12, 360, _("Surveys, as found"), "soft")
    for mark in marks:
        plot.line(LEFT, scale(mark), RIGHT, scale(mark), "hair" if mark else "ink", 1 if mark else 1.5)
        plot.text(LEFT - 10, scale(mark) - 5, f"{mark:.0f}", "soft", "end")
    apart = (RIGHT - LEFT) / max(len(months), 1)
    for number, (line, name) in enumerate(names):
        middle = LEFT + (number + 0.5) * apart
        _column(plot, line.as_found, middle - BAR / 2, scale)
        plot.text(middle, scale(line.as_found.all) + 8, str(line.as_found.all or ""), "ink", "middle", bold=True)
        plot.text(middle, 46, name, "soft", "middle")
        if number == 0 or line.month.month == 1:
            plot.text(middle, 28, str(line.month.year), "soft", "middle", size=14)
    plot.line(LEFT, scale(0), RIGHT, scale(0), "ink", 1.5)
    _legend(plot, _added([line.as_found for line in months]), 6, wording)
    return plot


def _of(tally: Tally, wording: Wording) -> str:
    counts = _counts(tally)
    return ", ".join(f"{wording.codes('verdict', verdict)} {counts[verdict]}" for verdict in reversed(STACKED))


def _column(plot: Plot, tally: Tally, x: float, scale: Scale) -> None:
    below, counts = 0, _counts(tally)
    for verdict in STACKED:
        if counts[verdict]:
            bottom, top = scale(below), scale(below + counts[verdict])
            _field(plot, verdict, x, bottom, BAR, top - bottom)
            below += counts[verdict]
    if below:
        plot.rect(x, scale(0), BAR, scale(below) - scale(0), edge="ink")


ROW = 62.0  # a building in its plot: two bars


def by_building(buildings: Sequence[BuildingLine], title: str, wording: Wording) -> Plot:
    """Surveys made in each building, as found above as left."""
    _ = wording
    rows = [line for line in buildings if line.as_found.all]
    names = [line.building or _("no building") for line in rows]
    said = "; ".join(
        f"{name}: {_('as found')} {_of(line.as_found, wording)}, {_('as left')} {_of(line.as_left, wording)}"
        for line, name in zip(rows, names, strict=True)
    )
    high = 62 + ROW * max(len(rows), 1)
    plot = Plot(high, title, said)
    left = 330.0
    most = max((line.as_found.all for line in rows), default=1)
    scale = Scale(0, most, left, RIGHT - 46)
    for number, (line, name) in enumerate(zip(rows, names, strict=True)):
        top = high - 12 - number * ROW
        _name(plot, name, top - 30)
        for place, (words, tally) in enumerate(((_("as found"), line.as_found), (_("as left"), line.as_left))):
            y = top - 22 - place * 25
            plot.text(left - 10, y + 4, words, "soft", "end")
            _bar(plot, tally, y, scale)
            plot.text(scale(tally.all) + 8, y + 4, str(tally.all), bold=True)
    plot.line(left, 46, left, high - 8, "ink", 1.5)
    _legend(plot, None, 12, wording)
    return plot


def _name(plot: Plot, name: str, y: float) -> None:
    """A name of any length in two lines at most, set smaller until it fits."""
    size = SIZE
    while size > 8 and len(wrap(name, 225 / FACE, size)) > 2:
        size -= 1
    found = wrap(name, 225 / FACE, size)
    for number, line in enumerate(found):
        plot.text(12, y + (0.6 * (len(found) - 1) - 1.2 * number) * size, line, size=size)


def _bar(plot: Plot, tally: Tally, y: float, scale: Scale) -> None:
    before, counts = 0, _counts(tally)
    for verdict in STACKED:
        if counts[verdict]:
            x, to_x = scale(before), scale(before + counts[verdict])
            _field(plot, verdict, x, y, to_x - x, 19)
            before += counts[verdict]
    if before:
        plot.rect(scale(0), y, scale(before) - scale(0), 19, edge="ink")


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


def _binned(flow: Flow, scale: Scale) -> dict[tuple[int, str], int]:
    """Hoods by the place of their mark and their verdict."""
    apart = (scale.end - scale.start) / BINS
    return Counter((int((scale(float(value)) - scale.start) / apart), verdict) for value, verdict in flow.values)


def _hoods_a_dot(flows: Sequence[Flow], scale: Scale) -> int:
    most = 0
    for flow in flows:
        stacked: Counter[int] = Counter()
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
    stacked: Counter[int] = Counter()
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
    heights: Counter[int] = Counter()
    apart = (scale.end - scale.start) / BINS
    binned = _binned(flow, scale)
    for place, verdict in sorted(binned, key=lambda one: (one[0], STACKED.index(one[1]))):
        for _mark in range(-(-binned[place, verdict] // each)):
            plot.mark(scale.start + (place + 0.5) * apart, ground + 9 + 12.6 * heights[place], verdict, 6)
            heights[place] += 1
