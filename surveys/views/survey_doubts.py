"""Soft questions as the survey page asks them: once, in one list under the grid, with both answers."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from surveys.core.document import Document, Traverse
from surveys.core.questions import Question
from surveys.wording import sentence

SEPARATOR = "|"


@dataclass
class Doubt:
    """A soft question about a reading or a whole traverse, with both answers."""

    id: str
    words: str
    keep: str
    keep_words: str
    no: str
    no_words: str
    place: str = ""  # 'Row 2, column 3'
    point: str = ""  # '2.3'
    about: str = "[]"  # the points that it is about with the texts that stood there, for the script


def doubts_of(questions: Sequence[Question], document: Document, name: str, state: str) -> list[Doubt]:
    """The unanswered questions about one opening in one state."""
    made = []
    for question in questions:
        _traverses, index, _readings, *place = question.path.split(".")
        traverse = document.traverses[int(index)]
        if (traverse.opening, traverse.state) == (name, state):
            made.append(_doubt(question, place, json.dumps(_about(question, traverse, place))))
    return made


def _about(question: Question, traverse: Traverse, place: list[str]) -> list[tuple[str, list[str]]]:
    """The points that a question is about, each with the readings there that count: one point, a run, or all."""
    first = (int(place[0]), int(place[1])) if place else (0, 0)
    left = int(question.values.get("number", 1)) if place else sum(map(len, traverse.readings))
    made = []
    for r, row in enumerate(traverse.readings):
        for c, cell in enumerate(row):
            texts = [reading.value for reading in cell if reading.counts]
            if (r, c) < first or left <= 0 or not texts:
                continue
            made.append((f"{r + 1}.{c + 1}", texts))
            left -= len(texts)
    return made


def _doubt(question: Question, place: list[str], about: str) -> Doubt:
    named = SEPARATOR.join((question.code, question.path, question.value))
    point = f"{int(place[0]) + 1}.{int(place[1]) + 1}" if len(place) > 1 else ""
    values: dict[str, Any] = {"value": question.value}
    keep, no = {
        "four-alike": (_("Yes, each was read anew"), _("No: strike them, read them again")),
        "all-zero": (_("Yes, there is no flow"), _("No: strike the traverse, begin a new one")),
    }.get(question.code, (_("Yes, it stays %(value)s") % values, _("No: strike it, read it again")))
    words = ""
    if point:
        row, _dot, column = point.partition(".")
        words = _("Row %(row)s, column %(column)s") % {"row": row, "column": column}
    return Doubt(
        id=f"doubt-{question.path.replace('.', '-')}-{question.code}", point=point, place=words,
        words=sentence(question.message), keep=f"stays:{named}", keep_words=keep, no=f"doubted:{named}", no_words=no, about=about,
    )  # fmt: skip
