"""Forms of instruments and their calibrations."""

from __future__ import annotations

from typing import Any

from crispy_forms.layout import Fieldset, Row
from django.utils.translation import gettext_lazy as _

from hoods.core.quantity import PERCENT, SPEED
from hoods.forms.fields import Choice, Day, Line, Measure, Reason
from hoods.forms.plain import Plain
from surveys import words
from surveys.core import units

TOLERANCE = {"yes": _("in tolerance"), "no": _("out of tolerance")}
LONGEST = 5  # [years] that a calibration can be said to hold
FLOOR_HELP = _("With its unit, such as 3 ft/min; whichever is larger holds.")


class InstrumentOf(Plain):
    name = Line(label=_("The site's mark on it"), max_length=60, help_text=_("Once at this site, such as A-07."))
    serial = Line(label=_("Serial number"), max_length=60)
    kind = Choice(words.INSTRUMENT_KINDS, label=_("Kind"))
    velocity = Choice(words.VELOCITIES, label=_("It shows"))
    resolution = Measure(
        SPEED, label=_("Resolution"), help_text=_("Its smallest step, such as 1 ft/min. Readings are in this unit.")
    )
    lowest = Measure(SPEED, label=_("Lowest velocity"), required=False, above_zero=False)
    highest = Measure(SPEED, label=_("Highest velocity"), required=False)
    accuracy_percent = Measure(PERCENT, most={"%": "100"}, label=_("Accuracy, of the reading"), required=False)
    accuracy_floor = Measure(SPEED, label=_("Accuracy, at least"), required=False, help_text=FLOOR_HELP)

    def rows(self) -> list[Any]:
        return [
            Fieldset(_("Which instrument"), Row("name", "serial"), Row("kind", "velocity")),
            Fieldset(
                _("What it can read"), "resolution", Row("lowest", "highest"), Row("accuracy_percent", "accuracy_floor")
            ),
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        lowest, highest = cleaned.get("lowest"), cleaned.get("highest")
        if lowest and lowest.startswith("-"):
            self.add_error("lowest", _("A velocity is zero or more: write it without the sign."))
        elif lowest and highest and _speed(lowest) >= _speed(highest):
            self.add_error("highest", _("The highest velocity is not above the lowest: write both anew."))
        return cleaned


def _speed(text: str) -> Any:
    return units.quantity(text, units.SPEED).to("ft/min")


class ChangedInstrument(InstrumentOf):
    why = Reason(required=False)

    def rows(self) -> list[Any]:
        return [*super().rows(), "why"]


class RetiredInstrument(Plain):
    on = Day(label=_("Retired on"))
    why = Reason()


class CalibrationOf(Plain):
    certificate = Line(label=_("Number of the certificate"), max_length=60)
    laboratory = Line(label=_("Laboratory"), required=False)
    done_on = Day(label=_("Done on"))
    due_on = Day(label=_("Due on"), help_text=_("The last day that it covers."))
    in_tolerance = Choice(
        TOLERANCE,
        label=_("As the laboratory found it"),
        empty=_("not said on the certificate"),
        help_text=_("Before it was adjusted. Out of tolerance puts earlier surveys with it in doubt."),
    )

    def rows(self) -> list[Any]:
        return [Row("certificate", "laboratory"), Row("done_on", "due_on"), "in_tolerance"]

    def clean_in_tolerance(self) -> bool | None:
        return {"yes": True, "no": False}.get(self.cleaned_data["in_tolerance"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        done, due = cleaned.get("done_on"), cleaned.get("due_on")
        if done and due and due < done:
            self.add_error("due_on", _("The calibration is due before it was done: write a later day."))
        if done and due and (due.year - LONGEST, due.month, due.day) > (done.year, done.month, done.day):
            said = _("No calibration holds for more than five years: write the day on the certificate.")
            self.add_error("due_on", said)
        return cleaned
