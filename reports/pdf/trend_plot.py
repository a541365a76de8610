"""The plot of a hood's averages over the years, with the limits of the version that judged each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction

from reports.core.trend import Band, Measured, Trend
from reports.pdf.plot import FACE, SIZE, WIDE, Plot, Scale, steps, text_width
from reports.pdf.style import SEMIBOLD, wrap
from reports.pdf.wording import Wording

HIGH = 440.0
LEFT, RIGHT = 56.0, 700.0  # of the field; what is said of it stands to the right
GROUND, TOP = 108.0, 388.0
ASIDE = RIGHT + 14


def trend(given: Trend, title: str, wording: Wording) -> Plot:
    """One drawing: the opening that was measured most as filled marks with a line, others as open squares."""
    _ = wording
    plot = Plot(HIGH, title, _said(given, wording))
    along, up = _scales(given)
    axis = steps(up.low, up.high, 5)
    plot.text(12, HIGH - 24, _("Average face velocity, %(unit)s") % {"unit": given.unit}, "soft")
    for band in given.bands:
        _allowed(plot, band, along, up)
    for mark in axis:
        if up.low <= mark <= up.high:
            plot.line(LEFT, up(mark), RIGHT, up(mark), "hair")
            plot.text(LEFT - 10, up(mark) - 5, f"{mark:g}", "soft", "end")
    plot.line(LEFT, GROUND, RIGHT, GROUND, "ink", 1.5)
    _years(plot, along)
    for number, band in enumerate(given.bands):
        _limits(plot, band, along, up, wording, first=number == 0)
    for benchmark in given.benchmarks:
        y = up(float(benchmark.value))
        x = max(along(benchmark.from_on), LEFT)
        plot.line(x, y, along(benchmark.until_on), y, "spot", 1.5, (9, 3, 2, 3))
    _restrictions(plot, given, along)
    openings = given.openings
    for opening in reversed(openings):
        rows = [one for one in given.measured if one.opening == opening]
        _series(plot, rows, along, up, main=opening == openings[0])
    _aside(plot, given, up, wording)
    _legend(plot, given, wording)
    return plot


Along = Callable[[date], float]


def _scales(given: Trend) -> tuple[Along, Scale]:
    first = min((one.on for one in given.measured), default=given.today)
    begin = date(first.year, 1, 1) if first.month < 11 or first.year == given.today.year else first
    end = date.fromordinal(max(given.today.toordinal(), first.toordinal() + 365) + 20)
    days = Scale(begin.toordinal(), end.toordinal(), LEFT + 12, RIGHT)
    values = [float(value) for one in given.measured for value in (one.found, one.left) if value is not None]
    values += [float(bound) for band in given.bands for bound, _end, _cost in band.bounds]
    values += [float(one.value) for one in given.benchmarks]
    marks = steps(min(values, default=0), max(values, default=1), 5)
    step = marks[1] - marks[0] if len(marks) > 1 else 1.0
    low = marks[0] - step * (min(values, default=0) - marks[0] < 0.4 * step)  # a mark never stands on the ground
    high = max(marks[-1], low + step)
    return (lambda on: days(on.toordinal())), Scale(low, high, GROUND, TOP - 20)


def _years(plot: Plot, along: Along) -> None:
    begin, end = LEFT, RIGHT
    years = [year for year in range(1900, 3000) if begin <= along(date(year, 1, 1)) <= end]
    every = max(1, -(-len(years) * 48 // int(RIGHT - LEFT)))
    for year in years:
        x = along(date(year, 1, 1))
        plot.line(x, GROUND, x, GROUND - 6)
        if year % every == 0:
            plot.text(x, GROUND - 24, str(year), "soft", "middle")


def _inner(band: Band) -> tuple[Fraction | None, Fraction | None]:
    """Between which values nothing is taken away: the strictest limits."""
    least = max((bound for bound, end, _cost in band.bounds if end == "least"), default=None)
    most = min((bound for bound, end, _cost in band.bounds if end == "most"), default=None)
    return least, most


def _span(band: Band, along: Along) -> tuple[float, float]:
    return max(LEFT, along(band.from_on)), min(RIGHT, along(band.until_on))


def _allowed(plot: Plot, band: Band, along: Along, up: Scale) -> None:
    least, most = _inner(band)
    if least is None and most is None:
        return
    x, to_x = _span(band, along)
    low = up(float(least)) if least is not None else GROUND
    high = up(float(most)) if most is not None else up(up.high)
    if to_x > x and high > low:
        plot.rect(x, low, to_x - x, high - low, fill="ok")


def _limits(plot: Plot, band: Band, along: Along, up: Scale, wording: Wording, *, first: bool) -> None:
    x, to_x = _span(band, along)
    for bound, _end, cost in band.bounds:
        y = up(float(bound))
        fail = cost == "fail"
        plot.line(x, y, to_x, y, "stop" if fail else "limit", 2, None if fail else (6, 3))
    if not first:
        plot.line(x, GROUND, x, TOP, "line", 1, (2, 4))
        name = wording("Criteria: %(version)s") % {"version": band.version}
        left = x + 8 + text_width(name, 15) < RIGHT
        plot.text(x + 8 if left else x - 8, TOP - 8, name, "soft", "start" if left else "end", size=15)


def _restrictions(plot: Plot, given: Trend, along: Along) -> None:
    """A hatched strip on the ground for as long as the hood is restricted."""
    for one in given.restricted:
        x, to_x = max(LEFT, along(one.from_on)), min(RIGHT, along(one.until_on))
        plot.hatched(x, GROUND, max(to_x - x, 3), 10)
        plot.rect(x, GROUND, max(to_x - x, 3), 10, edge="ink")


def _series(plot: Plot, rows: Sequence[Measured], along: Along, up: Scale, *, main: bool) -> None:
    """Runs of what was left, from survey to survey: an adjustment begins a new one, its foot where it was found."""
    run: list[tuple[float, float]] = []
    for one in rows:
        if one.found is None and one.left is None:
            continue
        x = along(one.on)
        found = up(float(one.found)) if one.found is not None else None
        left = up(float(one.left)) if one.left is not None else found
        run.append((x, found if found is not None else left or 0))
        if one.adjusted:
            plot.path(run, "ink", 2 if main else 1)
            if found is not None and left is not None:
                plot.line(x, found, x, left, "ink", 1.5, (3, 3))
            run = [(x, left or 0)]
    plot.path(run, "ink", 2 if main else 1)
    for one in rows:
        x = along(one.on)
        if one.adjusted and one.found is not None:
            _mark(plot, x, up(float(one.found)), one.as_found, main)
        value = one.left if one.left is not None else one.found
        if value is not None:
            if one.from_paper:
                _from_paper(plot, x, up(float(value)))
            if one.signed_here:
                _mark(plot, x, up(float(value)), one.verdict, main)
            else:
                _from_before(plot, x, up(float(value)))


def _mark(plot: Plot, x: float, y: float, verdict: str, main: bool) -> None:
    if not main:
        plot.rect(x - 4.5, y - 4.5, 9, 9, fill="paper", edge="ink", thick=2)
    elif verdict == "no-verdict":
        plot.dot(x, y, open_=True)
    else:
        plot.mark(x, y, verdict, 8 if verdict != "pass" else 6)


def _from_before(plot: Plot, x: float, y: float) -> None:
    """A value from earlier records: an open triangle, whatever its record says of the criteria of then."""
    corners = [(x - 8, y - 6), (x, y + 9), (x + 8, y - 6)]
    plot.area(corners, "paper")
    plot.path([*corners, corners[0]], "ink", 1.5)


def _from_paper(plot: Plot, x: float, y: float) -> None:
    """A sheet behind the mark of a survey that was transcribed from paper."""
    plot.rect(x - 11, y - 11, 22, 22, edge="ink", thick=1)


def _aside(plot: Plot, given: Trend, up: Scale, wording: Wording) -> None:
    """Beside the field: the last value of each opening, the limits of today and the benchmarks, none over another."""
    _ = wording
    said: list[tuple[float, str, str, bool]] = []
    for bound, end, cost in given.bands[-1].bounds if given.bands else ():
        words = _("at least %(value)s") if end == "least" else _("at most %(value)s")
        said.append(
            (up(float(bound)), words % {"value": f"{float(bound):g}"}, "stop" if cost == "fail" else "limit", False)
        )
    for one in given.benchmarks:
        if one.until_on == given.today:
            said.append((up(float(one.value)), _("benchmark %(value)s") % {"value": _bare(one.said, given.unit)}, "spot", False))
    for number, opening in enumerate(given.openings):
        last = [one for one in given.measured if one.opening == opening and (one.left or one.found) is not None]
        if last:
            value = last[-1].left if last[-1].left is not None else last[-1].found
            words = _bare(last[-1].left_said or last[-1].found_said, given.unit)
            shown = f"{words} {opening}" if len(given.openings) > 1 else words
            said.append((up(float(value or 0)), shown, "ink", number == 0))
    for y, text, ink, bold in _parted(said):
        plot.text(ASIDE, y - 5, text, ink, bold=bold)


def _bare(said: str, unit: str) -> str:
    """The digits alone of what is in the unit of the axis."""
    return said.removesuffix(f" {unit}")


def _parted(said: Sequence[tuple[float, str, str, bool]]) -> list[tuple[float, str, str, bool]]:
    """The same words in lines as wide as there is room, moved as far as it takes that none runs into the one below it."""
    found: list[tuple[float, str, str, bool]] = []
    for y, text, ink, bold in sorted(said):
        for line in reversed(wrap(text, (WIDE - ASIDE - 6) / FACE, SIZE, SEMIBOLD)):
            y = max(y, found[-1][0] + 19) if found else y
            found.append((y, line, ink, bold))
    over = max(0.0, found[-1][0] - TOP) if found else 0.0
    return [(y - over, text, ink, bold) for y, text, ink, bold in found]


def _legend(plot: Plot, given: Trend, wording: Wording) -> None:
    _ = wording
    openings = given.openings
    elsewhere = not all(one.signed_here for one in given.measured), any(one.from_paper for one in given.measured)
    upper, lower = (60.0, 36.0) if any(elsewhere) else (40.0, 12.0)
    y, x = upper, LEFT
    for verdict in ("pass", "restrict", "fail"):
        plot.mark(x + 6, y + 5, verdict, 6 if verdict == "pass" else 7)
        words = wording.codes("verdict", verdict)
        plot.text(x + 20, y, words)
        x += 20 + text_width(words) + 18
    plot.line(x + 6, y - 4, x + 6, y + 14, "ink", 1.5, (3, 3))
    plot.text(x + 18, y, words := _("adjusted: as found, as left"))
    x += 18 + text_width(words) + 18
    if len(openings) > 1:
        plot.rect(x + 1.5, y + 0.5, 9, 9, fill="paper", edge="ink", thick=2)
        plot.text(x + 20, y, _("another opening"))
    y, x = lower, LEFT
    for words, ink, dashes in ((_("limit: fail"), "stop", None), (_("limit: restrict"), "limit", (6, 3))):
        plot.line(x, y + 5, x + 28, y + 5, ink, 2, dashes)
        plot.text(x + 36, y, words)
        x += 36 + text_width(words) + 18
    if given.benchmarks:
        plot.line(x, y + 5, x + 28, y + 5, "spot", 1.5, (9, 3, 2, 3))
        plot.text(x + 36, y, words := _("benchmark"))
        x += 36 + text_width(words) + 18
    if given.restricted:
        plot.hatched(x, y, 26, 10)
        plot.rect(x, y, 26, 10, edge="ink")
        plot.text(x + 34, y, _("restricted"))
    _legend_of_sources(plot, *elsewhere, wording)


def _legend_of_sources(plot: Plot, before: bool, paper: bool, wording: Wording) -> None:
    """A line of its own for marks of what no tablet of this ledger measured."""
    _ = wording
    y, x = 12.0, LEFT
    if before:
        _from_before(plot, x + 8, y + 5)
        plot.text(x + 24, y, words := _("earlier records, not signed here"))
        x += 24 + text_width(words) + 18
    if paper:
        _from_paper(plot, x + 11, y + 5)
        plot.mark(x + 11, y + 5, "pass", 6)
        plot.text(x + 30, y, _("transcribed from paper"))


def _said(given: Trend, wording: Wording) -> str:
    """The same in words, for who cannot see it."""
    _ = wording
    parts = []
    for one in given.measured:
        said = one.left_said if not one.adjusted else _("%(found)s as found, %(left)s as left") % {
            "found": one.found_said, "left": one.left_said,
        }  # fmt: skip
        verdict = wording.codes("verdict", one.verdict)
        mark = "" if one.signed_here else f", {_('from earlier records, not signed here')}"
        mark += f", {_('transcribed from paper')}" if one.from_paper else ""
        parts.append(f"{wording.day(one.on)}: {one.opening} {said or one.found_said}, {verdict}{mark}")
    for band in given.bands:
        parts.append(f"{band.version}: {wording.day(band.from_on)} – {wording.day(band.until_on)}")
    for restriction in given.restricted:
        parts.append(f"{restriction.words}: {wording.day(restriction.from_on)} – {wording.day(restriction.until_on)}")
    for benchmark in given.benchmarks:
        parts.append(_("benchmark of %(opening)s %(value)s from %(on)s") % {
            "opening": benchmark.opening, "value": benchmark.said, "on": wording.day(benchmark.from_on),
        })  # fmt: skip
    return "; ".join(parts)
