"""The survey form as it is sent: its own id, what it was made from, what was pressed, and the survey document in it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django import forms
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Day, Line, Thing
from hoods.forms.password import check_signature
from hoods.models import Person, Site
from surveys.core.document import Document, WrongShape, parse
from surveys.forms.survey_document import NotCarried, box_of, to_document
from surveys.wording import sentence


class Moment(forms.CharField):
    """A moment by the device's clock, with its offset; one that cannot be read is as good as none."""

    def clean(self, value: Any) -> datetime | None:
        try:
            moment = parse_datetime(str(value or ""))
        except ValueError:
            return None
        return moment if moment is not None and moment.tzinfo is not None else None


class Survey(forms.Form):
    """What the survey page sends. The boxes keep their text as typed: only what has not the agreed shape is refused."""

    form_id = forms.CharField(max_length=64)
    made_from = forms.IntegerField(min_value=0, max_value=10**9, widget=forms.HiddenInput)
    device_at = Moment(required=False)
    do = forms.CharField(max_length=200, required=False)

    def __init__(self, data: Mapping[str, str], **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        #: The boxes as sent, one text each; ends of lines as the web writes them become those that are kept.
        self.boxes: dict[str, str] = {name: str(data[name]).replace("\r\n", "\n") for name in data}
        #: What is wrong with the shape of a box, by its name.
        self.wrong: dict[str, str] = {}
        self.document: Document | None = None

    def clean(self) -> dict[str, Any]:
        entered: dict[str, Any] = {}
        try:
            entered = to_document(self.boxes)
            self.document = parse(entered)
        except NotCarried:
            self.add_error(None, _("This page was damaged on its way. Open the survey again: what was kept is there."))
        except WrongShape as refused:
            for problem in refused.problems:
                self.wrong.setdefault(box_of(problem.path, entered) or "notes", sentence(problem.message))
            self.add_error(None, _("Something in it cannot be kept: see what is marked."))
        return super().clean() or {}


class Start(forms.Form):
    """Which hood is to be surveyed: by its tag, or by the code on its label."""

    name = Line(
        label=_("Tag or code of the hood"), max_length=60,
        help_text=_("As on the hood, such as FH-0142, or the code under the label's square."),
        error_messages={"required": _("Nothing is written here: write the tag or the code that is on the hood.")},
    )  # fmt: skip
    draft = forms.UUIDField(widget=forms.HiddenInput, required=False)


class FromPaper(forms.Form):
    """What stands on the paper of a survey that is typed in later: the day measured, and by whom."""

    measured_on = Day(label=_("Day measured"), help_text=_("As on the paper, by the clock of the site."))
    person = Thing(
        label=_("Measured by"), required=False, empty_label=_("Somebody who is not in this list"), queryset=Person.objects.none()
    )
    measured_by = Line(
        label=_("Or the name on the paper"), max_length=120, required=False, help_text=_("Of somebody who is not in the list.")
    )

    def __init__(self, *args: Any, site: Site, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Person.objects.filter(roles__site=site).distinct()
        self.fields["person"].queryset = people.order_by("name")  # type: ignore[attr-defined]
        for name, field in self.fields.items():
            field.widget.attrs["class"] = "input"
            if self.is_bound and name in self.errors:
                field.widget.attrs |= {"aria-invalid": "true"}
        self.fields["measured_on"].widget.attrs["max"] = on.isoformat()

    def clean(self) -> dict[str, Any]:
        held = super().clean() or {}
        if held.get("person") and held.get("measured_by"):
            self.add_error("measured_by", _("Two people are named: choose one of the list, or write a name."))
        elif not held.get("person") and not held.get("measured_by") and "person" not in self.errors:
            self.add_error("measured_by", _("Say who measured: choose a person of the site, or write the name that stands on the paper."))  # fmt: skip
        return held


class Signing(forms.Form):
    """What stands for a signature: who measured says so, and types the password."""

    measured_myself = forms.BooleanField(
        label=_("I made these measurements"), error_messages={"required": _("Tick this: only who measured can sign.")}
    )
    password = forms.CharField(
        label=_("Your password"), strip=False, max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "class": "input"}),
        error_messages={"required": _("Your password stands for your signature: type it here.")},
    )  # fmt: skip

    def __init__(self, *args: Any, person: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_password(self) -> str:
        password = self.cleaned_data["password"]
        check_signature(self.person, password, _("This is not your password. Nothing is signed."))
        return password


class Signature(Signing):
    """Signing one survey: what was seen, what is confirmed."""

    revision = forms.IntegerField(widget=forms.HiddenInput)
    version = forms.IntegerField(widget=forms.HiddenInput)
    missing_confirmed = forms.BooleanField(required=False)
    stop_moved = forms.BooleanField(required=False)
    sign_taken_down = forms.BooleanField(required=False)

    def __init__(self, *args: Any, missing: bool = False, paper: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.missing = missing
        if paper:
            typed = self.fields["measured_myself"]
            typed.label = _("I typed in what stands on the paper, as it stands there")
            typed.error_messages["required"] = _("Tick this: only what stands on the paper can be signed.")

    def clean(self) -> dict[str, Any]:
        held = super().clean() or {}
        if self.missing and not held.get("missing_confirmed"):
            self.add_error("missing_confirmed", _("Confirm that these stay missing, or go back and enter them."))
        return held


class Ticked(forms.Form):
    """One survey of a list that is signed at once; each has boxes of its own, by its id."""

    chosen = forms.BooleanField(required=False)
    revision = forms.IntegerField(required=False, widget=forms.HiddenInput)
    version = forms.IntegerField(required=False, widget=forms.HiddenInput)
    missing_confirmed = forms.BooleanField(required=False)
    stop_moved = forms.BooleanField(required=False)
    sign_taken_down = forms.BooleanField(required=False)

    def __init__(self, *args: Any, missing: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.missing = missing

    def clean(self) -> dict[str, Any]:
        held = super().clean() or {}
        if held.get("chosen") and self.missing and not held.get("missing_confirmed"):
            self.add_error("missing_confirmed", _("Confirm that these stay missing, or leave this survey out."))
        return held


class LabelPutOn(forms.Form):
    """The label that was put on, by its number, and whether the old one is off."""

    issue = forms.IntegerField(
        label=_("Number of the label put on"), min_value=1, max_value=10**6,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            _("Type the issue number that is printed on the label: digits alone, such as 3."),
        ),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "input short"}),
    )  # fmt: skip
    old_removed = forms.BooleanField(label=_("The old label is removed"), required=False)

