"""What each box of the survey page is called, for pages that list what was entered."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from surveys.core.checks import CHECK
from surveys.forms.survey_document import ANSWER, READING, SAID


def name_of(box: str, page: Any) -> str:
    """The name of a box in words: 'working: row 1, column 2'."""
    names = page.names
    if m := READING.match(box):
        words = _("row %(row)s, column %(column)s") % {"row": int(m[3]) + 1, "column": int(m[4]) + 1}
        words += _(", struck because") if box.endswith("-struck") else ""
        return f"{names.get(int(m[1]), '')}: {words}" + _left(m[2])
    if m := ANSWER.fullmatch(box.removesuffix(SAID)):
        check = CHECK.get(m[3])
        if box.endswith(SAID) and check:
            return _(check.said) + _left(m[2])
        opening = "" if m[1] == "h" else f"{names.get(int(m[1]), '')}: "
        return opening + (_(check.short) if check else m[3]) + _left(m[2])
    if box == "carried":
        return _("Struck traverses, answers to questions, an early end")
    if box.startswith("o") and box.endswith("_name"):
        return _("Opening")
    asked = [*page.who, *page.found, page.adjusted, *page.last_questions]
    return page.labels.get(box) or next((one.legend for one in asked if one.name == box), box)


def _left(letter: str) -> str:
    return " (" + _("as left") + ")" if letter == "l" else ""
