"""The demo's air: readings scattered about an average, the same each time for the same seed."""

from __future__ import annotations

import random
from datetime import datetime, timedelta
from fractions import Fraction


def readings(
    seed: str, average: int, *, rows: int, columns: int, begun: datetime, missing: int = 0
) -> list[list[dict[str, str | None] | None]]:
    """Whole readings, a row above the other, whose average is the one wanted to the last digit [ft/min].

    The air is a little faster at the top and in the middle columns; the last points may be missing.
    """
    chance = random.Random(seed)  # noqa: S311 a scatter, not a secret
    points = rows * columns
    scatter = [average * (_shape(place, rows, columns) + chance.gauss(0, 0.025)) for place in range(points)]
    level = average * points - round(sum(scatter))
    values = [round(value) + level // points for value in scatter]
    values[chance.randrange(points)] += average * points - sum(values)
    cells: list[dict[str, str | None] | None] = [
        {"value": str(value), "at": _moment(begun, place), "struck": None} for place, value in enumerate(values)
    ]
    for place in range(points - missing, points):
        cells[place] = None
    return [cells[row * columns : (row + 1) * columns] for row in range(rows)]


def _shape(place: int, rows: int, columns: int) -> float:
    row, column = divmod(place, columns)
    middle = 1 - abs(Fraction(2 * column + 1, columns) - 1)
    return 0.98 + 0.03 * float(middle) + 0.02 * (1 if row == 0 else -1)


def _moment(begun: datetime, place: int) -> str:
    return (begun + timedelta(seconds=25 * place)).isoformat().replace("+00:00", "Z")
