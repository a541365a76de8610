"""A survey as it was judged, for pages: figures, each limit with what was measured, checks, as found and as left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext as _

from hoods.core.cover import share
from surveys.core.checks import CHECK
from surveys.core.covered import free_cells, of_record, told
from surveys.core.criteria import FIGURE, Criteria
from surveys.core.messages import Message
from surveys.core.sash import as_judged, forbids
from surveys.core.units import with_unit
from surveys.views import monitor_said
from surveys.views.drawing import Place, seen
from surveys.wording import coded, sentence
from surveys.wording import restriction as restriction_in_words
from surveys.words import ANSWERS

SHOWN = ("average", "lowest", "highest", "spread", "deviation-percent")


@dataclass(frozen=True)
class Line:
    """A limit or a check with what was measured or answered, and its outcome."""

    name: str
    limit: str
    value: str
    outcome: str
    consequence: str
    why: str = ""


@dataclass(frozen=True)
class Measured:
    """One opening in one state."""

    opening: str
    outcome: str
    size: str
    figures: list[tuple[str, str]]
    unit: str
    lines: list[Line]
    rows: list[list[str]]
    covered: str = ""  # what covers a part of it, and the area that stays free
    front: Place | None = None  # where it stands, seen from the front


@dataclass
class Result:
    """What judging gave (its JSON), with the criteria that it was judged by."""

    judged: Mapping[str, Any]
    document: Mapping[str, Any]
    entered: Mapping[str, Any] | None = None
    facts: Mapping[str, Any] | None = None  # of its record: hood and openings

    @property
    def opened(self) -> list[str]:
        """How far each sash may be open, where it is not told by one height."""
        return [sentence(line) for line in self._lines]

    @property
    def allowed(self) -> list[str]:
        """What of it is approved."""
        return [sentence(line) for line in self._lines if not forbids(line)]

    @property
    def barred(self) -> list[str]:
        """What of it is not: a sentence of its own, never among what is approved."""
        return [sentence(line) for line in self._lines if forbids(line)]

    @cached_property
    def _lines(self) -> tuple[Message, ...]:
        if self.facts is None or not self.entered:
            return ()
        return as_judged(self.facts, self.entered, self.judged)

    @cached_property
    def criteria(self) -> Criteria:
        return Criteria.from_dict(self.document)

    @property
    def reasons(self) -> list[str]:
        return list(dict.fromkeys(sentence(reason) for reason in self.judged["reasons"]))

    @property
    def adjusted(self) -> bool:
        return bool((self.entered or {}).get("adjusted")) or self.judged["sets"]["as-found"] != self.judged["sets"]["as-left"]

    @property
    def sets(self) -> list[dict[str, Any]]:
        """As found and as left; the one set where nothing was adjusted."""
        states = ("as-found", "as-left") if self.adjusted else ("as-left",)
        return [
            {
                "state": state if self.adjusted else "",
                "name": {"as-found": _("As found"), "as-left": _("As left")}[state],
                "verdict": self.judged["sets"][state]["verdict"],
                "openings": [
                    self._opening(one, state if self.adjusted else "as-found")
                    for one in self.judged["sets"][state]["openings"]
                ],
                "hood": [self._line(one) for one in self.judged["sets"][state]["hood"]],
            }
            for state in states
        ]

    def _opening(self, judged: Mapping[str, Any], state: str) -> Measured:
        figures = judged["figures"]
        traverse = self._traverse(judged["opening"], state)
        shown = [
            (coded("figure", code), with_unit(figures[code]["shown"], figures[code]["unit"]))
            for code in SHOWN
            if figures.get(code)
        ]
        if told_by_monitor := monitor_said.shown(traverse, figures, (self.facts or {}).get("hood") or {}):
            shown.append((_("Monitor showed"), told_by_monitor))
        return Measured(
            judged["opening"], judged["outcome"], self._size(judged["opening"]), shown,
            with_unit("", traverse.get("unit") or "").strip(), [self._line(one) for one in judged["judgements"]],
            self._rows(judged["opening"], traverse), self._covered(judged["opening"], traverse),
            self._front(judged["opening"]),
        )  # fmt: skip

    def _front(self, name: str) -> Place | None:
        """Where an opening stands, by the inventory of the record."""
        if self.facts is None:
            return None
        known = next((one for one in self.facts["openings"] if one["name"] == name), {})
        return seen(name, known.get("way") or "", self.facts["hood"]["sash"], share(*self._cover(name)))

    def _rows(self, name: str, traverse: Mapping[str, Any]) -> list[list[str]]:
        """The readings of a traverse, row by row; nothing at all where something covers the place of a point."""
        rows = traverse.get("readings") or ()
        free = free_cells(*self._cover(name), len(rows[0]) if rows else 0, len(rows), self.document["grid"])
        return [
            [_texts(cell) if cell or is_free else "" for cell, is_free in zip(row, of_row, strict=True)]
            for row, of_row in zip(rows, free, strict=True)
        ]

    def _cover(self, name: str) -> tuple[Any, str, str]:
        if self.facts is None or not self.entered:
            return None, "", ""
        return of_record({"facts": self.facts, "entered": self.entered}, name)

    def _covered(self, name: str, traverse: Mapping[str, Any]) -> str:
        free = told(*self._cover(name), traverse.get("unit") or "", gettext)
        return sentence(free) if free else ""

    def _size(self, name: str) -> str:
        opening = next((one for one in (self.entered or {}).get("openings") or () if one["name"] == name), None)
        return f"{opening['width'] or '–'} × {opening['height'] or '–'}" if opening else ""

    def _traverse(self, name: str, state: str) -> Mapping[str, Any]:
        """What was read at an opening in a state; empty where nothing was."""
        for traverse in (self.entered or {}).get("traverses") or ():
            if (traverse["opening"], traverse["state"]) == (name, state):
                return traverse
        return {}

    def _line(self, one: Mapping[str, Any]) -> Line:
        why = sentence(one["because"]) if one.get("because") else ""
        if one.get("figure"):
            limit = self.criteria.limits[one["limit"]]
            value = with_unit(one["value"]["shown"], one["value"]["unit"]) if one.get("value") else "–"
            return Line(
                _(FIGURE[one["figure"]].name), sentence(limit.said()), value, one["outcome"], one["consequence"], why
            )
        name = _(CHECK[one["check"]].short) if one["check"] in CHECK else one["check"]
        answer = str(ANSWERS.get(one["value"], one["value"])) if one.get("value") else _("No answer")
        return Line(name, "", answer, one["outcome"], one["consequence"], why)


def _texts(cell: Any) -> str:
    readings = cell if isinstance(cell, list) else [] if cell is None else [cell]
    made = []
    for reading in readings:
        text, struck = (reading, None) if isinstance(reading, str) else (reading["value"], reading.get("struck"))
        made.append(f"[{text}]" if struck is not None else text)
    return " ".join(made) or "–"


def provisional_words(verdict: str, restriction: Mapping[str, Any] | None) -> str:
    if verdict == "pass":
        return _("Provisional: pass")
    if verdict == "restrict":
        return _("Provisional: restricted, %(how)s") % {"how": restriction_in_words(restriction)}
    return _("Provisional: fail") if verdict == "fail" else _("Provisional: no verdict yet")
