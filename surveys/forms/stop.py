"""A posted 'do not use', and taking one back that was a mistake."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Paragraph
from surveys import words
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD


class Posting(forms.Form):
    """Why the hood must not be used, and a tick as the second deliberate act."""

    reason = forms.ChoiceField(
        label=_("Reason"),
        widget=forms.Select(attrs={"class": "input"}),
        error_messages={
            "required": _("Choose the reason why the hood must not be used."),
            "invalid_choice": _("Choose a reason from the list."),
        },
    )
    words = Paragraph(
        label=_("What you saw"),
        max_length=500,
        help_text=_("A sentence for whoever mends it. It is not shown to the public."),
        widget=forms.Textarea(attrs={"class": "input", "rows": 2}),
    )
    sure = forms.BooleanField(
        label=_("This hood must not be used from now on"),
        error_messages={"required": _("Tick that the hood must not be used: nothing is posted without it.")},
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        reasons = [(code, words.STOP_REASONS.get(code, code)) for code in REASONS_THAT_STOP_A_HOOD]
        self.fields["reason"].choices = [("", _("Choose…")), *reasons]


class Withdrawal(forms.Form):
    why = Paragraph(
        required=True,
        label=_("Why it was posted by mistake"),
        max_length=500,
        widget=forms.Textarea(attrs={"class": "input", "rows": 2}),
        error_messages={"required": _("Write why this was posted by mistake: the reason is kept.")},
    )
