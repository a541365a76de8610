"""An opening that something covers in part: its free area in words, and which cells of its drawing are covered."""

from collections.abc import Callable, Mapping
from typing import Any

from hoods.core.cover import Cover, said
from surveys.core.messages import Message
from surveys.core.opening import free_area, free_points
from surveys.core.units import quantity_or_none, shown, with_unit


def side_of(unit: str) -> str:
    """The length whose square an area is told in, beside velocities in this unit."""
    return "ft" if unit == "ft/min" else "m"


def told(cover: Cover | None, width: str, height: str, unit: str, words: Callable[[str], str]) -> Message | None:
    """What covers a part of an opening, and the area that stays free; None where nothing of it is covered."""
    if cover is None or cover.within(width, height) is None:
        return None
    side = side_of(unit)
    free, whole = (
        with_unit(shown(free_area(width, height, side, one), f"{side}**2"), f"{side}**2") for one in (cover, None)
    )
    return Message("free-area", {"cover": said(cover, words), "area": free, "whole": whole})


def of_record(record: Mapping[str, Any], name: str) -> tuple[Cover | None, str, str]:
    """What covers a part of an opening by the facts of a record, and the size that was measured."""
    known: Mapping[str, Any] = next((one for one in record["facts"]["openings"] if one["name"] == name), {})
    size: Mapping[str, Any] = next((one for one in record["entered"]["openings"] if one["name"] == name), {})
    cover = Cover.from_dict(known["cover"]) if known.get("cover") else None
    return cover, size.get("width") or "", size.get("height") or ""


def free_cells(
    cover: Cover | None, width: str, height: str, columns: int, rows: int, grid: Mapping[str, Any]
) -> list[list[bool]]:
    """Row by row, which places of a grid are points, by the grid rule of the criteria as their document has it."""
    free = free_points(width, height, columns, rows, quantity_or_none(grid.get("margin")), cover)
    flat = free or (True,) * (columns * rows)
    return [list(flat[row * columns : (row + 1) * columns]) for row in range(rows)]
