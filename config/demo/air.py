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


def drifted(fan: str, tag: str, year: int) -> int:
    """The average that a hood is found at in a year: its fan loses a little each year until it is set again [ft/min]."""
    chance = random.Random(f"{fan}/{tag}/{year}")  # noqa: S311
    since_set = (year + random.Random(fan).randrange(4)) % 4  # noqa: S311
    own = random.Random(tag).randrange(-4, 5)  # noqa: S311
    return 102 + own - 4 * since_set + round(chance.gauss(0, 2)) - (40 if chance.random() < 0.02 else 0)


def mended(tag: str, year: int) -> int:
    """The average after a hood that failed was mended [ft/min]."""
    return 99 + random.Random(f"{tag}/{year}/mended").randrange(8)  # noqa: S311


def drifting(tag: str, first: int, lost: int, year: int) -> int:
    """The average of a hood whose fan loses so much each year [ft/min]."""
    own = random.Random(tag).randrange(-2, 3)  # noqa: S311
    return first + own - lost * year
