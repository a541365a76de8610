"""The cells of any list that is brought in from a file: each checked by the box of its column, as on the pages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods.core.table import DAY, ERROR, FORMULA, NUMBER, TEXT, YES_NO, Cell
from hoods.forms.fields import Choice, Day, Measure, Order
from hoods.forms.inventory_columns import Column
from hoods.words import OTHER_NAMES, REFUSED_KINDS

YES, NO = ("yes", "true"), ("no", "false", "")


def why_not_kind(column: Column, cell: Cell) -> Any:
    """What a spreadsheet made of a cell that its column cannot take; nothing where it is as somebody typed it."""
    if cell.kind == TEXT:
        return None
    if cell.kind == FORMULA:
        return _("This cell holds a formula: copy it and paste its value.")
    if cell.kind == ERROR:
        return _("This cell holds an error of the spreadsheet (%(text)s): write the value.") % {"text": cell.text}
    if cell.kind == DAY and not isinstance(column.box, Day):
        return _("The spreadsheet made a day of this (%(text)s): format the column as text, and type it again.") % {
            "text": cell.text
        }
    if cell.kind == NUMBER and not isinstance(column.box, Measure):
        return _(
            "The spreadsheet made a number of this (%(text)s), and may have lost digits: format the column as text, and type it again."
        ) % {"text": cell.text}
    if cell.kind == YES_NO and not isinstance(column.box, forms.BooleanField):
        return _("The spreadsheet made yes or no of this: format the column as text, and type it again.")
    return None


def cleaned(column: Column, text: str) -> tuple[Any, Any]:
    """What a text says by the box of its column, or why it says nothing."""
    if isinstance(column.box, forms.BooleanField):
        return _yes_no(column, text)
    if isinstance(column.box, Order) and not text:
        return 0, None
    if isinstance(column.box, Choice):
        text = code_of(column.box, text)
        if column.name == "kind" and (none := _not_kept(column.box, text)):
            return None, str(REFUSED_KINDS[none])
    try:
        return column.box.clean(text), None
    except ValidationError as refusal:
        said = in_a_sentence(refusal)
        if isinstance(column.box, Choice):
            said = _not_one_of(text, column.takes)
        return None, said


def _not_kept(box: Choice, text: str) -> str:
    """The code of a thing that is no hood here, by any name of it that stands in a text; empty where it is none."""
    if text in REFUSED_KINDS or text in dict(box.choices):
        return text if text in REFUSED_KINDS else ""
    words = f" {' '.join(re.findall(r'[a-z]+', text.casefold()))} "
    return next((code for code, names in OTHER_NAMES.items() if any(f" {name} " in words for name in names)), "")


def _not_one_of(text: str, takes: str) -> str:
    if not text:
        return str(_("Nothing is written here: write one of %(takes)s.") % {"takes": takes})
    return str(_("“%(text)s” is not one of these: %(takes)s.") % {"text": text, "takes": takes})


def _yes_no(column: Column, text: str) -> tuple[Any, Any]:
    word = text.casefold()
    if not word and column.name == "tested_every_survey":
        return True, None
    if word in (*YES, *NO):
        return word in YES, None
    return None, _("“%(text)s” is neither yes nor no: write one of them.") % {"text": text}


def code_of(box: Choice, text: str) -> str:
    """The code that is written, or whose words are."""
    choices: Mapping[str, str] = {str(said).casefold(): str(code) for code, said in box.choices if code}
    return choices.get(text.casefold(), text.casefold() if text.casefold() in choices.values() else text)


def in_a_sentence(refusal: ValidationError) -> str:
    return " ".join(str(each) for each in refusal.messages)
