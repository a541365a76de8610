"""What was entered of the hood beside its traverses, for reading: plain figures, and what its alarm did when forced."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

from surveys import words
from surveys.core.figures import FIGURE
from surveys.core.units import quantity_or_none
from surveys.views.survey_labels import ALARM_LABELS

Rows = list[tuple[str, str]]


def plain_rows(document: Mapping[str, Any], in_state: Callable[[str, str | None], str]) -> Rows:
    """Each plain figure as it was shown; `in_state` adds the state where there are two."""
    return [
        (in_state(name_of(one["figure"]), one.get("state")), amount(one["value"]))
        for one in document.get("of_hood") or ()
    ]


def alarm_rows(alarm: Mapping[str, Any]) -> Rows:
    """How the alarm was forced and what it did, in the order in which it is asked."""
    said = {"forced": words.FORCED, "sound": words.ANSWERS, "light": words.ANSWERS}
    return [
        (str(label), _capital(said[what].get(alarm[what], alarm[what])) if what in said else amount(alarm[what]))
        for what, label in ALARM_LABELS.items()
        if alarm.get(what)
    ]


def name_of(figure: str) -> str:
    return _(FIGURE[figure].name) if figure in FIGURE else figure.replace("-", " ")


def amount(text: str) -> str:
    """An amount with its unit as it is shown; what is none stays as typed."""
    shown = quantity_or_none(text)
    return str(shown) if shown else text


def _capital(word: Any) -> str:
    text = str(word)
    return text[:1].upper() + text[1:]
