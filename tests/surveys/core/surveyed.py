"""Surveys and criteria in a line, for tables of judging."""

from __future__ import annotations

from typing import Any

from surveys.core.criteria import Criteria
from surveys.core.document import parse_merged
from surveys.core.judged import Judged
from surveys.core.judging import judge

YES = [
    {"check": "smoke-at-opening", "opening": "working", "answer": "yes"},
    {"check": "sash-moves-and-stays", "answer": "yes"},
]


def limit(figure: str, least: str | None = None, most: str | None = None, **given: Any) -> dict[str, Any]:
    made = {"figure": figure, "consequence": "fail", **given}
    if made["consequence"] == "restrict":
        made.setdefault("restriction", f"not if {figure} is off")
    return made | ({"at_least": least} if least else {}) | ({"at_most": most} if most else {})


def asked(check: str, consequence: str = "fail", applies_to: str = "hood") -> dict[str, Any]:
    words = {"restriction": f"not with {check}"} if consequence == "restrict" else {}
    return {"check": check, "applies_to": applies_to, "consequence": consequence, **words}


def criteria_dict(*limits: dict[str, Any], checks: tuple[dict[str, Any], ...] = (), **given: Any) -> dict[str, Any]:
    return {
        "compare": "as-measured",
        "edge_exclusion": "0 in",
        "least_height": "6 in",
        "must_pass": [],
        "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"},
        "due": {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None},
        "limits": list(limits),
        "checks": list(checks),
    } | given


def opening(name: str = "working", use: str = "working", height: str = "12 in", **given: Any) -> dict[str, Any]:
    return {"name": name, "use": use, "width": "24 in", "height": height, **given}


def read(
    name: str = "working", *texts: Any, state: str = "as-found", unit: str = "ft/min", **given: Any
) -> dict[str, Any]:
    """A traverse in one row of an opening of 24 by 12 in, which is planned as two points."""
    return {"opening": name, "state": state, "unit": unit, "readings": [[text or None for text in texts]], **given}


def survey_dict(*traverses: dict[str, Any], **given: Any) -> dict[str, Any]:
    return {
        "hood": {"kind": "general", "control": "constant-volume", "sash": "vertical", "monitor": "velocity"},
        "openings": [opening()],
        "traverses": list(traverses),
        "answers": [],
        "adjusted": False,
        "benchmarks": [],
        "calibration_covers": True,
    } | given


def gauge(mark: str = "60 Pa") -> dict[str, Any]:
    """A hood whose monitor shows pressure, with the mark of its gauge."""
    return {
        "hood": {"kind": "general", "control": "bypass", "sash": "vertical", "monitor": "pressure", "set_point": mark}
    }


def judged(survey: dict[str, Any], criteria: dict[str, Any]) -> Judged:
    document, facts = parse_merged(survey)
    return judge(document, facts, Criteria.from_dict(criteria))


def answer(check: str, said: str, name: str | None = None, state: str | None = None) -> dict[str, Any]:
    return {"check": check, "answer": said, "opening": name, "state": state}


#: Readings that pass, fail, restrict by BANDS.
GOOD, SLOW, WEAK = ("100", "100"), ("50", "50"), ("75", "75")
BANDS = (
    limit("average", "80 ft/min", consequence="restrict", restriction="not for volatile poisons"),
    limit("average", "70 ft/min"),
)
HALF = {"width": "24 in", "height": "12 in"}


def vertical(**readings):
    """A vertical sash with openings at 12, 10 and 8 in; readings by name, each opening planned as two points."""
    known = {
        "working": opening("working", "working", "12 in"),
        "lower": opening("lower", "lower", "10 in"),
        "lowest": opening("lowest", "lower", "8 in"),
        "full": opening("full", "full-open", "12 in"),
    }
    traverses = [read(name, *texts) for name, texts in readings.items() if texts]
    return survey_dict(*traverses, openings=[known[name] for name in readings])


FULL = {
    "openings": [{"name": "working", "width": "62 in", "height": "18 in"}],
    "traverses": [
        {
            "opening": "working",
            "state": "as-found",
            "unit": "m/s",
            "monitor": "0.50 m/s",
            "readings": [
                ["0.50", {"value": "0.5", "at": "2026-03-12T10:00:00Z", "struck": None}],
                [None, ["0.49", {"value": "9", "at": None, "struck": "not settled"}]],
            ],
        }
    ],
    "answers": [{"check": "light-works", "opening": None, "state": None, "answer": "no"}],
    "adjusted": False,
    "ended_early": {"reason": "other-danger", "words": "Fumes in the room."},
    "reason": "annual",
    "instrument": "3",
    "conditions": {"temperature": "21.5 °C", "doors": "closed"},
    "found": {"sash": "24 in", "somebody": True},
    "questions": [{"code": "four-alike", "path": "traverses.0.readings.0.0", "value": "0.50", "answer": "right"}],
    "struck_traverses": [
        {"opening": "working", "state": "as-found", "unit": "m/s", "monitor": None, "readings": [["0.1"]],
         "struck": "the sash stood wrong"}
    ],
    "last": {"controls": True},
    "stop_and_mark_moved": "12 in",
    "notes": "Line one\nline two",
}  # fmt: skip


MET, NOT_MET, NOT_TESTED = "met", "not-met", "not-tested"
