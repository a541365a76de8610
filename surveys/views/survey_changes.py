"""What a button of the survey page changes in the survey document: strike, read again, answer, add. Plain values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import Any

Content = dict[str, Any]


class NoSuchReading(ValueError):
    """The reading that a button names is not there any more."""


def is_number(text: str) -> bool:
    """Whether a text that the page did not make is a whole number as the page would write it."""
    return text.isascii() and text.isdecimal() and len(text) < 10 and (text == "0" or text[0] != "0")


def with_moments(content: Mapping[str, Any], before: Mapping[str, Any] | None, now: str) -> Content:
    """The document with a moment for each reading: where the page sent none, or the same for another value, it is now."""
    made = deepcopy(dict(content))
    known = dict(_readings(before or {}))
    for place, reading in _readings(made):
        held = known.get(place)
        if reading["at"] is None:
            same = held is not None and held["value"] == reading["value"]
            reading["at"] = (held or {}).get("at") if same else None
            reading["at"] = reading["at"] or now
        elif held is not None and held["at"] == reading["at"] and held["value"] != reading["value"]:
            reading["at"] = now
    return made


def _readings(content: Mapping[str, Any]) -> Iterator[tuple[tuple[Any, ...], Content]]:
    """Each reading of the traverses with its place, whole (with `at` and `struck`)."""
    for traverse in content.get("traverses") or ():
        for r, row in enumerate(traverse.get("readings") or ()):
            for c, cell in enumerate(row):
                for k, reading in enumerate(cell if isinstance(cell, list) else [cell]):
                    if isinstance(reading, dict):
                        yield (traverse["opening"], traverse["state"], r, c, k), reading


def taken(content: Content, index: int, row: int, column: int) -> list[Content]:
    """The readings of a point, each whole, as a list that stands in the document."""
    try:
        cell = content["traverses"][index]["readings"][row][column]
    except IndexError:
        raise NoSuchReading from None
    made = [
        {"value": one, "at": None, "struck": None} if isinstance(one, str) else one
        for one in (cell if isinstance(cell, list) else [] if cell is None else [cell])
    ]
    content["traverses"][index]["readings"][row][column] = made or None
    return made


def strike(content: Content, index: int, row: int, column: int, why: str) -> None:
    """Strike the newest reading of a point that counts."""
    counting = [one for one in taken(content, index, row, column) if one.get("struck") is None]
    if not counting:
        raise NoSuchReading
    counting[-1]["struck"] = why


def strike_run(content: Content, index: int, row: int, column: int, number: int, why: str) -> None:
    """Strike so many points in the order of the grid, from one on."""
    rows = content["traverses"][index]["readings"]
    points = [(r, c) for r, line in enumerate(rows) for c in range(len(line)) if (r, c) >= (row, column)]
    for r, c in points:
        if number <= 0:
            return
        counting = [one for one in taken(content, index, r, c) if one.get("struck") is None]
        for one in counting:
            one["struck"] = why
        number -= len(counting)


def strike_traverse(content: Content, index: int, why: str) -> None:
    """Set a whole traverse aside, with the reason; a new one begins in its place."""
    try:
        traverse = content["traverses"].pop(index)
    except (IndexError, KeyError):
        raise NoSuchReading from None
    content["struck_traverses"] = [*(content.get("struck_traverses") or ()), traverse | {"struck": why}]


def traverse_index(content: Mapping[str, Any], opening: str, state: str) -> int:
    """Which traverse of the document is that of an opening in a state."""
    for index, traverse in enumerate(content.get("traverses") or ()):
        if (traverse["opening"], traverse["state"]) == (opening, state):
            return index
    raise NoSuchReading


def answer_question(content: Content, code: str, path: str, value: str, answer: str, at: str) -> None:
    """Keep the answer to a soft question beside the document, once."""
    same = (code, path, value)
    others = [one for one in content.get("questions") or () if (one.get("code"), one.get("path"), one.get("value")) != same]
    content["questions"] = [*others, {"code": code, "path": path, "value": value, "answer": answer, "at": at}]


def add_opening(content: Content, name: str, width: str | None = None, height: str | None = None) -> None:
    """Measure one more opening in this survey."""
    if any(opening["name"] == name for opening in content.get("openings") or ()):
        return
    content["openings"] = [*(content.get("openings") or ()), {"name": name, "width": width, "height": height}]


def is_begun(content: Mapping[str, Any], name: str) -> bool:
    """Whether anything was read, shown or found wanting at an opening: then it is tested, and is not left out again."""
    traverses = (*(content.get("traverses") or ()), *(content.get("struck_traverses") or ()))
    answers = content.get("answers") or ()
    return any(one["opening"] == name for one in traverses) or any(
        one.get("opening") == name and one.get("answer") == "no" for one in answers
    )


def leave_out_opening(content: Content, name: str) -> None:
    """Measure an opening no more in this survey; nothing was read there."""
    for key, called in (("openings", "name"), ("answers", "opening")):
        content[key] = [one for one in content.get(key) or () if one.get(called) != name]
