"""Exact judging of 24 points with 8 limits beside the same figures and comparisons in floats."""

from __future__ import annotations

import math

from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from surveys.core.judging import judge
from tests.bench.ratio import ratio, said

VALUES = [[str(95 + (5 * row + 3 * column) % 11) for column in range(8)] for row in range(3)]
LIMITS = (
    ("average", "at_least", "80 ft/min"), ("average", "at_most", "120 ft/min"), ("lowest", "at_least", "70 ft/min"),
    ("highest", "at_most", "130 ft/min"), ("spread", "at_most", "40 ft/min"), ("spread-percent", "at_most", "40 %"),
    ("deviation-percent", "at_most", "20 %"), ("coefficient-of-variation", "at_most", "10 %"),
)  # fmt: skip
CRITERIA = {
    "compare": "as-measured", "edge_exclusion": "1 in", "least_height": "6 in", "must_pass": [],
    "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"},
    "due": {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None},
    "limits": [{"figure": figure, side: at, "applies_to": "each", "consequence": "fail"} for figure, side, at in LIMITS],
    "checks": [],
}  # fmt: skip
DOCUMENT = {
    "openings": [{"name": "working", "width": "96 in", "height": "36 in"}],
    "traverses": [{"opening": "working", "state": "as-found", "unit": "ft/min", "monitor": None, "readings": VALUES}],
    "answers": [], "adjusted": False,
}  # fmt: skip
FACTS = {
    "hood": {"kind": "general", "control": "bypass", "sash": "vertical", "monitor": "velocity"},
    "openings": [{"name": "working", "use": "working"}], "calibration_covers": True,
}  # fmt: skip


def in_floats() -> dict[str, bool]:
    """All the figures of a traverse, and the eight comparisons, the quick way."""
    values = [float(value) for row in VALUES for value in row]
    average = sum(values) / len(values)
    lowest, highest = min(values), max(values)
    deviation = math.sqrt(sum((value - average) ** 2 for value in values) / (len(values) - 1))
    figures = {
        "average": average, "lowest": lowest, "highest": highest, "spread": highest - lowest,
        "spread-percent": 100 * (highest - lowest) / average,
        "deviation-percent": 100 * max(abs(value - average) for value in values) / average,
        "low-deviation-percent": 100 * (average - lowest) / average, "standard-deviation": deviation,
        "coefficient-of-variation": 100 * deviation / average, "flow": average * 8 * 3,
    }  # fmt: skip
    return {
        f"{figure} {side}": figures[figure] >= float(at.split()[0])
        if side == "at_least"
        else figures[figure] <= float(at.split()[0])
        for figure, side, at in LIMITS
    }


def bench_exact_judging_beside_floats():
    document, facts, criteria = parse(DOCUMENT), Facts.from_dict(FACTS), Criteria.from_dict(CRITERIA)
    exact = judge(document, facts, criteria)
    judgements = exact.as_dict()["sets"]["as-left"]["openings"][0]["judgements"]
    assert [one["outcome"] == "met" for one in judgements] == list(in_floats().values())

    def many(way):
        return lambda: [way() for _ in range(200)]

    found = ratio(many(lambda: judge(document, facts, criteria)), many(in_floats))
    said("exact judging of 24 points with 8 limits, beside floats", found, at_most=25)
