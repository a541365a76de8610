"""What the survey page is made of: boxes, questions, and the steps that they belong to. Plain values for templates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from surveys.core.checks import DAY, Check
from surveys.core.said import day_or_none
from surveys.core.units import UNIT, UNITS, NotANumber, parted, unit_code
from surveys.forms.hood_boxes import ALARM_QUESTIONS
from surveys.forms.survey_document import ANSWER, SAID
from surveys.wording import day
from surveys.words import ANSWERS

#: Boxes that are drawn as questions, beside the answers to checks.
QUESTIONS = frozenset(
    {"right_hood", "fit", "found_somebody", "found_alarm", "adjusted"}
    | {f"last_{what}" for what in ("controls", "alarm", "stop", "sash", "told")}
    | ALARM_QUESTIONS
)
Choices = Sequence[tuple[str, str]]


@dataclass
class Box:
    """One box: what stands in it, the unit beside it, and what is wrong with it."""

    name: str
    label: str
    value: str = ""
    unit: str = ""
    help: str = ""
    needed: str = ""  # as 'Next: …' names it; empty where the survey is whole without it
    choices: Choices = ()
    lines: int = 0
    line: bool = False  # words, not a number
    units: Choices = ()  # where the unit is chosen
    latest: str = ""  # the last day that may be written; only a box for a day has one
    draws: bool = False
    instead: str = ""  # the box that may be filled instead of this one
    now: bool = False  # what was chosen is sent at once, since the page answers it
    problem: str = ""

    @property
    def id(self) -> str:
        return self.name

    target = id

    @property
    def unit_shown(self) -> str:
        return UNIT[self.unit].shown if self.unit in UNIT else self.unit

    @property
    def described(self) -> str:
        parts = [(self.unit, "u"), (True, "e"), (self.help, "h")]
        return " ".join(f"{self.id}-{part}" for there, part in parts if there)

    @property
    def is_filled(self) -> bool:
        return self.value != ""

    @property
    def picks_day(self) -> bool:
        """Whether a browser may offer its calendar: it would not show what is no day."""
        return bool(self.latest) and (not self.value or day_or_none(self.value) is not None)

    @property
    def entered(self) -> tuple[str, str]:
        """What it is called and what stands in it, for reading."""
        if self.latest and self.value:
            return self.label, day(self.value)
        words = dict(self.choices).get(self.value, self.value) if self.choices else self.value
        if parted(self.value)[1]:  # it says its unit itself
            return self.label, words
        return self.label, f"{words} {self.unit_shown}".strip() if self.value else "–"


@dataclass
class Choice:
    value: str
    word: str
    chosen: bool = False
    shape: str = ""  # answers of plain facts have none


@dataclass
class Question:
    """A question with its answers as one band."""

    name: str
    legend: str
    answers: list[Choice]
    help: str = ""
    needed: str = ""
    instead: str = ""
    problem: str = ""
    beside: Box | None = None  # what is written beside the answer

    @property
    def id(self) -> str:
        return f"{self.name}-q"

    target = id

    @property
    def is_filled(self) -> bool:
        return any(answer.chosen for answer in self.answers)

    @property
    def entered(self) -> tuple[str, str]:
        """What was asked and what was answered, for reading."""
        return self.legend, next((answer.word for answer in self.answers if answer.chosen), "–")


@dataclass
class Step:
    """A part of the page: its number, its name, and what it asks."""

    id: str
    name: str
    number: int = 0
    items: list[Any] = field(default_factory=list)  # boxes, questions, cells
    asks: bool = True
    ready: bool = True
    wrong: bool = False
    current: bool = False

    def __post_init__(self) -> None:
        """What is written beside an answer waits and goes wrong like any other box."""
        self.items = [one for item in self.items for one in (item, getattr(item, "beside", None)) if one is not None]

    @property
    def needed(self) -> list[Any]:
        return [item for item in self.items if item.needed]

    @property
    def waiting(self) -> list[Any]:
        filled = {item.name for item in self.items if item.is_filled}
        return [item for item in self.needed if not item.is_filled and item.instead not in filled]

    @property
    def entered(self) -> list[tuple[str, str]]:
        """Boxes and questions with what was entered; the readings have a table of their own."""
        return [item.entered for item in self.items if isinstance(item, Box | Question) and item.is_filled]

    @property
    def unanswered(self) -> list[str]:
        """Boxes and questions that wait, as 'Next: …' names them."""
        return [item.needed for item in self.waiting if isinstance(item, Box | Question)]

    @property
    def done(self) -> bool:
        return bool(self.asks and self.needed and self.ready and not self.waiting and not self.wrong)


SHAPES = {"yes": "tick", "no": "cross", "not-tested": "dash", "not-applicable": "dash"}


@dataclass
class Boxes:
    """The boxes of one page by name, with what is wrong at each; makes what the templates draw."""

    texts: Mapping[str, str]
    problems: Mapping[str, str]

    def text(self, name: str) -> str:
        return self.texts.get(name, "")

    def box(self, name: str, label: str, *, unit: str = "", **more: Any) -> Box:
        """A box with the unit that was written there last; one that it cannot have stays behind the number, as typed."""
        value, held = self.text(name), self.text(f"{name}_unit")
        if held and kind_of(held) != kind_of(unit):
            value, held = f"{value} {held}".strip() if value else "", ""
        return Box(name, label, value, unit=held or unit, problem=self.problems.get(name, ""), **more)

    def amount(self, name: str, label: str, *, unit: str, **more: Any) -> Box:
        """A box whose unit is chosen beside it, among those of the kind."""
        made = self.box(name, label, unit=unit, **more)
        made.units = [(one.code, one.shown) for one in UNITS if one.kind == kind_of(unit)]
        made.unit = unit_code(made.unit)
        return made

    def choice(self, name: str, label: str, choices: Mapping[str, Any], **more: Any) -> Box:
        """A choice of one code; what was chosen once stays to be seen, known or not."""
        known = [("", _("Choose")), *((code, _capital(word)) for code, word in choices.items())]
        if (held := self.text(name)) and held not in choices:
            known.append((held, held))
        return self.box(name, label, choices=known, **more)

    def fact(self, name: str, legend: str, answers: Choices = (), **more: Any) -> Question:
        """A plain fact: neither answer is as it should be, so none carries a tick or a cross."""
        return self._question(name, legend, answers or (("yes", _("Yes")), ("no", _("No"))), shapes={}, **more)

    def good(self, name: str, legend: str, answers: Choices = (), **more: Any) -> Question:
        """A question asked so that yes is as it should be."""
        return self._question(name, legend, answers or (("yes", _("Yes")), ("no", _("No"))), shapes=SHAPES, **more)

    def check(
        self, name: str, check: Check, *, may_not_apply: bool, needed: str, legend: str = "", latest: str = ""
    ) -> Question:
        """One of CHECKS with its answers, and the box of what is written beside them; no day is later than `latest`."""
        allowed = [code for code in ANSWERS if code != "not-applicable" or may_not_apply]
        return self._question(
            name, legend or _(check.question), [(code, str(ANSWERS[code])) for code in allowed], shapes=SHAPES,
            help=_(check.help) if check.help else "", needed=needed, beside=self._beside(name, check, latest),
        )  # fmt: skip

    def _beside(self, name: str, check: Check, latest: str) -> Box | None:
        if not check.says:
            return None
        label = _(check.said)
        return self.box(
            f"{name}{SAID}", label, line=True, latest=latest if check.says == DAY else "",
            needed="" if self.text(name) == "not-tested" else label[:1].lower() + label[1:],
        )  # fmt: skip

    def _question(self, name: str, legend: str, answers: Choices, *, shapes: Mapping[str, str], **more: Any) -> Question:
        held = self.text(name)
        made = [Choice(value, word, value == held, shapes.get(value, "")) for value, word in answers]
        return Question(name, legend, made, problem=self.problems.get(name, ""), **more)


def kind_of(unit: str) -> str:
    """What a unit measures, whichever word it is written by; empty for what is none."""
    try:
        return UNIT[unit_code(unit)].kind if unit else ""
    except NotANumber:
        return ""


def _capital(word: Any) -> str:
    text = str(word)
    return text[:1].upper() + text[1:]


def target_of(box: str) -> str:
    """Where on the page a box stands; a question has its band there."""
    return f"{box}-q" if ANSWER.fullmatch(box) or box in QUESTIONS else box


def numbered(steps: Iterable[Step]) -> list[Step]:
    """The steps in the order of the page, each with its number."""
    made = list(steps)
    for number, step in enumerate(made, 1):
        step.number = number
    return made
