"""Which part of a sash makes an opening: until that is said, nobody can tell what stays closed while it is open."""

from __future__ import annotations

# The ways that the register offers, and what openings were called before it did. Another text is told as it was written.
_PARTS = {
    "frame": "frame", "frame raised": "frame", "left": "left", "left panel": "left", "centre": "centre",
    "centre panel": "centre", "center": "centre", "right": "right", "right panel": "right", "panels": "panels",
    "panels open": "panels",
}  # fmt: skip
_SLIDING = ("left", "centre", "right", "panels")
#: The parts of each sash that has several.
OF_SASH = {"horizontal": _SLIDING, "combination": ("frame", *_SLIDING)}
#: The uses of openings at which a hood may come to be used.
OF_USE = ("working", "lower")


def part_of(way: str | None, name: str = "") -> str:
    """The part that is moved: frame, left, centre, right, panels; empty where neither way nor name says one."""
    return _PARTS.get((way or name).strip().lower(), "")


def lacks_part(sash: str, use: str, way: str | None, name: str) -> bool:
    """Whether nothing says which part of its sash an opening is at which the hood may come to be used.

    A way in the site's own words is a part that the site knows. Of a sash that opens in one way nothing needs saying; a part
    of the sash that the hood had before is none of it.
    """
    if use not in OF_USE:
        return False
    if of_another_sash(sash, way):
        return True
    return sash in OF_SASH and not (way or "").strip() and part_of(name) not in OF_SASH[sash]


def of_another_sash(sash: str, way: str | None) -> bool:
    """Whether an opening is kept as a part that this sash does not have."""
    part = part_of(way)
    return bool(part) and part not in OF_SASH.get(sash, ())
