"""What every plot is drawn with: one drawing serves the page (svg.py writes it) and the print (it is drawn on the canvas).

Places are in points of the drawing from its lower left corner, as reportlab has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Circle, Drawing, Group, Line, Polygon, PolyLine, Rect, String
from reportlab.lib.colors import Color, HexColor

from reports.pdf.style import MM, REGULAR, SEMIBOLD, Pages, shown, width, wrap

WIDE = 900.0  # every plot; its height is as it needs
FACE = 1.22  # how much wider a reader's own face may run than the one measured here
SIZE = 17.0  # of the type on a page; a print sets the drawing smaller as a whole

# Inks by name: light, dark. What is drawn names an ink; the page's dark ones stand in a style element (svg.py).
INKS: dict[str, tuple[str, str]] = {
    "paper": ("#f7f7f3", "#11171c"),
    "ink": ("#14202a", "#e9ecea"),
    "soft": ("#4a5661", "#abb6be"),
    "hair": ("#cdd2d0", "#35414a"),
    "line": ("#717d85", "#7f8d97"),
    "stop": ("#a5201a", "#ff9c92"),
    "limit": ("#845300", "#e9bf6a"),
    "met": ("#1b6237", "#86d3a2"),
    "spot": ("#174a85", "#94c1f2"),
    "pale": ("#b9c6c0", "#41525e"),
    "ok": ("#ecefec", "#1d2a33"),
}
INK: dict[str, Color] = {name: HexColor(light) for name, (light, _dark) in INKS.items()}
NAME = {colour.hexval(): name for name, colour in INK.items()}


@dataclass(frozen=True)
class Scale:
    """A value's place along an axis."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        span = self.high - self.low
        return self.start + (value - self.low) / span * (self.end - self.start) if span else self.start


def steps(low: float, high: float, about: int = 5) -> list[float]:
    """Round values from below the lowest to above the highest, as an axis is written with."""
    span = max(high - low, 1e-9)
    power = 10 ** _floor_log(span / about)
    step = min((power * one for one in (1, 2, 5, 10)), key=lambda one: abs(span / one - about))
    first, last = int(low // step), int(-(-high // step))
    return [number * step for number in range(first, last + 1)]


def _floor_log(value: float) -> int:
    power = 0
    while value >= 10:
        value, power = value / 10, power + 1
    while value < 1:
        value, power = value * 10, power - 1
    return power


class Plot:
    """A drawing in the making."""

    def __init__(self, high: float, title: str, said: str, wide: float = WIDE):
        self.wide, self.high, self.title, self.said = wide, high, shown(title), shown(said)
        self.drawing = Drawing(wide, high)
        self.rect(0, 0, wide, high, fill="paper")

    def rect(
        self, x: float, y: float, wide: float, high: float, fill: str = "", edge: str = "", thick: float = 1,
        dashes: Sequence[float] | None = None,
    ) -> None:  # fmt: skip
        self.drawing.add(
            Rect(x, y, wide, high, fillColor=INK.get(fill), strokeColor=INK.get(edge), strokeWidth=thick,
                 strokeDashArray=list(dashes) if dashes else None)
        )  # fmt: skip

    def hatched(self, x: float, y: float, wide: float, high: float, ink: str = "limit", apart: float = 8) -> None:
        """A field of slanted strokes on paper: seen apart from a plain one in grey too."""
        self.rect(x, y, wide, high, fill="paper")
        start = x - high
        while start < x + wide:
            left, right = max(x, start), min(x + wide, start + high)
            if right - left > 0.4:
                self.line(left, y + left - start, right, y + right - start, ink, 2.6)
            start += apart

    def line(
        self, x: float, y: float, to_x: float, to_y: float, ink: str = "ink", thick: float = 1,
        dashes: Sequence[float] | None = None,
    ) -> None:  # fmt: skip
        self.drawing.add(
            Line(x, y, to_x, to_y, strokeColor=INK[ink], strokeWidth=thick,
                 strokeDashArray=list(dashes) if dashes else None)
        )  # fmt: skip

    def path(self, points: Sequence[tuple[float, float]], ink: str = "ink", thick: float = 2,
             dashes: Sequence[float] | None = None) -> None:  # fmt: skip
        flat = [place for point in points for place in point]
        if len(points) > 1:
            self.drawing.add(
                PolyLine(flat, strokeColor=INK[ink], strokeWidth=thick,
                         strokeDashArray=list(dashes) if dashes else None)
            )  # fmt: skip

    def area(self, points: Sequence[tuple[float, float]], fill: str) -> None:
        flat = [place for point in points for place in point]
        self.drawing.add(Polygon(flat, fillColor=INK[fill], strokeColor=None))

    def text(self, x: float, y: float, text: str, ink: str = "ink", align: str = "start", bold: bool = False,
             size: float = SIZE) -> None:  # fmt: skip
        text = shown(text)
        if text:
            self.drawing.add(
                String(x, y, text, fontName=SEMIBOLD if bold else REGULAR, fontSize=size, fillColor=INK[ink],
                       textAnchor=align)
            )  # fmt: skip

    def lines(self, x: float, y: float, text: str, measure: float, ink: str = "ink", align: str = "start") -> float:
        """Text in lines no wider than the measure, the last standing on y; the answer is the top of the first."""
        found = wrap(text, measure / FACE, SIZE)
        for number, line in enumerate(reversed(found)):
            self.text(x, y + number * 1.2 * SIZE, line, ink, align)
        return y + len(found) * 1.2 * SIZE

    def dot(self, x: float, y: float, radius: float = 5.5, open_: bool = False) -> None:
        fill, edge = ("paper", "ink") if open_ else ("ink", "")
        self.drawing.add(
            Circle(x, y, radius, fillColor=INK[fill], strokeColor=INK.get(edge), strokeWidth=2 if open_ else 0)
        )

    def mark(self, x: float, y: float, verdict: str, radius: float = 6.0) -> None:
        """A point with its verdict: each has an outline of its own."""
        r = radius
        if verdict == "fail":
            arm = 0.42 * r
            corners = [(-arm, r), (arm, r), (r, arm), (r, -arm), (arm, -r), (-arm, -r), (-r, -arm), (-r, arm)]
            self.area([(x + dx, y + dy) for dx, dy in corners], "stop")
            for sign in (1, -1):
                self.line(x - 0.4 * r, y - 0.4 * sign * r, x + 0.4 * r, y + 0.4 * sign * r, "paper", 0.26 * r)
        elif verdict == "restrict":
            r = 1.12 * r
            self.area([(x - r, y), (x, y + r), (x + r, y), (x, y - r)], "limit")
            inner = 0.5 * r
            self.area([(x - inner, y + 0.1 * r), (x, y + 0.1 * r + inner), (x + inner, y + 0.1 * r)], "paper")
        elif verdict == "no-verdict":
            self.rect(x - 0.8 * r, y - 0.8 * r, 1.6 * r, 1.6 * r, fill="paper", edge="line", dashes=(2, 2))
        else:
            self.dot(x, y, 0.9 * r)

    def draw(self, pages: Pages, x: float, y: float, wide: float) -> None:
        """On a page of a print: its top left corner here, so wide [mm]; the ground stays white."""
        scale = wide * MM / self.wide
        group = Group(*self.drawing.contents[1:], transform=(scale, 0, 0, scale, 0, 0))
        printed = Drawing(self.wide * scale, self.high * scale, group)
        renderPDF.draw(printed, pages.canvas, x * MM, (pages.height - y) * MM - self.high * scale)

    def height_at(self, wide: float) -> float:
        """How high it stands when it is so wide [mm]."""
        return wide * self.high / self.wide


def text_width(text: str, size: float = SIZE, bold: bool = False) -> float:
    """About how wide a line stands, in points of the drawing; a little more, for a reader's own face."""
    return FACE * width(text, size, SEMIBOLD if bold else REGULAR)


__all__ = ["INK", "INKS", "NAME", "SIZE", "WIDE", "Plot", "Scale", "steps", "text_width"]
