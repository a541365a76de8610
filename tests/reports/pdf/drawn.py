"""Records drawn by chance, for laws of prints."""

import random
from typing import Any

from tests.reports.pdf.records import CRITERIA, LOWER, WORKING, entered, record, traverse


def drawn(seed: int) -> dict:
    """A record drawn at random: grid, unit, level, states, missing points, limits of every figure."""
    source = random.Random(seed)
    unit = source.choice(("ft/min", "m/s"))
    columns, rows = source.randint(1, 7), source.randint(1, 4)
    openings = [{"name": "working", "width": f"{12 * columns} in", "height": f"{12 * rows} in"}]
    names = (WORKING,)
    if source.random() < 0.4:
        openings.append({"name": "lower", "width": f"{12 * columns} in", "height": "6 in"})
        names = (WORKING, LOWER)
    is_adjusted = source.random() < 0.4
    level = source.choice((60, 78, 80, 100, 119, 130))
    traverses = []
    for state in ("as-found", "as-left") if is_adjusted else ("as-found",):
        for opening in openings:
            deep = rows if opening["name"] == "working" else 1
            grid = [[_read(source, level, unit) for _column in range(columns)] for _row in range(deep)]
            if source.random() < 0.15:
                grid[-1][-1] = None
            traverses.append(traverse(grid, opening["name"], state, unit, source.choice((None, f"{level} ft/min"))))
    criteria = CRITERIA | {
        "compare": source.choice(("as-measured", "rounded")),
        "limits": [
            *CRITERIA["limits"],
            {"figure": "average", "at_least": "0.40 m/s", "applies_to": "each", "consequence": "note"},
            {"figure": "spread", "at_most": "40 ft/min", "applies_to": "each", "consequence": "note"},
            {"figure": "standard-deviation", "at_most": "8 ft/min", "applies_to": "each", "consequence": "note"},
            {"figure": "coefficient-of-variation", "at_most": "10 %", "applies_to": "each", "consequence": "note"},
        ],
    }
    content = entered(traverses, openings=openings, adjusted=is_adjusted)
    return record(content, criteria=criteria, openings=names, number=seed, calibration_covers=source.random() < 0.9)


def _read(source: random.Random, level: int, unit: str) -> Any:
    def one() -> str:
        speed = level + source.randint(-12, 12)
        return str(speed) if unit == "ft/min" else f"{speed * 0.00508:.2f}"

    if source.random() < 0.05:
        return [one(), one()]
    if source.random() < 0.03:
        return [{"value": "999", "at": None, "struck": "slip"}, one()]
    return one()
