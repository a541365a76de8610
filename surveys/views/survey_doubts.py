"""Soft questions as the survey page asks them: once, in a list under the grid or the sizes, with both answers."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from surveys.core.document import Document, Traverse
from surveys.core.messages import Message
from surveys.core.questions import Question
from surveys.wording import sentence

SEPARATOR = "|"


@dataclass
class Doubt:
    """A soft question about a reading, a whole traverse or a size, with both answers."""

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
        kind, index, _readings, *place = question.path.split(".")
        if kind != "traverses":
            continue
        traverse = document.traverses[int(index)]
        if (traverse.opening, traverse.state) == (name, state):
            made.append(_doubt(question, place, json.dumps(_about(question, traverse, place))))
    return made


def size_doubts(questions: Sequence[Question], index: int) -> list[Doubt]:
    """The unanswered questions about the size of one opening, by its place in the document."""
    paths = (f"openings.{index}.width", f"openings.{index}.height")
    return [_doubt(question, [], "[]") for question in questions if question.path in paths]


def added_doubt(code: str, values: dict[str, str], size: str) -> Doubt:
    """What is asked of an opening that is to be added; to answer no is to write another size."""
    return Doubt(
        id=f"doubt-{code}", words=sentence(Message(code, values)), keep=f"another:{size}", keep_words=_("Yes, add it and measure it now"),
        no="", no_words="",
    )  # fmt: skip


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
        **dict.fromkeys(("height-off-register", "width-off-register"), (_("Yes, it was measured so"), _("No: measure it again"))),
    }.get(question.code, (_("Yes, it stays %(value)s") % values, _("No: strike it, read it again")))
    words = ""
    if point:
        row, _dot, column = point.partition(".")
        words = _("Row %(row)s, column %(column)s") % {"row": row, "column": column}
    return Doubt(
        id=f"doubt-{question.path.replace('.', '-')}-{question.code}", point=point, place=words,
        words=sentence(question.message), keep=f"stays:{named}", keep_words=keep, no=f"doubted:{named}", no_words=no, about=about,
    )  # fmt: skip
