"""What the program knows beside what was entered: the hood, its openings, benchmarks, calibration, the label before."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from hoods.core.cover import Cover
from surveys.core.units import Quantity, quantity


@dataclass(frozen=True, slots=True)
class HoodFacts:
    """What of a hood a survey is judged by."""

    kind: str = "general"
    control: str = "constant-volume"
    sash: str = "vertical"
    monitor: str = "velocity"
    powered: bool = False
    set_point: str = ""  # of its monitor; of one that shows pressure, the mark on its gauge
    alarm_point: str = ""


@dataclass(frozen=True, slots=True)
class OpeningFacts:
    """An opening of the hood's inventory, in order from the front left to right."""

    name: str
    use: str
    way: str | None = None
    every_survey: bool = True
    cover: Cover | None = None  # what covers a part of it
    width: str = ""  # as the register says; empty where it says none
    height: str = ""


@dataclass(frozen=True)
class Facts:
    """What the program knows beside what was entered; never from a form."""

    hood: HoodFacts = HoodFacts()
    openings: tuple[OpeningFacts, ...] = ()
    benchmarks: Mapping[str, Quantity] = field(default_factory=dict)
    calibration_covers: bool | None = None
    labelled: tuple[str, ...] | None = None
    resolution: Quantity | None = None
    lowest: Quantity | None = None
    highest: Quantity | None = None
    done_on: date | None = None  # the day measured

    @classmethod
    def from_dict(cls, given: Mapping[str, Any]) -> "Facts":
        """From plain values; the facts of a signed record can be given as they are, keys not judged by are passed over."""
        instrument = given.get("instrument") or {}
        instrument = instrument if isinstance(instrument, Mapping) else {}
        hood = given["hood"]
        labelled = given.get("labelled")
        return cls(
            hood=HoodFacts(
                hood["kind"], hood["control"], hood["sash"], hood.get("monitor") or "velocity", hood.get("powered") is True,
                hood.get("set_point") or "", hood.get("alarm_point") or "",
            ),  # fmt: skip
            openings=tuple(
                OpeningFacts(
                    o["name"], o["use"], o.get("way") or None, o.get("tested_every_survey", True) is not False,
                    Cover.from_dict(o["cover"]) if o.get("cover") else None, o.get("width") or "", o.get("height") or "",
                )
                for o in given.get("openings") or ()
            ),  # fmt: skip
            benchmarks={b["opening"]: quantity(b["value"], "speed") for b in given.get("benchmarks") or ()},
            calibration_covers=given.get("calibration_covers"),
            labelled=None if labelled is None else tuple(labelled),
            done_on=date.fromisoformat(given["done_on"]) if given.get("done_on") else None,
            **{key: _speed(given.get(key) or instrument.get(key)) for key in ("resolution", "lowest", "highest")},
        )

    def opening(self, name: str) -> OpeningFacts | None:
        return next((opening for opening in self.openings if opening.name == name), None)


def _speed(text: str | None) -> Quantity | None:
    return None if text is None else quantity(text, "speed")
