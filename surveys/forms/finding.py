"""What is arranged of a finding, and closing one by hand; starting an amendment; why a survey is overdue."""

from __future__ import annotations

from typing import Any

from crispy_forms.layout import Row
from django import forms
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Choice, Day, Line, Paragraph, Reason
from hoods.forms.plain import Plain


class Arranged(Plain):
    """Who sees to it, under which order, by which day; the boxes begin with what holds."""

    owner = Line(
        label=_("Who sees to it"), required=False, help_text=_("A person or a trade, such as Building Services.")
    )
    order_number = Line(label=_("Order number"), required=False, max_length=60)
    promised_on = Day(label=_("Promised for"), required=False)
    words = Paragraph(label=_("What was heard or agreed"), rows=2, max_length=1000)

    def rows(self) -> list[Any]:
        return [Row("owner", "order_number"), "promised_on", "words"]


class Closed(Plain):
    words = Reason(label=_("What was done, or why nothing has to be"), max_length=1000)


class Overdue(Plain):
    why = Reason(label=_("Why it was not surveyed in time"), max_length=1000)


class Amending(Plain):
    """What was wrong in a signed survey, and how the one that amends it begins."""

    why = Reason(
        label=_("What was wrong in it"), max_length=1000,
        help_text=_("It stands on the record and the certificate of the survey that amends it."),
    )  # fmt: skip
    begins = Choice({}, label=_("The new survey begins"), widget=forms.RadioSelect)
    draft = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, own: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = {"empty": _("Empty, to measure again: of today, by the criteria in force today.")}
        if own:
            copy = _("As a copy, to correct what was written: of the same day, by the criteria that judged it then.")
            words = {"copy": copy} | words
        self.fields["begins"].choices = list(words.items())
