"""What is wrong with what was entered of the hood as a whole: its monitor as found, its plain figures, the test of its alarm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from surveys.core.entry import AlarmForced, Document
from surveys.core.facts import Facts
from surveys.core.hood_figures import PLAIN, SHOWN
from surveys.core.messages import Message, Problem
from surveys.core.units import TIME, NotANumber, quantity, unit_words

ANY = SHOWN["alarm-only"]


def of_the_hood(document: Document, facts: Facts) -> Iterator[Problem]:
    """Every problem of the monitor as found, of the plain figures and of the test of the alarm, in this order."""
    shown = document.found.get("monitor")
    if isinstance(shown, str) and shown:
        yield from of_amount("found.monitor", shown, SHOWN.get(facts.hood.monitor, ANY))
    seen: set[tuple[str, str | None]] = set()
    for index, one in enumerate(document.of_hood):
        if (one.figure, one.state) in seen:
            yield Problem(f"of_hood.{index}", Message("of-hood-twice", {"figure": one.figure}))
        seen.add((one.figure, one.state))
        yield from of_amount(f"of_hood.{index}.value", one.value, (PLAIN[one.figure],))
    states: set[str | None] = set()
    for index, alarm in enumerate(document.alarms):
        path = f"alarms.{index}"
        if alarm.state in states:
            yield Problem(path, Message("alarm-twice"))
        states.add(alarm.state)
        yield from of_amount(f"{path}.trip", alarm.trip, SHOWN.get(facts.hood.monitor, ANY))
        yield from of_amount(f"{path}.after", alarm.after, (TIME,))
        yield from _of_what_it_did(path, alarm, document)


def _of_what_it_did(path: str, alarm: AlarmForced, document: Document) -> Iterator[Problem]:
    """The check asks whether it sounds and lights: a yes beside a no to one of them contradicts itself."""
    answers = [one for one in document.answers if one.check == "alarm-works" and one.state in (alarm.state, None)]
    if any(one.answer == "yes" for one in answers):
        for key in ("sound", "light"):
            if getattr(alarm, key) == "no":
                yield Problem(f"{path}.{key}", Message("alarm-did-not"))


def of_amount(path: str, text: str | None, kinds: Sequence[str]) -> Iterator[Problem]:
    """An amount that is zero or more, in a unit of one of these kinds."""
    if text is None:
        return
    try:
        amount = quantity(text, kinds[0] if len(kinds) == 1 else None)
        if amount.kind not in kinds:
            units = ", ".join(unit_words(kind) for kind in kinds)
            yield Problem(path, Message("unit-wrong-kind", {"text": text, "units": units}))
        elif amount.value < 0:
            yield Problem(path, Message("number-negative", {"text": text}))
    except NotANumber as refused:
        yield Problem(path, refused.message)
