"""Forms of people and their roles."""

from __future__ import annotations

from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Choice, Day, Line, Reason, Things
from hoods.forms.plain import Plain
from hoods.models import Person, Room, Site
from hoods.models.people import LAB_MANAGER, ROLE_NAMES


class Named(Plain):
    name = Line(label=_("Name as printed on certificates"))
    initials = Line(label=_("Initials"), max_length=8, help_text=_("As printed on labels, such as RO"))
    position = Line(label=_("Position"), required=False)
    employer = Line(label=_("Employer"), required=False)

    def rows(self) -> list[Any]:
        return [Row("name", "initials"), Row("position", "employer")]


class GivenRole(Plain):
    role = Choice(ROLE_NAMES, label=_("Role"))
    rooms = Things(
        queryset=Room.objects.none(), label=_("Rooms"), required=False, help_text=_("Of a lab manager alone.")
    )
    from_on = Day(label=_("From"))
    until_on = Day(label=_("Until"), required=False, help_text=_("The last day. Empty: without end."))

    def __init__(self, *args: Any, person: Person, site: Site, **kwargs: Any):
        super().__init__(*args, **kwargs)
        rooms = Room.objects.visible_to(person).filter(building__site=site)
        self.fields["rooms"].queryset = rooms.select_related("building")

    def rows(self) -> list[Any]:
        return ["role", "rooms", Row("from_on", "until_on")]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        role, rooms = cleaned.get("role"), cleaned.get("rooms")
        if role == LAB_MANAGER and not rooms and "rooms" not in self.errors:
            self.add_error("rooms", _("A lab manager has rooms: choose at least one."))
        if role and role != LAB_MANAGER and rooms:
            self.add_error("rooms", _("Only a lab manager has rooms: choose none, or another role."))
        return cleaned


class Addressed(Named):
    """What is said of somebody who has set no password yet: the address too, which may have been mistyped."""

    email = forms.EmailField(
        label=_("E-mail address"), max_length=254, help_text=_("The person signs in with it."),
        error_messages={
            "required": _("Nothing is written here: fill it in."),
            "invalid": _("This is no e-mail address: write one such as ruth@skua.example."),
        },
    )  # fmt: skip

    def rows(self) -> list[Any]:
        return ["email", *super().rows()]

    def clean_email(self) -> str:
        address = self.cleaned_data["email"]
        if not address.isascii():
            raise ValidationError(
                _("Only plain letters, digits and marks can be used here: write the address in those.")
            )
        return address.lower()


class Invited(GivenRole, Addressed):
    def rows(self) -> list[Any]:
        return [
            Fieldset(_("The person"), "email", *Named.rows(self)),
            Fieldset(_("The role at this site"), *GivenRole.rows(self)),
        ]


class EndedRole(Plain):
    until_on = Day(label=_("Last day"), help_text=_("The role still holds on this day."))
    why = Reason(required=False)
