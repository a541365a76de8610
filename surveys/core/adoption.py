"""Why a version of criteria cannot be adopted, and what of it says nothing or could never be met."""

import re
from collections.abc import Mapping

from surveys.core.criteria import Criteria, Limit
from surveys.core.figures import Figure
from surveys.core.messages import Message, Problem
from surveys.core.opening import GridRule
from surveys.core.rounding import digits_of
from surveys.core.together import cannot_both
from surveys.core.units import PERCENT, RATIO, Quantity, unit_words, with_unit

MOST_HEIGHT = 60  # in; a lower opening of that height is not lower than an arm reaches (common practice, no source)


def why_not_adopt(criteria: Criteria) -> tuple[Problem, ...]:
    """Why this version cannot be adopted; nothing where it can."""
    found = list(impossible(criteria))
    for index, asked in enumerate(criteria.checks):
        if asked.consequence == "undecided":
            found.append(_problem(f"checks.{index}.consequence", "consequence-undecided", check=asked.check.code))
    if not any(item.applies_to in ("each", "working") for item in criteria.costly):
        found.append(_problem("limits", "nothing-for-working"))
    return (*found, *_why_not_together(criteria))


def _why_not_together(criteria: Criteria) -> list[Problem]:
    """Two limits that cost a use and that no opening can meet both, said at the one that stands later."""
    costly = [
        (index, limit) for index, limit in enumerate(criteria.limits) if limit.consequence in ("fail", "restrict")
    ]
    found = []
    for one, wants in costly:
        for other, lets in costly:
            if one != other and cannot_both(wants, lets):
                values = {"least": str(wants.at_least), "most": str(lets.at_most), "number": str(min(one, other) + 1)}
                key = f"limits.{one}.at_least" if one > other else f"limits.{other}.at_most"
                found.append(_problem(key, "limits-never-both", **values))
    return found


def impossible(criteria: Criteria) -> tuple[Problem, ...]:
    """What of this version says nothing or could never be met, whether it is to be adopted or only tried."""
    found: list[Problem] = []
    for index, limit in enumerate(criteria.limits):
        found += _why_not_limit(f"limits.{index}", limit)
    seen: set[tuple[str, str]] = set()
    for index, asked in enumerate(criteria.checks):
        if asked.consequence == "restrict" and not (asked.restriction or "").strip():
            found.append(_problem(f"checks.{index}.restriction", "restriction-missing"))
        if (asked.check.code, asked.applies_to) in seen:
            found.append(_problem(f"checks.{index}", "asked-twice", check=asked.check.code))
        seen.add((asked.check.code, asked.applies_to))
    return (*found, *_why_not_sizes(criteria), *_why_not_due(criteria.due))


def _problem(path: str, code: str, **values: str) -> Problem:
    return Problem(path, Message(code, values))


def _why_not_limit(path: str, limit: Limit) -> list[Problem]:
    found = []
    bounds = [(key, bound) for key, bound in (("at_least", limit.at_least), ("at_most", limit.at_most)) if bound]
    if not bounds:
        found.append(_problem(path, "limit-without-bound"))
    for key, bound in bounds:
        if bound.kind != limit.figure.kind:
            found.append(Problem(f"{path}.{key}", _wrong_kind(limit.figure, bound)))
        elif not limit.figure.signed and bound.value <= 0:
            found.append(_problem(f"{path}.{key}", "limit-not-above-zero", text=str(bound)))
    least, most = limit.at_least, limit.at_most
    if least and most and least.kind == most.kind and least.value > most.to(least.unit):
        found.append(_problem(path, "limit-bounds-crossed", least=str(least), most=str(most)))
    if limit.applies_to == "hood" and not limit.figure.of_hood:
        found.append(_problem(f"{path}.applies_to", "limit-on-hood"))
    if limit.applies_to != "hood" and limit.figure.of_hood:
        found.append(_problem(f"{path}.applies_to", "limit-not-on-hood", figure=limit.figure.code))
    if limit.consequence == "restrict" and not (limit.restriction or "").strip():
        found.append(_problem(f"{path}.restriction", "restriction-missing"))
    return found


def _wrong_kind(figure: Figure, bound: Quantity) -> Message:
    if figure.kind == PERCENT:
        return Message("percent-wanted", {"figure": figure.code, "text": str(bound)})
    if figure.kind == RATIO:
        return Message("ratio-wanted", {"figure": figure.code, "text": str(bound)})
    return Message("unit-wrong-kind", {"text": str(bound), "units": unit_words(figure.kind)})


def _why_not_sizes(criteria: Criteria) -> list[Problem]:
    grid, edge = criteria.grid, criteria.grid.longest_edge
    found = _why_not_cells(grid) if grid.by_cells else _why_not_spaced(grid)
    for path, size in (("edge_exclusion", criteria.edge_exclusion), ("least_height", criteria.least_height)):
        if size.value < 0:
            found.append(_problem(path, "size-not-above-zero", text=str(size)))
    if criteria.least_height.to("in") > MOST_HEIGHT:
        most = with_unit(str(MOST_HEIGHT), "in")
        found.append(_problem("least_height", "height-out-of-reach", text=str(criteria.least_height), most=most))
    if grid.by_cells and criteria.edge_exclusion.to("m") * 2 >= edge.to("m") > 0:
        most = with_unit(digits_of(edge.value / 2), edge.unit)
        found.append(_problem("edge_exclusion", "exclusion-too-wide", text=str(criteria.edge_exclusion), most=most))
    return found


def _why_not_cells(grid: GridRule) -> list[Problem]:
    sizes = (("grid.largest_area", grid.largest_area), ("grid.longest_edge", grid.longest_edge))
    found = [_problem(path, "size-not-above-zero", text=str(size)) for path, size in sizes if size.value <= 0]
    if not found and (grid.longest_edge.to("in") < 3 or grid.largest_area.to("in**2") < 10):
        found.append(_problem("grid", "grid-too-fine"))
    return found


def _why_not_spaced(grid: GridRule) -> list[Problem]:
    if grid.margin is None or grid.spacing is None:
        return []
    sizes = (("grid.margin", grid.margin), ("grid.spacing", grid.spacing))
    found = [_problem(path, "size-not-above-zero", text=str(size)) for path, size in sizes if size.value <= 0]
    if not found and grid.spacing.to("in") < 3:
        found.append(_problem("grid.spacing", "grid-too-fine"))
    return found


def _why_not_due(due: Mapping[str, str | None]) -> list[Problem]:
    found = []
    for key, most, code in (
        ("months", 60, "months-out-of-range"),
        ("grace_days", 366, "days-out-of-range"),
        ("use_ends_days", 366, "days-out-of-range"),
    ):
        text = due[key]
        if text is None:
            continue
        if not re.fullmatch(r"-?[0-9]+", text):
            found.append(_problem(f"due.{key}", "whole-number-wanted", text=text))
        elif not (1 if key == "months" else 0) <= int(text) <= most:
            found.append(_problem(f"due.{key}", code, text=text))
    return found
