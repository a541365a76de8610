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
    "100x50": _("Roll of labels of 100 × 50 mm, one a page"),
    "4x2in": _("Roll of labels of 4 × 2 in, one a page"),
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
    begin = Choice(
        {},
        label=_("Begin with the label of"),
        empty=_("the first that is ticked"),
        help_text=_("To go on after a roll or sheet ran out: what comes before it in the walk is not printed."),
    )
    start = Line(
        label=_("First free place on the sheet"),
        max_length=4,
        initial="1",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        help_text=_("Counted from 1, along the rows from the top left; on a roll always 1."),
        error_messages={"required": _("Nothing is written here: write the place as digits, such as 1.")},
    )

    def __init__(self, *args: Any, choices: Iterable[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        hoods = list(choices)
        self.fields["hoods"].choices = hoods  # type: ignore[attr-defined]
        begin: Any = self.fields["begin"]
        begin.choices = [*begin.choices, *hoods]

    @property
    def asked(self) -> list[int]:
        """The hoods whose labels are to be printed, from the one to begin with."""
        hoods = self.cleaned_data["hoods"]
        return hoods[hoods.index(int(self.cleaned_data["begin"])) :] if self.cleaned_data["begin"] else hoods

    def clean_hoods(self) -> list[int]:
        """In the order of the list, whatever the order in which they were sent."""
        ticked = set(self.cleaned_data["hoods"])
        choices: Any = self.fields["hoods"]
        return [key for key, _words in choices.choices if key in ticked]

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
                if sheet.is_roll:
                    said = _("A roll has one label a page: write 1.")
                self.add_error("start", forms.ValidationError(said, params={"last": sheet.per_page}))
        begin = cleaned.get("begin")
        if begin and "hoods" in cleaned and int(begin) not in cleaned["hoods"]:
            said = _("This hood is not ticked: tick it above, or begin with one that is.")
            self.add_error("begin", forms.ValidationError(said))
        return cleaned
