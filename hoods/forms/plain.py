"""What every plain form has: its look by crispy, and refusals of actions at their fields."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout
from django import forms


class Plain(forms.Form):
    """A form of a keeping page. It validates and never saves."""

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        rows = self.rows()
        if rows:
            self.helper.layout = Layout(*rows)

    def rows(self) -> list[Any]:
        """How the boxes are grouped; nothing: one below the other."""
        return []

    def refuse(self, refusal: Any) -> None:
        """Puts what an action refused at the box that it is about, or above all of them."""
        self.add_error(refusal.field if refusal.field in self.fields else None, refusal.sentence)
