"""Records of signed surveys as the program keeps them, judged by core: every verdict, and surveys drawn at random."""

from copy import deepcopy
from typing import Any

from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from surveys.core.judging import judge
from surveys.core.record import canonical, sha256_hex

SITE = {
    "name": "Skua Institute", "time_zone": "Europe/London", "address": "1 Skua Road", "telephone": "4100",
    "emergency": "Leave the room, close the door, call 4444.", "height_from": "airfoil", "speed_unit": "ft/min", "length_unit": "in",
}  # fmt: skip
PLACE = {
    "building": "North Range",
    "room": "2.14",
    "room_name": "",
    "floor": "2",
    "department": "Chemistry",
    "position": "east wall, left",
}
HOOD = {
    "tag": "FH-0142", "code": "7KQM4T2R", "kind": "general", "control": "variable-volume", "sash": "vertical", "powered": False,
    "glass": "laminated", "maker": "", "model": "", "serial": "", "interior_width": "62 in", "work_surface_height": "36 in",
    "uses_forbidden": "", "monitor": "velocity", "set_point": "100 ft/min", "alarm_point": "80 ft/min",
}  # fmt: skip
INSTRUMENT = {
    "name": "A-07", "serial": "40-1187", "kind": "thermal anemometer", "accuracy_percent": "3", "accuracy_floor": "3 ft/min",
    "resolution": "1 ft/min", "lowest": "20 ft/min", "highest": "2000 ft/min", "velocity": "actual",
}  # fmt: skip
CALIBRATION = {
    "certificate": "K-25-3310", "laboratory": "Mill House calibration bench", "done_on": "2025-09-04", "due_on": "2026-09-04",
    "in_tolerance": True,
}  # fmt: skip
WORKING = {"name": "working", "use": "working", "way": None, "tested_every_survey": True}
LOWER = {"name": "lower", "use": "lower", "way": None, "tested_every_survey": False}

CRITERIA = {
    "compare": "as-measured", "edge_exclusion": "1 in", "least_height": "6 in", "must_pass": [],
    "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"},
    "due": {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None},
    "limits": [
        {"figure": "average", "at_least": "80 ft/min", "at_most": "120 ft/min", "applies_to": "each", "consequence": "fail"},
        {"figure": "lowest", "at_least": "70 ft/min", "applies_to": "each", "consequence": "restrict", "restriction": "not for highly toxic materials"},
        {"figure": "deviation-percent", "at_most": "20 %", "applies_to": "each", "consequence": "note"},
        {"figure": "monitor-error-percent", "at_least": "-10 %", "at_most": "10 %", "applies_to": "each", "consequence": "note"},
    ],
    "checks": [
        {"check": "smoke-at-opening", "applies_to": "each", "consequence": "fail"},
        {"check": "air-drawn-in", "applies_to": "hood", "consequence": "fail"},
        {"check": "glazing-whole", "applies_to": "hood", "consequence": "fail"},
        {"check": "sash-moves-and-stays", "applies_to": "hood", "consequence": "fail"},
        {"check": "sash-one-hand", "applies_to": "hood", "consequence": "note"},
        {"check": "counterweight-sound", "applies_to": "hood", "consequence": "fail"},
        {"check": "stop-and-mark-in-place", "applies_to": "hood", "consequence": "restrict", "restriction": "not for unattended work"},
        {"check": "airfoil-and-slots-clear", "applies_to": "hood", "consequence": "note"},
        {"check": "baffles-set", "applies_to": "hood", "consequence": "note"},
        {"check": "storage-clear", "applies_to": "hood", "consequence": "note"},
        {"check": "light-works", "applies_to": "hood", "consequence": "note"},
        {"check": "outlets-work", "applies_to": "hood", "consequence": "note"},
        {"check": "monitor-works", "applies_to": "hood", "consequence": "restrict", "restriction": "not for unattended work"},
        {"check": "alarm-works", "applies_to": "hood", "consequence": "restrict", "restriction": "not for unattended work"},
        {"check": "smoke-inside-clears", "applies_to": "hood", "consequence": "fail"},
    ],
}  # fmt: skip
ALL_YES = [
    {"check": each["check"], "opening": None, "state": None, "answer": "yes"}
    for each in CRITERIA["checks"]
    if each["applies_to"] == "hood"
]

GOOD = [["104", "100", "97", "93", "110"], ["88", "89", "91", "95", "99"]]
BETTER = [["104", "100", "102", "98", "106"], ["96", "95", "100", "98", "102"]]
SLOW = [["70", "74", "73", "71", "68"], ["72", "75", "76", "73", "68"]]
LOW = [["104", "108", "106", "101", "107"]]


def traverse(
    readings: list,
    opening: str = "working",
    state: str = "as-found",
    unit: str = "ft/min",
    monitor: str | None = "100 ft/min",
) -> dict:
    return {"opening": opening, "state": state, "unit": unit, "monitor": monitor, "readings": readings}


def answer(check: str, said: str, opening: str | None = None, state: str | None = None) -> dict:
    return {"check": check, "opening": opening, "state": state, "answer": said}


def entered(traverses: list[dict], answers: list[dict] | None = None, **given: Any) -> dict:
    openings = given.pop("openings", [{"name": "working", "width": "60 in", "height": "18 in"}])
    smoke = [answer("smoke-at-opening", "yes", opening["name"], state) for opening in openings for state in ("as-found", "as-left")
             if state == "as-found" or given.get("adjusted")]  # fmt: skip
    content = {
        "openings": openings,
        "traverses": traverses,
        "answers": ALL_YES + smoke if answers is None else answers,
        "adjusted": False,
        "ended_early": None,
        "reason": "annual",
        "instrument": "1",
        "conditions": {
            "mode": "normal",
            "doors": "closed",
            "room_pressure": "into-the-room",
            "other_hoods": "some-open",
            "temperature": "21.5 °C",
        },
        "found": {"sash": "14 in", "somebody": "no", "monitor": "101 ft/min", "alarm": "quiet"},
        "questions": [],
        "struck_traverses": [],
        "last": {"controls": "yes", "alarm": "yes", "stop": "yes", "sash": "yes", "told": "yes"},
        "stop_and_mark_moved": None,
        "notes": None,
    }
    return content | given


def record(
    content: dict, *, criteria: dict = CRITERIA, openings: tuple = (WORKING,), number: int = 12, **facts: Any
) -> dict:
    """A record of format 1: what was entered, the facts, the criteria, what core judges of it, the signature.

    Each is whole and its own: what a test changes in one, no other test sees.
    """
    sizes = {each["name"]: each for each in content["openings"]}
    known = {
        "site": SITE, "place": PLACE, "hood": HOOD, "exhaust": {"name": "EF-12", "hoods": 4},
        "openings": [{**each, **{side: sizes.get(each["name"], {}).get(side) for side in ("width", "height")}} for each in openings],
        "benchmarks": [], "calibration_covers": True, "labelled": ["working"], "instrument": INSTRUMENT, "calibration": CALIBRATION,
    } | facts  # fmt: skip
    judged = judge(parse(content), Facts.from_dict(known), Criteria.from_dict(criteria)).as_dict()
    granted = judged["verdict"] in ("pass", "restrict")
    return deepcopy({
        "kind": "survey",
        "format": 1,
        "number": number,
        "survey": {
            "id": "5b0d3c1e-7f0a-4a6e-9a34-6f2f0f1f7a11", "reason": content["reason"], "done_on": "2026-03-12",
            "measured_from": "2026-03-12T14:05:07Z", "measured_until": "2026-03-12T14:51:30Z", "full": True, "amends": None, "why": None,
            "label_issue": 7 if granted else None, "due_on": "2027-03-12" if granted else None,
        },
        "entered": content,
        "facts": known,
        "criteria": {
            "set": "Campus limits", "version": 2, "first_day": "2022-01-01", "adopted_by": "Henrik Sole", "record": 3, "document": criteria,
        },
        "judged": judged,
        "signed": {
            "by": {"name": "Ruth Okafor", "initials": "RO", "position": "hood surveyor", "employer": "Skua Institute"},
            "meaning": "made-these-measurements", "at": "2026-03-12T14:52:07Z", "zone": "Europe/London",
            "confirmed": {},
        },
        "program": "0.1.0",
    })  # fmt: skip


def sha256(content: dict) -> str:
    return sha256_hex(canonical(content))


def passing() -> dict:
    return record(entered([traverse(GOOD)]))


def adjusted() -> dict:
    """Found slow, a cause put right, a complete second set."""
    answers = [
        answer(each["check"], "yes", None, state)
        for each in CRITERIA["checks"]
        if each["applies_to"] == "hood"
        for state in (
            ("as-found", "as-left")
            if each["check"] in ("air-drawn-in", "monitor-works", "alarm-works", "smoke-inside-clears")
            else (None,)
        )
    ]
    answers += [answer("smoke-at-opening", "yes", "working", state) for state in ("as-found", "as-left")]
    return record(entered([traverse(SLOW), traverse(BETTER, state="as-left")], answers, adjusted=True))  # fmt: skip


def restricted() -> dict:
    """Too slow at the working height, good at a lower one; the light is out."""
    openings = [
        {"name": "working", "width": "60 in", "height": "18 in"},
        {"name": "lower", "width": "60 in", "height": "12 in"},
    ]
    content = entered([traverse(SLOW, monitor="75 ft/min"), traverse(LOW, "lower", monitor="110 ft/min")], openings=openings,
                      stop_and_mark_moved="12 in")  # fmt: skip
    content["answers"] = [
        answer("light-works", "no") if each["check"] == "light-works" else each for each in content["answers"]
    ]
    return record(content, openings=(WORKING, LOWER))


def restricted_use() -> dict:
    content = entered([traverse([["104", "100", "97", "93", "110"], ["69", "89", "91", "95", "99"]])])
    return record(content)


def failing() -> dict:
    content = entered([traverse([["42", "41", "40", "38", "45"], ["47", "43", "38", "40", "40"]], monitor="40 ft/min")])
    content["answers"] = [
        each | {"answer": "no"} if each["check"] == "smoke-at-opening" else each for each in content["answers"]
    ]
    content["found"]["alarm"] = "sounding"
    return record(content)


def ended_early() -> dict:
    return record(entered([], [], ended_early={"reason": "no-flow", "words": "the fan is off"}, found={}, last={}))


def no_verdict() -> dict:
    """A point without a reading, one struck, one read twice."""
    odd = [
        ["104", ["100", "102"], "97", "93", None],
        [{"value": "880", "at": "2026-03-12T14:10:00Z", "struck": "slip of a digit"}, "89", "91", "95", "99"],
    ]
    return record(entered([traverse(odd)], notes="The door was opened twice.\nNobody else was in the room."))


def unsure() -> dict:
    """The calibration does not cover the day."""
    return record(
        entered([traverse(GOOD)]), calibration_covers=False, calibration=CALIBRATION | {"due_on": "2026-03-11"}
    )


def rounded() -> dict:
    criteria = CRITERIA | {"compare": "rounded"}
    return record(
        entered([traverse([["80", "79", "80", "79", "80"], ["80", "79", "80", "79", "80"]], monitor="79 ft/min")]),
        criteria=criteria,
    )


def crowded() -> dict:
    """Two openings, both states, every note: more than a page."""
    openings = [
        {"name": "working", "width": "94 in", "height": "28 in"},
        {"name": "lower", "width": "94 in", "height": "12 in"},
    ]
    grid = [[str(90 + (3 * row + 7 * column) % 23) for column in range(8)] for row in range(4)]
    slow = [[str(int(text) - 22) for text in row] for row in grid]
    traverses = [
        traverse(slow),
        traverse(slow[:2], "lower"),
        traverse(grid, state="as-left"),
        traverse(grid[:2], "lower", "as-left"),
    ]
    content = entered(
        traverses,
        openings=openings,
        adjusted=True,
        notes="\n".join(f"Note {n}: the damper was moved by a notch." for n in range(1, 9)),
    )
    content["struck_traverses"] = [traverse(slow) | {"struck": "the probe stood askew"}]
    content["questions"] = [{"code": "four-alike", "path": "traverses.0", "value": "90", "answer": "yes, read again"}]
    content["answers"] += [answer(check, "yes", None, state) for check in ("air-drawn-in", "monitor-works", "alarm-works", "smoke-inside-clears")
                           for state in ("as-found", "as-left")]  # fmt: skip
    return record(content, openings=(WORKING, LOWER))


ALL = {
    made.__name__: made
    for made in (
        passing,
        adjusted,
        restricted,
        restricted_use,
        failing,
        ended_early,
        no_verdict,
        unsure,
        rounded,
        crowded,
    )
}
