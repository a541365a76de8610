"""What a surveyor is qualified for."""

from __future__ import annotations

from typing import Any

from crispy_forms.layout import Row
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Day, Line
from hoods.forms.plain import Plain


class Qualified(Plain):
    method = Line(label=_("Method"), help_text=_("Such as face velocity by traverse, or smoke at the opening."))
    qualified_by = Line(label=_("Found qualified by"), help_text=_("A person, or a course with its provider."))
    from_on = Day(label=_("From"))
    until_on = Day(label=_("Until"), required=False, help_text=_("The last day. Empty: without end."))

    def rows(self) -> list[Any]:
        return ["method", "qualified_by", Row("from_on", "until_on")]
