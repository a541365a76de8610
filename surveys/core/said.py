"""What is written beside the answer to a check: words, or a day. Without it a yes is not tested."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from surveys.core.checks import CHECK, DAY
from surveys.core.entry import Answer
from surveys.core.messages import Message

FIRST_YEAR = 1950
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day_or_none(text: str) -> date | None:
    """The day that a text says, written as year, month and day; None where it says none."""
    try:
        return date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        return None


def lacks_what_it_says(answer: Answer) -> bool:
    """Whether the check asks for words or a day beside its answer, and none stand there."""
    says, text = CHECK[answer.check].says, (answer.said or "").strip()
    return bool(says) and (not text or (says == DAY and day_or_none(text) is None))


def why_not_said(answer: Answer, done_on: date | None) -> Message | None:
    """Why a day cannot stand as it was written; None where it can. Nothing is fitted after the day on which it is seen."""
    if not answer.said or CHECK[answer.check].says != DAY:
        return None
    on = day_or_none(answer.said)
    if on is None:
        return Message("day-plain", {"text": answer.said})
    if on.year < FIRST_YEAR:
        return Message("day-long-ago", {"text": answer.said})
    if done_on is not None and on > done_on:
        return Message("day-after-survey", {"on": answer.said, "done_on": done_on.isoformat()})
    return None


def said_by(entered: Mapping[str, Any]) -> dict[tuple[str, str | None], str]:
    """What a survey as entered says beside its answers, by check and opening; the last state in which it was said counts."""
    answers = entered.get("answers") or ()
    return {(one["check"], one.get("opening")): one["said"] for one in answers if one.get("said")}
