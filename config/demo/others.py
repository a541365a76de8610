"""The institute's other hoods: of every kind, sash and control, three years of surveys, made from a few lines each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from config.demo import air
from config.demo.earlier import TAKEN_OVER
from config.demo.scenario import COSTS, Happened, HoodPlan, Sash, Visit
from surveys.core.checks import CHECKS

FIRST_TAG = 113
YEARS_AGO = (1050, 690, 330)  # days; each hood some days later than the one before

#: Rooms by building, as `scenario.BUILDINGS` writes them; the first two buildings are there already.
ROOMS = (
    ("North Range", (
        ("2.20", "Research laboratory", "second floor", "Chemistry", "Tomas Reyl", "solvents, hydrides"),
        ("2.22", "Measuring laboratory", "second floor", "Chemistry", "Tomas Reyl", "solvents"),
    )),
    ("Mill House", (
        ("1.09", "Project laboratory", "first floor", "Earth sciences", "Owen Castellan", "acids, solvents"),
        ("1.12", "Old workshop", "first floor", "Earth sciences", "Owen Castellan", "none"),
    )),
    ("Harbour Annexe", (
        ("A.01", "Isotope laboratory", "ground floor", "Life sciences", "Edda Voss", "labelled compounds"),
        ("A.02", "Analytical laboratory", "ground floor", "Life sciences", "Edda Voss", "solvents"),
        ("A.03", "Pilot hall", "ground floor", "Process engineering", "Ibon Salas", "solvent vapours, dust"),
    )),
)  # fmt: skip

#: What drew the air in each room: the average found in the first year, and how much of it is lost each year [ft/min].
FANS = {
    "EF-5": (106, 9), "EF-6": (104, 1), "EF-7": (101, 1), "EF-8": (103, 2), "EF-9": (105, 4), "EF-10": (100, 1),
    "EF-12": (112, 1),  # of a perchloric acid hood alone
}  # fmt: skip
FILTERED = (100, 1)  # of hoods that give the air back to their room by fans of their own
BELT = "EF-6"  # its belt slipped: every hood on it was low until it was tightened
BELT_SLIPPED, BELT_TIGHTENED, SLIPPED_TO = 200, 194, 58


@dataclass(frozen=True)
class Row:
    """So many hoods alike, beside one another."""

    number: int
    room: str
    exhaust: str
    where: str
    what: dict[str, Any] = field(default_factory=dict)
    openings: tuple[Sash, ...] = ()
    others: tuple[tuple[str, int], ...] = ()


def _panels(width: str = "20 in", height: str = "28 in") -> tuple[Sash, ...]:
    return tuple(Sash(f"{part} panel open", "working", height, width, f"{part} panel") for part in ("left", "centre", "right"))


COMBINATION = (
    Sash("frame raised, panels closed", "working", "18 in", "60 in", "frame"),
    Sash("panels open, frame down", "working", "28 in", "24 in", "panels"),
)
FLOOR = (Sash("upper door raised", "working", "24 in", "70 in", cover="fixed panel", cover_left="46 in"),)
NO_SASH = (Sash("open front", "working", "20 in", "48 in"),)

ROWS = (
    Row(10, "2.20", "EF-5", "north bench", {"control": "bypass"}),
    Row(8, "2.22", "EF-6", "south bench", {"control": "constant-volume"}),
    Row(5, "1.09", "EF-7", "window side", {"control": "variable-volume", "kind": "high-performance", "monitor": "flow"}),
    Row(3, "1.09", "EF-7", "corridor side", {"control": "two-state", "monitor": "pressure", "powered": True}),
    Row(4, "A.01", "EF-8", "isotope bench", {"kind": "radioisotope", "uses_forbidden": "No open flame."}),
    Row(4, "A.02", "EF-9", "east wall", {"sash": "horizontal"}, _panels()),
    Row(3, "A.02", "EF-9", "west wall", {"sash": "combination"}, COMBINATION),
    Row(2, "A.03", "EF-10", "at the gate", {"kind": "floor-mounted"}, FLOOR),
    Row(2, "A.03", "EF-10", "over the mixer", {"kind": "canopy", "sash": "none", "monitor": "none"}, NO_SASH),
    Row(2, "A.03", "EF-10", "beside the stairs", {"kind": "auxiliary-air"}),
    Row(2, "A.03", "", "dosing corner", {"kind": "filtered", "monitor": "none"}),
    Row(2, "A.03", "EF-10", "weighing corner", {"kind": "other", "sash": "none", "monitor": "alarm-only"}, NO_SASH),
    Row(1, "0.03", "EF-12", "beside the wash-down valve", {"kind": "perchloric-acid", "uses_forbidden": "No organic materials."}),
)  # fmt: skip
MOVED_FROM, MOVED_DAYS_AGO = "1.12", 500  # the corridor side of 1.09 stood in the old workshop before


def plans() -> tuple[HoodPlan, ...]:
    """The hoods in the order of their tags."""
    return tuple(_plan(row, place, order) for order, (row, place) in enumerate(_each()))


def _each() -> Iterator[tuple[Row, int]]:
    for row in ROWS:
        for place in range(row.number):
            yield row, place


def _plan(row: Row, place: int, order: int) -> HoodPlan:
    tag = f"FH-{FIRST_TAG + order:04}"
    moved = row.where == "corridor side"
    return HoodPlan(
        tag, row.room, f"{row.where}, place {place + 1}", row.exhaust,
        "isotope" if row.where == "isotope bench" else "kinds", installed_days_ago=1900,
        visits=tuple(sorted(_visits(row, tag, order, place), key=lambda visit: -visit.days_ago)),
        events=(Happened(MOVED_DAYS_AGO, "moved", "The workshop was given up; its hoods stand here now."),) if moved else (),
        openings=row.openings, stood_in=MOVED_FROM if moved else "", **row.what,
    )  # fmt: skip


def _visits(row: Row, tag: str, order: int, place: int) -> Iterator[Visit]:
    if tag in {taken_over for taken_over, _results in TAKEN_OVER}:  # by a tenant until last year: not surveyed here yet
        return
    first, lost = FANS[row.exhaust] if row.exhaust else FILTERED
    for year, ago in enumerate(YEARS_AGO):
        found = air.drifting(tag, first, lost, year)
        reason = "initial" if year == 0 else "annual"
        last = year == len(YEARS_AGO) - 1
        # The frame of one combination sash no longer draws enough when it is raised: that opening alone fails.
        others = ((COMBINATION[0].name, 52),) if last and row.openings is COMBINATION and place == 1 else ()
        yield Visit(ago - order, found, others=others, reason=reason, instrument="A-19")
    if row.exhaust == BELT:
        yield Visit(BELT_SLIPPED, SLIPPED_TO + place, reason="complaint", instrument="A-19",
                    words=f"Every hood on {BELT} is low: the belt of the fan slips.")  # fmt: skip
        yield Visit(BELT_TIGHTENED, first + place % 3, reason="after-repair", instrument="A-19",
                    words=f"The belt of {BELT} is tightened.")  # fmt: skip
    if row.where == "corridor side":
        yield Visit(MOVED_DAYS_AGO - 3, first + place, reason="after-a-move", instrument="A-19")
    if row.where == "isotope bench":  # half-yearly
        for ago in (870, 510, 150):
            yield Visit(ago - place, first - place, reason="other", instrument="A-19")


#: The anemometer of these hoods, as `scenario.INSTRUMENTS` writes it.
INSTRUMENTS = (
    ("A-19", "41-0073", "thermal-anemometer", "1 ft/min", "0 ft/min", "6000 ft/min",
     (("K-3001", 1100, 400, True), ("K-3280", 720, 400, True), ("K-3511", 340, 365, True))),
)  # fmt: skip

CRITERIA = {
    "kinds": ("Hoods of all kinds", "average-in-three-bands", COSTS),
    "isotope": ("Radioisotope hoods", "radioisotope-half-yearly", COSTS),
}


def asking_of_all_kinds(document: dict[str, Any]) -> dict[str, Any]:
    """Criteria that ask, at the cost of the use, every check that only some kinds of hood need."""
    asked = {one["check"] for one in document["checks"]}
    new = [one for one in CHECKS if (one.kinds or one.powered) and one.code not in asked and not one.retired]
    added = [{"check": one.code, "applies_to": "hood", "consequence": "fail"} for one in new]
    return document | {"checks": [*document["checks"], *added]}
