"""Forms of a hood: what it is, where it stands, its openings, what happened to it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from hoods import words
from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.core.cover import Cover, field_of, why_not
from hoods.core.ending import OF_HOOD
from hoods.core.part import OF_USE, lacks_part, of_another_sash
from hoods.core.quantity import FLOW, LENGTH, LONGEST, PRESSURE, SPEED, is_alarm_above
from hoods.forms.fields import Choice, Day, Line, Measure, Order, Paragraph, Reason, Thing, read_measure
from hoods.forms.plain import Plain
from hoods.models import ExhaustSystem, Person, Room, Site

#: What a monitor's set and alarm points are measures of.
MONITORED = {"velocity": (SPEED,), "flow": (FLOW,), "pressure": (PRESSURE,), "alarm-only": (SPEED, FLOW, PRESSURE)}


class HoodOf(Plain):
    """What a hood is."""

    tag = Line(label=_("Tag"), max_length=40, help_text=_("The mark on the hood, such as FH-0142; once at this site."))
    kind = Choice(
        words.KINDS | words.NOT_KEPT,
        label=_("Kind"),
        first=_("Choose"),
        help_text=_("Biological cabinets and clean benches are not kept here: other standards judge them."),
    )
    control = Choice(words.CONTROLS, label=_("Volume control"), first=_("Choose"))
    sash = Choice(words.SASHES, label=_("Sash"), first=_("Choose"))
    powered = forms.BooleanField(label=_("The sash is moved by a motor"), required=False)
    glass = Choice(words.GLASS, label=_("Glass"), empty=_("not known"))
    maker = Line(label=_("Maker"), required=False)
    model = Line(label=_("Model"), required=False)
    serial = Line(label=_("Serial number"), required=False)
    interior_width = Measure(LENGTH, most=LONGEST, label=_("Interior width"), required=False)
    work_surface_height = Measure(LENGTH, most=LONGEST, label=_("Height of the work surface"), required=False)
    monitor = Choice(words.MONITORS, label=_("Monitor"), first=_("Choose"))
    set_point = Line(
        label=_("Set point"), max_length=40, required=False,
        help_text=_("Such as 100 ft/min; of a gauge of pressure, its mark, such as 60 Pa."),
    )  # fmt: skip
    alarm_point = Line(label=_("Alarm point"), max_length=40, required=False, help_text=_("Such as 80 ft/min."))
    uses_forbidden = Paragraph(
        label=_("Uses forbidden"),
        help_text=_("What must never be done in this hood, such as perchloric acid digestion."),
    )

    def rows(self) -> list[Any]:
        return [*self.first_rows(), *WHAT_IT_IS, *self.last_rows()]

    def first_rows(self) -> list[Any]:
        return ["tag"]

    def last_rows(self) -> list[Any]:
        return []

    def clean_kind(self) -> str:
        kind = self.cleaned_data["kind"]
        if kind in words.REFUSED_KINDS:
            raise ValidationError(words.REFUSED_KINDS[kind])
        return kind

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in ("set_point", "alarm_point"):
            if cleaned.get(name) and "monitor" in cleaned:
                self._clean_point(name, cleaned)
        if is_alarm_above(cleaned.get("alarm_point") or "", cleaned.get("set_point") or ""):
            self.add_error("alarm_point", words.ALARM_ABOVE)
        if cleaned.get("kind") == "canopy" and cleaned.get("sash", "none") != "none":
            self.add_error("sash", words.CANOPY_WITH_SASH)
        return cleaned

    def _clean_point(self, name: str, cleaned: dict[str, Any]) -> None:
        """A point of a monitor is in a unit of what the monitor shows."""
        kinds = MONITORED.get(cleaned["monitor"])
        if kinds is None:
            self.add_error(name, _("A hood without a monitor has no such point: leave it empty, or choose a monitor."))
            return
        try:
            cleaned[name] = str(read_measure(cleaned[name], kinds))
        except ValidationError as refusal:
            self.add_error(name, refusal)


WHAT_IT_IS = (
    Fieldset(
        _("What it is"), Row("kind", "control"), Row("sash", "glass"), "powered", Row("maker", "model", "serial"),
        Row("interior_width", "work_surface_height"),
    ),
    Fieldset(_("Its monitor"), "monitor", Row("set_point", "alarm_point")),
    "uses_forbidden",
)  # fmt: skip


#: What is said at each box of a hood, and at those of an opening, whose change ends approvals.
ENDS_ALL = _("A change ends every approval: the hood is not to be used before it is surveyed.")
ENDS_IT = _("A change ends the approval of this opening.")


def _say_at(form: Plain, names: Iterable[str], said: Any) -> None:
    for field in (form.fields[name] for name in names if name in form.fields):
        field.help_text = format_lazy("{} {}", field.help_text, said) if field.help_text else said


class ChangedHood(HoodOf):
    why = Reason(required=False)

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        _say_at(self, OF_HOOD, ENDS_ALL)

    def last_rows(self) -> list[Any]:
        return ["why"]


class Where(Plain):
    """Where in a room a hood stands, and which exhaust serves it."""

    exhaust = Thing(
        queryset=ExhaustSystem.objects.none(), label=_("Exhaust system"), required=False, empty_label=_("not known")
    )
    position = Line(label=_("Where in the room"), required=False, help_text=_("Such as: second from the door"))
    order = Order(label=_("Place in the order of the room"))

    def __init__(self, *args: Any, person: Person, site: Site, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.fields["exhaust"].queryset = ExhaustSystem.objects.visible_to(person).filter(site=site)
        if "room" in self.fields:
            rooms = Room.objects.visible_to(person).filter(building__site=site)
            self.fields["room"].queryset = rooms.select_related("building")


class Shifted(Where):
    why = Reason(required=False)


class Moved(Where):
    room = Thing(queryset=Room.objects.none(), label=_("Room"), empty_label=_("Choose"))
    on = Day(label=_("Moved on"))
    why = Reason()

    def rows(self) -> list[Any]:
        return [Row("room", "on"), Row("exhaust", "position"), "order", "why"]


class NewHood(HoodOf, Where):
    """A hood with its place and its working opening."""

    sash = Choice(
        words.SASHES, label=_("Sash"), first=_("Choose"),
        help_text=_(
            "Of a horizontal or combination sash each part (left, centre, right; frame) is entered as an opening of its "
            "own, once the hood is registered."
        ),
    )  # fmt: skip
    room = Thing(queryset=Room.objects.none(), label=_("Room"), empty_label=_("Choose"))
    on = Day(label=_("Installed on"))
    width = Measure(LENGTH, most=LONGEST, label=_("Width of the working opening"))
    height = Measure(
        LENGTH,
        most=LONGEST,
        label=_("Height of the working opening"),
        help_text=_("As the site measures sash heights."),
    )

    def first_rows(self) -> list[Any]:
        return [
            Fieldset(
                _("Which hood, and where"), Row("tag", "on"), Row("room", "exhaust"), Row("position", "order"),
            ),
            Fieldset(_("The opening at which it is used"), Row("width", "height")),
        ]  # fmt: skip

    def working_opening(self, width: str, height: str) -> dict[str, str]:
        """The opening at which the hood is used, as the action that adds one takes it."""
        return {"name": "working", "use": "working", "width": width, "height": height}


class Covering(Measure):
    """A measure of what covers a part of an opening."""

    def __init__(self, **kwargs: Any):
        super().__init__(LENGTH, above_zero=False, most=LONGEST, required=False, **kwargs)


class OpeningOf(Plain):
    name = Line(label=_("Name"), max_length=60, help_text=_("Once at this hood, such as: working, lower, left."))
    use = Choice(words.USES, label=_("Use"))
    width = Measure(LENGTH, most=LONGEST, label=_("Width"))
    height = Measure(LENGTH, most=LONGEST, label=_("Height"))
    way = Choice(
        {}, label=_("Which part is open"), empty=_("as its name says"),
        help_text=_("As seen from the front. Everything else stays closed, and the frame of a combination sash down."),
    )  # fmt: skip
    tested_every_survey = forms.BooleanField(label=_("Tested at every survey"), required=False)
    cover = Line(
        label=_("What covers it"), max_length=60, required=False,
        help_text=_("Such as: fixed panel, closed panel, shelf. Empty where nothing does."),
    )  # fmt: skip
    cover_left = Covering(label=_("From the left side"), help_text=_("Such as 36 in. Empty: it begins at the left side."))
    cover_up = Covering(label=_("From the lower edge"), help_text=_("Empty: it begins at the lower edge."))
    cover_width = Covering(label=_("Width covered"), help_text=_("Empty: to the right side."))
    cover_height = Covering(label=_("Height covered"), help_text=_("Empty: to the upper edge."))

    def __init__(self, *args: Any, sash: str, **kwargs: Any):
        self.sash = sash
        self.ways = dict(words.WAYS.get(sash, {}))
        if written := (kwargs.get("initial") or {}).get("way"):
            self.ways.setdefault(written, written)
        super().__init__(*args, **kwargs)
        if not self.ways:
            del self.fields["way"]
            return
        field = self.fields["way"]
        field.choices = [*field.choices, *self.ways.items()]

    def clean_way(self) -> str:
        """A combination sash opens in two ways that must never be open together: each opening says which one it is."""
        way, use = self.cleaned_data["way"], self.data.get("use", "")
        if self.sash == "combination" and not way and use in OF_USE:
            raise ValidationError(
                _("Choose the part: the frame with its panels closed, or a panel with the frame down.")
            )
        if lacks_part(self.sash, use, way, self.cleaned_data.get("name", "")):
            if of_another_sash(self.sash, way):
                raise ValidationError(_("The sash of this hood has no such part: choose another."))
            raise ValidationError(_("Choose the part of this sash that is open: its name does not say it."))
        return way

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        covered = [cleaned.get(name, "") for name in ("cover", *COVER_MEASURES)]
        size = cleaned.get("width"), cleaned.get("height")
        if all(size) and (wrong := why_not(Cover(*covered), *size)):
            self.add_error(field_of(wrong[0]), words.COVERS[wrong[1]])
        return cleaned

    def rows(self) -> list[Any]:
        way = ["way"] if self.ways else []
        covered = Fieldset(
            _("Where something covers a part of it"), "cover", Row("cover_left", "cover_up"),
            Row("cover_width", "cover_height"),
        )  # fmt: skip
        return [Row("name", "use"), Row("width", "height"), *way, "tested_every_survey", covered, *self.last_rows()]

    def last_rows(self) -> list[Any]:
        return []


class ChangedOpening(OpeningOf):
    why = Reason(required=False)

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        _say_at(self, ("use", "width", "height", "way"), ENDS_IT)

    def last_rows(self) -> list[Any]:
        return ["why"]


class Happened(Plain):
    """Something that happened to a hood on a day, and why."""

    on = Day(label=_("On"))
    why = Reason()


class Outage(Plain):
    on = Day(label=_("From"))
    until_on = Day(
        label=_("Planned until"), required=False, help_text=_("The last day. Empty: until it is brought back.")
    )
    why = Reason()

    def rows(self) -> list[Any]:
        return [Row("on", "until_on"), "why"]


class Because(Plain):
    """A reason alone."""

    why = Reason()
