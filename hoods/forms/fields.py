"""The boxes of plain forms: text, days, measures, choices. They refuse in a sentence and repair nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods.core import quantity
from hoods.core.sameness import is_invisible

LINE, PARAGRAPH = 120, 4000  # [characters] the most that a line and a paragraph of text may have
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")


def refuse_unprintable(text: str) -> None:
    if _UNPRINTABLE.search(text):
        raise ValidationError(
            _("This text has a character that cannot be kept: type it again without pasting."), code="unprintable"
        )


def refuse_invisible(text: str) -> None:
    """Refuses what draws nothing: with it two names look the same and are not."""
    if any(map(is_invisible, text)):
        raise ValidationError(
            _("This text has a character that cannot be seen: type it again without pasting."), code="invisible"
        )


class Line(forms.CharField):
    """A line of text."""

    default_error_messages = {
        "required": _("Nothing is written here: fill it in."),
    }
    default_validators = [refuse_unprintable, refuse_invisible]

    def __init__(self, *, max_length: int = LINE, **kwargs: Any):
        super().__init__(max_length=max_length, **kwargs)
        for validator in self.validators:
            if getattr(validator, "code", "") == "max_length":
                validator.message = _(
                    "This text has %(show_value)d characters, and at most %(limit_value)d are kept: shorten it."
                )
        # What is said of a forbidden character is said once, and in these words.
        self.validators = [validator for validator in self.validators if type(validator).__name__ != _DJANGO_NULL]

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        """Without `maxlength`: a browser would cut what is pasted, without a word."""
        return {}


_DJANGO_NULL = "ProhibitNullCharactersValidator"


class Paragraph(Line):
    """A few lines of text."""

    widget = forms.Textarea
    default_validators = [refuse_unprintable]

    def __init__(self, *, max_length: int = PARAGRAPH, rows: int = 3, **kwargs: Any):
        kwargs.setdefault("required", False)
        kwargs.setdefault("widget", forms.Textarea(attrs={"rows": rows}))
        super().__init__(max_length=max_length, **kwargs)


class Reason(Paragraph):
    """Why something is done; it goes into the log."""

    def __init__(self, *, required: bool = True, label: Any = None, **kwargs: Any):
        optional = _("Reason (for the log, may stay empty)")
        super().__init__(required=required, label=label or (_("Reason") if required else optional), rows=2, **kwargs)


class Day(forms.DateField):
    """A day, written as year, month and day."""

    default_error_messages = {
        "required": _("No day is written here: write one, such as 2027-03-12."),
        "invalid": _("This is no day: write year, month and day, such as 2027-03-12."),
    }

    def __init__(self, **kwargs: Any):
        kwargs.setdefault("widget", forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}))
        super().__init__(input_formats=["%Y-%m-%d"], **kwargs)

    def clean(self, value: Any) -> date | None:
        day = super().clean(value)
        if day is not None and not 1950 <= day.year <= 2150:
            raise ValidationError(
                _("The year %(year)d cannot be meant: write the day anew."), params={"year": day.year}
            )
        return day


class Choice(forms.ChoiceField):
    """One of a list of codes, each with its words. `empty` says what none means; `first` asks for a choice."""

    default_error_messages = {
        "required": _("Nothing is chosen here: choose one."),
        "invalid_choice": _("“%(value)s” is not in the list: choose one that is."),
    }

    def __init__(self, words: Mapping[Any, Any], *, empty: Any = None, first: Any = None, **kwargs: Any):
        none = first if empty is None else empty
        choices = [("", none)] if none is not None else []
        super().__init__(choices=[*choices, *words.items()], required=empty is None, **kwargs)


class Thing(forms.ModelChoiceField):
    """One of the rows that this person may see; another's is refused as if it were not there."""

    default_error_messages = {
        "required": _("Nothing is chosen here: choose one."),
        "invalid_choice": _("This is not in the list: choose one that is."),
    }


class Things(forms.ModelMultipleChoiceField):
    """Some of the rows that this person may see."""

    widget = forms.CheckboxSelectMultiple
    default_error_messages = {
        "required": _("Nothing is chosen here: choose at least one."),
        "invalid_choice": _("Something chosen is not in the list: choose from those that are."),
        "invalid_pk_value": _("Something chosen is not in the list: choose from those that are."),
    }


class Order(forms.IntegerField):
    """A place in an order, as a text box: 1 comes first."""

    default_error_messages = {
        "required": _("Nothing is written here: write digits alone, such as 2."),
        "invalid": _("This is no whole number: write digits alone, such as 2."),
    }

    def __init__(self, **kwargs: Any):
        kwargs.setdefault("help_text", _("Lower numbers come first; equal ones by name."))
        super().__init__(
            min_value=0, max_value=9999, widget=forms.TextInput(attrs={"inputmode": "numeric"}), initial=0, **kwargs
        )
        for validator in self.validators:
            validator.message = _("A place in an order is a number from 0 to 9999: write one of those.")


class Measure(Line):
    """A number and its unit: kept as the digits typed and the unit's code. `most`: unit code -> the largest number."""

    def __init__(
        self, *kinds: str, above_zero: bool = True, most: Mapping[str, str] | None = None, example: str = "",
        **kwargs: Any,
    ):  # fmt: skip
        self.kinds, self.above_zero, self.most, self.example = kinds, above_zero, most or {}, example
        kwargs.setdefault("help_text", measure_help(kinds))
        super().__init__(max_length=40, **kwargs)

    def clean(self, value: Any) -> str:
        text = super().clean(value)
        if not text:
            return ""
        measure = read_measure(text, self.kinds, above_zero=self.above_zero, example=self.example)
        most = self.most.get(measure.unit)
        if most is not None and abs(Decimal(measure.digits)) > Decimal(most):
            said = {"text": text, "most": f"{most} {measure.unit}"}
            raise ValidationError(
                _("“%(text)s” is more than %(most)s: check the number and its unit."), "too-much", said
            )
        return str(measure)


def measure_help(kinds: Iterable[str]) -> Any:
    return _such_as([quantity.EXAMPLES[kind] for kind in kinds])


def _such_as(examples: list[str]) -> Any:
    from django.utils.text import format_lazy

    return format_lazy(_("With its unit, such as {example}."), example=examples[0])


def read_measure(text: str, kinds: Iterable[str], *, above_zero: bool = True, example: str = "") -> quantity.Measure:
    """The measure that a text says; what is wrong and what would be right otherwise."""
    kinds = tuple(kinds)
    said = {"text": text, "example": example or quantity.EXAMPLES[kinds[0]], "units": quantity.units_of(*kinds)}
    try:
        measure = quantity.read(text, *kinds)
    except quantity.NotAMeasure as wrong:
        raise ValidationError(REFUSALS[wrong.reason], code=wrong.reason, params=said) from wrong
    if above_zero and not measure.is_above_zero:
        raise ValidationError(_("“%(text)s” is not above zero: write what was measured."), "not-above-zero", said)
    return measure


REFUSALS = {
    "number": _(
        "“%(text)s” is no number with a unit: write digits, at most one point, and the unit, such as %(example)s."
    ),
    "unit-missing": _("“%(text)s” has no unit: write the number and its unit, such as %(example)s."),
    "unit-unknown": _("“%(text)s” has a unit that is not used here: write one of %(units)s."),
    "unit-wrong-kind": _("“%(text)s” is in a unit of another kind: write one of %(units)s."),
}
