"""Units and numbers: the only place where a unit is parsed or converted, or a number is written with its unit.

A quantity is text (the digits as typed) and a unit code of the closed list below. Values are exact fractions:
1 ft/min is 127/25000 m/s. Factors come from one pint registry over fractions; the words a person may write are listed
here and never handed to pint, which reads `cfm` as centi-fermi without an error and does not know `fpm`.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

import pint

from surveys.core.messages import Message
from surveys.core.rounding import plain, rounded

SPEED, LENGTH, AREA, FLOW, PERCENT, RATIO = "speed", "length", "area", "flow", "percent", "ratio"
PRESSURE, TEMPERATURE = "pressure", "temperature"
LIGHT, SOUND, TIME = "light", "sound", "time"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of the closed list: its code (as stored), kind, how it is shown, and the other words it is accepted by."""

    code: str
    kind: str
    shown: str
    places: int
    words: tuple[str, ...] = ()


# Order within a kind is the order of choices. `places`: decimals shown of a figure in this unit.
UNITS: tuple[Unit, ...] = (
    Unit("ft/min", SPEED, "ft/min", 1, ("fpm",)),
    Unit("m/s", SPEED, "m/s", 3, ()),
    Unit("in", LENGTH, "in", 1, ("inch", "inches")),
    Unit("ft", LENGTH, "ft", 2, ("foot", "feet")),
    Unit("mm", LENGTH, "mm", 0, ()),
    Unit("cm", LENGTH, "cm", 1, ()),
    Unit("m", LENGTH, "m", 3, ()),
    Unit("ft**2", AREA, "ft²", 2, ("ft²", "ft2", "sq ft")),
    Unit("in**2", AREA, "in²", 1, ("in²", "in2", "sq in")),
    Unit("m**2", AREA, "m²", 3, ("m²", "m2")),
    Unit("cm**2", AREA, "cm²", 0, ("cm²", "cm2")),
    Unit("ft**3/min", FLOW, "ft³/min", 0, ("cfm", "ft³/min", "ft3/min")),
    Unit("m**3/s", FLOW, "m³/s", 3, ("m³/s", "m3/s")),
    Unit("m**3/h", FLOW, "m³/h", 0, ("m³/h", "m3/h")),
    Unit("L/s", FLOW, "L/s", 0, ("l/s",)),
    Unit("%", PERCENT, "%", 1, ()),
    Unit("", RATIO, "", 2, ()),
    Unit("Pa", PRESSURE, "Pa", 0, ()),
    Unit("hPa", PRESSURE, "hPa", 0, ("mbar",)),
    Unit("kPa", PRESSURE, "kPa", 1, ()),
    Unit("inHg", PRESSURE, "inHg", 2, ()),
    Unit("inH2O", PRESSURE, "inH2O", 3, ("inH₂O", "inWC", "inwg")),
    Unit("°C", TEMPERATURE, "°C", 1, ("degC", "C")),
    Unit("°F", TEMPERATURE, "°F", 1, ("degF", "F")),
    Unit("lx", LIGHT, "lx", 0, ("lux",)),
    Unit("dBA", SOUND, "dBA", 1, ("dB(A)",)),
    Unit("s", TIME, "s", 1, ("sec", "seconds")),
)
UNIT: dict[str, Unit] = {unit.code: unit for unit in UNITS}
_WORD: dict[str, str] = {word: unit.code for made in (str.upper, str) for unit in UNITS for word in map(made, (unit.code, *unit.words))}
_EXAMPLES = {
    SPEED: "100 ft/min", LENGTH: "18 in", AREA: "1 ft**2", FLOW: "800 ft**3/min", PERCENT: "20 %", RATIO: "0.90",
    PRESSURE: "1013 hPa", TEMPERATURE: "21 °C", LIGHT: "400 lx", SOUND: "60 dBA", TIME: "5 s",
}  # fmt: skip


@cache
def registry() -> pint.UnitRegistry:
    """The project's one pint registry, over exact fractions, made at first use."""
    made: pint.UnitRegistry = pint.UnitRegistry(non_int_type=Fraction)
    made.define("fpm = foot / minute")
    made.define("cfm = foot ** 3 / minute")
    made.define("inch_of_water = 249.08891 * pascal")  # 1000 kg/m³ × 9.80665 m/s² × 0.0254 m
    return made


_PINT = {"in": "inch", "ft": "foot", "ft/min": "foot/minute", "ft**2": "foot**2", "in**2": "inch**2"}
_PINT |= {"ft**3/min": "foot**3/minute", "m**3/h": "m**3/hour", "L/s": "liter/second", "inH2O": "inch_of_water"}


@cache
def factor(unit: str, to: str) -> Fraction:
    """How many of `to` one of `unit` is, exactly. Temperatures have no factor."""
    if unit == to:
        return Fraction(1)
    if UNIT[unit].kind != UNIT[to].kind or UNIT[unit].kind == TEMPERATURE:
        raise ValueError(f"{unit} cannot be converted to {to} by a factor")
    one = registry().Quantity(Fraction(1), _PINT.get(unit, unit))
    return Fraction(one.to(_PINT.get(to, to)).magnitude)


class NotANumber(ValueError):
    """A text that is no plain number or quantity; `message` says why and what would be right."""

    def __init__(self, code: str, **values: str) -> None:
        self.message = Message(code, values)
        super().__init__(code)


_NUMBERS = {"number-comma": "1.5 or 1500", "number-half": "0.5", "number-plain": "98 or 0.45"}  # as examples
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_HALF = re.compile(r"-?(?:[0-9]+\.|\.[0-9]+)")
_WITH_UNIT = re.compile(r"(\S[^A-Za-z°%]*?)\s+([^\s\d].*)", re.DOTALL)  # a number, a gap, and a unit
_JOINED = re.compile(r"(-?[0-9.]+)([^0-9.\s].*)")
_COMMA = re.compile(r"-?[0-9]+(?:,[0-9]+)+(?:\.[0-9]+)?")


@lru_cache(maxsize=65536)
def scaled(text: str) -> tuple[int, int]:
    """The number that a text says, as (digits, decimals): "0.50" is (50, 2). Raises NotANumber.

    The grammar is strict, so that nothing typed is ever repaired in silence: an optional sign, ASCII digits, at most one
    point with a digit on both sides.
    """
    if not _NUMBER.fullmatch(text):
        code = _why_not_a_number(text)
        raise NotANumber(code, text=text, example=_NUMBERS.get(code, ""))
    whole, _, decimals = text.partition(".")
    return int(whole + decimals), len(decimals)


def _why_not_a_number(text: str) -> str:
    if _COMMA.fullmatch(text):
        return "number-comma"
    if _HALF.fullmatch(text):
        return "number-half"
    if not text.isascii():
        return "number-digits"
    return "number-plain"


@lru_cache(maxsize=65536)
def number(text: str) -> Fraction:
    """The exact value of a text that is a plain number."""
    digits, decimals = scaled(text)
    return Fraction(digits, 10**decimals)


def decimals(text: str) -> int:
    """How many decimals a number was written with."""
    return scaled(text)[1]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as it was written, beside its unit code."""

    text: str
    unit: str

    @property
    def value(self) -> Fraction:
        return number(self.text)

    @property
    def kind(self) -> str:
        return UNIT[self.unit].kind

    def to(self, unit: str) -> Fraction:
        """The exact value in another unit of the same kind."""
        if unit == self.unit:
            return self.value
        if self.kind == TEMPERATURE:
            return _temperature(self.value, self.unit, unit)
        return self.value * factor(self.unit, unit)

    def __str__(self) -> str:
        return f"{self.text} {UNIT[self.unit].shown}".rstrip()


def _temperature(value: Fraction, unit: str, to: str) -> Fraction:
    if unit == "°F" and to == "°C":
        return (value - 32) * Fraction(5, 9)
    if unit == "°C" and to == "°F":
        return value * Fraction(9, 5) + 32
    raise ValueError(f"{unit} cannot be converted to {to}")


def unit_code(word: str, kind: str | None = None) -> str:
    """The code of a unit written by one of its words. Raises NotANumber."""
    code = _WORD.get(word)
    if code is None or (word == "" and kind not in (None, RATIO)):
        raise NotANumber("unit-unknown", unit=word, units=unit_words(kind))
    return code


def unit_words(kind: str | None) -> str:
    """The units that may be written for a kind, in a row."""
    return ", ".join(unit.shown for unit in UNITS if unit.shown and kind in (None, unit.kind))


@lru_cache(maxsize=4096)
def quantity(text: str, kind: str | None = None) -> Quantity:
    """A quantity written as a number, a space, and a unit: "62 in". Raises NotANumber.

    With a kind, a unit of another kind is refused. A ratio has no unit.
    """
    digits, word = parted(text)
    if (joined := _JOINED.fullmatch(digits)) and joined[2] in _WORD:
        raise NotANumber("unit-joined", text=digits, example=f"{joined[1]} {joined[2]}")
    scaled(digits)
    if not word and kind not in (None, RATIO):
        raise NotANumber("unit-missing", text=text, example=_EXAMPLES[kind])
    found = Quantity(digits, unit_code(word, kind))
    if kind is not None and found.kind != kind:
        raise NotANumber("unit-wrong-kind", text=text, units=unit_words(kind) or _EXAMPLES[kind])
    return found


def parted(text: str) -> tuple[str, str]:
    """The number of a text and the unit behind it, as they were written: "62 in" is ("62", "in"), "1 500" has no unit."""
    if found := _WITH_UNIT.fullmatch(text := text.strip()):
        return found[1], found[2]
    head, _gap, last = text.rpartition(" ")
    return (head, last) if head and last in _WORD else (text, "")


def quantity_or_none(text: str | None, kind: str | None = None) -> Quantity | None:
    """The quantity that a text says; None where it says none."""
    try:
        return quantity(text, kind) if text else None
    except NotANumber:
        return None


def decimals_allowed(resolution: Quantity, unit: str) -> int:
    """How many decimals a reading in `unit` may have from an instrument of this resolution.

    The fewest that can write its steps down: 1 ft/min allows none in ft/min and three in m/s (0.00508).
    """
    step, places = resolution.to(unit), 0
    while Fraction(1, 10**places) > step and places < 9:
        places += 1
    return places


def shown(value: Fraction, unit: str, bounds: tuple[Fraction, ...] = ()) -> str:
    """The digits to print: those usual for the unit, and as many more as it takes to stay on the value's side of each bound.

    So a printed figure never contradicts its outcome: 79.96 held against 80 is printed 79.96, never 80.
    """
    of_few = unit == "Pa" and abs(value) < 10 and value.denominator > 1  # 0.9 Pa is not 1 Pa
    places = UNIT[unit].places + of_few
    while places < 15 and any(_side(rounded(value, places), bound) != _side(value, bound) for bound in bounds):
        places += 1
    return plain(value, places)


def _side(value: Fraction, bound: Fraction) -> int:
    return (value > bound) - (value < bound)


def with_unit(digits: str, unit: str) -> str:
    """Digits beside the unit as it is shown."""
    return f"{digits} {UNIT[unit].shown}".rstrip()


# --- both units, for people who set a sash or read a meter ------------------------------------------------------------

_OTHER = {"in": "mm", "ft": "mm", "mm": "in", "cm": "in", "m": "in", "ft/min": "m/s", "m/s": "ft/min"}
_OTHER_PLACES = {"mm": 0, "in": 1, "m/s": 2, "ft/min": 0}


def height_in(text: str, unit: str) -> str:
    """A height in another unit, rounded down, so that nobody sets a sash higher than was measured: "18 in" is "457 mm"."""
    measured = quantity(text, LENGTH)
    if measured.unit == unit:
        return str(measured)
    places = _OTHER_PLACES.get(unit, 1)
    steps = measured.to(unit) * 10**places
    return with_unit(plain(Fraction(steps.numerator // steps.denominator, 10**places), places), unit)


def both(text: str, *, nearest: bool = False) -> str:
    """A height or velocity as measured, with the other unit behind it: "18 in (457 mm)", "100 ft/min (0.51 m/s)"; to the nearest, "24 in (610 mm)"."""
    measured = quantity(text)
    other = _OTHER[measured.unit]
    if nearest and measured.kind == LENGTH:
        return f"{measured} ({with_unit(plain(measured.to(other), _OTHER_PLACES[other]), other)})"
    return f"{measured} ({height_in(text, other) if measured.kind == LENGTH else speed_in(text, other)})"


def length(text: str) -> Fraction:
    """The length that a text says, to compare lengths written in different units [m]."""
    return quantity(text, LENGTH).to("m")


def speed_in(text: str, unit: str) -> str:
    """A velocity in another unit, to the digits usual for a limit: "100 ft/min" is "0.51 m/s"."""
    measured = quantity(text, SPEED)
    if measured.unit == unit:
        return str(measured)
    whole, _point, decimals = plain(measured.to(unit), _OTHER_PLACES[unit]).partition(".")
    decimals = decimals.ljust(_OTHER_PLACES[unit], "0")  # 0.50 m/s stands beside 0.47 m/s
    return with_unit(f"{whole}.{decimals}" if decimals else whole, unit)
