"""What the monitors of the demo's hoods show, what their alarms did, and the light and noise at each hood."""

from __future__ import annotations

from zlib import crc32

from config.demo.scenario import HoodPlan, Sash
from surveys.core.opening import free_area

#: The set point and the alarm point of a monitor, by its kind; the set point of a gauge of pressure is its mark.
POINTS = {
    "none": ("", ""),
    "velocity": ("100 ft/min", "80 ft/min"),
    "flow": ("800 ft**3/min", "600 ft**3/min"),
    "pressure": ("60 Pa", "45 Pa"),
    "alarm-only": ("", "80 ft/min"),
}
THROUGH_THE_BYPASS = 60  # [ft³/min] what the duct draws beside what comes through the opening


def shown(plan: HoodPlan, average: int, opening: Sash) -> str | None:
    """What a monitor shows while an opening draws in air at this average [ft/min]."""
    if plan.monitor == "velocity":
        return f"{average + 2} ft/min"
    if plan.monitor == "flow":
        area = free_area(opening.width, opening.height, "ft", opening.covered)
        return f"{round(average * area) + THROUGH_THE_BYPASS} ft**3/min"
    if plan.monitor == "pressure":  # as the square of the flow
        return f"{round(60 * average * average / 10_000)} Pa"
    return None


def forced(plan: HoodPlan, state: str | None, visit_days_ago: int) -> dict[str, str | None]:
    """The test of an alarm: what was shown when it tripped, and after how many seconds."""
    trips = {"velocity": "79 ft/min", "flow": "594 ft**3/min", "pressure": "44 Pa", "alarm-only": "78 ft/min"}
    return {
        "state": state, "forced": "sash-raised" if plan.sash == "vertical" else "sensor-covered", "trip": trips[plan.monitor],
        "after": f"{3 + _number(plan.tag, visit_days_ago) % 4} s", "sound": "yes", "light": "yes",
    }  # fmt: skip


def plain(plan: HoodPlan, state: str | None, visit_days_ago: int) -> list[dict[str, str | None]]:
    """Light and noise, and the pressure across a filter."""
    number = _number(plan.tag, visit_days_ago)
    made = [
        {"figure": "light", "state": None, "value": f"{430 + number % 60} lx"},
        {"figure": "noise", "state": state, "value": f"{54 + number % 6}.5 dBA"},
    ]
    if plan.kind == "filtered":
        made.append({"figure": "filter-pressure", "state": state, "value": f"{0.42 + number % 9 / 100:.2f} inH2O"})
    return made


def _number(tag: str, visit_days_ago: int) -> int:
    return crc32(f"{tag}/{visit_days_ago}".encode())
