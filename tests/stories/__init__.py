"""Whole surveys worked by hand, each with its working, and how an answer is compared with what was worked out."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent
STORIES: dict[str, dict[str, Any]] = {
    story["id"]: story for story in (json.loads(path.read_text("utf-8")) for path in sorted(FOLDER.glob("*.json")))
}
TOLERANCE = Fraction("1e-8")  # of roots, relative


def differences(expected: Any, found: Any, path: str = "") -> list[str]:
    """Where an answer differs from a story. Keys that the story leaves out are not compared; numbers by their value."""
    if isinstance(expected, dict) and {"value", "unit"} <= set(expected):
        return [] if isinstance(found, dict) and _same_number(expected, found) else [f"{path}: {found}, not {expected}"]
    if isinstance(expected, dict) and isinstance(found, dict):
        if path.endswith(".restriction") and set(expected) != set(found):
            return [f"{path}: {found}, not {expected}"]
        return [
            line
            for key, value in expected.items()
            for line in differences(value, found.get(key, "a missing key"), f"{path}.{key}")
        ]
    if isinstance(expected, list) and isinstance(found, list) and len(expected) == len(found):
        if path.endswith(".approved"):
            expected, found = sorted(expected), sorted(found)
        return [
            line
            for index, (one, other) in enumerate(zip(expected, found, strict=True))
            for line in differences(one, other, f"{path}.{index}")
        ]
    return [] if expected == found else [f"{path}: {found!r}, not {expected!r}"]


def _same_number(expected: dict[str, str], found: dict[str, str]) -> bool:
    if expected["unit"] != found["unit"]:
        return False
    if "exact" in expected:
        return Fraction(expected["exact"]) == Fraction(found["exact"])
    wanted, got = Fraction(expected["value"]), Fraction(found["value"])
    return abs(wanted - got) <= abs(wanted) * TOLERANCE
