"""Forms of criteria: start a set, decide what each check costs, adopt a version, assign a set to hoods."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from crispy_forms.layout import Row
from django import forms
from django.core.exceptions import ValidationError
from django.core.paginator import Page
from django.db.models import Q
from django.utils.datastructures import MultiValueDict
from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from hoods.forms.fields import Choice, Day, Line, Paragraph, Reason, Thing, Things
from hoods.forms.password import check_signature
from hoods.forms.plain import Plain
from hoods.models import Hood, Person, Site
from surveys import words
from surveys.core.checks import CHECK, CHECKS
from surveys.core.starters import STARTERS
from surveys.models import CriteriaSet, CriteriaVersion

COST, WORDS = "cost-", "words-"


class StartedSet(Plain):
    name = Line(label=_("Name of the set"), help_text=_("How this site calls it, such as: General hoods"))
    words = Paragraph(label=_("What it is for"))


ORIGINS = {
    "last": _("the last version of this set"),
    "in-force": _("the version of this set that is in force today"),
    "empty": _("nothing: no limit and no check"),
} | {starter.code: _(starter.name) for starter in STARTERS.values()}


class NewVersion(Plain):
    origin = Choice(ORIGINS, label=_("It begins as"), initial="last", help_text=_("Everything in it can be changed."))
    why = Reason()

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.fields["origin"].required = False

    def clean_origin(self) -> str:
        return self.cleaned_data["origin"] or "last"


class SettledChecks(Plain):
    """What each check costs where it is not as it should be."""

    def __init__(self, *args: Any, checks: Sequence[dict[str, Any]], **kwargs: Any):
        self.codes = in_order([check["check"] for check in checks])
        super().__init__(*args, **kwargs)
        given = {check["check"]: check for check in checks}
        for code in self.codes:
            self._add(code, given[code])
        self.helper.layout.fields = self.rows()

    def _add(self, code: str, check: dict[str, Any]) -> None:
        self.fields[COST + code] = Choice(
            words.COSTS, label=gettext(CHECK[code].question), initial=check["consequence"],
            help_text=_of(check.get("applies_to") or "each"),
        )  # fmt: skip
        self.fields[WORDS + code] = Line(
            label=_("Use excluded"), required=False, max_length=400, initial=check.get("restriction") or "",
            help_text=_("Only for “restrict”, such as: not for highly toxic materials"),
        )  # fmt: skip

    def rows(self) -> list[Any]:
        return [Row(COST + code, WORDS + code) for code in self.codes]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for code in self.codes:
            cost, excluded = cleaned.get(COST + code), cleaned.get(WORDS + code)
            if cost == "restrict" and not excluded and WORDS + code not in self.errors:
                self.add_error(WORDS + code, _("A restriction needs its words: write the use that is excluded."))
            if cost and cost != "restrict" and excluded:
                self.add_error(WORDS + code, _("Only “restrict” excludes a use: choose it, or leave these words out."))
        return {"costs": {code: (cleaned.get(COST + code), cleaned.get(WORDS + code)) for code in self.codes}}


def in_order(codes: Sequence[str]) -> list[str]:
    """Codes of checks in the order of the form; each once."""
    return [check.code for check in CHECKS if check.code in codes]


def _of(applies_to: str) -> Any:
    return _("Asked of the hood.") if applies_to == "hood" else _("Asked of each opening.")


class Adoption(Plain):
    """Adopting is signed: with the password, and a reason."""

    first_day = Day(label=_("First day"), help_text=_("Surveys from this day on are judged by it. Today or later."))
    why = Reason(label=_("Reason"))
    compared = forms.BooleanField(
        label=_("I have compared these criteria with our local rules."),
        error_messages={"required": _("Compare them with your local rules first, then tick this.")},
    )
    password = forms.CharField(
        label=_("Your password, as your signature"), strip=False, max_length=4096,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        error_messages={"required": _("Nothing is written here: sign with your password.")},
    )  # fmt: skip
    seldom = Paragraph(
        label=_("Why radioisotope hoods are surveyed later than every 6 months"),
        help_text=_("Kept with the version, and told on the page of each such hood that it judges."),
    )
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def __init__(self, *args: Any, person: Person, today: date, late: bool = False, **kwargs: Any):
        super().__init__(*args, **kwargs)
        if not late:
            del self.fields["seldom"]
        self.person, self.today = person, today

    def clean_first_day(self) -> date:
        if self.cleaned_data["first_day"] < self.today:
            raise ValidationError(_("The first day is past: write today or a later day."))
        return self.cleaned_data["first_day"]

    def clean_password(self) -> str:
        check_signature(self.person, self.cleaned_data["password"], _("This is not your password: type it again."))
        return ""


class HoodsChosen(Things):
    """Hoods with the room and the set that judges each now; those of one page are shown, any of those found may be sent."""

    def show(self, hoods: list[Hood], places: dict[int, Any], sets: dict[int, str]) -> None:
        self.places, self.sets = places, sets
        self.choices = [(hood.pk, self.label_from_instance(hood)) for hood in hoods]

    def label_from_instance(self, hood: Hood) -> str:
        place = self.places.get(hood.room_id) or gettext("no room")
        judged = self.sets.get(hood.pk) or gettext("no criteria yet")
        return f"{hood.tag}, {place}: {judged}"


class SetChosen(Thing):
    """A set, with the demand for evidence that its version in force makes."""

    def label_from_instance(self, one: CriteriaSet) -> str:
        if one.pk in self.demanding:
            return gettext("%(set)s (only with evidence)") % {"set": one.name}
        return one.name


class Assigned(Plain):
    set = SetChosen(queryset=CriteriaSet.objects.none(), label=_("Criteria"), empty_label=_("Choose"))
    from_on = Day(label=_("From"))
    hoods = HoodsChosen(queryset=Hood.objects.none(), label=_("Hoods"))
    every = forms.BooleanField(required=False)
    why = Reason()
    evidence = Paragraph(
        label=_("Evidence"),
        help_text=_(
            "Where the set demands it: what shows that these hoods may be judged so, such as the report of a tracer gas "
            "test made where they stand, with its day and its result."
        ),
    )

    def __init__(
        self, *args: Any, person: Person, site: Site, hoods: Any, page: Page, before: list[Hood], places: dict[int, Any],
        sets: dict[int, str], today: date, **kwargs: Any,
    ):  # fmt: skip
        self.pages, self.before = page.paginator, before
        super().__init__(*args, **kwargs)
        chosen: Any = self.fields["set"]
        adopted = CriteriaSet.objects.visible_to(person).filter(site=site, versions__adopted_at__isnull=False)
        chosen.queryset = adopted.distinct()
        chosen.demanding = demanding(site, today)
        ticked: Any = self.fields["hoods"]
        ticked.queryset = hoods
        ticked.show([*before, *page], places, sets)
        if before:
            number = {"number": len(before)}
            said = ngettext("%(number)d ticked before stands first.", "%(number)d ticked before stand first.", len(before))
            ticked.help_text = said % number
        if self.pages.count < 2:
            del self.fields["every"]
            return
        ticked.required = False
        all_ = {"all": number_format(self.pages.count, force_grouping=True)}
        if self.pages.num_pages == 1:
            self.fields["every"].label = gettext("All %(all)s hoods of this list") % all_
        else:
            self.fields["every"].label = gettext("All %(all)s hoods of this list, those of the other pages too") % all_

    def rows(self) -> list[Any]:
        every = ["every"] if self.pages.count > 1 else []
        return [Row("set", "from_on"), *every, "hoods", "why", "evidence"]

    def clean(self) -> dict[str, Any]:
        """The hoods that are ticked, or every one that was found and those ticked before."""
        cleaned = super().clean() or self.cleaned_data
        every = cleaned.pop("every", False)
        if every:
            ticked: Any = self.fields["hoods"]
            before = Q(pk__in=[hood.pk for hood in self.before])
            cleaned["hoods"] = ticked.queryset.filter(Q(pk__in=self.pages.object_list.values("pk")) | before)
        elif "hoods" in cleaned and not cleaned["hoods"]:
            self.add_error("hoods", self.fields["hoods"].error_messages["required"])
        return cleaned


def written(sent: MultiValueDict[str, str]) -> dict[str, Any]:
    """What was ticked and written, for a page that only shows other hoods."""
    boxes = {name: sent.get(name, "") for name in ("set", "from_on", "why", "evidence")}
    return boxes | {"hoods": sent.getlist("hoods"), "every": "every" in sent}


def demanding(site: Site, today: date) -> frozenset[int]:
    """The sets that judge a hood only with evidence, by the version in force, or the first one where none is yet."""
    versions = CriteriaVersion.objects.filter(set__site=site, adopted_at__isnull=False)
    in_force: dict[int, CriteriaVersion] = {}
    for version in versions.order_by("first_day", "number"):
        if version.set_id not in in_force or (version.first_day and version.first_day <= today):
            in_force[version.set_id] = version
    return frozenset(key for key, version in in_force.items() if version.document.get("evidence_required"))
