"""The survey document that the demo's surveyor enters at a hood."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from config.demo import air, monitors
from config.demo.scenario import HoodPlan, Sash, Visit
from surveys.core.checks import ALARM, CHECK
from surveys.core.document import Facts, parse
from surveys.core.opening import free_points
from surveys.core.opening import plan as plan_grid
from surveys.core.questions import unanswered
from surveys.models import Draft, Instrument


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
            **_stood(plan), "somebody": "no", "alarm": None if plan.monitor == "none" else "no",
            "monitor": monitors.shown(plan, visit.working or 100, plan.sashes[0]),
        },
        "openings": [], "traverses": [], "answers": [], "adjusted": visit.left is not None, "ended_early": None,
        "questions": [], "struck_traverses": [], "last": {}, "stop_and_mark_moved": None,
        "notes": visit.words if not visit.ended else None,
    }  # fmt: skip
    if plan.control == "two-state":
        made["conditions"]["flow_state"] = "higher"
    if visit.working is None:
        return made
    states = [("as-found", visit.working, begun + timedelta(minutes=6))]
    if visit.left is not None:
        states.append(("as-left", visit.left, begun + timedelta(minutes=15)))
    measured = _measured(plan, visit)
    made["openings"] = [{"name": one.name, "width": one.width, "height": one.height} for one in measured]
    for state, average, at in states:
        for place, one in enumerate(measured):
            level = dict(visit.others).get(one.name, average)
            if one.name == "lower" and visit.lower is not None:
                level = visit.lower
            made["traverses"].append(
                _traverse(plan, visit, draft, one, state, level, at + place * timedelta(minutes=6))
            )
    told = [state for state, *_rest in states]
    made["answers"] = list(_answers(plan, visit, draft, told))
    made |= _at_the_hood(plan, visit, made["answers"], told)
    armed = "not-applicable" if plan.monitor == "none" else "yes"
    closed = {} if plan.sash == "none" else {"stop": "yes", "sash": "yes"}
    made["last"] = {"controls": "yes", "alarm": armed, **closed, "told": "yes"}
    if visit.stop_moved:
        made["stop_and_mark_moved"] = "12 in"
    made["questions"] = _answered(made, plan, instrument)
    return made


def _stood(plan: HoodPlan) -> dict[str, str]:
    """How its front stood before anything was moved: the height of a sash, or which part was open."""
    if plan.sash == "vertical":
        return {"sash": plan.sashes[0].height}
    return {} if plan.sash == "none" else {"open": plan.sashes[0].name}


def _at_the_hood(plan: HoodPlan, visit: Visit, answers: list[dict[str, Any]], states: list[str]) -> dict[str, Any]:
    """Light and noise, and what the alarm did where it was looked at and found as it should be."""
    plain = {one["figure"]: one for one in monitors.plain(plan, states[0], visit.days_ago)}
    again = [one for one in monitors.plain(plan, states[-1], visit.days_ago) if one["state"] == "as-left"]
    works = {one["state"] or "as-found" for one in answers if (one["check"], one["answer"]) == ("alarm-works", "yes")}
    alarms = [monitors.forced(plan, state, visit.days_ago) for state in states if state in works]
    return {"of_hood": [*plain.values(), *again], **({"alarms": alarms} if alarms else {})}


def _answered(made: dict[str, Any], plan: HoodPlan, instrument: Instrument) -> list[dict[str, str]]:
    """Each question that the readings raise, answered: the surveyor looked again, and they stay."""
    hood = {"kind": plan.kind, "control": plan.control, "sash": plan.sash, "monitor": plan.monitor}
    range_of_use = {name: getattr(instrument, name) or None for name in ("resolution", "lowest", "highest")}
    facts = Facts.from_dict({"hood": hood, **range_of_use})
    return [
        {"code": one.code, "path": one.path, "value": one.value, "answer": "stays"}
        for one in unanswered(parse(made), facts)
    ]


def _measured(plan: HoodPlan, visit: Visit) -> list[Sash]:
    """The openings of a visit: those of every survey, and the lower one where it is said."""
    return [one for one in plan.sashes if one.tested_every_survey or (one.name == "lower" and visit.lower is not None)]


def _traverse(
    plan: HoodPlan, visit: Visit, draft: Draft, opening: Sash, state: str, average: int, at: datetime
) -> dict[str, Any]:
    rule, size = draft.version.criteria.grid, (opening.width, opening.height)
    grid = plan_grid(*size, rule, opening.covered)
    seed = f"{plan.tag}/{visit.days_ago}/{opening.name}/{state}"
    cells = air.readings(seed, average, rows=grid.rows, columns=grid.columns, begun=at, missing=visit.missing)
    free = free_points(*size, grid.columns, grid.rows, rule.margin, opening.covered)
    if free is not None:  # no reading behind what covers a part of it
        cells = [[cell if free[r * grid.columns + c] else None for c, cell in enumerate(row)] for r, row in enumerate(cells)]
    shown = monitors.shown(plan, average, opening)
    return {"opening": opening.name, "state": state, "unit": "ft/min", "monitor": shown, "readings": cells}


def _answers(plan: HoodPlan, visit: Visit, draft: Draft, states: list[str]) -> list[dict[str, Any]]:
    """An answer to every check that the version asks, in each state and at each opening that it is asked of."""
    answers = []
    for asked in draft.version.document["checks"]:
        code, answer = asked["check"], visit.answers.get(asked["check"], "yes")
        if plan.monitor == "none" and code in ("monitor-works", *ALARM):
            answer = "not-applicable"
        if not CHECK[code].is_for(draft.hood):
            continue
        openings = [None] if asked.get("applies_to") == "hood" else [one.name for one in _measured(plan, visit)]
        for opening in openings:
            for state in states if len(states) > 1 else [None]:
                answers.append({"check": code, "opening": opening, "state": state, "answer": answer} | _said(code, draft.done_on))
    return answers


def _said(check: str, on: date) -> dict[str, str]:
    """What is written beside an answer: which filter, and when it was fitted: at the last change of filters, each January."""
    beside = {"filter-type-fits": "activated carbon for solvent vapours, 18 kg", "filter-in-date": f"{on.year}-01-01"}
    return {"said": beside[check]} if check in beside else {}
