"""The forms of signing in and of passwords, with refusals in the words of the ledger."""

from __future__ import annotations

from typing import Any

from allauth.account.forms import ChangePasswordForm, LoginForm
from django import forms
from django.contrib.auth.forms import SetPasswordForm
from django.utils.translation import gettext_lazy as _

REQUIRED = _("Nothing is written here: fill it in.")
TWO_PASSWORDS = _("The two passwords differ: type the new one twice, letter by letter the same.")


def say_required(form: forms.Form) -> None:
    for field in form.fields.values():
        field.error_messages["required"] = REQUIRED


class SignIn(LoginForm):
    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        say_required(self)
        self.fields["login"].error_messages["invalid"] = _(
            "This is no e-mail address: write one such as ruth@skua.example."
        )


class ChangedPassword(ChangePasswordForm):
    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        say_required(self)

    def clean(self) -> dict[str, Any]:
        cleaned = forms.Form.clean(self) or self.cleaned_data
        first, second = cleaned.get("password1"), cleaned.get("password2")
        if first and second and first != second:
            self.add_error("password2", TWO_PASSWORDS)
        return cleaned


class ChosenPassword(SetPasswordForm):
    error_messages = {"password_mismatch": TWO_PASSWORDS}

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        say_required(self)
