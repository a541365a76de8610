"""Criteria: the limits and checks of a version, read from its document. What can be judged is in figures.py, what stops a
version from being adopted in adoption.py.

Which figures a site judges, and with which limits, is data; what a figure is, is code.
"""

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from surveys.core import codes
from surveys.core.checks import CHECK, Check
from surveys.core.figures import FIGURE, FIGURES, Figure
from surveys.core.messages import Message
from surveys.core.opening import GridRule
from surveys.core.shapes import Shape
from surveys.core.units import AREA, LENGTH, Quantity

__all__ = ["FIGURE", "FIGURES", "Asked", "Criteria", "Figure", "Limit"]


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit on a figure: at least, at most, or both; where it applies, and what it costs when it is not met."""

    figure: Figure
    at_least: Quantity | None
    at_most: Quantity | None
    applies_to: str
    consequence: str
    restriction: str | None = None
    source: str | None = None
    evidence: str | None = None

    @property
    def unit(self) -> str:
        """The unit that the figure is judged and shown in."""
        bound = self.at_least or self.at_most
        return bound.unit if bound else ""

    @property
    def bounds(self) -> tuple[Quantity, ...]:
        return tuple(bound for bound in (self.at_least, self.at_most) if bound is not None)

    def said(self) -> Message:
        """The limit in words: "at least 80 ft/min"."""
        values = {"least": str(self.at_least or ""), "most": str(self.at_most or "")}
        if self.at_least and self.at_most:
            return Message("between", values)
        if self.at_least:
            return Message("at-least", {"least": values["least"]})
        return Message("at-most", {"most": values["most"]})


@dataclass(frozen=True, slots=True)
class Asked:
    """A check that the criteria ask for: of what, and what a 'no' costs."""

    check: Check
    applies_to: str
    consequence: str
    restriction: str | None = None
    source: str | None = None
    evidence: str | None = None


@dataclass(frozen=True)
class Criteria:
    """One version of a site's criteria: everything that the site may decide.

    `evidence_required`: a hood is judged by it only with evidence that it may be, such as a tracer gas test.
    `smoke_first`: the survey page asks for smoke at an opening before its traverse.
    """

    compare: str
    edge_exclusion: Quantity
    least_height: Quantity
    must_pass: tuple[str, ...]
    grid: GridRule
    due: Mapping[str, str | None]
    limits: tuple[Limit, ...]
    checks: tuple[Asked, ...]
    evidence_required: bool = False
    smoke_first: bool = False
    _given: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def from_dict(cls, given: Mapping[str, Any]) -> "Criteria":
        """Criteria from their document. Raises WrongShape with a sentence for each place that has not the agreed shape."""
        shape = Shape()
        made = _criteria(shape, given)
        shape.refuse_if_wrong()
        return made

    @property
    def costly(self) -> tuple["Limit | Asked", ...]:
        """The limits and checks that can fail a hood or restrict it."""
        every: tuple[Limit | Asked, ...] = (*self.limits, *self.checks)
        return tuple(item for item in every if item.consequence in ("fail", "restrict"))

    def as_dict(self) -> dict[str, Any]:
        """The document that these criteria were read from."""
        return deepcopy(dict(self._given))


_SAID = ("source", "evidence")
GRID_KEYS = ("largest_area", "longest_edge", "margin", "spacing", "points")
MOST_POINTS = 100
_COSTS = (*codes.CONSEQUENCES, "undecided")
_TOP = (
    "compare", "edge_exclusion", "least_height", "must_pass", "grid", "due", "limits", "checks", "evidence_required", "smoke_first",
)  # fmt: skip


def _criteria(shape: Shape, given: Any) -> Criteria:
    top = shape.table("", given, (*_TOP, *_SAID))
    grid = shape.table("grid", top.get("grid"), (*GRID_KEYS, *_SAID))
    due = shape.table("due", top.get("due"), ("months", "anchor", "grace_days", "use_ends_days", *_SAID))
    return Criteria(
        compare=_needed_code(shape, "compare", top.get("compare"), ("as-measured", "rounded")),
        edge_exclusion=shape.needed_quantity("edge_exclusion", top.get("edge_exclusion") or "0 in", LENGTH),
        least_height=shape.needed_quantity("least_height", top.get("least_height") or "0 in", LENGTH),
        must_pass=tuple(
            _needed_code(shape, path, item, codes.USES)
            for path, item in shape.items("must_pass", top.get("must_pass"), 10)
        ),
        grid=_grid(shape, grid),
        due={
            "months": shape.needed_text("due.months", due.get("months"), 10),
            "anchor": _needed_code(shape, "due.anchor", due.get("anchor") or "day", ("day", "month-end")),
            "grace_days": shape.text("due.grace_days", due.get("grace_days"), 10) or "0",
            "use_ends_days": shape.text("due.use_ends_days", due.get("use_ends_days"), 10),
        },
        limits=tuple(_limit(shape, path, item) for path, item in shape.items("limits", top.get("limits"), 200)),
        checks=tuple(_asked(shape, path, item) for path, item in shape.items("checks", top.get("checks"), 200)),
        evidence_required=shape.flag("evidence_required", top.get("evidence_required")) or False,
        smoke_first=shape.flag("smoke_first", top.get("smoke_first")) or False,
        _given=deepcopy(dict(top)),
    )


def _grid(shape: Shape, grid: Mapping[str, Any]) -> GridRule:
    """One of three rules: cells, margin and spacing, a number of points."""
    area, edge = Quantity("1", "ft**2"), Quantity("1", "ft")
    kinds = [keys for keys in (GRID_KEYS[:2], GRID_KEYS[2:4], GRID_KEYS[4:]) if any(grid.get(key) for key in keys)]
    if len(kinds) > 1:
        shape.wrong("grid", "grid-mixed")
    elif kinds == [GRID_KEYS[4:]]:
        text = shape.text("grid.points", grid.get("points"), 10) or ""
        if not (text.isascii() and text.isdigit() and 1 <= int(text) <= MOST_POINTS):
            shape.wrong("grid.points", "grid-points", text=text, most=str(MOST_POINTS))
            text = "1"
        return GridRule(area, edge, points=int(text))
    elif kinds == [GRID_KEYS[2:4]]:
        margin, spacing = (shape.needed_quantity(f"grid.{key}", grid.get(key), LENGTH) for key in GRID_KEYS[2:4])
        return GridRule(area, edge, margin, spacing)
    return GridRule(
        shape.needed_quantity("grid.largest_area", grid.get("largest_area"), AREA),
        shape.needed_quantity("grid.longest_edge", grid.get("longest_edge"), LENGTH),
    )


def _needed_code(shape: Shape, path: str, given: Any, known: tuple[str, ...]) -> str:
    if given is None:
        shape.wrong(path, "key-missing", key=path.rpartition(".")[2])
    return shape.code(path, given, known) or known[0]


def _limit(shape: Shape, path: str, given: Any) -> Limit:
    keys = ("figure", "at_least", "at_most", "applies_to", "consequence", "restriction", *_SAID)
    table = shape.table(path, given, keys)

    def bound(key: str) -> Quantity | None:
        return None if table.get(key) is None else shape.quantity(f"{path}.{key}", table.get(key))

    return Limit(
        figure=FIGURE[_needed_code(shape, f"{path}.figure", table.get("figure"), tuple(FIGURE))],
        at_least=bound("at_least"),
        at_most=bound("at_most"),
        applies_to=shape.code(f"{path}.applies_to", table.get("applies_to"), ("each", *codes.USES, "hood")) or "each",
        consequence=_needed_code(shape, f"{path}.consequence", table.get("consequence"), codes.CONSEQUENCES),
        **_words(shape, path, table),
    )


def _asked(shape: Shape, path: str, given: Any) -> Asked:
    table = shape.table(path, given, ("check", "applies_to", "consequence", "restriction", *_SAID))
    return Asked(
        check=CHECK[_needed_code(shape, f"{path}.check", table.get("check"), tuple(CHECK))],
        applies_to=shape.code(f"{path}.applies_to", table.get("applies_to"), ("each", *codes.USES, "hood")) or "each",
        consequence=_needed_code(shape, f"{path}.consequence", table.get("consequence"), _COSTS),
        **_words(shape, path, table),
    )


def _words(shape: Shape, path: str, table: Mapping[str, Any]) -> dict[str, str | None]:
    return {key: shape.text(f"{path}.{key}", table.get(key), 2000) or None for key in ("restriction", *_SAID)}
