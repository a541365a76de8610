"""What the survey page asks of the hood beside its traverses: what its monitor shows, its alarm forced, plain figures."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from surveys import words
from surveys.core.codes import MONITORS_WITH_ALARM
from surveys.core.criteria import Criteria
from surveys.core.figures import FIGURE
from surveys.core.hood_figures import OF_AIRFLOW, PLAIN
from surveys.core.units import UNITS, NotANumber, quantity_or_none, unit_code
from surveys.forms.hood_boxes import plain_box
from surveys.views.survey_boxes import Box, Boxes, Question, kind_of
from surveys.views.survey_hood import AboutHood
from surveys.views.survey_labels import ALARM_LABELS

#: What a monitor shows, in the unit that its box is read in where the register says none.
MONITOR_UNITS = {"velocity": "", "flow": "ft**3/min", "pressure": "Pa"}
HELP = {
    "light": gettext_lazy("By a light meter on the work surface, the hood’s own light on."),
    "noise": gettext_lazy("By a sound level meter in front of the opening, weighted A. Where it stood, in the notes."),
    "filter-pressure": gettext_lazy("As the gauge across the filter shows it, in the unit of the gauge."),
    "closed-flow": gettext_lazy("The sash closed, the flow settled; as the monitor or a station in the duct shows it."),
}
_NOT_FORCED = ("not-applicable", "not-tested")


@dataclass
class Alarm:
    """The test of the alarm in one state: boxes and questions in their order."""

    items: list[Any]

    @property
    def boxes(self) -> list[Box]:
        return [item for item in self.items if isinstance(item, Box)]

    @property
    def questions(self) -> list[Question]:
        return [item for item in self.items if isinstance(item, Question)]


class MeasuredAtHood(AboutHood):
    """Boxes of the monitor, of the alarm, and of plain figures."""

    boxes: Boxes
    criteria: Criteria

    # --- the monitor --------------------------------------------------------------------------------------------------

    def monitor_unit(self) -> str:
        """The unit of the set point where one is written; else the usual one for what the monitor shows."""
        unit = self.hood.set_point.partition(" ")[2]
        return known_unit(unit, "") or MONITOR_UNITS.get(self.hood.monitor, "") or self.site.speed_unit

    @property
    def mark(self) -> str:
        """The mark of a gauge of pressure, as the register says it."""
        point = quantity_or_none(self.hood.set_point) if self.hood.monitor == "pressure" else None
        return str(point) if point else ""

    # --- the alarm ----------------------------------------------------------------------------------------------------

    @cached_property
    def alarm_found(self) -> Alarm | None:
        return self._alarm("f")

    @cached_property
    def alarm_left(self) -> Alarm | None:
        return self._alarm("l")

    def _alarm(self, letter: str) -> Alarm | None:
        if self.hood.monitor not in MONITORS_WITH_ALARM:
            return None
        asked = self._is_forced(letter)
        return Alarm(list(self._of_alarm(f"alarm{letter}_", asked)))

    def _of_alarm(self, box: str, asked: bool) -> Iterator[Box | Question]:
        boxes, label = self.boxes, {what: str(said) for what, said in ALARM_LABELS.items()}
        ways = {code: word for code, word in words.FORCED.items() if self.hood.sash in words.FORCED_BY.get(code, (self.hood.sash,))}
        yield boxes.choice(
            f"{box}forced", label["forced"], ways, needed=_("how the alarm was forced") if asked else ""
        )
        yield boxes.box(
            f"{box}trip", label["trip"], unit=self._trip_unit(), help=self._alarm_point(),
            needed=_("what was shown when the alarm tripped") if asked and self.is_limited("alarm-ratio") else "",
        )  # fmt: skip
        yield boxes.box(
            f"{box}after", label["after"], unit="s",
            needed=_("after how long the alarm tripped") if asked and self.is_limited("alarm-seconds") else "",
        )  # fmt: skip
        yield boxes.fact(f"{box}sound", label["sound"], needed=_("whether the alarm sounded") if asked else "")
        yield boxes.fact(f"{box}light", label["light"], needed=_("whether the alarm lit") if asked else "")

    def _is_forced(self, letter: str) -> bool:
        """Whether the criteria ask for the alarm, and nobody has answered yet that it is not there or not looked at."""
        if not any(one.check.code == "alarm-works" for one in self.criteria.checks):
            return False
        box = re.compile(rf"a(h|\d+){letter}-alarm-works")
        answers = [text for name, text in self.boxes.texts.items() if text and box.fullmatch(name)]
        return not answers or any(text not in _NOT_FORCED for text in answers)

    def _trip_unit(self) -> str:
        """The unit of the alarm point where one is written; else that of what the monitor shows."""
        return known_unit(self.hood.alarm_point.partition(" ")[2], "") or self.monitor_unit()

    def _alarm_point(self) -> str:
        point = quantity_or_none(self.hood.alarm_point)
        said = _("Its alarm point is %(point)s.") % {"point": point} if point else _("The register says no alarm point.")
        return f"{said} {_('It shows nothing: measure what it trips at.')}" if self.hood.monitor == "alarm-only" else said

    def is_limited(self, figure: str) -> bool:
        """Whether the criteria have a limit on a figure that this hood can have."""
        is_for = FIGURE[figure].is_for(self.around.facts.hood)
        return is_for and any(limit.figure.code == figure for limit in self.criteria.limits)

    # --- plain figures ------------------------------------------------------------------------------------------------

    @cached_property
    def plain_found(self) -> list[Box]:
        return [self._plain(code, "f") for code in self._plain_codes()]

    @cached_property
    def plain_left(self) -> list[Box]:
        return [self._plain(code, "l") for code in self._plain_codes() if code in OF_AIRFLOW]

    def _plain_codes(self) -> list[str]:
        return [code for code in PLAIN if FIGURE[code].is_for(self.around.facts.hood)]

    def _plain(self, code: str, letter: str) -> Box:
        label = _(FIGURE[code].name)
        needed = label[:1].lower() + label[1:] if self.is_limited(code) else ""
        unit = self._plain_unit(code)
        several = sum(one.kind == kind_of(unit) for one in UNITS) > 1
        box = self.boxes.amount if several else self.boxes.box
        return box(plain_box(code, letter), label, unit=unit, help=str(HELP[code]), needed=needed)

    def _plain_unit(self, code: str) -> str:
        """The unit of the limit where there is one; a gauge of pressure reads in that of the site else."""
        limits = [limit.unit for limit in self.criteria.limits if limit.figure.code == code]
        usual = {
            "light": "lx",
            "noise": "dBA",
            "filter-pressure": "inH2O" if self.site.length_unit in ("in", "ft") else "Pa",
            "closed-flow": "ft**3/min" if self.site.length_unit in ("in", "ft") else "L/s",
        }
        return limits[0] if limits else usual[code]

    # --- what they are called -----------------------------------------------------------------------------------------

    @property
    def measured_labels(self) -> Mapping[str, str]:
        """Each box of the alarm and of a plain figure, as pages name it that tell what was entered."""
        made = {box.name: box.label for box in (*self.plain_found, *self.plain_left)}
        for alarm in (self.alarm_found, self.alarm_left):
            for item in alarm.items if alarm else ():
                said = item.label if isinstance(item, Box) else item.legend
                made[item.name] = _("Alarm: %(what)s") % {"what": said[:1].lower() + said[1:]}
        return made


def known_unit(word: str, otherwise: str) -> str:
    """The code of a unit; `otherwise` where nobody knows it."""
    try:
        return unit_code(word) or otherwise
    except NotANumber:
        return otherwise
