"""Soft questions: readings and sizes that may be right and look like a slip. Asked once; the answer is kept with the survey.

A question never changes a figure. It stops signing until it is answered, nothing else; a reading asked about counts until
it is struck with a reason. A reading that is refused counts nowhere, so nothing is asked about it.
"""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import groupby
from typing import Any

from surveys.core.content import places, why_not_reading
from surveys.core.entry import Document, Traverse
from surveys.core.facts import Facts
from surveys.core.messages import SENTENCES, Message, Problem
from surveys.core.rounding import digits_of
from surveys.core.sizes import off_register
from surveys.core.units import number, with_unit

# A slipped point makes a reading ten times too large or small. Readings of one opening differ far less than five times
# from their middle, so five times is where asking begins. Our own rule: common practice, no source.
FAR = 5
# Beyond a quarter of the middle of the other readings a slip of a key is likelier than the air: in a trial of 40,000
# slips this bound let under 0.05 % change a verdict, at fewer than three needless questions in a hundred readings.
OFF_PERCENT = 25
FEWEST_OTHERS = 3
ALIKE = 4


@dataclass(frozen=True, slots=True)
class Question:
    """One question: what is asked about (a place and the text there), and the words for it.

    An answer in the document belongs to this question while code, path and value are the same.
    """

    code: str
    path: str
    value: str
    values: dict[str, str] = field(default_factory=dict)

    @property
    def message(self) -> Message:
        return Message(self.code, self.values)

    @property
    def problem(self) -> Problem:
        return Problem(self.path, self.message)


def questions(document: Document, facts: Facts) -> tuple[Question, ...]:
    """Every question that sizes and readings raise, in the order of the document."""
    sizes = (Question(off.code, f"openings.{index}.{off.side}", off.text, dict(off.values)) for index, off in off_register(document, facts))
    readings = (
        question
        for index, traverse in enumerate(document.traverses)
        for question in _of_traverse(f"traverses.{index}.readings", traverse, facts)
    )
    return (*sizes, *readings)


def unanswered(document: Document, facts: Facts) -> tuple[Question, ...]:
    """The questions that nobody has answered yet."""
    answered = {(q.get("code"), q.get("path"), q.get("value")) for q in document.questions if q.get("answer")}
    return tuple(q for q in questions(document, facts) if (q.code, q.path, q.value) not in answered)


def _of_traverse(path: str, traverse: Traverse, facts: Facts) -> Iterator[Question]:
    typed = list(_numbers(traverse, facts))
    read = [(place, text, value) for place, text, value in typed if value is not None]
    if len(read) >= FEWEST_OTHERS and all(value == 0 for _, _, value in read):
        yield Question("all-zero", path, "0")
        return
    far = list(_far_from_the_rest(path, traverse, read))
    yield from far
    yield from _alike(path, typed)
    zero = {question.path for question in far if question.code == "reading-zero"}  # asked about once
    yield from (one for one in _below_the_instrument(path, traverse, facts, read) if one.path not in zero)


def _numbers(traverse: Traverse, facts: Facts) -> Iterator[tuple[str, str, Fraction | None]]:
    """Each reading that is not struck, with its place; None for the value of one that is refused."""
    for place, _, _, reading in places(traverse):
        if reading.counts:
            refused = why_not_reading(reading.value, traverse.unit, facts.resolution, facts.highest)
            yield place, reading.value, None if refused else number(reading.value)


def _far_from_the_rest(path: str, traverse: Traverse, read: list[tuple[str, str, Fraction]]) -> Iterator[Question]:
    """Each reading that lies more than a quarter above or below the middle of the other readings."""
    if len(read) < FEWEST_OTHERS:
        return  # of two that differ nothing says which is wrong
    ordered = sorted(value for _, _, value in read)
    if ordered[0] > 0 and 100 * (ordered[-1] - ordered[0]) <= OFF_PERCENT * ordered[0]:
        return  # a middle is at least the lowest, so no reading is that far from any: the usual case
    for place, text, value in read:
        rest = _middle_without(ordered, value)
        if rest is not None and rest > 0 and (code := _far(value, rest)):
            middle = with_unit(digits_of(rest, 3), traverse.unit or "")
            yield Question(code, f"{path}.{place}", text, {"text": text, "rest": middle})


def _far(value: Fraction, rest: Fraction) -> str | None:
    if value >= FAR * rest:
        return "reading-ten-times"
    if value * FAR <= rest:
        return "reading-a-tenth" if value else "reading-zero"
    return "reading-off-the-rest" if 100 * abs(value - rest) > OFF_PERCENT * rest else None


def _middle_without(ordered: list[Fraction], value: Fraction) -> Fraction | None:
    """The median of sorted numbers without one of this value; None of two that are themselves far apart."""
    gap, rest = bisect_left(ordered, value), len(ordered) - 1
    low, high = (ordered[place + (place >= gap)] for place in ((rest - 1) // 2, rest // 2))
    if rest < FEWEST_OTHERS and 100 * (high - low) > OFF_PERCENT * low:
        return None
    return (low + high) / 2


def _alike(path: str, typed: Sequence[tuple[str, str, Fraction | None]]) -> Iterator[Question]:
    """Each run of four or more alike in the order of the grid, or a whole traverse of three that is alike."""
    for value, alike in groupby(typed, key=lambda one: one[2]):
        run = list(alike)
        if value is not None and (len(run) >= ALIKE or (len(run) == len(typed) and len(run) >= FEWEST_OTHERS)):
            place, text, _ = run[0]
            yield Question("four-alike", f"{path}.{place}", text, {"text": text, "number": str(len(run))})


def _below_the_instrument(
    path: str, traverse: Traverse, facts: Facts, read: list[tuple[str, str, Fraction]]
) -> Iterator[Question]:
    if facts.lowest is None or traverse.unit is None:
        return
    least = facts.lowest.to(traverse.unit)
    for place, text, value in read:
        if 0 <= value < least:
            yield Question("below-instrument", f"{path}.{place}", text, {"text": text, "lowest": str(facts.lowest)})


# --- questions as they were kept, for reading -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Kept:
    """A question that was asked and answered, as pages and prints say it. Records keep its codes."""

    asked: Message
    answer: Message | str  # a message, or the text of an answer that this release does not know
    place: tuple[str, str, int, int] | None  # opening, state, row and column from 1; None where it is not known


def kept(entered: Mapping[str, Any]) -> list[Kept]:
    """The questions that a survey kept, in the order in which they were answered."""
    return [_kept(question, entered) for question in entered.get("questions") or ()]


def _kept(question: Mapping[str, Any], entered: Mapping[str, Any]) -> Kept:
    code, text, answer = (str(question.get(key) or "") for key in ("code", "value", "answer"))
    known = [f"answered-{code}-{answer}", f"answered-{answer}"]
    said = next((each for each in known if each in SENTENCES), None)
    asked = {"text": text, **_opening_of(question, entered)}
    return Kept(Message(f"question-{code}", asked), Message(said) if said else answer, _place(question, entered))


def _opening_of(question: Mapping[str, Any], entered: Mapping[str, Any]) -> dict[str, str]:
    """The name of the opening whose size was asked about."""
    kind, _dot, rest = str(question.get("path")).partition(".")
    index, openings = rest.partition(".")[0], entered.get("openings") or ()
    if kind != "openings":
        return {}
    return {"opening": openings[int(index)]["name"] if index.isdecimal() and int(index) < len(openings) else "–"}


def _place(question: Mapping[str, Any], entered: Mapping[str, Any]) -> tuple[str, str, int, int] | None:
    """Where a question stood; nothing where another reading stands there now, since traverses may have moved up."""
    try:
        _traverses, index, _readings, row, column = [
            int(part) if part.isdecimal() else -1 for part in str(question.get("path")).split(".")[:5]
        ]
        traverse = (entered.get("traverses") or ())[index]
        cell = traverse["readings"][row][column]
    except (ValueError, IndexError):  # of a whole traverse; or what it was about is gone
        return None
    taken = cell if isinstance(cell, list) else [cell]
    texts = [one["value"] if isinstance(one, Mapping) else one for one in taken]
    return (traverse["opening"], traverse["state"], row + 1, column + 1) if question.get("value") in texts else None
