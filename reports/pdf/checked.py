"""The checks in print: each with its answer, and what a no costs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from reports.pdf.flow import MEASURE, Section
from reports.pdf.judgements import Judgement, Sets
from reports.pdf.style import BOLD, INK, REGULAR, SOFT, Draw, Fitted, Pages, fit, one_line
from reports.pdf.wording import Wording
from surveys.core.checks import CHECK, CHECKS, DAY
from surveys.core.messages import gettext_noop
from surveys.core.said import day_or_none, said_by

NOT_ANSWERED = gettext_noop("No answer")


@dataclass(frozen=True)
class Item:
    """One check as printed: its outcome, what was looked at, what was answered, what a no costs."""

    outcome: str
    name: str
    answer: str
    cost: str


def items(sets: Sets, record: Mapping[str, Any], wording: Wording) -> list[Item]:
    """Every check that was asked or answered, in the order of CHECKS; told by state where the states differ."""
    made: dict[tuple[str, str | None], dict[str, Judgement]] = {}
    for state, judged in sets.sets:
        openings = [(opening["opening"], opening["judgements"]) for opening in judged["openings"]]
        for opening, judgements in [(None, judged["hood"]), *openings]:
            for each in judgements:
                if "check" in each:
                    made.setdefault((each["check"], opening), {})[state] = each
    said = said_by(record["entered"])
    found = [
        (code, _item(each, opening, state, wording, said.get((code, opening), "")))
        for (code, opening), states in made.items()
        for state, each in _told(states)
    ]
    for answer in record["entered"]["answers"]:
        place = (answer["check"], answer.get("opening"))
        if answer.get("answer") and place not in made:
            made[place] = {}
            found.append((answer["check"], _unasked(answer, wording, said.get(place, ""))))
    order = {check.code: number for number, check in enumerate(CHECKS)}
    return [item for _code, item in sorted(found, key=lambda each: order.get(each[0], len(order)))]


def _told(states: Mapping[str, Judgement]) -> list[tuple[str, Judgement]]:
    """One judgement where all states agree, else each with its state."""
    first = next(iter(states.values()))
    if all((each["outcome"], each["value"]) == (first["outcome"], first["value"]) for each in states.values()):
        return [("", first)]
    return list(states.items())


def _item(judged: Judgement, opening: str | None, state: str, wording: Wording, said: str) -> Item:
    parts = [wording.check(judged["check"])]
    if opening:
        parts.append(opening)
    if state:
        parts.append(wording.codes("state", state))
    answer = wording.codes("answer", judged["value"]) if judged.get("value") else wording(NOT_ANSWERED)
    answer += _beside(judged["check"], said, wording)
    return Item(judged["outcome"], ", ".join(parts), answer, wording.codes("consequence", judged["consequence"]))


def _beside(check: str, said: str, wording: Wording) -> str:
    """What is written beside an answer; a day with its month in letters."""
    is_day = check in CHECK and CHECK[check].says == DAY and day_or_none(said) is not None
    if is_day:
        said = wording("fitted %(day)s") % {"day": wording.day(said)}
    return f", {said}" if said else ""


def _unasked(answer: Mapping[str, Any], wording: Wording, said: str) -> Item:
    """An answer that the criteria did not ask for, or to a check that does not apply to this hood: told, never judged."""
    parts = [wording.check(answer["check"]), *([answer["opening"]] if answer.get("opening") else [])]
    told = wording.codes("answer", answer["answer"]) + _beside(answer["check"], said, wording)
    return Item("not-tested", ", ".join(parts), told, "")


ACROSS = 3


def checks(section: Section, found: Sequence[Item], leading: float, wording: Wording) -> None:
    """The checks in three columns, read downwards."""
    rows = -(-len(found) // ACROSS)
    pitch = MEASURE / ACROSS
    for row in range(rows):
        line = [found[column * rows + row] for column in range(ACROSS) if column * rows + row < len(found)]
        fitted = [_check(item, pitch - 12.5, leading) for item in line]
        tall = max(leading, *(each.height + 2 for each in fitted if len(each.lines) > 1), 0)
        section.add(tall, _checks(line, fitted, pitch, leading, wording))


def _check(item: Item, measure: float, leading: float) -> Fitted:
    """On one line, a little smaller if need be; else on several."""
    said = f"{item.name}: {item.answer}"
    one = fit(said, measure, 2, 2.9, 2.5, BOLD if item.outcome == "not-met" else REGULAR)
    return (
        one if one.fits else fit(said, measure, 2 * leading, 2.8, 1.4, BOLD if item.outcome == "not-met" else REGULAR)
    )


def _checks(line: Sequence[Item], fitted: Sequence[Fitted], pitch: float, leading: float, wording: Wording) -> Draw:
    def draw(pages: Pages, x: float, y: float) -> None:
        first = y + 0.72 * leading
        for column, (item, words) in enumerate(zip(line, fitted, strict=True)):
            left = x + column * pitch
            pages.shape(item.outcome, left, first - 2.3, 2.5, SOFT if item.outcome == "not-tested" else INK)
            weight = BOLD if item.outcome == "not-met" else REGULAR
            pages.lines(left + 3.4, first, words.lines, words.size, words.leading, weight)
            if item.outcome == "not-met":  # beside a tick the word 'fail' would alarm
                cost = one_line(item.cost, 8.5, 2.4)
                pages.text(left + pitch - 3, first, cost.lines[0], cost.size, REGULAR, SOFT, "right")

    return draw
