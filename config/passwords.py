"""What a password may not be, and what would be right: Django's rules in the words of the ledger."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import password_validation as django
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _


class LongEnough(django.MinimumLengthValidator):
    def get_error_message(self) -> str:
        said = _("This password is too short: write at least %(least)s characters, such as four words in a row.")
        return said % {"least": self.min_length}

    def get_help_text(self) -> str:
        return _("At least %(least)s characters, such as four words in a row.") % {"least": self.min_length}


class NotAmongTheUsual(django.CommonPasswordValidator):
    def get_error_message(self) -> str:
        return _("This password is one of those that are guessed first: write words that do not belong together.")

    def get_help_text(self) -> str:
        return _("None of the passwords that many people use.")


class NotDigitsAlone(django.NumericPasswordValidator):
    def get_error_message(self) -> str:
        return _("This password is digits alone: write words, or letters among the digits.")

    def get_help_text(self) -> str:
        return _("Not digits alone.")


class NotOwnName(django.UserAttributeSimilarityValidator):
    """Unlike the name and the e-mail address of its person."""

    def validate(self, password: str, user: Any = None) -> None:
        try:
            super().validate(password, user)
        except ValidationError as refused:
            said = _(
                "This password is too much like the name or the e-mail address: write one with nothing of them in it."
            )
            raise ValidationError(said, code=refused.code) from refused

    def get_help_text(self) -> str:
        return _("Nothing of the name or the e-mail address.")
