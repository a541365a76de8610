"""Buttons at the readings of a survey page: read again, strike, answer what is asked about them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.utils.translation import gettext as _

from surveys.core.document import parse
from surveys.core.questions import questions
from surveys.core.units import NotANumber, number
from surveys.facts import facts_for
from surveys.forms.survey_document import STATES, opening_names
from surveys.views import survey_changes as changes
from surveys.views.survey_changes import is_number
from surveys.views.survey_doubts import SEPARATOR
from surveys.views.survey_pressed import Pressed


def again(pressed: Pressed, prefix: str) -> HttpResponse | None:
    """One more box for a point that was read: its readings are averaged."""
    point = pressed.point(prefix)
    if point is None:
        return _choose_a_point(pressed, prefix)
    return pressed.back(_box_after(pressed, prefix, *point), again=f"{prefix[1:]}:{point[0] + 1}.{point[1] + 1}")


def strike(pressed: Pressed, prefix: str) -> HttpResponse | None:
    """Strike the newest reading of a point, with the reason; the point is to be read again."""
    point, why = pressed.point(prefix), pressed.form.boxes.get(f"{prefix}_why", "").strip()
    if point is None:
        return _choose_a_point(pressed, prefix)
    if not why:
        return _ask(pressed, prefix, "why", _("A struck reading needs a reason: write why it does not count."))
    changes.strike(pressed.content, changes.traverse_index(pressed.content, *pressed.place(prefix)), *point, why)
    pressed.keep(pressed.content)
    return pressed.back(_box_after(pressed, prefix, *point))


def _box_after(pressed: Pressed, prefix: str, row: int, column: int) -> str:
    """The box for the next reading of a point."""
    index = changes.traverse_index(pressed.content, *pressed.place(prefix))
    return f"r{prefix[1:]}-{row}-{column}-{len(changes.taken(pressed.content, index, row, column))}"


def _choose_a_point(pressed: Pressed, prefix: str) -> None:
    _ask(pressed, prefix, "place", _("Choose the point first."))


def _ask(pressed: Pressed, prefix: str, box: str, words: str) -> None:
    """Show the page again with what is wrong at a box beside the grid, and what was entered there."""
    pressed.place(prefix)
    typed = {name: pressed.form.boxes.get(name, "") for name in (f"{prefix}_place", f"{prefix}_why")}
    pressed.how = {"typed": typed, "wrong": {f"{prefix}_{box}": words}}


def strike_all(pressed: Pressed, prefix: str) -> HttpResponse | None:
    """Set a whole traverse aside, with the reason, and begin a new one."""
    why = pressed.form.boxes.get(f"{prefix}_why", "").strip()
    if not why:
        return _ask(pressed, prefix, "why", _("A struck traverse needs a reason: write why it does not count."))
    changes.strike_traverse(pressed.content, changes.traverse_index(pressed.content, *pressed.place(prefix)), why)
    pressed.keep(pressed.content)
    return pressed.back(f"r{prefix[1:]}-0-0-0")


def stays(pressed: Pressed, named: str) -> HttpResponse:
    """A soft question answered: what was read stays."""
    return _answered(pressed, named, "stays")


def doubted(pressed: Pressed, named: str) -> HttpResponse:
    """A soft question answered: what was read is struck, and read again."""
    return _answered(pressed, named, "struck")


def _answered(pressed: Pressed, named: str, answer: str) -> HttpResponse:
    code, path, value = (*named.split(SEPARATOR, 2), "", "")[:3]
    parts = path.split(".")
    numbers = [parts[1] if len(parts) > 1 else "", *parts[3:]]
    if len(parts) < 3 or not named.isprintable() or not all(map(is_number, numbers)):
        raise changes.NoSuchReading
    if not _is_asked(pressed, code, path, value):
        messages.info(pressed.request, _("What was asked about was changed meanwhile: what is asked now stands under the grid."))
        return pressed.back()
    if parts[0] == "openings":
        return _size_answered(pressed, code, path, value, answer)
    index, why = int(parts[1]), _("said to be wrong when asked")
    traverse = pressed.content["traverses"][index]
    letter = next(letter for letter, state in STATES.items() if state == traverse["state"])
    number = {name: i for i, name in opening_names(pressed.form.boxes).items()}.get(traverse["opening"], 0)
    target = f"grid-{number}{letter}"
    if answer == "struck" and code == "all-zero":
        changes.strike_traverse(pressed.content, index, why)
    elif answer == "struck" and len(parts) >= 5:
        row, column = int(parts[3]), int(parts[4])
        run = _run(traverse, row, column, value) if code == "four-alike" else 0
        if run:
            changes.strike_run(pressed.content, index, row, column, run, why)
        else:
            changes.strike(pressed.content, index, row, column, why)
        target = f"r{number}{letter}-{row}-{column}-{len(changes.taken(pressed.content, index, row, column))}"
    changes.answer_question(pressed.content, code, path, value, answer, pressed.moment)
    pressed.keep(pressed.content)
    return pressed.back(target)


def _size_answered(pressed: Pressed, code: str, path: str, value: str, answer: str) -> HttpResponse:
    """A size stays; or it is measured again and written over, since its readings hang on it: asked until then."""
    _openings, index, side = path.split(".")
    if answer == "stays":
        changes.answer_question(pressed.content, code, path, value, answer, pressed.moment)
        pressed.keep(pressed.content)
    return pressed.back(f"o{index}_{side}")


def _is_asked(pressed: Pressed, code: str, path: str, value: str) -> bool:
    """Whether what was just kept raises this question, answered or not: what is gone is not answered for."""
    document = parse(pressed.content)
    raised = questions(document, facts_for(pressed.draft, document))
    return (code, path, value) in {(one.code, one.path, one.value) for one in raised}


def _run(traverse: dict[str, Any], row: int, column: int, value: str) -> int:
    """How many readings in a row, from one on, are alike."""
    number = 0
    for r, line in enumerate(traverse["readings"]):
        for c, cell in enumerate(line):
            if (r, c) < (row, column):
                continue
            held = cell if isinstance(cell, list) else [] if cell is None else [cell]
            texts = [one if isinstance(one, str) else one["value"] for one in held if isinstance(one, str) or one.get("struck") is None]
            if any(not _alike(text, value) for text in texts):
                return number
            number += len(texts)
    return number


def _alike(text: str, value: str) -> bool:
    try:
        return number(text) == number(value)
    except NotANumber:
        return False
