"""The survey document that the demo's surveyor enters at a hood."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from config.demo import air
from config.demo.scenario import HoodPlan, Visit
from surveys.core.criteria import Criteria
from surveys.core.opening import plan as plan_grid
from surveys.models import Draft, Instrument

HEIGHTS = {"working": "18 in", "lower": "12 in"}


def document(plan: HoodPlan, visit: Visit, draft: Draft, *, instrument: Instrument, begun: datetime) -> dict[str, Any]:
    """Everything that one visit entered; nothing measured where it ended before measuring."""
    made = {
        "reason": visit.reason,
        "instrument": str(instrument.pk),
        "conditions": {
            "right_hood": "yes", "fit": "yes", "mode": "normal", "doors": "closed", "room_pressure": "into-the-room",
            "other_hoods": "closed", "temperature": "21.5 degC", "pressure": "1002 hPa",
        },
        "found": {
            "sash": "18 in", "somebody": "no", "alarm": "no",
            "monitor": f"{(visit.working or 100) + 2} ft/min" if plan.monitor == "velocity" else None,
        },
        "openings": [], "traverses": [], "answers": [], "adjusted": visit.left is not None, "ended_early": None,
        "questions": [], "struck_traverses": [], "last": {}, "stop_and_mark_moved": None,
        "notes": visit.words if not visit.ended else None,
    }  # fmt: skip
    if visit.working is None:
        return made
    states = [("as-found", visit.working, begun + timedelta(minutes=6))]
    if visit.left is not None:
        states.append(("as-left", visit.left, begun + timedelta(minutes=15)))
    made["openings"] = [{"name": name, "width": plan.width, "height": HEIGHTS[name]} for name in _openings(visit)]
    for state, average, at in states:
        made["traverses"].append(_traverse(plan, visit, draft, "working", state, average, at))
        if visit.lower is not None:
            made["traverses"].append(
                _traverse(plan, visit, draft, "lower", state, visit.lower, at + timedelta(minutes=6))
            )
    made["answers"] = list(_answers(visit, draft, [state for state, *_rest in states]))
    made["last"] = {"controls": "yes", "alarm": "yes", "stop": "yes", "sash": "yes", "told": "yes"}
    if visit.stop_moved:
        made["stop_and_mark_moved"] = HEIGHTS["lower"]
    return made


def _openings(visit: Visit) -> tuple[str, ...]:
    return ("working", "lower") if visit.lower is not None else ("working",)


def _traverse(
    plan: HoodPlan, visit: Visit, draft: Draft, opening: str, state: str, average: int, at: datetime
) -> dict[str, Any]:
    grid = plan_grid(plan.width, HEIGHTS[opening], Criteria.from_dict(draft.version.document).grid)
    seed = f"{plan.tag}/{visit.days_ago}/{opening}/{state}"
    cells = air.readings(seed, average, rows=grid.rows, columns=grid.columns, begun=at, missing=visit.missing)
    shown = f"{average + 2} ft/min" if plan.monitor == "velocity" else None
    return {"opening": opening, "state": state, "unit": "ft/min", "monitor": shown, "readings": cells}


def _answers(visit: Visit, draft: Draft, states: list[str]) -> list[dict[str, Any]]:
    """An answer to every check that the version asks, in each state and at each opening that it is asked of."""
    answers = []
    for asked in draft.version.document["checks"]:
        code, answer = asked["check"], visit.answers.get(asked["check"], "yes")
        if code == "wash-down-works" and draft.hood.kind != "perchloric-acid":
            continue
        openings = (None,) if asked.get("applies_to") == "hood" else _openings(visit)
        for opening in openings:
            for state in states if len(states) > 1 else [None]:
                answers.append({"check": code, "opening": opening, "state": state, "answer": answer})
    return answers
