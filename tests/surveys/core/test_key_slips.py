"""E7: slips of a key, typed by the thousand: few change a reading unasked, and hardly any changes a verdict unasked."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from surveys.core import questions as asking
from surveys.core.document import check, parse_merged
from surveys.core.questions import questions
from surveys.core.units import quantity
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

SLIPS = 10_000
MOST_CHANGED, MOST_TURNED, MOST_NEEDLESS = 0.12, 0.005, 0.03  # of all slips, of all slips, of readings that are right
NEXT_TO = {
    "1": "24",
    "2": "135",
    "3": "26",
    "4": "157",
    "5": "2468",
    "6": "359",
    "7": "48",
    "8": "5790",
    "9": "68",
    "0": "8",
}
CRITERIA = criteria_dict(limit("average", "0.40 m/s", "0.60 m/s"), limit("lowest", "0.35 m/s"))
INSTRUMENT = {
    name: quantity(text) for name, text in (("resolution", "0.01 m/s"), ("lowest", "0.10 m/s"), ("highest", "3.00 m/s"))
}


def one_of(text: str, dice: random.Random, change: Callable[[str], str]) -> str:
    """The text with one of its digits, whichever the dice say, changed."""
    place = dice.choice([n for n, letter in enumerate(text) if letter.isdigit()])
    return text[:place] + change(text[place]) + text[place + 1 :]


def swapped(text: str, dice: random.Random) -> str:
    place = dice.randrange(len(text) - 1)
    return text[:place] + text[place + 1] + text[place] + text[place + 2 :]


KINDS: list[Callable[[str, random.Random], str]] = [
    lambda text, dice: one_of(text, dice, lambda _digit: ""),  # left out
    lambda text, dice: one_of(text, dice, lambda digit: digit * 2),  # struck twice
    lambda text, dice: one_of(text, dice, lambda digit: dice.choice(NEXT_TO[digit])),  # the key beside it
    lambda text, dice: one_of(text, dice, lambda digit: digit + dice.choice(NEXT_TO[digit])),  # and the key beside it
    swapped,
    lambda text, _dice: text.replace(".", ""),
    lambda text, _dice: text.replace(".", ","),
    lambda text, dice: text.replace(".", "").replace(text[-1], f"{text[-1]}.", 1) + dice.choice("0123456789"),
]


def survey_of(texts: list[str]) -> dict[str, Any]:
    cells = [texts[start : start + 4] for start in (0, 4, 8)]
    return survey_dict(
        read("working", unit="m/s") | {"readings": cells}, openings=[opening() | {"width": "48 in", "height": "36 in"}]
    )


def is_noticed(texts: list[str]) -> bool:
    document, facts = parse_merged(survey_of(texts))
    facts = replace(facts, **INSTRUMENT)
    return bool(check(document, facts) or questions(document, facts))


def is_other(slipped: str, right: str) -> bool:
    """Whether another number stands there, or none: 00.48 and .48 are 0.48 still."""
    try:
        return float(slipped) != float(right)
    except ValueError:
        return True


def verdict(texts: list[str]) -> str:
    return judged(survey_of(texts), CRITERIA).verdict


def typed() -> tuple[float, float, float]:
    """What part of the slips changed a reading unasked, what part a verdict, and how often a right reading was asked of."""
    dice = random.Random(20_261_125)
    changed = turned = needless = 0
    for _number in range(SLIPS):
        middle = dice.uniform(0.40, 0.60)
        right = [f"{max(0.1, dice.gauss(middle, 0.08 * middle)):.2f}" for _point in range(12)]
        place = dice.randrange(12)
        slipped = [*right]
        slipped[place] = dice.choice(KINDS)(right[place], dice)
        if not is_other(slipped[place], right[place]):
            continue
        if is_noticed(right):
            needless += 1
        elif not is_noticed(slipped):
            changed += 1
            turned += verdict(slipped) != verdict(right)
    return changed / SLIPS, turned / SLIPS, needless / (12 * SLIPS)


@pytest.mark.long
def test_e7_of_ten_thousand_slips_of_a_key_few_go_unasked_and_hardly_any_turns_a_verdict():
    changed, turned, needless = typed()
    assert changed <= MOST_CHANGED
    assert turned <= MOST_TURNED
    assert needless <= MOST_NEEDLESS


def test_e7_without_the_question_of_a_quarter_more_go_unasked(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(asking, "OFF_PERCENT", 1000)
    changed, _turned, _needless = typed()
    assert changed > MOST_CHANGED, "the control"
