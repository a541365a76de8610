"""Where an opening stands in the front of its hood, drawn small; and parts of an opening that something covers."""

from collections.abc import Sequence
from fractions import Fraction

from reports.pdf.style import EDGE, GLASS, INK, WHITE, Pages
from surveys.core.sash import FRONT

ICON_WIDE = 6.4  # of the small front beside a heading [mm]


def hatched(pages: Pages, x: float, y: float, wide: float, tall: float) -> None:
    """A part that something covers: no point lies there."""
    pages.box(x, y, wide, tall, fill=GLASS, edge=EDGE, thick=0.2)
    step = 1.8
    for number in range(1, int((wide + tall) / step) + 1):
        along = number * step
        pages.rule(
            x + min(along, wide),
            y + max(0.0, along - wide),
            x + max(0.0, along - tall),
            y + min(along, tall),
            0.15,
            EDGE,
        )


def front(
    pages: Pages, x: float, y: float, wide: float, place: tuple[int, int, int, int], taken: Sequence[Fraction] | None
) -> None:
    """Where an opening stands in the front of its hood, small: closed parts are shaded, covered ones darker."""
    scale = wide / FRONT[0]
    left, top, across, down = (scale * side for side in place)
    inner, high = scale * 6, scale * FRONT[1]
    pages.box(x + inner, y + inner, wide - 2 * inner, high - 2 * inner, fill=GLASS, edge=INK, thick=0.25)
    pages.box(x + left, y + top, across, down, fill=WHITE, edge=INK, thick=0.2)
    if taken:
        aside, below, width_of, height_of = (float(part) for part in taken)
        pages.box(
            x + left + aside * across,
            y + top + below * down,
            width_of * across,
            height_of * down,
            fill=EDGE,
            edge=INK,
            thick=0.15,
        )
    pages.rule(x, y + high - inner, x + wide, thick=0.35)
