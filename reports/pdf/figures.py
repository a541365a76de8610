"""Numbers of a signed survey as they are printed. What was judged is read from the record and never judged again."""

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from reports.pdf.wording import Wording
from surveys.core.rounding import plain
from surveys.core.units import LENGTH, UNIT, NotANumber, both, quantity, shown

NOTHING = "–"
Number = Mapping[str, str]


def exact(number: Number) -> Fraction:
    """The value of a number of the record, as exactly as it was kept."""
    return Fraction(number.get("exact") or number["value"])


def unit_shown(unit: str) -> str:
    return UNIT[unit].shown if unit in UNIT else unit


@lru_cache(maxsize=4096)
def size(text: str | None, *, nearest: bool = False) -> str:
    """A height or width as measured, with the other unit behind it: rounded down, or to the nearest where it lets nothing be opened."""
    if not text:
        return NOTHING
    try:
        return both(text, nearest=nearest) if quantity(text, LENGTH) else text
    except NotANumber:
        return text


def opened(record: Mapping[str, Any], height: str | None, wording: Wording) -> str:
    """Up to where an opening was open: at what height a vertical sash stood, or how high an opening of another is."""
    _ = wording
    if record["facts"]["hood"]["sash"] == "vertical":
        return _("sash at %(height)s") % {"height": size(height)}
    return _("%(height)s high") % {"height": size(height, nearest=True)}


@lru_cache(maxsize=4096)
def amount(text: str | None) -> str:
    """A quantity as it was entered, its unit as people write it."""
    if not text:
        return NOTHING
    try:
        return minus(str(quantity(text)))
    except NotANumber:
        return text


def said(limit: Mapping[str, Any], wording: Wording) -> str:
    """A limit in words: at least 80 ft/min; from 80 to 120 ft/min."""
    least, most = limit.get("at_least"), limit.get("at_most")
    values = {"least": amount(least), "most": amount(most)}
    if least and most:
        low, high = quantity(least), quantity(most)
        if low.unit == high.unit:
            values["least"] = minus(low.text)
        return wording.sentence({"code": "between", "values": values})
    return wording.sentence({"code": "at-least" if least else "at-most", "values": values})


def minus(digits: str) -> str:
    """Digits with the sign that is set as wide as a figure."""
    return digits.replace("-", "−")


def digits(number: Number) -> str:
    """The digits to print: as many as keep the number on its own side of every limit, as the record has them."""
    return minus(number.get("shown") or shown(exact(number), number["unit"]))


def measured(judgement: Mapping[str, Any]) -> str:
    """The judged value in the unit of its limit; where it was compared rounded, that too, in brackets."""
    number = judgement.get("value")
    if not number:
        return NOTHING
    compared = judgement.get("compared")
    return f"{digits(number)} ({minus(compared.split(' ')[0])})" if compared else digits(number)


def figure(code: str, opening: Mapping[str, Any]) -> str:
    """A figure in the unit of its readings."""
    number = (opening.get("figures") or {}).get(code)
    return digits(number) if number else NOTHING


def mean(cell: Any) -> tuple[Fraction | None, str, list[str]]:
    """A point of the grid: its value, the digits to print, and its readings where there are several that count."""
    repeats = [each for each in (cell if isinstance(cell, list) else [cell]) if each is not None]
    texts = [text(each) for each in repeats if not struck(each)]
    try:
        values = [Fraction(each) for each in texts]
    except (ValueError, ZeroDivisionError):
        return None, ", ".join(texts), []
    if not values:
        return None, NOTHING, []
    if len(values) == 1:
        return values[0], texts[0], []
    value = sum(values, Fraction(0)) / len(values)
    places = max(len(each.partition(".")[2]) for each in texts)
    return value, plain(value, places + 1), texts


def text(reading: Any) -> str:
    return str(reading["value"]) if isinstance(reading, Mapping) else str(reading)


def struck(reading: Any) -> str | None:
    return reading.get("struck") if isinstance(reading, Mapping) else None


def struck_readings(traverse: Mapping[str, Any]) -> list[tuple[int, int, str, str]]:
    """Readings that do not count: row, column, what was read, why it was struck."""
    found = []
    for row, cells in enumerate(traverse["readings"], 1):
        for column, cell in enumerate(cells, 1):
            for each in cell if isinstance(cell, list) else [cell]:
                if each is not None and struck(each):
                    found.append((row, column, text(each), struck(each) or ""))
    return found
