"""The form of a benchmark: which opening, what it was, what shows it, and from which day on it holds."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Day, Measure, Paragraph, Reason, Thing
from hoods.forms.plain import Plain
from hoods.models import Hood, Opening


class NewBenchmark(Plain):
    opening = Thing(queryset=Opening.objects.none(), label=_("Opening"), empty_label=_("Choose"))
    value = Measure(
        "speed", label=_("Average face velocity that it had"), most={"ft/min": "1000", "m/s": "5"},
    )  # fmt: skip
    from_on = Day(
        label=_("Holds from"), help_text=_("The day of the test. A survey of that day or later is held to it.")
    )
    source = Paragraph(
        label=_("What shows it"), required=True,
        help_text=_("The test and its report: who made it, when, with what result."),
    )  # fmt: skip
    why = Reason(required=False)

    def __init__(self, *args: Any, hood: Hood, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.fields["opening"].queryset = Opening.objects.filter(hood=hood).order_by("order", "pk")
