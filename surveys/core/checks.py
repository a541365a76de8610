"""CHECKS: what the surveyor looks at, in the order of the form. A new check is one row here.

Every question is asked so that 'yes' is as it should be. What a 'no' costs is data of the site's criteria. `short` is a
noun phrase for prints. Retired checks stay, marked, so that old records can be read.
"""

from dataclasses import dataclass
from typing import Protocol

from surveys.core.messages import gettext_noop as _


class HoodFacts(Protocol):
    """What of a hood decides which checks are for it."""

    @property
    def kind(self) -> str: ...
    @property
    def sash(self) -> str: ...
    @property
    def monitor(self) -> str: ...
    @property
    def alarm_point(self) -> str: ...
    @property
    def powered(self) -> bool: ...


PANELLED = ("horizontal", "combination")
MOVING = ("vertical", "horizontal", "combination")
LIFTED = ("vertical", "combination")
ALARM = ("alarm-works", "alarm-not-muted")
ALL = ("vertical", "horizontal", "combination", "none")
WORDS, DAY = "words", "day"  # what may be written beside an answer


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at. `where` is the part of the form; no `kinds` means hoods of every kind.

    `only_sometimes`: of a kind of hood, but not at each survey, so that it may not apply. `indispensable`: a hood of its kinds has no verdict by criteria that do not ask it of the hood at the cost of a use.
    `says`: words or a day stand beside its answer, asked for by `said`; without them a yes is not tested.
    """

    code: str
    question: str
    short: str
    where: str
    airflow: bool = False
    never_not_applicable: bool = False
    sashes: tuple[str, ...] = ALL
    kinds: tuple[str, ...] = ()
    powered: bool = False
    indispensable: bool = False
    only_sometimes: bool = False
    says: str = ""
    said: str = ""
    help: str = ""
    retired: bool = False

    def is_for(self, hood: HoodFacts) -> bool:
        """Whether a hood of this kind and sash is looked at for this."""
        if self.powered and not hood.powered:
            return False
        return hood.sash in self.sashes and (not self.kinds or hood.kind in self.kinds)

    def may_be_not_applicable(self, hood: HoodFacts) -> bool:
        """Whether 'does not apply' may be answered for this hood; elsewhere that answer is 'not tested'."""
        if self.only_sometimes:
            return True
        if self.never_not_applicable or self.kinds or self.powered:
            return False
        if self.code == "monitor-works":
            return hood.monitor == "none"
        if self.code in ALARM:
            return hood.monitor != "alarm-only" and not hood.alarm_point
        return True


CHECKS: tuple[Check, ...] = (
    Check(
        "alarm-not-muted",
        _("Is the alarm free to sound: not muted, silenced or disconnected?"),
        _("Alarm not muted"),
        "found",
        airflow=True,
    ),
    Check(
        "air-drawn-in",
        _("Is air drawn in over the whole opening?"),
        _("Air drawn in"),
        "sash",
        airflow=True,
        never_not_applicable=True,
        help=_("A strip of tissue or a wisp of smoke moved along the opening bends inwards everywhere."),
    ),
    Check(
        "glazing-whole",
        _("Is the glazing whole, without cracks or tape?"),
        _("Glazing"),
        "sash",
        never_not_applicable=True,
        sashes=MOVING,
    ),
    Check(
        "sash-moves-and-stays",
        _("Does the sash move freely and stay where it is put?"),
        _("Sash moves and stays"),
        "sash",
        never_not_applicable=True,
        sashes=MOVING,
    ),
    Check("sash-one-hand", _("Can the sash be moved with one hand?"), _("Sash moved with one hand"), "sash", sashes=MOVING),
    Check(
        "panels-in-tracks",
        _("Do the panels run freely in their tracks and stay in them?"),
        _("Panels in their tracks"),
        "sash",
        never_not_applicable=True,
        sashes=PANELLED,
    ),
    Check(
        "sash-stops-at-obstruction",
        _("Does the powered sash stop at an obstruction?"),
        _("Sash stops at an obstruction"),
        "sash",
        sashes=MOVING,
        powered=True,
        help=_("Hold something soft, never a hand, in its way."),
    ),
    Check(
        "sash-released-by-hand",
        _("Can the powered sash be released and moved by hand?"),
        _("Sash released by hand"),
        "sash",
        sashes=MOVING,
        powered=True,
    ),
    Check(
        "sash-stays-without-power",
        _("Does the powered sash stay where it is when its power is lost?"),
        _("Sash when power is lost"),
        "sash",
        sashes=MOVING,
        powered=True,
    ),
    Check(
        "counterweight-sound",
        _("Are counterweight, cables and pulleys sound?"),
        _("Counterweight and cables"),
        "sash",
        sashes=LIFTED,
    ),
    Check(
        "stop-and-mark-in-place",
        _("Are the sash stop and the mark of the working height in place?"),
        _("Stop and mark"),
        "sash",
        sashes=MOVING,
    ),
    Check("airfoil-and-slots-clear", _("Are the airfoil and the slots clear?"), _("Airfoil and slots"), "inside"),
    Check("baffles-set", _("Are the baffles in place and set as they should be?"), _("Baffles"), "inside"),
    Check(
        "storage-clear",
        _("Is the inside clear enough: nothing stored that hinders the air?"),
        _("Storage inside"),
        "inside",
    ),
    Check("light-works", _("Does the light work?"), _("Light"), "inside"),
    Check("outlets-work", _("Do outlets, taps and valves work?"), _("Outlets and services"), "inside"),
    Check(
        "cupboard-vented",
        _("Is the vented cupboard under the hood shut, and is air drawn through it?"),
        _("Vented cupboard"),
        "inside",
    ),
    Check(
        "wash-down-works",
        _("Does the wash-down reach all parts and drain?"),
        _("Wash-down"),
        "inside",
        airflow=True,
        kinds=("perchloric-acid",),
        help=_("See it working. What is only said of it is not looked at."),
    ),
    Check(
        "no-organics",
        _("Is the hood free of organic chemicals, and does it say so that none may enter?"),
        _("No organic chemicals"),
        "inside",
        kinds=("perchloric-acid",),
    ),
    Check(
        "residue-tested",
        _("Before work on its duct or fan: was it tested for perchlorate residue, and none found?"),
        _("Residue before duct work"),
        "inside",
        kinds=("perchloric-acid",),
        only_sometimes=True,
        help=_("Where no work on duct or fan is about to be done: does not apply."),
    ),
    Check(
        "radiation-office-told",
        _("Has the radiation office been told of this survey?"),
        _("Radiation office told"),
        "inside",
        kinds=("radioisotope",),
    ),
    Check(
        "filter-type-fits",
        _("Is the filter of the type that is written for this work?"),
        _("Type of the filter"),
        "inside",
        kinds=("filtered",),
        indispensable=True,
        says=WORDS,
        said=_("Which filter, as it is marked"),
    ),
    Check(
        "filter-in-date",
        _("Is the filter within the date by which it is to be changed?"),
        _("Date of the filter"),
        "inside",
        kinds=("filtered",),
        indispensable=True,
        says=DAY,
        said=_("Day on which the filter was fitted"),
    ),
    Check(
        "materials-approved",
        _("Is everything used here on the list of materials approved for this filter?"),
        _("Approved materials"),
        "inside",
        kinds=("filtered",),
        indispensable=True,
    ),
    Check(
        "no-breakthrough",
        _("Was the air behind the filter tested, and nothing found to break through?"),
        _("No breakthrough"),
        "inside",
        kinds=("filtered",),
        indispensable=True,
    ),
    Check(
        "auxiliary-air-off",
        _("Was the auxiliary air off while the velocity was read?"),
        _("Auxiliary air off for readings"),
        "inside",
        airflow=True,
        kinds=("auxiliary-air",),
    ),
    Check(
        "monitor-works",
        _("Does the monitor show the flow as it is, and follow when the sash is moved?"),
        _("Monitor"),
        "monitor",
        airflow=True,
    ),
    Check(
        "alarm-works",
        _("Does the alarm sound and light when it is forced?"),
        _("Alarm"),
        "monitor",
        airflow=True,
    ),
    Check(
        "auxiliary-air-on",
        _("Is the auxiliary air on while smoke is looked at?"),
        _("Auxiliary air on for smoke"),
        "smoke",
        airflow=True,
        kinds=("auxiliary-air",),
    ),
    Check(
        "smoke-at-opening",
        _("Smoke along the edges of the opening: does all of it stay in?"),
        _("Smoke at the opening"),
        "smoke",
        airflow=True,
        never_not_applicable=True,
    ),
    Check(
        "smoke-inside-clears",
        _("Smoke let out inside: does all of it clear to the back?"),
        _("Smoke inside"),
        "smoke",
        airflow=True,
        never_not_applicable=True,
    ),
)
CHECK: dict[str, Check] = {check.code: check for check in CHECKS}
INDISPENSABLE = tuple(check for check in CHECKS if check.indispensable)


def checks_for(hood: HoodFacts) -> tuple[Check, ...]:
    """The checks that are for this hood, in the order of the form."""
    return tuple(check for check in CHECKS if check.is_for(hood) and not check.retired)
