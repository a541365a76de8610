"""What differs between two versions of criteria: every rule is a row, the same, added, removed or changed.

Texts are compared as they are written: "80 ft/min" and "80.0 ft/min" are two limits where figures are rounded to the
last digit of the limit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from surveys.core.criteria import Asked, Criteria, Limit

SAME, ADDED, REMOVED, CHANGED = "same", "added", "removed", "changed"


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule that stands once in a version: its key, and its value as it is written."""

    key: str
    value: Any


Item = Limit | Asked | Rule


@dataclass(frozen=True, slots=True)
class Difference:
    """One part of a rule that was changed, from what to what."""

    key: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class Row:
    """One rule in both versions; None where a version has it not."""

    before: Item | None
    after: Item | None

    @property
    def item(self) -> Item:
        found = self.after or self.before
        assert found is not None
        return found

    @property
    def differences(self) -> tuple[Difference, ...]:
        if self.before is None or self.after is None:
            return ()
        return tuple(
            Difference(key, before, after)
            for key in _PARTS[type(self.after)]
            if (before := getattr(self.before, key)) != (after := getattr(self.after, key))
        )

    @property
    def mark(self) -> str:
        if self.before is None:
            return ADDED
        if self.after is None:
            return REMOVED
        return CHANGED if self.differences else SAME


@dataclass(frozen=True, slots=True)
class Compared:
    """Two versions beside one another: the limits, the checks and all other rules."""

    limits: tuple[Row, ...]
    checks: tuple[Row, ...]
    rules: tuple[Row, ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        return (*self.limits, *self.checks, *self.rules)

    @property
    def different(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.mark != SAME)

    @property
    def same(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.mark == SAME)


_SAID = ("applies_to", "consequence", "restriction", "source", "evidence")
_PARTS: dict[type, tuple[str, ...]] = {
    Limit: ("figure", "at_least", "at_most", *_SAID),
    Asked: ("check", *_SAID),
    Rule: ("value",),
}


def compared(before: Criteria | None, after: Criteria) -> Compared:
    """Two versions beside one another; without a version before, everything is added."""
    had = before.limits if before else ()
    asked = before.checks if before else ()
    return Compared(
        tuple(_matched(had, after.limits, _LIMITS_ALIKE)),
        tuple(_matched(asked, after.checks, _CHECKS_ALIKE)),
        tuple(_matched(tuple(rules(before)) if before else (), tuple(rules(after)), (lambda rule: rule.key,))),
    )


def rules(criteria: Criteria) -> Iterator[Rule]:
    """Every rule that is neither a limit nor a check, in the order in which a version is read."""
    given = criteria.as_dict()
    yield Rule("compare", criteria.compare)
    grid = criteria.grid
    if grid.by_cells:
        yield Rule("grid.largest_area", grid.largest_area)
        yield Rule("grid.longest_edge", grid.longest_edge)
    elif grid.points is not None:
        yield Rule("grid.points", grid.points)
    else:
        yield Rule("grid.margin", grid.margin)
        yield Rule("grid.spacing", grid.spacing)
    yield Rule("grid.source", _source(given.get("grid")))
    yield Rule("edge_exclusion", criteria.edge_exclusion)
    yield Rule("least_height", criteria.least_height)
    yield Rule("must_pass", criteria.must_pass)
    for key in ("months", "anchor", "grace_days", "use_ends_days"):
        yield Rule(f"due.{key}", criteria.due[key])
    yield Rule("due.source", _source(given.get("due")))
    yield Rule("evidence_required", criteria.evidence_required)
    yield Rule("smoke_first", criteria.smoke_first)


def _source(given: Any) -> str | None:
    """Where a group of rules comes from, and how that was seen."""
    said = [text for key in ("source", "evidence") if (text := (given or {}).get(key))]
    return ": ".join(said) or None


Key = Callable[[Any], Any]
# How alike two limits must be to be one that was changed: first those that differ in nothing, the least alike last.
_LIMITS_ALIKE: tuple[Key, ...] = (
    lambda limit: limit,
    lambda limit: (limit.figure.code, limit.applies_to, limit.consequence, _ends(limit)),
    lambda limit: (limit.figure.code, limit.applies_to, _ends(limit)),
    lambda limit: (limit.figure.code, limit.consequence, _ends(limit)),
    lambda limit: (limit.figure.code, limit.applies_to, limit.consequence),
    lambda limit: (limit.figure.code, _ends(limit)),
    lambda limit: limit.figure.code,
)
_CHECKS_ALIKE: tuple[Key, ...] = (
    lambda asked: (asked.check.code, asked.applies_to),
    lambda asked: asked.check.code,
)


def _ends(limit: Limit) -> tuple[bool, bool]:
    return limit.at_least is not None, limit.at_most is not None


def _matched(before: Sequence[Any], after: Sequence[Any], alike: Sequence[Key]) -> Iterator[Row]:
    """Each item of the new version beside the one it came from, and what is gone at the place where it stood."""
    partner: dict[int, int] = {}  # place before -> place after
    for key in alike:
        waiting: dict[Any, list[int]] = {}
        for place, item in enumerate(before):
            if place not in partner:
                waiting.setdefault(key(item), []).append(place)
        taken = set(partner.values())
        for place, item in enumerate(after):
            if place not in taken and waiting.get(key(item)):
                partner[waiting[key(item)].pop(0)] = place
    came_from = {new: old for old, new in partner.items()}
    gone = [place for place in range(len(before)) if place not in partner]
    for place, item in enumerate(after):
        old = came_from.get(place)
        while gone and gone[0] < (place + 1 if old is None else old):
            yield Row(before[gone.pop(0)], None)
        yield Row(before[old] if old is not None else None, item)
    yield from (Row(before[place], None) for place in gone)
