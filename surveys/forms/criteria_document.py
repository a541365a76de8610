"""A criteria document as the boxes of a form, and back.

Every box has a name such as `limits-0-at_least`. There and back gives the same document, key by key: what a box does not
say (a null beside a key that is missing, the order of the checks) is taken from the document that the form was made of.
A bound is digits in the unit chosen beside it, or a quantity with a unit of its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from surveys.core import codes
from surveys.core.checks import CHECKS
from surveys.core.figures import FIGURE
from surveys.core.messages import Problem
from surveys.core.units import UNITS, NotANumber, quantity

Boxes = dict[str, Any]

NOT_ASKED = "not-asked"
RATIO_BOX = "ratio"  # what the box of the unit says of a ratio, which has none
MOST = 200
LIMIT_BOXES = (
    "figure", "at_least", "at_most", "unit", "applies_to", "consequence", "restriction", "source", "evidence", "from",
)  # fmt: skip
CHECK_BOXES = ("check", "applies_to", "consequence", "restriction", "from")
RULE_BOXES = (
    "compare", "edge_exclusion", "least_height", "grid-largest_area", "grid-longest_edge", "grid-margin",
    "grid-spacing", "grid-points", "grid-source", "grid-evidence", "due-months", "due-anchor", "due-grace_days", "due-use_ends_days", "due-source", "due-evidence",
)  # fmt: skip
#: What a key means where a document leaves it out.
LEFT_OUT = {
    "applies_to": "each", "anchor": "day", "grace_days": "0", "edge_exclusion": "0 in", "least_height": "0 in",
    "evidence_required": False, "smoke_first": False,
}  # fmt: skip
_TEXTS = ("restriction", "source", "evidence")


@dataclass(frozen=True)
class Written:
    """A document made of boxes, and which row each limit and check of it stands in."""

    document: dict[str, Any]
    rows: Mapping[str, Sequence[int]] = field(default_factory=dict)

    def box(self, problem: Problem) -> str:
        """The name of the box that a problem is about; empty where it is about the whole."""
        part, *rest = problem.path.split(".")
        if part in self.rows:
            if not rest:
                return ""
            row, key = self.rows[part][int(rest[0])], ".".join(rest[1:])
            first = {"limits": "at_least", "checks": "applies_to"}[part]
            return f"{part}-{row}-{key or first}"
        if part in ("grid", "due"):
            return "-".join([part, *rest]) if rest else f"{part}-largest_area"
        return part


# --- from a document --------------------------------------------------------------------------------------------------


def to_boxes(document: Mapping[str, Any]) -> Boxes:
    """What the boxes of a form say of a document; every check that it leaves out stands there as not asked."""
    boxes: Boxes = {
        "must_pass": list(document.get("must_pass") or ()),
        "evidence_required": bool(document.get("evidence_required")),
        "smoke_first": bool(document.get("smoke_first")),
    }
    for name in RULE_BOXES:
        part, _, key = name.partition("-")
        value = (document.get(part) or {}).get(key) if key else document.get(part)
        boxes[name] = _shown(value) if value else LEFT_OUT.get(key or part, "")
    limits = document.get("limits") or ()
    boxes["limits-number"] = len(limits)
    for row, limit in enumerate(limits):
        boxes |= {f"limits-{row}-{key}": text for key, text in _limit_boxes(limit, row).items()}
    checks = check_rows(document)
    boxes["checks-number"] = len(checks)
    for row, check in enumerate(checks):
        boxes |= {f"checks-{row}-{key}": text for key, text in check.items()}
    return boxes


def _shown(text: Any) -> Any:
    """A quantity with its unit as people write it; anything else as it is."""
    try:
        return str(quantity(text)) if isinstance(text, str) else text
    except NotANumber:
        return text


def _limit_boxes(limit: Mapping[str, Any], row: int) -> dict[str, str]:
    unit = _unit(limit)
    boxes = {key: limit.get(key) or LEFT_OUT.get(key, "") for key in LIMIT_BOXES}
    boxes |= {key: _bound_box(limit.get(key), unit) for key in ("at_least", "at_most")}
    return boxes | {"unit": unit or RATIO_BOX, "from": str(row)}


def _unit(limit: Mapping[str, Any]) -> str:
    """The unit chosen beside the bounds: a ratio where one of them is a ratio, else that of the first."""
    units = [quantity(limit[key]).unit for key in ("at_least", "at_most") if limit.get(key)]
    if not units:
        return next(unit.code for unit in UNITS if unit.kind == FIGURE[limit["figure"]].kind)
    return "" if "" in units else units[0]


def _bound_box(text: str | None, unit: str) -> str:
    """Digits alone where they are in the unit chosen; anything else as it is written."""
    if not text:
        return ""
    bound = quantity(text)
    return bound.text if bound.unit == unit and text == f"{bound.text} {bound.unit}".rstrip() else text


def check_rows(document: Mapping[str, Any]) -> list[dict[str, str]]:
    """A row for each check that is asked, and one for each that is not, in the order of the survey page."""
    asked = document.get("checks") or ()
    rows: list[dict[str, str]] = []
    for check in CHECKS:
        of_it = [(place, one) for place, one in enumerate(asked) if one["check"] == check.code]
        rows += [_check_boxes(one, str(place)) for place, one in of_it]
        if not of_it and not check.retired:
            rows.append(_check_boxes({"check": check.code, "consequence": NOT_ASKED}, ""))
    return rows


def _check_boxes(check: Mapping[str, Any], place: str) -> dict[str, str]:
    return {key: check.get(key) or LEFT_OUT.get(key, "") for key in CHECK_BOXES} | {"from": place}


# --- to a document ----------------------------------------------------------------------------------------------------


def to_document(boxes: Mapping[str, Any], made_from: Mapping[str, Any]) -> Written:
    """The document that the boxes say. Rows of limits without any entry, and checks not asked, are left out."""
    limits = [row for row in range(_number(boxes, "limits")) if not is_blank(boxes, row)]
    checks = [row for row in range(_number(boxes, "checks")) if _said(boxes, f"checks-{row}-consequence") != NOT_ASKED]
    known = made_from.get("checks") or ()
    checks.sort(key=lambda row: _place(boxes, "checks", row, known, last=len(known)))
    new: dict[str, Any] = {
        "must_pass": _in_order(boxes.get("must_pass") or (), made_from.get("must_pass") or ()) or None,
        "evidence_required": bool(boxes.get("evidence_required")),
        "smoke_first": bool(boxes.get("smoke_first")),
        "limits": [_limit(boxes, row, made_from) for row in limits] or None,
        "checks": [_check(boxes, row, made_from) for row in checks] or None,
    }
    groups: dict[str, dict[str, Any]] = {"grid": {}, "due": {}}
    for name in RULE_BOXES:
        part, _, key = name.partition("-")
        before = (made_from.get(part) or {}).get(key) if key else made_from.get(part)
        said = _said(boxes, name)
        (groups[part] if key else new)[key or part] = (before if before and said == _shown(before) else said) or None
    for part, group in groups.items():
        new[part] = _changed(made_from.get(part) or {}, group)
    return Written(_changed(made_from, new, empty=_NO_LIST), {"limits": limits, "checks": checks})


_NO_LIST = {"must_pass": [], "limits": [], "checks": []}


def is_blank(boxes: Mapping[str, Any], row: int) -> bool:
    """Whether nothing was written in a row of limits: what is only chosen for want of anything else does not count."""
    return not any(_said(boxes, f"limits-{row}-{key}") for key in ("figure", "at_least", "at_most", *_TEXTS))


def _number(boxes: Mapping[str, Any], part: str) -> int:
    return int(boxes.get(f"{part}-number") or 0)


def _said(boxes: Mapping[str, Any], name: str) -> str:
    return str(boxes.get(name) or "").replace("\r\n", "\n").strip()


def _place(boxes: Mapping[str, Any], part: str, row: int, known: Sequence[Any], last: int = -1) -> int:
    """Which item of the document a row was made from."""
    text = _said(boxes, f"{part}-{row}-from")
    place = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else last
    return place if place < len(known) else last


def _item(boxes: Mapping[str, Any], part: str, row: int, made_from: Mapping[str, Any]) -> Mapping[str, Any]:
    known = made_from.get(part) or ()
    place = _place(boxes, part, row, known)
    return known[place] if place >= 0 else {}


def _limit(boxes: Mapping[str, Any], row: int, made_from: Mapping[str, Any]) -> dict[str, Any]:
    said = {key: _said(boxes, f"limits-{row}-{key}") for key in LIMIT_BOXES}
    new: dict[str, Any] = {key: said[key] or None for key in ("figure", "applies_to", "consequence", *_TEXTS)}
    unit = "" if said["unit"] == RATIO_BOX else said["unit"]
    new |= {key: _bound(said[key], unit) for key in ("at_least", "at_most")}
    return _changed(_item(boxes, "limits", row, made_from), new)


def _bound(text: str, unit: str) -> str | None:
    if not text:
        return None
    return text if " " in text else f"{text} {unit}".rstrip()


def _check(boxes: Mapping[str, Any], row: int, made_from: Mapping[str, Any]) -> dict[str, Any]:
    keys = ("check", "applies_to", "consequence", "restriction")
    new = {key: _said(boxes, f"checks-{row}-{key}") or None for key in keys}
    return _changed(_item(boxes, "checks", row, made_from), new)


def _changed(old: Mapping[str, Any], new: Mapping[str, Any], empty: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """The old keys with what is new; a key that says the same as before, or as if it were left out, stays as it was."""
    made = dict(old)
    for key, value in new.items():
        if value == (old.get(key) or LEFT_OUT.get(key) or None) or (value is False and not old.get(key)):
            continue
        if value is None and not (empty and key in empty):
            made.pop(key, None)
        else:
            made[key] = list(empty[key]) if value is None and empty else value
    return made


def _in_order(chosen: Sequence[str], before: Sequence[str]) -> list[str]:
    """The uses chosen, those that were chosen before in their order."""
    kept = [use for use in before if use in chosen]
    return [*kept, *(use for use in codes.USES if use in chosen and use not in kept)]


# --- rows added, removed and moved, without a script ------------------------------------------------------------------


def pressed(boxes: Boxes, button: str) -> Boxes | None:
    """The boxes after a button was pressed that changes rows and keeps nothing; None for any other button."""
    what, _, number = button.partition(":")
    number = number or str(boxes.get("again") or "")
    row = int(number) if number.isascii() and number.isdigit() and len(number) < 4 else -1
    limits = _rows(boxes, "limits", LIMIT_BOXES)
    checks = _rows(boxes, "checks", CHECK_BOXES)
    match what:
        case "add-limit" if len(limits) < MOST:
            limits.append(dict.fromkeys(LIMIT_BOXES, "") | {"applies_to": "each", "consequence": "fail"})
        case "remove-limit" if 0 <= row < len(limits):
            del limits[row]
        case "limit-up" if 0 < row < len(limits):
            limits[row - 1], limits[row] = limits[row], limits[row - 1]
        case "limit-down" if 0 <= row < len(limits) - 1:
            limits[row + 1], limits[row] = limits[row], limits[row + 1]
        case "again" if 0 <= row < len(checks) < MOST:
            once_more = {"check": checks[row]["check"], "consequence": "undecided", "applies_to": "each"}
            checks.insert(row + 1, dict.fromkeys(CHECK_BOXES, "") | once_more)
        case "add-limit" | "remove-limit" | "limit-up" | "limit-down" | "again":
            pass
        case _:
            return None
    rest = {name: value for name, value in boxes.items() if not name.startswith(("limits-", "checks-"))}
    return rest | _numbered("limits", limits) | _numbered("checks", checks)


def _rows(boxes: Boxes, part: str, keys: Sequence[str]) -> list[dict[str, Any]]:
    return [{key: boxes.get(f"{part}-{row}-{key}", "") for key in keys} for row in range(_number(boxes, part))]


def _numbered(part: str, rows: Sequence[Mapping[str, Any]]) -> Boxes:
    named = {f"{part}-{place}-{key}": value for place, row in enumerate(rows) for key, value in row.items()}
    return named | {f"{part}-number": len(rows)}
