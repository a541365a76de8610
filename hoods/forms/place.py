"""Forms of a site's settings, its buildings, rooms and exhaust systems."""

from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from crispy_forms.layout import Fieldset, Row
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods import words
from hoods.core.quantity import HIGHEST, LENGTH
from hoods.forms.fields import Choice, Line, Measure, Order, Paragraph, Reason, Thing
from hoods.forms.plain import Plain
from hoods.models import Building, Person, Site


class SiteSettings(Plain):
    name = Line(label=_("Name"))
    time_zone = Line(
        label=_("Time zone"),
        max_length=60,
        help_text=_("Such as Europe/London. Days and times are those of this zone."),
    )
    elevation = Measure(
        LENGTH, label=_("Elevation above the sea"), required=False, above_zero=False, most=HIGHEST, example="120 m",
        help_text=_("With its unit, such as 120 m; below the sea with a minus, such as -2 m."),
    )  # fmt: skip
    address = Paragraph(label=_("Address"))
    office = Line(label=_("Whom to call"), required=False, help_text=_("Such as: Safety office"))
    telephone = Line(label=_("Telephone"), max_length=40, required=False)
    emergency = Paragraph(
        label=_("In an emergency"),
        help_text=_("What to do, in the words of this site. Shown to whoever scans a label."),
    )
    emergency_telephone = Line(label=_("Telephone in an emergency"), max_length=40, required=False)
    speed_unit = Choice(words.SPEED_UNITS, label=_("Velocities in"))
    length_unit = Choice(words.LENGTH_UNITS, label=_("Lengths entered in"))
    temperature_unit = Choice(words.TEMPERATURE_UNITS, label=_("Temperature shown in"))
    height_from = Choice(words.HEIGHTS_FROM, label=_("Sash heights are measured from"))
    paper = Choice(words.PAPERS, label=_("Paper"))
    printer_dpi = Choice(words.PRINTER_DPI, label=_("The label printer prints"))
    why = Reason(required=False)

    def rows(self) -> list[Any]:
        return [
            Fieldset(_("The site"), "name", Row("time_zone", "elevation"), "address"),
            Fieldset(_("Whom to call"), Row("office", "telephone"), "emergency", "emergency_telephone"),
            Fieldset(
                _("How things are shown and printed"),
                Row("speed_unit", "length_unit", "temperature_unit"),
                Row("height_from", "paper", "printer_dpi"),
            ),
            "why",
        ]

    def clean_time_zone(self) -> str:
        zone = self.cleaned_data["time_zone"]
        if zone not in available_timezones():
            raise ValidationError(
                _("“%(zone)s” is no time zone: write one such as Europe/London."), params={"zone": zone}
            )
        return zone

    def clean_printer_dpi(self) -> int:
        return int(self.cleaned_data["printer_dpi"])


class BuildingOf(Plain):
    name = Line(label=_("Name"))
    order = Order(label=_("Place in the order of rounds"))


class RoomOf(Plain):
    building = Thing(queryset=Building.objects.none(), label=_("Building"), empty_label=_("Choose"))
    number = Line(label=_("Number"), max_length=40)
    name = Line(label=_("Name"), required=False)
    floor = Line(label=_("Floor"), max_length=40, required=False)
    department = Line(label=_("Department"), required=False)
    responsible = Line(label=_("Who answers for the room"), required=False)
    hazards = Paragraph(label=_("Hazards"), help_text=_("What a surveyor should know before going in."))
    access = Paragraph(label=_("Access"), help_text=_("How to get in, whom to ask."))
    order = Order(label=_("Place in the order of rounds"))

    def __init__(self, *args: Any, person: Person, site: Site, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.fields["building"].queryset = Building.objects.visible_to(person).filter(site=site)

    def rows(self) -> list[Any]:
        return [
            Row("building", "number"), Row("name", "floor"), Row("department", "responsible"), "hazards", "access",
            "order",
        ]  # fmt: skip


class ExhaustOf(Plain):
    name = Line(label=_("Name"), max_length=60)
    words = Paragraph(label=_("What it is and where"), help_text=_("Fan, duct, where the fan stands, who keeps it."))
