"""Figures of the hood as a whole: what a meter or a gauge showed there, and what its alarm did when it was forced.

They are plain: nothing is made of readings of the traverse, so the instrument of the survey does not stand for them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from surveys.core.entry import AlarmForced, Document
from surveys.core.facts import HoodFacts
from surveys.core.units import FLOW, LIGHT, PRESSURE, SOUND, SPEED, TIME, Quantity, quantity_or_none

#: Figures that are entered as they were shown, with the kind of their unit.
PLAIN: Mapping[str, str] = {"light": LIGHT, "noise": SOUND, "filter-pressure": PRESSURE, "closed-flow": FLOW}
#: Those that follow the air, so that they are measured again where something was adjusted.
OF_AIRFLOW = ("noise", "filter-pressure", "closed-flow")
#: What a monitor shows, by its kind; the point of an alarm without a display may be any of them.
SHOWN: Mapping[str, tuple[str, ...]] = {
    "velocity": (SPEED,),
    "flow": (FLOW,),
    "pressure": (PRESSURE,),
    "alarm-only": (SPEED, FLOW, PRESSURE),
}


@dataclass(frozen=True, slots=True)
class AtHood:
    """What was measured of the hood in one state."""

    plain: Mapping[str, Quantity]
    alarm: AlarmForced | None
    alarm_point: str = ""


def at_hood(document: Document, hood: HoodFacts, state: str) -> AtHood:
    """What counts in a state: of what follows the air only what was entered for it, where something was adjusted."""
    plain: dict[str, Quantity] = {}
    for one in document.of_hood:
        follows = document.adjusted and one.figure in OF_AIRFLOW
        if one.state == state or (one.state is None and not follows):
            shown = quantity_or_none(one.value)
            if shown is not None and shown.kind == PLAIN.get(one.figure):
                plain[one.figure] = shown
    return AtHood(plain, alarm_of(document, state), hood.alarm_point)


def alarm_of(document: Document, state: str) -> AlarmForced | None:
    """How the alarm was forced in a state."""
    counting = [one for one in document.alarms if one.state == state or (one.state is None and not document.adjusted)]
    return counting[0] if counting else None


# --- figures ----------------------------------------------------------------------------------------------------------


def light(hood: AtHood) -> Fraction | None:
    """The light on the work surface [lux]."""
    return hood.plain["light"].value if "light" in hood.plain else None


def noise(hood: AtHood) -> Fraction | None:
    """The noise in front of the hood, A-weighted [dBA]."""
    return hood.plain["noise"].value if "noise" in hood.plain else None


def filter_pressure(hood: AtHood) -> Fraction | None:
    """The difference of pressure across the filter [Pa]."""
    return hood.plain["filter-pressure"].to("Pa") if "filter-pressure" in hood.plain else None


def closed_flow(hood: AtHood) -> Fraction | None:
    """The flow through the hood while its sash is closed [m**3/s]."""
    return hood.plain["closed-flow"].to("m**3/s") if "closed-flow" in hood.plain else None


def alarm_seconds(hood: AtHood) -> Fraction | None:
    """How long it took from forcing the alarm until it tripped [s]."""
    after = quantity_or_none(hood.alarm.after) if hood.alarm else None
    return after.value if after is not None and after.kind == TIME else None


def alarm_ratio(hood: AtHood) -> Fraction | None:
    """What the monitor showed when the alarm tripped, divided by the alarm point of the register [1]."""
    trip, point = quantity_or_none(hood.alarm.trip) if hood.alarm else None, quantity_or_none(hood.alarm_point)
    if trip is None or point is None or trip.kind != point.kind or not point.value:
        return None
    return trip.to(point.unit) / point.value
