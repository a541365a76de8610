"""Who and what the invented institute has, and what its surveyor found at each hood. Nothing in it is real."""

from dataclasses import dataclass, field
from typing import Any

from hoods.core.cover import Cover

SITE: dict[str, Any] = {
    "name": "Skua Institute",
    "time_zone": "Europe/London",
    "elevation": "120 m",
    "speed_unit": "ft/min",
    "length_unit": "in",
    "height_from": "airfoil",
    "address": "Skua Institute, 1 Fellside Lane, Skuaness",
    "office": "Safety office",
    "telephone": "4100",
    "emergency": "Fire, spill or injury: leave the room, close the door, call 4444 from the corridor.",
    "emergency_telephone": "4444",
    "paper": "A4",
    "printer_dpi": 300,
}

PASSWORD = "low-sash-1887"  # noqa: S105 printed by `make demo`; refused outside the demo


@dataclass(frozen=True)
class Someone:
    email: str
    name: str
    initials: str
    position: str
    role: str
    rooms: tuple[str, ...] = ()


PEOPLE = (
    Someone("henrik@skua.example", "Henrik Sole", "HS", "ventilation programme manager", "programme-manager"),
    Someone("ruth@skua.example", "Ruth Okafor", "RO", "hood surveyor", "technician"),
    Someone("asel@skua.example", "Asel Brandt", "AB", "laboratory manager", "lab-manager", ("2.14", "2.16")),
    Someone("ines@skua.example", "Ines Maduro", "IM", "internal auditor", "auditor"),
)

BUILDINGS = (
    (
        "North Range",
        (
            ("2.14", "Synthesis laboratory", "second floor", "Chemistry", "Asel Brandt", "solvents, acid chlorides"),
            ("2.16", "Preparation room", "second floor", "Chemistry", "Asel Brandt", "solvents"),
        ),
    ),
    (
        "Mill House",
        (
            (
                "0.03",
                "Digestion laboratory",
                "ground floor",
                "Earth sciences",
                "Owen Castellan",
                "perchloric acid, nitric acid",
            ),
            ("1.07", "Teaching laboratory", "first floor", "Teaching", "Mirja Lindqvist", "dilute acids"),
        ),
    ),
)

COSTS = {  # what each check left undecided by the starters costs here: its consequence, and the words of a restriction
    "smoke-inside-clears": ("restrict", "not for volatile toxic materials"),
    "sash-one-hand": ("note", ""),
    "stop-and-mark-in-place": ("note", ""),
    "airfoil-and-slots-clear": ("note", ""),
    "baffles-set": ("note", ""),
    "storage-clear": ("note", ""),
    "monitor-works": ("restrict", "attended work only"),
    "alarm-works": ("restrict", "attended work only"),
    "wash-down-works": ("fail", ""),
    "panels-in-tracks": ("fail", ""),
    "sash-stops-at-obstruction": ("fail", ""),
    "sash-released-by-hand": ("note", ""),
    "sash-stays-without-power": ("fail", ""),
    "cupboard-vented": ("note", ""),
    "no-organics": ("fail", ""),
    "residue-tested": ("fail", ""),
    "radiation-office-told": ("note", ""),
    "filter-type-fits": ("fail", ""),
    "filter-in-date": ("fail", ""),
    "materials-approved": ("fail", ""),
    "no-breakthrough": ("fail", ""),
    "auxiliary-air-off": ("fail", ""),
    "auxiliary-air-on": ("fail", ""),
}
CRITERIA = {  # key: name of the set, the starter it was made from, the costs
    "band": ("General hoods", "average-in-three-bands", COSTS),
    "floor": ("Hoods for acids and teaching", "average-100-lowest-70", COSTS),
}

EXHAUSTS = ("EF-1", "EF-2", "EF-3", "EF-4", "EF-11")

INSTRUMENTS = (
    # name, serial, kind, resolution, lowest, highest, calibrations: (certificate, days ago done, valid days, in tolerance as found)
    ("A-07", "40-1187", "thermal-anemometer", "1 ft/min", "0 ft/min", "6000 ft/min",
     (("K-3090", 930, 400, True), ("K-3310", 540, 400, True), ("K-3544", 160, 365, True))),
    ("A-11", "40-2260", "thermal-anemometer", "1 ft/min", "0 ft/min", "4000 ft/min",
     (("K-3102", 800, 400, True), ("K-3402", 420, 400, True), ("K-3601", 30, 365, False))),
    ("A-03", "39-0415", "rotating-vane", "1 ft/min", "40 ft/min", "3000 ft/min",
     (("K-2911", 640, 365, True),)),
)  # fmt: skip


@dataclass(frozen=True)
class Sash:
    """An opening of a hood: its name and use, the part that is moved, its size."""

    name: str
    use: str
    height: str
    width: str
    way: str = ""
    tested_every_survey: bool = True
    cover: str = ""  # what covers a part of it, and where
    cover_left: str = ""
    cover_up: str = ""
    cover_width: str = ""
    cover_height: str = ""

    @property
    def covered(self) -> Cover | None:
        measures = (self.cover_left, self.cover_up, self.cover_width, self.cover_height)
        return Cover(self.cover, *measures) if self.cover else None


@dataclass(frozen=True)
class Visit:
    """One survey: how long ago, and what it found. Averages are of the air, in ft/min; readings scatter around them."""

    days_ago: int
    working: int | None = 103
    lower: int | None = None  # the lower opening is measured too
    others: tuple[tuple[str, int], ...] = ()  # openings by name whose average is another than that of the working one
    left: int | None = None  # adjusted: the average as left
    answers: dict[str, str] = field(default_factory=dict)
    missing: int = 0  # points without a reading
    ended: str | None = None  # ended early, for this reason
    words: str = ""
    reason: str = "annual"
    instrument: str = "A-07"
    stop_moved: bool = False
    signed: bool = True
    on_paper_by: str = ""  # measured with pen and paper by somebody who is no person of the ledger, typed in a day later


@dataclass(frozen=True)
class Happened:
    days_ago: int
    kind: str
    why: str
    until_in_days: int | None = None
    criteria: str = ""  # of 'judged': the set from then on
    evidence: str = ""


@dataclass(frozen=True)
class HoodPlan:
    tag: str
    room: str
    position: str
    exhaust: str  # empty: its air is filtered and given back to the room
    criteria: str  # 'band' or 'floor'
    kind: str = "general"
    control: str = "bypass"
    width: str = "60 in"
    monitor: str = "velocity"
    installed_days_ago: int = 1900
    visits: tuple[Visit, ...] = ()
    events: tuple[Happened, ...] = ()
    uses_forbidden: str = ""
    sash: str = "vertical"
    powered: bool = False
    stood_in: str = ""  # the room from which it was moved
    openings: tuple[Sash, ...] = ()  # left out: a working one of 18 in and a lower one

    @property
    def sashes(self) -> tuple[Sash, ...]:
        return self.openings or (
            Sash("working", "working", "18 in", self.width),
            Sash("lower", "lower", "12 in", self.width, tested_every_survey=False),
        )


WASH = {"wash-down-works": "yes"}

HOODS = (
    HoodPlan("FH-0101", "2.14", "nearest the door", "EF-1", "band",
             visits=(Visit(731, 104, reason="initial"), Visit(372, 101), Visit(20, 98, answers={"light-works": "no"}))),
    HoodPlan("FH-0102", "2.14", "second from the door", "EF-1", "band",
             visits=(Visit(760, 100, reason="initial"), Visit(398, 97), Visit(9, None, ended="called-away", words="Evacuation drill."))),
    HoodPlan("FH-0103", "2.14", "at the window", "EF-1", "band", control="constant-volume",
             visits=(Visit(728, 92, reason="initial"), Visit(368, 86), Visit(18, 66, lower=93, stop_moved=True))),
    HoodPlan("FH-0104", "2.14", "window end, east bench", "EF-1", "band",
             visits=(Visit(727, 90, reason="initial"), Visit(366, 84), Visit(17, 75, on_paper_by="Lena Orth"))),
    HoodPlan("FH-0105", "2.16", "left of the sink", "EF-2", "band",
             visits=(Visit(700, 103, reason="initial"), Visit(345, 102), Visit(3, None, ended="glass-broken",
                     words="The lower pane is cracked from side to side.", reason="complaint"))),
    HoodPlan("FH-0106", "2.16", "right of the sink", "EF-2", "band",
             visits=(Visit(699, 88, reason="initial"), Visit(340, 82), Visit(12, 55)),),
    HoodPlan("FH-0107", "2.16", "by the gas cabinet", "EF-2", "band",
             visits=(Visit(690, 99, reason="initial"), Visit(505, 76), Visit(330, 97)),
             events=(Happened(25, "out-of-service", "Duct taken down for the summer works.", until_in_days=40),)),
    HoodPlan("FH-0108", "1.07", "back wall, left", "EF-3", "floor", monitor="flow",
             visits=(Visit(650, 118, reason="initial"),
                     Visit(470, 93, left=114, words="The damper had slipped; set again."), Visit(290, 116)),
             events=(Happened(80, "hibernated", "At the laboratory's wish; the air is off."),)),
    HoodPlan("FH-0109", "1.07", "back wall, right", "EF-3", "floor", installed_days_ago=14),
    HoodPlan("FH-0110", "0.03", "by the wash-down valve", "EF-4", "floor", kind="perchloric-acid",
             uses_forbidden="No organic materials.",
             visits=(Visit(640, 117, answers=WASH, reason="initial"), Visit(280, 115, answers=WASH),
                     Visit(26, 91, left=112, answers=WASH, words="Belt tightened by Building Services."))),
    HoodPlan("FH-0111", "0.03", "by the fume scrubber", "EF-11", "floor",
             visits=(Visit(630, 112, reason="initial", instrument="A-11"), Visit(270, 110, instrument="A-11"))),
    HoodPlan("FH-0112", "1.07", "under the stairs", "EF-3", "band", installed_days_ago=6200,
             visits=(Visit(720, 83, reason="initial"), Visit(610, 61, reason="complaint"),
                     Visit(598, 104, reason="after-repair")),
             events=(Happened(600, "judged", "Acid digestions moved in from the ground floor.", criteria="floor",
                              evidence="Smoke and average compared with those of the digestion laboratory."),
                     Happened(410, "retired", "Replaced by a storage cupboard."),)),
)  # fmt: skip
