"""Which labels to print, on which paper, from which place."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Choice, Line
from hoods.forms.plain import Plain
from reports.core.sheets import SHEETS

SHEET_NAMES = {
    "100x50": _("Labels of 100 × 50 mm, one a page"),
    "a4-2x5": _("A4, two columns of five"),
    "letter-2x5": _("Letter, two columns of five"),
}


class LabelSheet(Plain):
    hoods = forms.TypedMultipleChoiceField(
        label=_("Hoods"),
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": _("Choose at least one hood."),
            "invalid_choice": _("Something chosen is not in the list: choose from those that are."),
            "invalid_list": _("Something chosen is not in the list: choose from those that are."),
        },
    )
    sheet = Choice(SHEET_NAMES, label=_("Paper"))
    start = Line(
        label=_("First free place on the sheet"),
        max_length=4,
        initial="1",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        help_text=_("Counted from 1, along the rows from the top left."),
        error_messages={"required": _("Nothing is written here: write the place as digits, such as 1.")},
    )

    def __init__(self, *args: Any, choices: Iterable[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["hoods"].choices = list(choices)  # type: ignore[attr-defined]

    def clean_start(self) -> str:
        start = self.cleaned_data["start"].strip()
        if not (start.isascii() and start.isdigit()):
            raise forms.ValidationError(_("This is not a whole number: write the place as digits, such as 1."))
        return start

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        sheet = SHEETS.get(cleaned.get("sheet", ""))
        if sheet and cleaned.get("start"):
            cleaned["start"] = int(cleaned["start"])
            if not 1 <= cleaned["start"] <= sheet.per_page:
                said = _("This paper has the places 1 to %(last)s: write one of them.")
                self.add_error("start", forms.ValidationError(said, params={"last": sheet.per_page}))
        return cleaned
