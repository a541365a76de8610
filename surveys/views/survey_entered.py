"""Everything that was entered in a survey, part by part, for reading: of one in the making, or as its record attests it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from surveys import words
from surveys.core import questions
from surveys.core.checks import CHECK, CHECKS
from surveys.core.units import NotANumber, quantity, with_unit
from surveys.forms.survey_document import FIXED
from surveys.views.survey_entered_hood import alarm_rows, plain_rows
from surveys.views.survey_labels import LABELS, SHUT_AGAIN
from surveys.wording import coded, said_in_words, sentence

Rows = list[tuple[str, str]]
PARTS = {  # part of the survey page -> the boxes that it holds
    "hood": ("right_hood", "fit"),
    "conditions": (
        "reason", "instrument", "mode", "flow_state", "doors", "room_pressure", "other_hoods", "temperature", "pressure", "elevation",
    ),
    "found": ("found_sash", "found_open", "found_monitor", "found_somebody", "found_alarm"),
    "last": ("last_controls", "last_alarm", "last_stop", "last_sash", "last_told"),
}  # fmt: skip
CODES: Mapping[str, Mapping[str, Any]] = {
    "reason": words.REASONS, "mode": words.MODES, "flow_state": words.FLOW_STATES, "doors": words.DOORS, "room_pressure": words.ROOM_PRESSURE,
    "other_hoods": words.OTHER_HOODS,
}  # fmt: skip
YES_NO = {"yes": words.ANSWERS["yes"], "no": words.ANSWERS["no"], "not-applicable": words.ANSWERS["not-applicable"]}
ORDER = {check.code: number for number, check in enumerate(CHECKS)}


@dataclass(frozen=True)
class Part:
    """A part of the survey page with what was entered there; `target` is where on that page it stands."""

    name: str
    target: str
    rows: Rows


@dataclass
class Entered:
    """What a survey holds as entered. Its instrument is named by whoever knows the row or the record."""

    document: Mapping[str, Any]
    instrument: str = ""
    stop_and_mark_moved: bool = False
    sash: str = ""  # of its hood as it stood

    @cached_property
    def parts(self) -> list[Part]:
        return [part for part in self._parts() if part.rows]

    def _parts(self) -> Iterator[Part]:
        names = {"hood": _("Hood"), "conditions": _("Conditions"), "found": _("As found")}
        for code, name in names.items():
            yield Part(name, f"part-{code}", self._boxes(code))
        yield Part(_("Checks"), "part-checks", self._checks(None))
        yield Part(_("Measured at the hood"), "part-checks", plain_rows(self.document, self._in_state))
        for index, opening in enumerate(self.document.get("openings") or ()):
            called = _("Opening ‘%(name)s’") % {"name": opening["name"]}
            yield Part(called, f"part-opening-{index}", self._opening(opening))
        for alarm in self.document.get("alarms") or ():
            yield Part(self._in_state(_("Alarm when forced"), alarm.get("state")), "part-monitor-0", alarm_rows(alarm))
        yield Part(_("Struck"), "part-verdict", [*self._struck(), *self._struck_traverses()])
        yield Part(_("Asked while measuring"), "part-verdict", self._asked())
        yield Part(_("As left"), "part-left", self._left())
        yield Part(_("Last"), "part-last", self._boxes("last"))
        if ended := self.document.get("ended_early"):
            yield Part(_("Ended early"), "part-sign", [(coded("ending", ended["reason"]), ended.get("words") or _("nothing more was said"))])
        notes = str(self.document.get("notes") or "")
        yield Part(_("Notes"), "notes", [(_("Notes"), notes)] if notes.strip() else [])

    # --- boxes --------------------------------------------------------------------------------------------------------

    def _boxes(self, part: str) -> Rows:
        return [(self._label(box), said) for box in PARTS[part] if (said := self._said(box))]

    def _label(self, box: str) -> str:
        return str(SHUT_AGAIN.get(self.sash, LABELS[box]) if box == "last_sash" else LABELS[box])

    def _said(self, box: str) -> str:
        place = FIXED[box]
        held: Any = self.document
        for key in place:
            held = (held or {}).get(key)
        if held is None or held == "":
            return ""
        if box == "instrument":
            return self.instrument or str(held)
        return _capital(CODES[box].get(held, held)) if box in CODES else _plain(held)

    # --- checks and openings ------------------------------------------------------------------------------------------

    def _checks(self, opening: str | None) -> Rows:
        """The answers for an opening, or for the hood, each to its question in full."""
        answers = [
            one
            for one in self.document.get("answers") or ()
            if one.get("opening") == opening and (one.get("answer") or one.get("said"))
        ]
        answers.sort(key=lambda one: ORDER.get(one["check"], len(ORDER)))
        return [(self._question(one), self._answer(one)) for one in answers]

    def _answer(self, one: Mapping[str, Any]) -> str:
        answer = str(words.ANSWERS.get(one["answer"], one["answer"])) if one.get("answer") else "–"
        return f"{answer}: {said_in_words(one['check'], one['said'])}" if one.get("said") else answer

    def _question(self, answer: Mapping[str, Any]) -> str:
        code = answer["check"]
        said = _(CHECK[code].question) if code in CHECK else code.replace("-", " ")
        return self._in_state(said, answer.get("state"))

    def _in_state(self, said: str, state: str | None) -> str:
        """Which state it was asked in, where there are two."""
        return f"{said} ({coded('state', state)})" if state and self.document.get("adjusted") else said

    def _opening(self, opening: Mapping[str, Any]) -> Rows:
        sizes = ((_("Height measured"), opening.get("height")), (_("Width measured"), opening.get("width")))
        shown = [
            (self._in_state(_("Monitor shows"), one.get("state")), _plain(one["monitor"]))
            for one in self._traverses(opening["name"])
            if one.get("monitor")
        ]
        return [*((name, _plain(text)) for name, text in sizes if text), *shown, *self._checks(opening["name"])]

    def _traverses(self, opening: str | None = None) -> list[Mapping[str, Any]]:
        made = self.document.get("traverses") or ()
        return [one for one in made if opening in (None, one["opening"])]

    # --- what does not count, and what was asked ----------------------------------------------------------------------

    def _struck(self) -> Rows:
        """Each struck reading with its reason."""
        made = []
        for traverse in self._traverses():
            for r, row in enumerate(traverse.get("readings") or (), 1):
                for c, cell in enumerate(row, 1):
                    for text, why in _readings(cell):
                        if why is not None:
                            read = with_unit(text, traverse["unit"]) if traverse.get("unit") else text
                            made.append((_place(traverse["opening"], traverse["state"], r, c), f"{read}: {why or '–'}"))
        return made

    def _struck_traverses(self) -> Rows:
        made = []
        for one in self.document.get("struck_traverses") or ():
            name = _("%(opening)s, %(state)s: a whole traverse") % {
                "opening": one["opening"], "state": coded("state", one["state"]),
            }  # fmt: skip
            rows = " / ".join(", ".join(_texts(cell) for cell in row) for row in one.get("readings") or ())
            unit = with_unit("", one["unit"]).strip() if one.get("unit") else ""
            made.append((name, f"{rows} {unit}".strip() + f": {one.get('struck') or '–'}"))
        return made

    def _asked(self) -> Rows:
        """The soft questions that were answered, each where it was asked."""
        made = []
        for one in questions.kept(self.document):
            said = sentence(one.asked)
            name = f"{_place(*one.place)}: {said}" if one.place else _capital(said)
            made.append((name, one.answer if isinstance(one.answer, str) else sentence(one.answer)))
        return made

    def _left(self) -> Rows:
        adjusted = self.document.get("adjusted")
        made = [] if adjusted is None else [(str(LABELS["adjusted"]), _plain(adjusted))]
        moved = self.document.get("stop_and_mark_moved") or self.stop_and_mark_moved
        return [*made, (_("Stop and mark moved"), _plain(moved))] if moved else made


def _place(opening: str, state: str, row: int, column: int) -> str:
    return _("%(opening)s, %(state)s, row %(row)s, column %(column)s") % {
        "opening": opening, "state": coded("state", state), "row": row, "column": column,
    }  # fmt: skip


def _readings(cell: Any) -> Iterator[tuple[str, str | None]]:
    """The readings of a point, each with the reason for which it was struck."""
    for one in cell if isinstance(cell, list) else [] if cell is None else [cell]:
        yield (one, None) if isinstance(one, str) else (one["value"], one.get("struck"))


def _texts(cell: Any) -> str:
    return " ".join(text for text, _why in _readings(cell)) or "–"


def _plain(held: Any) -> str:
    """A fact, an amount with its unit, or words as typed."""
    if isinstance(held, bool):
        held = "yes" if held else "no"
    text = str(held)
    if text in YES_NO:
        return str(YES_NO[text])
    try:
        return str(quantity(text)) if " " in text else text
    except NotANumber:
        return text


def _capital(word: Any) -> str:
    text = str(word)
    return text[:1].upper() + text[1:]
