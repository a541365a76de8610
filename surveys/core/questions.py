"""Soft questions: readings that may be right and look like a slip. Asked once; the answer is kept with the survey.

A question never changes a figure. It stops signing until it is answered, nothing else; a reading asked about counts until
it is struck with a reason.
"""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from surveys.core.content import places
from surveys.core.entry import Document, Traverse
from surveys.core.facts import Facts
from surveys.core.messages import Message, Problem
from surveys.core.units import NotANumber, digits_of, number, with_unit

# A slipped point makes a reading ten times too large or small. Readings of one opening differ far less than five times
# from their middle, so five times is where asking begins. Our own rule: common practice, no source.
FAR = 5
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
    """Every question that the readings raise, in the order of the document."""
    return tuple(
        question
        for index, traverse in enumerate(document.traverses)
        for question in _of_traverse(f"traverses.{index}.readings", traverse, facts)
    )


def unanswered(document: Document, facts: Facts) -> tuple[Question, ...]:
    """The questions that nobody has answered yet."""
    answered = {(q.get("code"), q.get("path"), q.get("value")) for q in document.questions if q.get("answer")}
    return tuple(q for q in questions(document, facts) if (q.code, q.path, q.value) not in answered)


def _of_traverse(path: str, traverse: Traverse, facts: Facts) -> Iterator[Question]:
    read = list(_numbers(traverse))
    if len(read) >= FEWEST_OTHERS and all(value == 0 for _, _, value in read):
        yield Question("all-zero", path, "0")
        return
    yield from _far_from_the_rest(path, traverse, read)
    yield from _alike(path, read)
    yield from _below_the_instrument(path, traverse, facts, read)


def _numbers(traverse: Traverse) -> Iterator[tuple[str, str, Fraction]]:
    for place, _, _, reading in places(traverse):
        try:
            value = number(reading.value)
        except NotANumber:
            continue
        if reading.counts:
            yield place, reading.value, value


def _far_from_the_rest(path: str, traverse: Traverse, read: list[tuple[str, str, Fraction]]) -> Iterator[Question]:
    """Each reading that lies five times or more above or below the middle of the other readings."""
    if len(read) <= FEWEST_OTHERS:
        return
    ordered = sorted(value for _, _, value in read)
    for place, text, value in read:
        rest = _median_without(ordered, value)
        if rest <= 0:
            continue
        code = "reading-ten-times" if value >= FAR * rest else "reading-a-tenth" if value * FAR <= rest else None
        if code:
            middle = with_unit(digits_of(rest, 3), traverse.unit or "")
            yield Question(code, f"{path}.{place}", text, {"text": text, "rest": middle})


def _median_without(ordered: list[Fraction], value: Fraction) -> Fraction:
    """The median of sorted numbers without one of this value."""
    gap, rest = bisect_left(ordered, value), len(ordered) - 1
    low, high = (ordered[place + (place >= gap)] for place in ((rest - 1) // 2, rest // 2))
    return (low + high) / 2


def _alike(path: str, read: list[tuple[str, str, Fraction]]) -> Iterator[Question]:
    """Each run of four or more alike in the order of the grid, or a whole traverse of three that is alike."""
    start = 0
    for index in range(1, len(read) + 1):
        if index < len(read) and read[index][2] == read[start][2]:
            continue
        length = index - start
        if length >= ALIKE or (length == len(read) and length >= FEWEST_OTHERS):
            place, text, _ = read[start]
            yield Question("four-alike", f"{path}.{place}", text, {"text": text, "number": str(length)})
        start = index


def _below_the_instrument(
    path: str, traverse: Traverse, facts: Facts, read: list[tuple[str, str, Fraction]]
) -> Iterator[Question]:
    if facts.lowest is None or traverse.unit is None:
        return
    least = facts.lowest.to(traverse.unit)
    for place, text, value in read:
        if 0 <= value < least:
            yield Question("below-instrument", f"{path}.{place}", text, {"text": text, "lowest": str(facts.lowest)})
