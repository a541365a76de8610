"""The plots of a year: outcomes by month and by building."""

from __future__ import annotations

from collections.abc import Sequence

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
