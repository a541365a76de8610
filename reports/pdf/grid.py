"""A traverse drawn as the opening it was read in: seen from the front, the sash above, the airfoil below."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from hoods.core.cover import Cover, share
from reports.pdf import figures
from reports.pdf.front import ICON_WIDE, front, hatched
from reports.pdf.style import (
    BOLD,
    EDGE,
    FAST,
    GLASS,
    HAIR,
    INK,
    REGULAR,
    SEMIBOLD,
    SLOW,
    SOFT,
    WHITE,
    Ink,
    Pages,
    fit,
    one_line,
    width,
)
from reports.pdf.wording import Wording
from surveys.core.covered import free_cells, of_record, told
from surveys.core.front import where
from surveys.core.sash import has_edge_above

WIDE = 66.0  # of a panel [mm]
INSET = 2.4  # the numbers of the rows stand here


@dataclass(frozen=True)
class Panel:
    """One opening in one state: what was read, and the figures that were made from it."""

    heading: str
    aside: str
    traverse: Mapping[str, Any]
    average: Fraction | None
    figures: Sequence[tuple[str, str]]  # number, what it is
    others: str
    notes: Sequence[str]
    free: Sequence[Sequence[bool]] = ()  # which cells are points; all where nothing is said
    place: tuple[int, int, int, int] | None = None  # where it stands in the front, of a sash that is not vertical
    taken: tuple[Fraction, ...] | None = None  # what of it is covered, as parts of its width and height
    edge_above: bool = True  # the lower edge of a sash stands over it

    def cell_height(self, density: float) -> float:
        rows = max(1, len(self.traverse["readings"]))
        return min(11.5 * density, max(5.6, 30 * density / rows), 150 / rows)

    def height(self, density: float) -> float:
        rows = len(self.traverse["readings"])
        grid = 11 + rows * self.cell_height(density) + 1.2
        return grid + 9 * density + len(self._small()) * 3.1

    def _small(self) -> list[str]:
        texts = ([self.others] if self.others else []) + list(self.notes)
        return [line for text in texts for line in fit(text, WIDE - INSET, 1000, 2.5, 2.5).lines]

    def draw(self, pages: Pages, x: float, y: float, density: float) -> None:
        heading = one_line(self.heading, 33, 3.2, BOLD)
        pages.text(x + INSET, y + 3.2, heading.lines[0], heading.size, BOLD)
        icon = ICON_WIDE + 1.6 if self.place else 0
        aside = one_line(self.aside, WIDE - INSET - 1.6 - icon - width(heading.lines[0], heading.size, BOLD), 2.7)
        pages.text(x + WIDE - icon, y + 3.2, aside.lines[0], aside.size, REGULAR, SOFT, "right")
        if self.place:
            front(pages, x + WIDE - ICON_WIDE, y - 0.3, ICON_WIDE, self.place, self.taken)
        bottom = self._opening(pages, x + INSET, y + 4, WIDE - INSET, density)
        below = bottom + 1.2 + 5.2 * density
        pitch = (WIDE - INSET) / max(1, len(self.figures))
        for number, (value, name) in enumerate(self.figures):
            big = one_line(value, pitch - 1, 4.2)
            pages.text(x + INSET + number * pitch, below, big.lines[0], big.size)
            small = one_line(name, pitch - 1, 2.4)
            pages.text(x + INSET + number * pitch, below + 2.9, small.lines[0], small.size, REGULAR, SOFT)
        pages.lines(x + INSET, below + 2.9 + 3.3, self._small(), 2.5, 3.1, ink=SOFT)

    def _opening(self, pages: Pages, x: float, y: float, wide: float, density: float) -> float:
        """The grid with its frame; the answer is where the airfoil is."""
        readings = self.traverse["readings"]
        columns, tall = max((len(row) for row in readings), default=1), self.cell_height(density)
        cell = wide / max(1, columns)
        label = min(2.4, cell * 0.7, tall * 0.7)
        for column in range(columns):
            pages.text(x + (column + 0.5) * cell, y + 2.3, str(column + 1), label, REGULAR, SOFT, "middle")
        if self.edge_above:
            pages.box(x, y + 3.2, wide, 2.2, fill=GLASS, edge=INK, thick=0.35)
        pages.rule(x - 0.17, y + 5.9, x + wide + 0.17, thick=1 if self.edge_above else 0.6)
        top = y + 6.4
        for row, cells in enumerate(readings):
            middle = top + (row + 0.5) * tall
            pages.text(x - 0.9, middle + label * 0.33, str(row + 1), label, REGULAR, SOFT, "right")
            for column, given in enumerate(cells):
                self._cell(pages, given, x + column * cell, top + row * tall, cell, tall, self._is_free(row, column))
        bottom = top + len(readings) * tall
        above = y + 3.2 if self.edge_above else y + 5.9
        pages.rule(x, above, x, bottom, 0.6)
        pages.rule(x + wide, above, x + wide, bottom, 0.6)
        pages.rule(x - 1.5, bottom, x + wide + 0.4, thick=0.6)
        pages.rule(x, bottom + 0.9, x + wide, thick=0.2)
        return bottom

    def _is_free(self, row: int, column: int) -> bool:
        return not self.free or self.free[row][column]

    def _cell(
        self, pages: Pages, given: Any, x: float, y: float, wide: float, tall: float, is_free: bool = True
    ) -> None:
        if not is_free and not given:
            hatched(pages, x, y, wide, tall)
            return
        value, digits, _repeats = figures.mean(given)
        percent = None
        if value is not None and self.average:
            percent = 100 * (value - self.average) / self.average
        pages.box(x, y, wide, tall, fill=wash(percent), edge=EDGE if value is not None else HAIR, thick=0.2)
        with_percent = percent is not None and tall >= 5.5
        big = one_line(digits, wide - 0.8, min(3.9, tall * (0.42 if with_percent else 0.6)), SEMIBOLD)
        if not with_percent:
            pages.text(x + wide / 2, y + tall / 2 + 0.33 * big.size, big.lines[0], big.size, SEMIBOLD, INK, "middle")
            return
        pages.text(x + wide / 2, y + tall * 0.55, big.lines[0], big.size, SEMIBOLD, INK, "middle")
        small = one_line(signed(percent), wide - 0.6, min(2.4, tall * 0.26))
        pages.text(x + wide / 2, y + tall * 0.86, small.lines[0], small.size, REGULAR, SOFT, "middle")


def wash(percent: Fraction | None) -> Ink:
    """Two steps of shade each way: from 5 %, and from 10 %, of the average."""
    if percent is None or abs(percent) < 5:
        return WHITE
    return (SLOW if percent < 0 else FAST)[int(abs(percent) >= 10)]


def signed(percent: Fraction) -> str:
    """A deviation in whole percent with its sign."""
    whole = round(percent)
    return f"{'+' if whole > 0 else '−' if whole < 0 else ''}{abs(whole)} %"


SHORT = ("average", "lowest", "highest", "spread", "deviation-percent")


def panel(
    traverse: Mapping[str, Any],
    opening: Mapping[str, Any],
    both_states: bool,
    stood: str,
    wording: Wording,
    record: Mapping[str, Any] | None = None,
) -> Panel:
    """A traverse beside what was judged of its opening in the same state; `stood` says up to where it was open.

    The record tells of what sash it is, and what covers a part of the opening.
    """
    _ = wording
    names = {
        "average": _("average"),
        "lowest": _("lowest"),
        "highest": _("highest"),
        "spread": _("spread"),
        "deviation-percent": _("deviation"),
    }
    unit = traverse.get("unit") or ""
    made = []
    for code in SHORT:
        digits = figures.figure(code, opening)
        made.append((f"{digits} %" if code.endswith("percent") and digits != figures.NOTHING else digits, names[code]))
    others = _others(traverse, opening, wording, record["facts"]["hood"] if record else {})
    average = (opening.get("figures") or {}).get("average")
    state = _("as left") if traverse["state"] == "as-left" else _("found and left") if both_states else _("as found")
    heading = _("%(opening)s, %(state)s") % {"opening": traverse["opening"], "state": state}
    aside = f"{stood}; {figures.unit_shown(unit)}"
    cover, drawn = _of_the_front(record, traverse)
    covered = covers(*cover, unit, wording) if cover[0] else []
    return Panel(
        heading,
        aside,
        traverse,
        figures.exact(average) if average else None,
        made,
        "; ".join(others),
        [*covered, *notes(traverse, wording)],
        **drawn,
    )


def _of_the_front(
    record: Mapping[str, Any] | None, traverse: Mapping[str, Any]
) -> tuple[tuple[Cover | None, str, str], dict[str, Any]]:
    """What covers a part of the opening, and how the opening is drawn."""
    if record is None:
        return (None, "", ""), {}
    name, rows, sash = traverse["opening"], traverse["readings"], record["facts"]["hood"]["sash"]
    cover = of_record(record, name)
    way = next((each.get("way") for each in record["facts"]["openings"] if each["name"] == name), None)
    return cover, {
        "free": free_cells(*cover, len(rows[0]), len(rows), record["criteria"]["document"]["grid"]) if cover[0] else (),
        "place": None if sash == "vertical" else where(sash, way, name),
        "taken": share(*cover),
        "edge_above": has_edge_above(sash, way, name),
    }


def covers(cover: Cover | None, width: str, height: str, unit: str, wording: Wording) -> list[str]:
    """What covers a part of an opening, and the area that stays free."""
    free = told(cover, width, height, unit, wording)
    return [wording.sentence(free.as_dict())] if free else []


def _others(
    traverse: Mapping[str, Any], opening: Mapping[str, Any], wording: Wording, hood: Mapping[str, Any]
) -> list[str]:
    """The figures that have no place of their own, each beside a short name, and what the monitor showed meanwhile."""
    _ = wording
    names = {
        "spread-percent": _("spread"),
        "low-deviation-percent": _("lowest under the average by"),
        "standard-deviation": _("standard deviation"),
        "coefficient-of-variation": _("variation"),
        "flow": _("flow"),
        "benchmark-ratio": _("average against its benchmark"),
        "monitor-mark-ratio": _("pressure ÷ mark"),
    }
    told, error = [], None
    for code, number in (opening.get("figures") or {}).items():
        if not number or code in SHORT:
            continue
        said = f"{figures.figure(code, opening)} {figures.unit_shown(number['unit'])}".rstrip()
        if code == "monitor-error-percent":
            error = said if said.startswith(("−", "0 ")) else f"+{said}"
            continue
        told.append(f"{names.get(code) or wording.figure(code)} {said}")
    if traverse.get("monitor"):
        told.append(_shown(traverse["monitor"], error, hood, opening, wording))
    return told


def _shown(
    monitor: str, error: str | None, hood: Mapping[str, Any], opening: Mapping[str, Any], wording: Wording
) -> str:
    """What the monitor showed, with what stands beside it: its error, the flow that was computed, the mark of its gauge."""
    _ = wording
    said = _("monitor %(velocity)s") % {"velocity": figures.amount(monitor)}
    if error:
        return _("%(monitor)s, off by %(error)s") % {"monitor": said, "error": error}
    flow = (opening.get("figures") or {}).get("flow")
    if hood.get("monitor") == "flow" and flow:
        computed = f"{figures.figure('flow', opening)} {figures.unit_shown(flow['unit'])}"
        return _("%(monitor)s beside %(flow)s computed") % {"monitor": said, "flow": computed}
    if hood.get("monitor") == "pressure" and hood.get("set_point"):
        return _("%(monitor)s, its mark %(mark)s") % {"monitor": said, "mark": figures.amount(hood["set_point"])}
    return said


def notes(traverse: Mapping[str, Any], wording: Wording) -> list[str]:
    """What the drawing cannot show: repeats, struck readings with their reason."""
    _ = wording
    unit = figures.unit_shown(traverse.get("unit") or "")
    found = []
    for row, cells in enumerate(traverse["readings"], 1):
        for column, cell in enumerate(cells, 1):
            _value, digits, repeats = figures.mean(cell)
            if repeats:
                found.append(
                    _("Row %(row)s, column %(column)s: %(mean)s is the mean of %(readings)s")
                    % {"row": row, "column": column, "mean": digits, "readings": ", ".join(repeats)}
                )
    for row, column, text, why in figures.struck_readings(traverse):
        found.append(
            _("Row %(row)s, column %(column)s: %(reading)s %(unit)s struck and not counted: %(why)s")
            % {"row": row, "column": column, "reading": text, "unit": unit, "why": why}
        )
    return found
