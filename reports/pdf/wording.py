"""The language of a print: words are handed in, since a record keeps codes and this layer knows no translations."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from reports.pdf.style import Words, month, same
from surveys.core.checks import CHECK
from surveys.core.criteria import FIGURE
from surveys.core.messages import CODED, SENTENCES

CODE = re.compile(r"[a-z]+(-[a-z]+)+")


def plain(kind: str, code: str) -> str:
    """A code in words where nobody knows better ones: its own, parted."""
    return code.replace("-", " ")


@dataclass(frozen=True)
class Wording:
    """How a print says things: `words` translates a sentence, `codes` has the words for a code of a kind.

    Kinds are the names of the fields that hold the code: kind, control, sash, monitor, glass, use, reason, ending, verdict,
    outcome, consequence, state, answer, mode, doors, room_pressure, other_hoods, somebody, alarm, and so on.
    """

    words: Words = same
    codes: Callable[[str, str], str] = plain
    language: str = "en"

    def __call__(self, text: str) -> str:
        return self.words(text)

    def value(self, kind: str, given: Any) -> str:
        """What was answered or chosen: yes, no, a code in words, or the text as typed."""
        if given is None or given == "":
            return "–"
        if isinstance(given, bool):
            return self.words("yes") if given else self.words("no")
        text = str(given)
        return self.codes(kind, text) if text.islower() and (text.isalpha() or CODE.fullmatch(text)) else text

    def figure(self, code: str) -> str:
        return self.words(FIGURE[code].name) if code in FIGURE else plain("figure", code)

    def check(self, code: str) -> str:
        return self.words(CHECK[code].short) if code in CHECK else plain("check", code)

    def sentence(self, message: Mapping[str, Any]) -> str:
        """A message of core as a sentence; a code that this release does not know is shown as it is."""
        code, values = message["code"], dict(message.get("values") or {})
        for key in CODED:
            if key in values:
                values[key] = self._coded(key, values[key])
        if values.get("limit") in SENTENCES:
            values["limit"] = self.words(SENTENCES[values["limit"]]) % values
        try:
            return self.words(SENTENCES[code]) % values
        except KeyError:
            return ": ".join([plain("", code), *map(str, values.values())])

    def _coded(self, key: str, value: str) -> str:
        if key == "figure":
            return self.figure(value)
        return self.check(value) if key == "check" else self.codes(key, value)

    def day(self, on: str | date) -> str:
        """A day with its month in letters: 12 MAR 2026."""
        when = date.fromisoformat(on) if isinstance(on, str) else on
        return f"{when.day} {month(when.month, self.words)} {when.year}"

    def clock(self, at: str, zone: str) -> tuple[str, str, str]:
        """A moment as day, time and offset by the clock of the site."""
        local = datetime.fromisoformat(at).astimezone(ZoneInfo(zone))
        offset = local.utcoffset() or timedelta()
        minutes = int(offset.total_seconds() // 60)
        sign, minutes = ("−" if minutes < 0 else "+"), abs(minutes)
        return self.day(local.date()), f"{local:%H:%M}", f"UTC{sign}{minutes // 60:02}:{minutes % 60:02}"
