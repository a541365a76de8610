"""Where an opening stands in the front of its hood, as it is drawn: of a hood without a sash all of it is open."""

from hoods.core.part import part_of
from surveys.core.messages import Message
from surveys.core.sash import PLACES, Allowed

OPEN_FRONT = (6, 6, 108, 78)


def where(sash: str, way: str | None, name: str = "") -> tuple[int, int, int, int]:
    """From the left, from the top, how wide and high."""
    return OPEN_FRONT if sash == "none" else PLACES[part_of(way, name)]


def called(opening: Allowed, sash: str) -> Message:
    """What an opening is called beside a figure: the part of a sash with parts that it alone is of, else its name."""
    part = part_of(opening.way, opening.name) if sash in ("horizontal", "combination") and not opening.of_several else ""
    if part in ("frame", "panels"):
        return Message("called-frame", {"height": opening.height}) if part == "frame" else Message("called-together")
    return Message("called-panel", {"panel": part}) if part else Message("called-as-named", {"opening": opening.name})
