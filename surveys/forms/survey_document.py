"""The boxes of the survey page and the survey document as entered: each from the other, text for text.

A box is a name and the text that stands in it. Names say what a box is about: `o0_width` the width of the first
opening, `t0f_monitor` what the monitor showed during its traverse as found, `r0f-1-2-0` the first reading of its second
row and third column, `a0f-smoke-at-opening` the answer to a check there, `ahn-light-works` one for the hood in any state.
What is measured of the hood as a whole is in hood_boxes.py.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from surveys.core.units import parted
from surveys.forms.hood_boxes import LETTERS, STATES, amount, box_at, to_entries, to_texts

FIXED = {  # box -> place in the document
    "reason": ("reason",), "instrument": ("instrument",), "notes": ("notes",),
    "right_hood": ("conditions", "right_hood"), "fit": ("conditions", "fit"),
    "mode": ("conditions", "mode"), "flow_state": ("conditions", "flow_state"), "doors": ("conditions", "doors"),
    "room_pressure": ("conditions", "room_pressure"), "other_hoods": ("conditions", "other_hoods"),
    "temperature": ("conditions", "temperature"), "pressure": ("conditions", "pressure"),
    "elevation": ("conditions", "elevation"),
    "found_sash": ("found", "sash"), "found_open": ("found", "open"), "found_somebody": ("found", "somebody"),
    "found_monitor": ("found", "monitor"), "found_alarm": ("found", "alarm"),
    "last_controls": ("last", "controls"), "last_alarm": ("last", "alarm"), "last_stop": ("last", "stop"),
    "last_sash": ("last", "sash"), "last_told": ("last", "told"),
}  # fmt: skip
BOX_OF = {".".join(place): name for name, place in FIXED.items()}
QUANTITIES = frozenset({"temperature", "pressure", "elevation", "found_sash", "found_monitor"})
CARRIED = ("struck_traverses", "ended_early", "stop_and_mark_moved", "questions")

READING = re.compile(r"r(\d{1,2})([fl])-(\d{1,2})-(\d{1,2})-(\d{1,2})")
ANSWER = re.compile(r"a(h|\d{1,2})([nfl])-([a-z-]+)")
SAID = "_said"  # ends the name of the box of what is written beside an answer
OPENING = re.compile(r"o(\d{1,2})_name")


class NotCarried(ValueError):
    """What the form carries unseen was damaged on its way."""


def prefix(index: int, state: str) -> str:
    """The beginning of the names of one opening in one state: '0f'."""
    return f"{index}{LETTERS[state]}"


# --- boxes -> document ------------------------------------------------------------------------------------------------


def to_document(boxes: Mapping[str, str]) -> dict[str, Any]:
    """The survey document as entered, from the boxes as they stand. Raises NotCarried."""
    names = opening_names(boxes)
    document: dict[str, Any] = {
        "openings": [
            {"name": name, "width": amount(boxes, f"o{i}_width"), "height": amount(boxes, f"o{i}_height")}
            for i, name in names.items()
        ],
        "traverses": [
            traverse
            for state in STATES.values()
            for i, name in names.items()
            if (traverse := _traverse(boxes, prefix(i, state), name, state))
        ],
        "answers": list(_answers(boxes, names)),
        "adjusted": {"yes": True, "no": False}.get(boxes.get("adjusted", "")),
        "conditions": {}, "found": {}, "last": {},
    } | to_entries(boxes) | _carried(boxes)  # fmt: skip
    for name, place in FIXED.items():
        text = amount(boxes, name) if name in QUANTITIES else boxes.get(name) or None
        if text is not None:
            (document if len(place) == 1 else document[place[0]])[place[-1]] = text
    return document


def opening_names(boxes: Mapping[str, str]) -> dict[int, str]:
    """The openings of the form by their number, in order."""
    found = {int(m[1]): text for name, text in boxes.items() if (m := OPENING.fullmatch(name)) and text}
    return dict(sorted(found.items()))


def _carried(boxes: Mapping[str, str]) -> dict[str, Any]:
    try:
        held = json.loads(boxes.get("carried") or "{}")
    except (ValueError, RecursionError):
        raise NotCarried from None
    if not isinstance(held, dict) or any(key not in CARRIED for key in held):
        raise NotCarried
    return held


def _traverse(boxes: Mapping[str, str], place: str, name: str, state: str) -> dict[str, Any] | None:
    """The grid of one opening in one state; None where nothing was read and nothing shown."""
    cells = readings(boxes, place)
    monitor = amount(boxes, f"t{place}_monitor")
    if not cells and not monitor:
        return None
    rows, columns = grid_size(boxes, place) if cells else (0, 0)
    return {
        "opening": name,
        "state": state,
        "unit": boxes.get(f"t{place}_unit") or None,
        "monitor": monitor,
        "readings": [[_cell(cells.get((r, c), [])) for c in range(columns)] for r in range(rows)],
    }


def readings(boxes: Mapping[str, str], place: str) -> dict[tuple[int, int], list[dict[str, str | None]]]:
    """Readings by row and column, those of one point in the order in which they were taken; empty boxes are none."""
    found: dict[tuple[int, int], list[tuple[int, dict[str, str | None]]]] = {}
    for name, text in boxes.items():
        m = READING.fullmatch(name)
        if m is None or m[1] + m[2] != place or text == "":
            continue
        reading = {"value": text, "at": boxes.get(f"{name}-at") or None, "struck": boxes.get(f"{name}-struck") or None}
        found.setdefault((int(m[3]), int(m[4])), []).append((int(m[5]), reading))
    return {point: [reading for _, reading in sorted(taken, key=lambda one: one[0])] for point, taken in found.items()}


def grid_size(boxes: Mapping[str, str], place: str) -> tuple[int, int]:
    """Rows and columns of the grid as drawn, and never fewer than what was read asks."""
    cells = readings(boxes, place)
    rows, columns = (_count(boxes.get(f"t{place}_{side}")) for side in ("rows", "columns"))
    return (
        max([rows, *(row + 1 for row, _ in cells)]),
        max([columns, *(column + 1 for _, column in cells)]),
    )


def _count(text: str | None) -> int:
    return int(text) if text and re.fullmatch(r"\d{1,2}", text, re.ASCII) else 0


def _cell(taken: list[dict[str, str | None]]) -> Any:
    if not taken:
        return None
    return taken[0] if len(taken) == 1 else taken


def _answers(boxes: Mapping[str, str], names: Mapping[int, str]) -> Iterator[dict[str, Any]]:
    filled = {name.removesuffix(SAID): None for name, text in boxes.items() if text}  # an answer, or what is said beside it
    for box in filled:
        m = ANSWER.fullmatch(box)
        if m is None or (m[1] != "h" and int(m[1]) not in names):
            continue
        opening = None if m[1] == "h" else names[int(m[1])]
        made = {"check": m[3], "opening": opening, "state": STATES.get(m[2]), "answer": boxes.get(box) or None}
        yield made | ({"said": said} if (said := boxes.get(f"{box}{SAID}")) else {})


# --- document -> boxes ------------------------------------------------------------------------------------------------


def to_boxes(document: Mapping[str, Any]) -> dict[str, str]:
    """The boxes of a survey document; `to_document` gives the same document back."""
    boxes: dict[str, str] = {}
    for name, place in FIXED.items():
        held = document.get(place[0]) if len(place) == 1 else (document.get(place[0]) or {}).get(place[1])
        _put(boxes, name, held, quantity=name in QUANTITIES)
    boxes["adjusted"] = {True: "yes", False: "no"}.get(document.get("adjusted"), "")  # type: ignore[call-overload]
    numbers: dict[str, int] = {}
    for i, opening in enumerate(document.get("openings") or ()):
        numbers.setdefault(opening["name"], i)
        boxes[f"o{i}_name"] = opening["name"]
        for side in ("width", "height"):
            _put(boxes, f"o{i}_{side}", opening.get(side), quantity=True)
    for traverse in document.get("traverses") or ():
        _put_traverse(boxes, numbers, traverse)
    for answer in document.get("answers") or ():
        box = answer_box(numbers, answer)
        _put(boxes, box, answer.get("answer"))
        _put(boxes, f"{box}{SAID}", answer.get("said"))
    for name, text, is_amount in to_texts(document):
        _put(boxes, name, text, quantity=is_amount)
    held = {key: document[key] for key in CARRIED if document.get(key)}
    boxes["carried"] = json.dumps(held, ensure_ascii=False, sort_keys=True) if held else ""
    return boxes


def _put(boxes: dict[str, str], name: str, text: Any, *, quantity: bool = False) -> None:
    if not isinstance(text, str) or not text:
        return
    if quantity and (unit := parted(text)[1]):
        text = text.removesuffix(unit).removesuffix(" ")
        boxes[f"{name}_unit"] = unit
    boxes[name] = text


def _put_traverse(boxes: dict[str, str], numbers: Mapping[str, int], traverse: Mapping[str, Any]) -> None:
    place = prefix(numbers.get(traverse["opening"], 0), traverse.get("state") or "as-found")
    rows = traverse.get("readings") or []
    boxes[f"t{place}_unit"] = traverse.get("unit") or ""
    boxes[f"t{place}_rows"], boxes[f"t{place}_columns"] = str(len(rows)), str(len(rows[0]) if rows else 0)
    _put(boxes, f"t{place}_monitor", traverse.get("monitor"), quantity=True)
    for r, row in enumerate(rows):
        for c, cell in enumerate(row):
            taken = cell if isinstance(cell, list) else [] if cell is None else [cell]
            for k, one in enumerate(taken):
                reading = {"value": one} if isinstance(one, str) else one
                name = f"r{place}-{r}-{c}-{k}"
                boxes[name] = reading["value"]
                boxes[f"{name}-at"] = reading.get("at") or ""
                boxes[f"{name}-struck"] = reading.get("struck") or ""


def answer_box(numbers: Mapping[str, int], answer: Mapping[str, Any]) -> str:
    """The name of the box of an answer."""
    scope = numbers.get(answer["opening"], 0) if answer.get("opening") else "h"
    return f"a{scope}{LETTERS.get(answer.get('state') or '', 'n')}-{answer['check']}"


def box_of(path: str, document: Mapping[str, Any]) -> str:
    """The box that holds a place of the document, such as `traverses.0.readings.1.2`; empty where none does."""
    if path in BOX_OF:
        return BOX_OF[path]
    kind, *rest = path.split(".")
    if kind == "adjusted" or (kind in ("traverses", "answers") and rest[1:] == ["state"]):
        return "adjusted"
    if kind == "openings" and rest:
        return f"o{rest[0]}_{rest[1] if len(rest) > 1 and rest[1] != 'name' else 'height'}"
    numbers = {opening["name"]: i for i, opening in reversed(list(enumerate(document.get("openings") or ())))}
    if kind in ("of_hood", "alarms") and rest:
        return box_at(kind, rest, document)
    if kind == "answers" and rest:
        box = answer_box(numbers, document["answers"][int(rest[0])])
        return f"{box}{SAID}" if rest[1:] == ["said"] else box
    if kind == "traverses" and rest:
        traverse = document["traverses"][int(rest[0])]
        place = prefix(numbers.get(traverse["opening"], 0), traverse.get("state") or "as-found")
        if len(rest) > 3 and rest[1] == "readings":
            repeat = rest[4] if len(rest) > 4 and rest[4].isdigit() else "0"
            return f"r{place}-{rest[2]}-{rest[3]}-{repeat}"
        return f"t{place}_monitor" if rest[1:2] == ["monitor"] else f"r{place}-0-0-0"
    return ""
