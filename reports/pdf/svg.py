"""A drawing as SVG for an <img>: light inks as attributes, dark ones in a style element, type in the reader's own face.

reportlab has a writer of its own, which puts a style on every element, ids that repeat, and '...' for the title; a page
under a strict policy and a reader of titles want neither, so these few shapes are written here.
"""

from __future__ import annotations

from html import escape
from typing import Any

from reportlab.graphics.shapes import Circle, Line, Polygon, PolyLine, Rect, String

from reports.pdf.plot import INKS, NAME, SIZE, Plot
from reports.pdf.style import REGULAR

FACE = "-apple-system, 'Segoe UI', Roboto, 'Noto Sans', 'Liberation Sans', system-ui, sans-serif"
_DARK = " ".join(
    f".f-{name} {{ fill: {dark} }} .s-{name} {{ stroke: {dark} }}" for name, (_light, dark) in INKS.items()
)


def svg(plot: Plot) -> bytes:
    """The plot as a file of its own; the same plot gives the same bytes."""
    body = "\n".join(_shape(shape, plot.high) for shape in plot.drawing.contents)
    wide, high = _n(plot.wide), _n(plot.high)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img" '
        f'font-family="{FACE}" font-size="{_n(SIZE)}">\n'
        f"<title>{escape(plot.title)}</title><desc>{escape(plot.said)}</desc>\n"
        f"<style>@media (prefers-color-scheme: dark) {{ {_DARK} }}</style>\n{body}\n</svg>\n"
    ).encode()


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _paint(shape: Any) -> str:
    """Fill and stroke as attributes, and as classes that the dark inks go by."""
    classes, attributes = [], []
    fill = getattr(shape, "fillColor", None)
    if fill is not None:
        name = NAME[fill.hexval()]
        classes.append(f"f-{name}")
        attributes.append(f'fill="{INKS[name][0]}"')
    else:
        attributes.append('fill="none"')
    stroke = getattr(shape, "strokeColor", None)
    if stroke is not None and not isinstance(shape, String):
        name = NAME[stroke.hexval()]
        classes.append(f"s-{name}")
        attributes.append(f'stroke="{INKS[name][0]}" stroke-width="{_n(shape.strokeWidth)}"')
        if shape.strokeDashArray:
            attributes.append(f'stroke-dasharray="{" ".join(_n(one) for one in shape.strokeDashArray)}"')
    return f'class="{" ".join(classes)}" {" ".join(attributes)}'


def _points(flat: list[float], high: float) -> str:
    return " ".join(f"{_n(x)},{_n(high - y)}" for x, y in zip(flat[::2], flat[1::2], strict=True))


def _shape(shape: Any, high: float) -> str:
    paint = _paint(shape)
    match shape:
        case Rect():
            top = high - shape.y - shape.height
            return (
                f'<rect x="{_n(shape.x)}" y="{_n(top)}" width="{_n(shape.width)}" height="{_n(shape.height)}" {paint}/>'
            )
        case Line():
            ends = f'x1="{_n(shape.x1)}" y1="{_n(high - shape.y1)}" x2="{_n(shape.x2)}" y2="{_n(high - shape.y2)}"'
            return f"<line {ends} {paint}/>"
        case Circle():
            return f'<circle cx="{_n(shape.cx)}" cy="{_n(high - shape.cy)}" r="{_n(shape.r)}" {paint}/>'
        case Polygon():
            return f'<polygon points="{_points(shape.points, high)}" {paint}/>'
        case PolyLine():
            return f'<polyline points="{_points(shape.points, high)}" {paint}/>'
        case String():
            weight = "" if shape.fontName == REGULAR else ' font-weight="600"'
            anchor = f' text-anchor="{shape.textAnchor}"' if shape.textAnchor != "start" else ""
            size = f' font-size="{_n(shape.fontSize)}"' if shape.fontSize != SIZE else ""
            place = f'x="{_n(shape.x)}" y="{_n(high - shape.y)}"'
            return f"<text {place}{anchor}{weight}{size} {paint}>{escape(shape.text)}</text>"
    raise TypeError(f"no way to write {type(shape).__name__}")
