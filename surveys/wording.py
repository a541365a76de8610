"""Sentences in the reader's language, from the codes and values that core answers with."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.dates import MONTHS_3
from django.utils.translation import gettext

from hoods import words as hood_words
from surveys import words
from surveys.core import title as titles
from surveys.core.checks import CHECK, DAY
from surveys.core.criteria import FIGURE
from surveys.core.messages import SENTENCES, Message, gettext_noop

STATES = {"as-found": gettext_noop("as found"), "as-left": gettext_noop("as left")}
OUTCOMES = {
    "met": gettext_noop("met"),
    "not-met": gettext_noop("not met"),
    "not-tested": gettext_noop("not tested"),
    "pass": gettext_noop("pass"),
    "restrict": gettext_noop("restrict"),
    "fail": gettext_noop("fail"),
    "note": gettext_noop("note"),
    "no-verdict": gettext_noop("no verdict"),
    "recorded": gettext_noop("recorded only"),
}


def sentence(message: Message | Mapping[str, Any] | Any) -> str:
    """A message of core, or one kept in a record, as a sentence; a code that this release lacks is shown as it is."""
    code, given = _parts(message)
    if code not in SENTENCES:
        return " ".join([code.replace("-", " "), *(f"{key}: {value}" for key, value in given.items())])
    values = {key: _value(key, value, given) for key, value in given.items()}
    return gettext(SENTENCES[code]) % values


def _parts(message: Any) -> tuple[str, dict[str, str]]:
    if isinstance(message, Mapping):
        return str(message["code"]), dict(message.get("values") or {})
    return message.code, dict(message.values)


def _value(key: str, value: Any, given: Mapping[str, str]) -> str:
    """A value as it goes into the sentence: words for a code, a day as it is printed, anything else as it stands."""
    if key == "limit" and value in SENTENCES:
        return gettext(SENTENCES[value]) % {name: _value(name, each, given) for name, each in given.items() if name != key}
    if key == "on" or key.endswith("_on"):
        return day(value)
    if key in ("least", "most", "value") and isinstance(value, str) and value.startswith("-"):
        return f"\N{MINUS SIGN}{value[1:]}"
    return coded(key, value)


def coded(key: str, code: Any) -> str:
    """The words for a code that stands under this key of a message; what is no code is given back."""
    if key == "figure" and code in FIGURE:
        return gettext(FIGURE[code].name)
    if key == "check" and code in CHECK:
        return gettext(CHECK[code].short)
    if key == "state" and code in STATES:
        return gettext(STATES[code])
    if key in ("verdict", "outcome", "consequence") and code in OUTCOMES:
        return gettext(OUTCOMES[code])
    if key == "ending":
        known = words.STOP_REASONS | words.PAUSE_REASONS
        return str(known.get(code, code))
    if key == "use":
        return str(hood_words.USES.get(code, code))
    if key == "panel":
        return str(words.PANELS.get(code, code))
    if key == "above":
        return str(hood_words.HEIGHTS_FROM.get(code, code))
    return str(code)


def day(iso: str) -> str:
    """A day as it is printed: 12 MAR 2026."""
    try:
        on = date.fromisoformat(str(iso))
    except ValueError:
        return str(iso)
    return f"{on.day} {str(MONTHS_3[on.month]).upper()} {on.year}"


def surveyed_by(survey: Any) -> str:
    """Who measured a signed survey; of one that was typed in from paper also who typed it in."""
    paper = survey.draft.from_paper
    if paper is None:
        return str(survey.signed_by.name)
    return gettext("%(name)s, from paper; typed in by %(by)s") % {"name": paper.measured_by, "by": paper.by.name}


def said_in_words(check: str, said: str) -> str:
    """What is written beside the answer to a check; a day as it is printed."""
    return day(said) if check in CHECK and CHECK[check].says == DAY else said


def restriction(given: Mapping[str, Any] | None) -> str:
    """A restriction in words: "sash no higher than 12 in; not for highly toxic materials"."""
    parts = titles.restriction_parts(given)
    return "; ".join(part if isinstance(part, str) else sentence(part) for part in parts)


def title(verdict: str, given: Mapping[str, Any] | None) -> str:
    """What the paper of a survey is called."""
    message = titles.title(verdict)
    return sentence(Message(message.code, {"restriction": restriction(given)}))
