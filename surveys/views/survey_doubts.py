"""Soft questions as the survey page asks them: once, in one list under the grid, with both answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _

from surveys.core.document import Document
from surveys.core.questions import Question
from surveys.views.survey_grid import Doubt
from surveys.wording import sentence

SEPARATOR = "|"


def doubts_of(questions: Sequence[Question], document: Document, name: str, state: str) -> list[Doubt]:
    """The unanswered questions about one opening in one state."""
    made = []
    for question in questions:
        _traverses, index, _readings, *place = question.path.split(".")
        traverse = document.traverses[int(index)]
        if (traverse.opening, traverse.state) == (name, state):
            made.append(_doubt(question, place))
    return made


def _doubt(question: Question, place: list[str]) -> Doubt:
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
        words=sentence(question.message), keep=f"stays:{named}", keep_words=keep, no=f"doubted:{named}", no_words=no,
    )  # fmt: skip
