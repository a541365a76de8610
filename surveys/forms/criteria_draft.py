"""The form of a draft of criteria: limits, checks and rules on one page, kept whole.

Its sentences are core's own: the boxes are made a document, the document is asked what is wrong with it, and each answer
stands at its box.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hoods import words as hood_words
from hoods.forms.fields import Choice, Line
from surveys import words
from surveys.core.adoption import impossible, why_not_adopt
from surveys.core.checks import CHECK
from surveys.core.criteria import Criteria
from surveys.core.messages import Problem, WrongShape
from surveys.forms.criteria_document import (
    CHECK_BOXES,
    LIMIT_BOXES,
    MOST,
    RULE_BOXES,
    Boxes,
    is_blank,
    to_boxes,
    to_document,
)
from surveys.forms.criteria_fields import BOUND, check_fields, limit_fields, rule_fields
from surveys.wording import sentence

MISSING = _("Nothing is written here: fill it in.")
UNCHOSEN = _("Nothing is chosen here: choose one.")
INCOMPLETE = _("This page was not sent whole, so nothing of it is kept: open the draft again.")


def rows_of(data: Mapping[str, Any], part: str) -> int | None:
    """How many rows of limits or checks were sent; None where that is not said, or is more than a document may have."""
    text = str(data.get(f"{part}-number", ""))
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 and int(text) <= MOST else None


class DraftDocument(forms.Form):
    """A draft as boxes. `document` is what a valid form says; `criteria` is core's reading of it."""

    seen = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)
    compare = Choice(words.COMPARED, label=_("A figure is compared with its limit"))
    edge_exclusion = Line(
        label=_("Edge left out"), required=False, max_length=BOUND,
        help_text=_("Points nearer the edge of the opening do not count for the lowest point. With its unit, such as 1 in."),
    )  # fmt: skip
    least_height = Line(
        label=_("Least useful height"), required=False, max_length=BOUND,
        help_text=_("A lower opening under this height is never approved. With its unit, such as 6 in."),
    )  # fmt: skip
    must_pass = forms.MultipleChoiceField(
        label=_("Must pass"), required=False, choices=list(hood_words.USES.items()),
        widget=forms.CheckboxSelectMultiple,
        help_text=_("A hood fails where an opening of one of these uses fails, whatever else passes."),
    )  # fmt: skip
    evidence_required = forms.BooleanField(
        label=_("A hood is judged by these criteria only with evidence"), required=False,
        help_text=_("Whoever assigns them writes what shows that the hood may be judged so, such as a tracer gas test."),
    )  # fmt: skip
    smoke_first = forms.BooleanField(
        label=_("Smoke is looked at before the traverse"), required=False,
        help_text=_("The survey page asks in this order at each opening. It changes no verdict."),
    )  # fmt: skip

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, made_from: Mapping[str, Any], boxes: Boxes | None = None,
        **kwargs: Any,
    ):  # fmt: skip
        """`boxes` are shown as they are and not judged: rows were added, moved or taken out."""
        self.made_from = made_from
        start = to_boxes(made_from) if boxes is None else boxes
        super().__init__(data, initial=start | kwargs.pop("initial", {}), **kwargs)
        sent = start if data is None else data
        counted = {part: rows_of(sent, part) for part in ("limits", "checks")}
        self.is_whole = None not in counted.values()
        self.numbers = {part: number or 0 for part, number in counted.items()}
        for name, field in rule_fields().items():
            self.fields[name] = field
        for row in range(self.numbers["limits"]):
            self._add(f"limits-{row}-", limit_fields())
        for row in range(self.numbers["checks"]):
            self._add(f"checks-{row}-", check_fields())
        for field in self.fields.values():
            if not isinstance(field.widget, forms.HiddenInput | forms.CheckboxInput | forms.CheckboxSelectMultiple):
                field.widget.attrs["class"] = "input"
        self.document: dict[str, Any] = {}

    def _add(self, prefix: str, fields: Mapping[str, forms.Field]) -> None:
        for name, field in fields.items():
            self.fields[prefix + name] = field

    # --- what the page draws

    @property
    def limit_rows(self) -> list[dict[str, Any]]:
        last = self.numbers["limits"] - 1
        return [self._row("limits", row, LIMIT_BOXES) | {"is_last": row == last} for row in range(last + 1)]

    @property
    def check_rows(self) -> list[dict[str, Any]]:
        rows = [self._row("checks", row, CHECK_BOXES) for row in range(self.numbers["checks"])]
        known = [(row, CHECK.get(str(row["check"].value() or ""))) for row in rows]
        return [row | {"asked": check} for row, check in known if check is not None]

    @property
    def grid_boxes(self) -> list[Any]:
        return self._of("grid", said=False)

    @property
    def grid_said(self) -> list[Any]:
        return self._of("grid", said=True)

    @property
    def due_boxes(self) -> list[Any]:
        return self._of("due", said=False)

    @property
    def due_said(self) -> list[Any]:
        return self._of("due", said=True)

    def _of(self, part: str, *, said: bool) -> list[Any]:
        """The boxes of a group of rules; `said`: where they come from."""
        names = [name for name in RULE_BOXES if name.startswith(f"{part}-")]
        return [self[name] for name in names if name.endswith(("-source", "-evidence")) is said]

    def _row(self, part: str, row: int, keys: Iterable[str]) -> dict[str, Any]:
        return {"row": row, "number": row + 1, **{key: self[f"{part}-{row}-{key}"] for key in keys}}

    def wait(self, criteria: Criteria) -> list[tuple[str, str]]:
        """Puts beside each box what still stands in the way of adopting; gives all of it, with the names of the boxes."""
        written = to_document(to_boxes(self.made_from), self.made_from)
        found = [(written.box(problem), sentence(problem.message)) for problem in why_not_adopt(criteria)]
        for box, said in found:
            if box in self.fields:
                self[box].waiting = [*getattr(self[box], "waiting", []), said]
        return found

    @property
    def refusals(self) -> list[tuple[str, str]]:
        """Every refusal, with the name of its box; it begins with what the box is called."""
        return [
            (box, f"{self.called(box)}: {said}" if box in self.fields else str(said))
            for box, every in self.errors.items()
            for said in every
        ]

    def called(self, box: str) -> str:
        """What a box is called where it is told apart from its row: 'Limit 2, at least', 'Light, use excluded'."""
        part, _dash, rest = box.partition("-")
        label = str(self[box].label)
        row = rest.partition("-")[0]
        if part == "limits":
            return gettext("Limit %(number)d, %(box)s") % {"number": int(row) + 1, "box": label.lower()}
        if part == "checks":
            check = CHECK.get(str(self[f"checks-{row}-check"].value() or ""))
            name = gettext(check.short) if check else gettext("Check %(number)d") % {"number": int(row) + 1}
            return f"{name}, {label.lower()}" if check else name
        group = {"grid": gettext("Grid"), "due": gettext("Due again")}.get(part)
        return f"{group}, {label.lower()}" if group else label

    # --- what was entered

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        numbers = {f"{part}-number": number for part, number in self.numbers.items()}
        entered = {name: self.data.get(name) for name in self.fields} | {"must_pass": ()} | cleaned | numbers
        for row in range(self.numbers["limits"]):
            if not is_blank(entered, row) and not cleaned.get(f"limits-{row}-figure"):
                self._refuse(f"limits-{row}-figure", UNCHOSEN)
        if not self.is_whole:
            self.add_error(None, INCOMPLETE)
            return cleaned
        written = to_document(entered, self.made_from)
        try:
            criteria = Criteria.from_dict(written.document)
            problems: Sequence[Problem] = impossible(criteria)
        except WrongShape as wrong:
            problems = wrong.problems
        for problem in problems:
            said = MISSING if problem.message.code == "key-missing" else sentence(problem.message)
            self._refuse(written.box(problem), said)
        self.document = written.document
        return {"document": written.document, "seen": cleaned.get("seen") or None}

    def _refuse(self, box: str, said: Any) -> None:
        if box not in self.errors or box not in self.fields:
            self.add_error(box if box in self.fields else None, said)

    def refuse(self, refusal: Any) -> None:
        self.add_error(None, refusal.sentence)
