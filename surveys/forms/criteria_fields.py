"""The boxes of a draft of criteria: those of a limit, of a check, and of the rules."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hoods import words as hood_words
from hoods.forms.fields import Choice, Line, Paragraph
from surveys import words
from surveys.core import codes
from surveys.core.checks import CHECK
from surveys.core.figures import FIGURE
from surveys.core.units import UNITS
from surveys.forms.criteria_document import NOT_ASKED, RATIO_BOX

TEXT = 2000  # [characters] the most that a text of a criteria document may have
BOUND = 40  # [characters]

#: What a limit or check may apply to, and what a 'no' costs, in the few words that a row has room for.
APPLIES: dict[str, Any] = {
    "each": _("each opening to be approved"),
    **{use: format_lazy("{}: {}", _("of the use"), hood_words.USES[use]) for use in codes.USES},
}
LIMITED: dict[str, Any] = APPLIES | {"hood": _("the hood")}
ASKED: dict[str, Any] = LIMITED | {"each": _("each opening")}
COSTS: dict[str, Any] = {
    "fail": _("fail"),
    "restrict": _("restrict"),
    "note": _("note"),
    "undecided": _("not decided yet"),
    NOT_ASKED: _("not asked"),
}


def unit_words() -> dict[str, str]:
    kinds = {figure.kind for figure in FIGURE.values()}
    return {unit.code or RATIO_BOX: unit.shown or gettext("none: a ratio") for unit in UNITS if unit.kind in kinds}


def limit_fields() -> dict[str, forms.Field]:
    figures = {code: _(figure.name) for code, figure in FIGURE.items()}
    costs = {code: words.COSTS[code] for code in codes.CONSEQUENCES}
    digits = {"max_length": BOUND, "required": False}
    fields: dict[str, forms.Field] = {
        "figure": Choice(figures, empty=_("Choose"), label=_("Figure")),
        "at_least": Line(label=_("At least"), **digits),
        "at_most": Line(label=_("At most"), **digits),
        "unit": Choice(unit_words(), empty=_("Choose"), label=_("Unit")),
        "applies_to": Choice(LIMITED, label=_("Applies to")),
        "consequence": Choice(costs, label=_("Where it is not met")),
        "restriction": Line(label=_("Use excluded"), max_length=TEXT, required=False),
        "source": Paragraph(label=_("Source"), max_length=TEXT, rows=2),
        "evidence": Paragraph(label=_("How the source was seen"), max_length=TEXT, rows=2),
        "from": forms.CharField(widget=forms.HiddenInput, max_length=4, required=False),
    }
    for name in ("at_least", "at_most"):
        fields[name].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}
    return fields


def check_fields() -> dict[str, forms.Field]:
    return {
        "check": Choice(dict.fromkeys(CHECK, ""), widget=forms.HiddenInput),
        "applies_to": Choice(ASKED, label=_("Asked of")),
        "consequence": Choice(COSTS, label=_("Where it is not as it should be")),
        "restriction": Line(label=_("Use excluded"), max_length=TEXT, required=False),
        "from": forms.CharField(widget=forms.HiddenInput, max_length=4, required=False),
    }


def rule_fields() -> dict[str, forms.Field]:
    def days(label: Any, help_text: Any, *, required: bool = False) -> Line:
        made = Line(label=label, help_text=help_text, required=required, max_length=10)
        made.widget.attrs |= {"inputmode": "numeric", "autocomplete": "off"}
        return made

    source = {"label": _("Source"), "max_length": TEXT, "rows": 2}
    seen = {"label": _("How the source was seen"), "max_length": TEXT, "rows": 2}
    return {
        "grid-largest_area": Line(
            label=_("Largest area of a cell"), max_length=BOUND, required=False,
            help_text=_("With its unit, such as 1 ft² or 0.09 m²."),
        ),
        "grid-longest_edge": Line(
            label=_("Longest edge of a cell"), max_length=BOUND, required=False,
            help_text=_("With its unit, such as 13 in."),
        ),
        "grid-margin": Line(
            label=_("Or: outer points from the sides"), max_length=BOUND, required=False,
            help_text=_("With its unit, such as 100 mm. Then area and edge stay empty."),
        ),
        "grid-spacing": Line(
            label=_("and points apart at most"), max_length=BOUND, required=False,
            help_text=_("With its unit, such as 400 mm."),
        ),
        "grid-points": Line(
            label=_("Or: a number of points"), max_length=10, required=False,
            help_text=_("Such as 9, on equal cells as near to squares as they come, two rows at least where none gets under 4 in. Then the others stay empty."),
        ),
        "grid-source": Paragraph(**source),
        "grid-evidence": Paragraph(**seen),
        "due-months": days(_("Months until it is due again"), _("Whole months, such as 12."), required=True),
        "due-anchor": Choice(words.ANCHORS, label=_("Counted")),
        "due-grace_days": days(
            _("Days of grace"), _("Shown beside the due day. A hood in grace is overdue: it never counts as in date.")
        ),
        "due-use_ends_days": days(
            _("Days after the due day when use ends"), _("Then the hood is not to be used. Empty: use never ends so.")
        ),
        "due-source": Paragraph(**source),
        "due-evidence": Paragraph(**seen),
    }
