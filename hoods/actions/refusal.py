"""An action that cannot be done says so in a sentence, and at which field."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _


class Refused(Exception):
    """What is wrong and what would be right; `field` is the one it is about, empty where it is about the whole."""

    said: Any = ""
    field = ""

    def __init__(self, said: Any = None, *, field: str | None = None, **values: Any):
        self.sentence = self.said if said is None else said
        if values:
            self.sentence = self.sentence % values
        self.field = self.field if field is None else field
        super().__init__(self.sentence)

    def __str__(self) -> str:
        return str(self.sentence)


class AnotherSite(Refused):
    said = _("This belongs to another site: choose one of the same site.")


class NotSo(Refused):
    """A hood is not in the state that an action starts from."""


class UnknownChoice(Refused):
    """A code that the ledger does not know, or a field that an action does not take."""

    said = _("'%(value)s' is not one of the choices: choose one from the list.")
