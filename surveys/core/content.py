"""What is wrong with the content of a survey document: each problem at its place, in a sentence.

Problems stop signing, never saving. What is merely missing (a point, an answer) is no problem: it is judged as not tested.
"""

from collections.abc import Iterator
from fractions import Fraction

from hoods.core.part import lacks_part, of_another_sash
from surveys.core.entry import Document, MeasuredOpening, Reading, Traverse
from surveys.core.facts import Facts
from surveys.core.hood_content import of_amount, of_the_hood
from surveys.core.messages import Message, Problem
from surveys.core.said import why_not_said
from surveys.core.sizes import above_most
from surveys.core.units import (
    FLOW,
    LENGTH,
    PRESSURE,
    SPEED,
    TEMPERATURE,
    NotANumber,
    Quantity,
    decimals,
    decimals_allowed,
    number,
    quantity,
)

_RANGES = {
    "temperature": (TEMPERATURE, "°C", Fraction(5), Fraction(40), "temperature-out-of-range"),
    "pressure": (PRESSURE, "hPa", Fraction(600), Fraction(1100), "pressure-out-of-range"),
}


def check(document: Document, facts: Facts) -> tuple[Problem, ...]:
    """Every problem of the content, in the order of the document."""
    return (
        *_of_the_place(document),
        *_of_openings(document, facts),
        *_of_traverses(document, facts),
        *_of_answers(document, facts),
        *_of_adjusting(document),
        *_of_conditions(document),
        *of_the_hood(document, facts),
    )


def incomplete(document: Document) -> tuple[Problem, ...]:
    """What every survey of the program must name before it is signed; `calc` does without."""
    missing = []
    if not document.reason:
        missing.append(_problem("reason", "reason-missing"))
    if not document.instrument and any(traverse.begun for traverse in document.traverses):
        missing.append(_problem("instrument", "instrument-missing"))
    return tuple(missing)


def of_no_part(document: Document, facts: Facts) -> tuple[Problem, ...]:
    """Each opening of which nothing says what of the sash is moved: a label could not say what stays closed."""
    known = [(index, facts.opening(opening.name)) for index, opening in enumerate(document.openings)]
    sash = facts.hood.sash
    codes = {True: "opening-of-another-sash", False: "opening-of-no-part"}
    return tuple(
        _problem(f"openings.{index}", codes[of_another_sash(sash, one.way)], opening=one.name)
        for index, one in known
        if one is not None and lacks_part(sash, one.use, one.way, one.name)
    )


def _problem(path: str, code: str, **values: str) -> Problem:
    return Problem(path, Message(code, values))


def _of_the_place(document: Document) -> Iterator[Problem]:
    """Another hood, or one not fit to work at, is not measured; a survey that was ended says so by its end."""
    if document.ended_early is not None:
        return
    for key, code in (("right_hood", "other-hood"), ("fit", "not-fit")):
        if document.conditions.get(key) in ("no", False):
            yield _problem(f"conditions.{key}", code)


def _of_openings(document: Document, facts: Facts) -> Iterator[Problem]:
    seen: set[str] = set()
    begun = {traverse.opening for traverse in document.traverses if traverse.begun}
    for index, opening in enumerate(document.openings):
        path = f"openings.{index}"
        if opening.name in seen:
            yield _problem(path, "opening-twice", opening=opening.name)
        seen.add(opening.name)
        if facts.opening(opening.name) is None:
            yield _problem(path, "opening-unknown", opening=opening.name)
        yield from _of_size(path, opening, needed=opening.name in begun)
    for index, traverse in enumerate(document.traverses):
        if traverse.begun and traverse.opening not in seen and facts.opening(traverse.opening) is not None:
            yield _problem(f"traverses.{index}", "opening-size-missing", opening=traverse.opening)


def _of_size(path: str, opening: MeasuredOpening, *, needed: bool) -> Iterator[Problem]:
    for key, text in (("width", opening.width), ("height", opening.height)):
        if not text:
            if needed:
                yield _problem(f"{path}.{key}", "opening-size-missing", opening=opening.name)
            continue
        try:
            size = quantity(text, LENGTH)
            if size.value <= 0:
                yield _problem(f"{path}.{key}", "number-not-positive", text=text)
            elif most := above_most(size):
                yield _problem(f"{path}.{key}", "size-above-most", text=text, most=most)
        except NotANumber as refused:
            yield Problem(f"{path}.{key}", refused.message)


def _of_traverses(document: Document, facts: Facts) -> Iterator[Problem]:
    seen: set[tuple[str, str]] = set()
    for index, traverse in enumerate(document.traverses):
        path = f"traverses.{index}"
        if facts.opening(traverse.opening) is None:
            yield _problem(f"{path}.opening", "opening-unknown", opening=traverse.opening)
        if (traverse.opening, traverse.state) in seen:
            yield _problem(path, "traverse-twice", opening=traverse.opening, state=traverse.state)
        seen.add((traverse.opening, traverse.state))
        if traverse.unit is None and traverse.begun:
            yield _problem(f"{path}.unit", "traverse-unit-missing")
        yield from _of_monitor(f"{path}.monitor", traverse.monitor, facts.hood.monitor)
        yield from _of_readings(f"{path}.readings", traverse, facts)


def _of_monitor(path: str, text: str | None, monitor: str) -> Iterator[Problem]:
    kind = {"flow": FLOW, "pressure": PRESSURE}.get(monitor, SPEED)
    yield from of_amount(path, text, (kind,))


def places(traverse: Traverse) -> Iterator[tuple[str, int, int, Reading]]:
    """Each reading of a traverse with its path below `readings`, its row and its column."""
    for row, line in enumerate(traverse.readings):
        for column, cell in enumerate(line):
            for repeat, reading in enumerate(cell):
                yield f"{row}.{column}" + (f".{repeat}" if len(cell) > 1 else ""), row, column, reading


def _of_readings(path: str, traverse: Traverse, facts: Facts) -> Iterator[Problem]:
    for place, _, _, reading in places(traverse):
        if not reading.counts:
            if not (reading.struck or "").strip():
                yield _problem(f"{path}.{place}", "struck-without-reason")
            continue
        refused = why_not_reading(reading.value, traverse.unit, facts.resolution, facts.highest)
        if refused is not None:
            yield Problem(f"{path}.{place}", refused)


def why_not_reading(
    text: str, unit: str | None, resolution: Quantity | None = None, highest: Quantity | None = None
) -> Message | None:
    """Why a reading cannot stand as it was typed; None where it can."""
    try:
        value = number(text)
    except NotANumber as refused:
        values = refused.message.values
        return Message(refused.message.code, {**values, "example": example(unit, resolution)} if unit else values)
    if text.startswith("-"):
        return Message("number-negative", {"text": text})
    if unit is None:
        return None
    if resolution is not None and decimals(text) > decimals_allowed(resolution, unit):
        return Message("number-decimals", {"text": text, "resolution": str(resolution)})
    if highest is not None and value > highest.to(unit):
        return Message("number-above-instrument", {"text": text, "unit": unit, "highest": str(highest)})
    return None


def example(unit: str, resolution: Quantity | None = None) -> str:
    """A reading in this unit, as an instrument of this resolution may show it."""
    places = None if resolution is None else decimals_allowed(resolution, unit)
    if unit == "m/s":
        return "0.45" if places is None or places > 1 else "0.5" if places else "1"
    return "98.5" if places else "98"


def _of_answers(document: Document, facts: Facts) -> Iterator[Problem]:
    seen: set[tuple[str, str | None, str | None]] = set()
    for index, answer in enumerate(document.answers):
        path = f"answers.{index}"
        if (refused := why_not_said(answer, facts.done_on)) is not None:
            yield Problem(f"{path}.said", refused)
        if answer.answer is None:
            continue
        if answer.opening is not None and facts.opening(answer.opening) is None:
            yield _problem(f"{path}.opening", "opening-unknown", opening=answer.opening)
        if (answer.check, answer.opening, answer.state) in seen:
            yield _problem(path, "answer-twice")
        seen.add((answer.check, answer.opening, answer.state))


def _of_adjusting(document: Document) -> Iterator[Problem]:
    """What was entered as left where nothing was said to be adjusted: one problem, however much it is."""
    measured = any(one.state == "as-left" and (one.begun or one.monitor) for one in document.traverses)
    answered = any(one.state == "as-left" and one.answer is not None for one in document.answers)
    beside = "as-left" in {*(one.state for one in document.of_hood), *(one.state for one in document.alarms)}
    if (measured or answered or beside) and not document.adjusted:
        yield _problem("adjusted", "left-without-adjusted")


def _of_conditions(document: Document) -> Iterator[Problem]:
    for key, (kind, unit, least, most, code) in _RANGES.items():
        text = document.conditions.get(key)
        if not isinstance(text, str) or not text:
            continue
        try:
            if not least <= quantity(text, kind).to(unit) <= most:
                yield _problem(f"conditions.{key}", code, text=text)
        except NotANumber as refused:
            yield Problem(f"conditions.{key}", refused.message)
    for where, text in (("conditions.elevation", document.conditions.get("elevation")),
                        ("found.sash", document.found.get("sash"))):  # fmt: skip
        if isinstance(text, str) and text:
            try:
                quantity(text, LENGTH)
            except NotANumber as refused:
                yield Problem(where, refused.message)
