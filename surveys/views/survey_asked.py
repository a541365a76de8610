"""What the survey page asks of the hood as a whole: who it is, conditions, as found, checks, what is done last."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from surveys import words
from surveys.core.checks import CHECK, CHECKS, Check
from surveys.core.codes import CANDIDATE_USES
from surveys.core.criteria import Asked
from surveys.models import Instrument
from surveys.views.survey_boxes import Box, Question
from surveys.views.survey_labels import LABELS, SHUT_AGAIN
from surveys.views.survey_measured import MONITOR_UNITS, MeasuredAtHood, known_unit
from surveys.wording import day


class AskedOfHood(MeasuredAtHood):
    """Boxes and questions about the hood as a whole."""

    names: dict[int, str]
    several: bool

    @cached_property
    def who(self) -> list[Question]:
        yes = _("Yes, the tag says %(tag)s") % {"tag": self.hood.tag}
        return [
            self.boxes.good(
                "right_hood", str(LABELS["right_hood"]), (("yes", yes), ("no", _("No"))),
                needed=_("which hood it is"),
            ),
            self.boxes.good(
                "fit", str(LABELS["fit"]), help=_("Cleared and closed, nothing running in it that can harm you."),
                needed=_("fit to work at"),
            ),
        ]  # fmt: skip

    @cached_property
    def instruments(self) -> list[Instrument]:
        rows = Instrument.objects.filter(site=self.site, retired_on__isnull=True).prefetch_related("calibrations")
        return list(rows)

    @cached_property
    def conditions(self) -> list[Box]:
        boxes, on = self.boxes, self.draft.done_on
        instruments = {str(one.pk): self.instrument_words(one) for one in self.instruments}
        temperature = known_unit(self.site.temperature_unit, "°C")
        made = [
            boxes.choice("reason", str(LABELS["reason"]), words.REASONS, needed=_("reason for the survey")),
            boxes.choice(
                "instrument", str(LABELS["instrument"]), instruments, needed=_("instrument"), help=self._instrument_help(on), now=True
            ),
            boxes.choice(
                "mode", str(LABELS["mode"]), words.MODES, needed=_("mode of the hood"), help=_("While its occupied traverses are read."),
            ),
            *self._flow_state(),
            boxes.choice("doors", str(LABELS["doors"]), words.DOORS, needed=_("doors")),
            boxes.choice("room_pressure", str(LABELS["room_pressure"]), words.ROOM_PRESSURE, needed=_("room pressure")),
            boxes.choice("other_hoods", str(LABELS["other_hoods"]), words.OTHER_HOODS, needed=_("other hoods")),
            boxes.box("temperature", str(LABELS["temperature"]), unit=temperature, needed=_("temperature")),
        ]
        made.append(boxes.box(
            "pressure", str(LABELS["pressure"]), unit="hPa", help=_("As read in the room, not brought to sea level."),
            needed=_("pressure or elevation"), instead="elevation",
        ))  # fmt: skip
        return [*made, self._elevation()]

    def _elevation(self) -> Box:
        """The elevation that stands for a pressure nobody read: the site's own, until another is written."""
        digits, _blank, unit = self.site.elevation.partition(" ")
        box = self.boxes.box(
            "elevation", str(LABELS["elevation"]), unit=unit or ("ft" if self.site.length_unit == "in" else "m"),
            help=_("Of the site; it stands for the pressure where none is read.") if digits else _("Where no pressure can be read."),
        )  # fmt: skip
        if not box.value and not self.boxes.text("pressure"):
            box.value, box.unit = digits, unit or box.unit
        return box

    def _flow_state(self) -> list[Box]:
        """Which state was tested: what a two-state hood is judged in, and what a height to try hangs on."""
        states = words.FLOW_STATES_OF.get(self.hood.control)
        if states is None:
            return []
        choices = {state: words.FLOW_STATES[state] for state in states}
        if self.hood.control == "two-state":
            needed, help = _("state tested"), _("Without it the hood has no verdict.")
        else:
            needed, help = "", _("Maximum: you have seen that its control raises the flow no further.")
        return [self.boxes.choice("flow_state", str(LABELS["flow_state"]), choices, needed=needed, help=help)]

    def instrument_words(self, instrument: Instrument) -> str:
        kind = instrument.kind.replace("-", " ")
        done = [one for one in instrument.calibrations.all() if one.done_on <= self.draft.done_on]
        calibration = max(done, key=lambda one: (one.done_on, one.pk), default=None)
        if calibration is None:
            return _("%(name)s %(kind)s: no calibration") % {"name": instrument.name, "kind": kind}
        if not calibration.covers(self.draft.done_on):
            values = {"name": instrument.name, "kind": kind, "day": _day(calibration.due_on)}
            return _("%(name)s %(kind)s: calibration ended %(day)s") % values
        return f"{instrument.name} {kind}"

    def _instrument_help(self, on: Any) -> str:
        instrument, calibration = self.around.instrument, self.around.calibration
        if instrument is None or calibration is None:
            return ""
        shows = _("shows actual velocity") if instrument.velocity == "actual" else _("shows standard velocity")
        return _("Calibrated %(done)s, due %(due)s; reads to %(resolution)s, %(shows)s.") % {
            "done": _day(calibration.done_on), "due": _day(calibration.due_on),
            "resolution": instrument.resolution or "–", "shows": shows,
        }  # fmt: skip

    @property
    def uncovered(self) -> str:
        """Why the chosen instrument cannot show that a limit is met; empty where it can, or none is chosen."""
        instrument, calibration = self.around.instrument, self.around.calibration
        if instrument is None or self.around.calibration_covers:
            return ""
        if calibration is None:
            return _("%(name)s has no calibration on record.") % {"name": instrument.name}
        return _("%(name)s was due for calibration on %(day)s.") % {
            "name": instrument.name, "day": _day(calibration.due_on),
        }  # fmt: skip

    @cached_property
    def found_boxes(self) -> list[Box]:
        made = []
        if self.hood.sash in ("horizontal", "combination") or self.boxes.text("found_open"):
            made.append(self.boxes.box(
                "found_open", str(LABELS["found_open"]), needed=_("what was found open"), line=True,
                help=_("Which part, and how far: left panel, 15 in. If nothing was: closed."),
            ))  # fmt: skip
        if self.hood.sash == "vertical" or self.boxes.text("found_sash"):
            made.append(self.boxes.box("found_sash", str(LABELS["found_sash"]), unit=self.site.length_unit, needed=_("sash as found")))
        if self.hood.monitor in MONITOR_UNITS:
            made.append(self.boxes.box(
                "found_monitor", str(LABELS["found_monitor"]), unit=self.monitor_unit(), needed=_("monitor as found")
            ))  # fmt: skip
        return made

    def _is_asked(self, box: str) -> bool:
        """Whether a question about the sash is asked: of no hood without one, but what was entered stays to be seen."""
        return self.has_sash or bool(self.boxes.text(box))

    @cached_property
    def found(self) -> list[Question]:
        made = [self.boxes.fact("found_somebody", str(LABELS["found_somebody"]), needed=_("anybody at it"))]
        if self.hood.monitor != "none":
            made.append(self.boxes.fact("found_alarm", str(LABELS["found_alarm"]), needed=_("alarm as found")))
        return [*made, *self._muted()]

    def _muted(self) -> list[Question]:
        """Whether the alarm was muted as found: asked wherever there is one, and judged only where the criteria say so."""
        asked = any(one.check.code == "alarm-not-muted" for one in self.asked)
        if asked or self.hood.monitor == "none":
            return self._of_hood("found")
        return [self._check(CHECK["alarm-not-muted"], "h", "f")]

    @cached_property
    def notes(self) -> Box:
        return self.boxes.box(
            "notes", str(LABELS["notes"]), lines=2, help=_("What stands in the way, what was moved, what somebody should know."),
        )  # fmt: skip

    # --- checks -------------------------------------------------------------------------------------------------------

    @cached_property
    def asked(self) -> list[Asked]:
        """The checks that the version asks of this hood, in the order of CHECKS."""
        order = {one.code: number for number, one in enumerate(CHECKS)}
        asked = [one for one in self.criteria.checks if one.check.is_for(self.hood)]
        return sorted(asked, key=lambda one: order.get(one.check.code, len(order)))

    def _of_hood(self, *where: str) -> list[Question]:
        return [
            self._check(one.check, "h", "f" if one.check.airflow else "n")
            for one in self.asked
            if one.applies_to == "hood" and one.check.where in where
        ]

    def _of_opening(self, place: Any, letter: str, *where: str) -> list[Question]:
        """The checks asked of an opening as found, or those of airflow as left."""
        made = []
        for one in self.asked:
            if one.applies_to == "hood" or one.check.where not in where or not applies(one, place.use):
                continue
            if letter == "l" and not one.check.airflow:
                continue
            made.append(self._check(one.check, str(place.index), letter if one.check.airflow else "n"))
        return list({question.name: question for question in made}.values())

    def _check(self, asked: Check, scope: str, letter: str) -> Question:
        short = _(asked.short)
        needed = short[:1].lower() + short[1:]
        if scope != "h" and self.several:
            needed = f"{self.names[int(scope)]}: {needed}"
        return self.boxes.check(
            f"a{scope}{letter}-{asked.code}", asked, may_not_apply=asked.may_be_not_applicable(self.hood), needed=needed,
            latest=self.draft.done_on.isoformat(),
        )  # fmt: skip

    @cached_property
    def checks(self) -> list[Question]:
        return self._of_hood("sash", "inside")

    @cached_property
    def left_checks(self) -> list[Question]:
        """Checks of airflow asked of the hood, once more as left."""
        return [
            self._check(one.check, "h", "l") for one in self.asked if one.applies_to == "hood" and one.check.airflow
        ]

    @property
    def left_fills_with_smoke(self) -> bool:
        return fills_with_smoke(self.left_checks)

    @cached_property
    def adjusted(self) -> Question:
        return self.boxes.fact("adjusted", str(LABELS["adjusted"]), needed=_("adjusted or not"))

    @cached_property
    def last_questions(self) -> list[Question]:
        good, none = self.boxes.good, (("yes", _("Yes")), ("no", _("No")), ("not-applicable", _("Does not apply")))
        return [
            good("last_controls", str(LABELS["last_controls"]), none, needed=_("controls")),
            good("last_alarm", str(LABELS["last_alarm"]), none, needed=_("alarm armed")),
            *([good("last_stop", str(LABELS["last_stop"]), none, needed=_("sash stop"))] if self._is_asked("last_stop") else []),
            *([good("last_sash", str(SHUT_AGAIN.get(self.hood.sash, LABELS["last_sash"])), needed=_("sash closed"))] if self._is_asked("last_sash") else []),
            good("last_told", str(LABELS["last_told"]), needed=_("lab told")),
        ]


def fills_with_smoke(asked: Sequence[Question]) -> bool:
    """Whether smoke is let out inside, and not only along an edge."""
    return any(question.name.endswith("smoke-inside-clears") for question in asked)


def applies(asked: Asked, use: str) -> bool:
    """Whether a check is asked of an opening that counts as this use."""
    return asked.applies_to == use or (asked.applies_to == "each" and use in CANDIDATE_USES)


def _day(on: date) -> str:
    """A day as it is printed, never broken over a line."""
    return day(on.isoformat()).replace(" ", "\u00a0")

