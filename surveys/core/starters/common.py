"""What sets to start from have in common: their shape, their checks, and the rules that most sources leave open."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Starter:
    """A set to start from; its criteria document is the shape that every version has."""

    code: str
    name: str
    words: str
    _document: dict[str, Any]

    @property
    def document(self) -> dict[str, Any]:
        """The criteria document, a copy of its own for each who asks."""
        return deepcopy(self._document)


COMMON_PRACTICE = "common practice, no source"

# What a 'no' costs. The consequences are a starting point that every site decides for itself.
FAIL_EACH = ("smoke-at-opening", "air-drawn-in")
FAIL_HOOD = ("sash-moves-and-stays", "glazing-whole", "counterweight-sound")
NOTE_HOOD = ("alarm-not-muted", "light-works", "outlets-work")
UNDECIDED_EACH = ("smoke-inside-clears",)
UNDECIDED_HOOD = (
    "sash-one-hand", "stop-and-mark-in-place", "airfoil-and-slots-clear", "baffles-set", "storage-clear",
    "monitor-works", "alarm-works", "wash-down-works", "panels-in-tracks", "sash-stops-at-obstruction",
    "sash-released-by-hand", "sash-stays-without-power", "cupboard-vented", "no-organics", "residue-tested",
    "radiation-office-told", "filter-type-fits", "filter-in-date", "materials-approved", "no-breakthrough", "auxiliary-air-off",
    "auxiliary-air-on",
)  # fmt: skip

YEARLY = "Prudent Practices in the Laboratory (National Research Council, 2011), section 9.C.2.8: each year or oftener"
YEARLY_SEEN = "read in an excerpt"
GRID = "ASHRAE 110, section 6.1: cells of at most 1 ft²; a longest edge of 13 in is common practice"
GRID_SEEN = "the area read in a digest of a draft; the edge from memory, 12 in and 13 in are both in use"
METRIC_GRID = "ASHRAE 110, section 6.1: cells of at most 1 ft² (0.093 m²); a longest edge of 330 mm is common practice"
METRIC_GRID_SEEN = (
    "the area read in a digest of a draft, which prints a slip in its metric figure; the edge from memory, 305 mm and "
    "330 mm are both in use"
)


def _checks() -> list[dict[str, Any]]:
    """The checks, with what a 'no' costs, in groups; criteria are read in the order of CHECKS, not of this list."""
    groups = (
        (FAIL_EACH, "each", "fail"),
        (FAIL_HOOD, "hood", "fail"),
        (UNDECIDED_EACH, "each", "undecided"),
        (UNDECIDED_HOOD, "hood", "undecided"),
        (NOTE_HOOD, "hood", "note"),
    )
    return [
        {"check": check, "applies_to": applies_to, "consequence": consequence, "source": COMMON_PRACTICE}
        for checks, applies_to, consequence in groups
        for check in checks
    ]


def document(*, limits: list[dict[str, Any]], due: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    """A criteria document: these limits, the checks, each year to the day; `changes` are other rules of its own."""
    return {
        "compare": "as-measured",
        "edge_exclusion": "0 in",
        "least_height": "6 in",
        "must_pass": [],
        "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in", "source": GRID, "evidence": GRID_SEEN},
        "due": {
            "months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None,
            **(due or {"source": YEARLY, "evidence": YEARLY_SEEN}),
        },
        "limits": limits,
        "checks": _checks(),
        **changes,
    }  # fmt: skip


METRIC = {
    "edge_exclusion": "0 mm",
    "least_height": "150 mm",
    "grid": {
        "largest_area": "0.093 m**2", "longest_edge": "330 mm", "source": METRIC_GRID, "evidence": METRIC_GRID_SEEN,
    },
}  # fmt: skip


def nothing() -> dict[str, Any]:
    """The document that a set begins with which is made from nothing: no limit and no check; a grid and an interval."""
    return document(limits=[], checks=[])
