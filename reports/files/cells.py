"""What stands in a cell of a file: the text of a value, and nothing that a program for tables would carry out."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime

Value = str | int | date | None

#: A cell that begins so is read as a formula by programs for tables; the wide forms are those of East Asian keyboards.
BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
MARK = "'"
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


def written(value: Value) -> str:
    """A value as text: days and moments as ISO writes them, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, date | datetime):
        return value.isoformat()
    return str(value)


def neutral(text: str) -> str:
    """The text so that no program takes it for a formula: marked in front, where it begins like one.

    A plain number, a negative one too, is none and stays as it was measured. Text that begins with the mark is marked
    as well, so that `restored` finds every text again.
    """
    if _NUMBER.fullmatch(text) or not text:
        return text
    return MARK + text if text.startswith((*BEGINNINGS, MARK)) else text


def restored(cell: str) -> str:
    """The text that a cell was made from."""
    return cell[1:] if cell.startswith(MARK) else cell


def drawn(text: str) -> str:
    """The text without characters that a workbook cannot hold: each is named by its number, none is dropped."""
    if text.isprintable():
        return text
    return "".join(
        f"[U+{ord(one):04X}]" if unicodedata.category(one) in ("Cc", "Cs") and one not in "\t\n\r" else one
        for one in text
    )
