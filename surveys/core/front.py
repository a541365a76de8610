"""Where an opening stands in the front of its hood, as it is drawn: of a hood without a sash all of it is open."""

from surveys.core.sash import PLACES, part_of

OPEN_FRONT = (6, 6, 108, 78)


def where(sash: str, way: str | None, name: str = "") -> tuple[int, int, int, int]:
    """From the left, from the top, how wide and high."""
    return OPEN_FRONT if sash == "none" else PLACES[part_of(way, name)]
