"""A measure as somebody writes it in the inventory: digits, a unit of a closed list, nothing repaired in silence.

The inventory keeps a measure as text ('18 in'); it only asks which of two lengths is the greater. Reading one here is the same grammar as where
measures are judged; a test holds the two lists of units together.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction

LENGTH, SPEED, FLOW, PRESSURE, PERCENT = "length", "speed", "flow", "pressure", "percent"

#: Kind -> unit code as kept -> the other words for it that are taken.
UNITS: dict[str, dict[str, tuple[str, ...]]] = {
    LENGTH: {"in": ("inch", "inches"), "ft": ("foot", "feet"), "mm": (), "cm": (), "m": ()},
    SPEED: {"ft/min": ("fpm",), "m/s": ()},
    FLOW: {
        "ft**3/min": ("cfm", "ft³/min", "ft3/min"), "m**3/s": ("m³/s", "m3/s"), "m**3/h": ("m³/h", "m3/h"),
        "L/s": ("l/s",),
    },
    PRESSURE: {"Pa": (), "hPa": ("mbar",), "kPa": (), "inHg": (), "inH2O": ("inH₂O", "inWC", "inwg")},
    PERCENT: {"%": ()},
}  # fmt: skip
#: The largest length of a hood or an opening: 30 ft, or 10 m. More is a slip of the unit or of a digit.
LONGEST = {"in": "360", "ft": "30", "mm": "10000", "cm": "1000", "m": "10"}
#: The highest and the lowest elevation of a site: people work no higher than this above the sea.
HIGHEST = {"in": "240000", "ft": "20000", "mm": "6000000", "cm": "600000", "m": "6000"}
_MILLIMETRES = {"in": Decimal("25.4"), "ft": Decimal("304.8"), "mm": Decimal(1), "cm": Decimal(10), "m": Decimal(1000)}
EXAMPLES = {LENGTH: "18 in", SPEED: "100 ft/min", FLOW: "800 ft³/min", PRESSURE: "25 Pa", PERCENT: "3 %"}

#: Each word for a unit as it is written, and in capitals alone, as some lists have all their words.
_WORDS = {
    word: (kind, code)
    for made in (str.upper, str)
    for kind, units in UNITS.items()
    for code, words in units.items()
    for word in map(made, (code, *words))
}
#: Average velocities at an opening outside of these [ft/min] are likelier a slip of the point or of the unit than air: common
#: limits ask for 80 to 120 ft/min. Our own rule, common practice, no source; it asks, and refuses nothing.
LIKELY = (10, 500)
#: Of velocities and flows: how many m/s or m³/s one of them is.
_IN_SECONDS = {
    "ft/min": Fraction("0.3048") / 60, "m/s": Fraction(1), "ft**3/min": Fraction("0.3048") ** 3 / 60,
    "m**3/s": Fraction(1), "m**3/h": Fraction(1, 3600), "L/s": Fraction(1, 1000),
}  # fmt: skip
_SHOWN = {"ft**3/min": "ft³/min", "m**3/s": "m³/s", "m**3/h": "m³/h"}
_SHAPE = re.compile(r"(?P<digits>-?[0-9]+(?:\.[0-9]+)?)[ \t]*(?P<unit>[^\s0-9.,-]\S*)?")


@dataclass(frozen=True)
class Measure:
    """The digits as typed and the code of the unit."""

    digits: str
    unit: str

    @property
    def is_above_zero(self) -> bool:
        return not self.digits.startswith("-") and any(digit not in "0." for digit in self.digits)

    def __str__(self) -> str:
        return f"{self.digits} {self.unit}"


class NotAMeasure(ValueError):
    """Text that is no measure of these kinds; `reason` is `number`, `unit-missing`, `unit-unknown` or `unit-wrong-kind`."""

    def __init__(self, reason: str):
        super().__init__(reason)
        self.reason = reason


def read(text: str, *kinds: str) -> Measure:
    """The measure that a text says, in a unit of one of these kinds."""
    shape = _SHAPE.fullmatch(text.strip())
    if shape is None:
        raise NotAMeasure("number")
    word = shape["unit"]
    if word is None:
        raise NotAMeasure("unit-missing")
    if word not in _WORDS:
        raise NotAMeasure("unit-unknown")
    kind, code = _WORDS[word]
    if kind not in kinds:
        raise NotAMeasure("unit-wrong-kind")
    return Measure(shape["digits"], code)


def millimetres(text: str) -> Decimal | None:
    """A length as kept, in mm; None where the text is no length."""
    try:
        length = read(text, LENGTH)
    except NotAMeasure:
        return None
    return Decimal(length.digits) * _MILLIMETRES[length.unit]


_INCHES = frozenset({"in", "ft"})


def is_same_length(kept: str, said: str) -> bool:
    """Whether a length says what is kept: it is equal, or it is what pages show of it in the other unit.

    They show a length in whole mm, or in tenths of an inch, rounded down or to the nearest: 18 in is 457 mm there.
    """
    was, new = millimetres(kept), millimetres(said)
    if was is None or new is None or was == new:
        return kept == said if None in (was, new) else True
    in_inches = read(said, LENGTH).unit in _INCHES
    if in_inches is (read(kept, LENGTH).unit in _INCHES):
        return False
    step = _MILLIMETRES["in"] / 10 if in_inches else Decimal(1)
    steps = was / step
    return new / step in (steps.to_integral_value(ROUND_FLOOR), steps.to_integral_value(ROUND_HALF_EVEN))


def is_alarm_above(alarm_point: str, set_point: str) -> bool:
    """Whether an alarm on too little air would sound at what the monitor is set to; of a gauge of pressure nobody can say."""
    try:
        alarm, set_to = read(alarm_point, SPEED, FLOW), read(set_point, SPEED, FLOW)
    except NotAMeasure:
        return False
    if _WORDS[alarm.unit][0] != _WORDS[set_to.unit][0]:
        return False
    return Fraction(alarm.digits) * _IN_SECONDS[alarm.unit] > Fraction(set_to.digits) * _IN_SECONDS[set_to.unit]


def is_unlikely(speed: str) -> bool:
    """Whether a velocity is likelier a slip than an average of an opening; what is no velocity is none."""
    try:
        said = read(speed, SPEED)
    except NotAMeasure:
        return False
    value = Fraction(said.digits) * _IN_SECONDS[said.unit] / _IN_SECONDS["ft/min"]
    return not LIKELY[0] <= value <= LIKELY[1]


def units_of(*kinds: str) -> str:
    """The units that may be written, in a row, as people write them."""
    return ", ".join(_SHOWN.get(code, code) for kind in kinds for code in UNITS[kind])


def shown(text: str) -> str:
    """A measure as kept, its unit as people write it; any other text as it is."""
    digits, _blank, unit = text.partition(" ")
    return f"{digits} {_SHOWN[unit]}" if unit in _SHOWN else text
