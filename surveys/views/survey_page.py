"""The survey page: everything it asks, in its order, from the boxes as they stand and what was last kept."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from surveys import words
from surveys.actions.signing import Judging
from surveys.core.criteria import Criteria
from surveys.core.document import Document
from surveys.core.messages import Problem
from surveys.facts import Around
from surveys.models import Draft, Revision
from surveys.views.survey_boxes import Boxes, Step, numbered
from surveys.views.survey_doubts import Doubt
from surveys.views.survey_openings import AskedOfOpenings
from surveys.views.survey_place import Place
from surveys.views.survey_result import provisional_words
from surveys.views.survey_words import SCRIPT_WORDS
from surveys.wording import sentence

SCRIPTS = tuple(
    f"js/{name}.js"
    for name in ("moments", "live", "moving", "steps", "undoing", "saving", "sending", "refreshing", "pasting")
)
SAYS = (
    "met", "not-met", "not-tested", "so-far-within", "so-far-under", "so-far-over", "judged-when-sent",
)  # fmt: skip
ENDINGS = words.STOP_REASONS | words.PAUSE_REASONS
TONES = {"pass": ("met", "met"), "restrict": ("limited", "restricted"), "fail": ("stopped", "do-not-use")}


@dataclass
class Going:
    """Where the survey goes on: a box, and how the button names it."""

    target: str
    words: str


@dataclass
class Page(AskedOfOpenings):
    """Everything that the template draws."""

    draft: Draft
    around: Around
    criteria: Criteria
    document: Document
    boxes: Boxes
    revision: Revision | None
    judging: Judging | None
    problems: Sequence[Problem] = ()
    entered: Mapping[str, Any] = field(default_factory=dict)
    refused: str = ""
    stop_problem: str = ""
    again: str = ""
    another_open: bool = False
    another_asked: Sequence[Doubt] = ()
    form_id: str = field(default_factory=lambda: str(uuid.uuid4()))
    made_from: int = 0

    # --- addresses and state ------------------------------------------------------------------------------------------

    @property
    def scripts(self) -> tuple[str, ...]:
        return SCRIPTS

    @property
    def all_says(self) -> tuple[str, ...]:
        return SAYS

    @property
    def words(self) -> str:
        return json.dumps({code: str(word) for code, word in SCRIPT_WORDS.items()}, ensure_ascii=False)

    @property
    def address(self) -> str:
        return reverse("surveys:detail", args=[self.draft.pk])

    @property
    def review_address(self) -> str:
        return reverse("surveys:review", args=[self.draft.pk])

    @property
    def start_address(self) -> str:
        return reverse("surveys:start")

    @property
    def carried(self) -> str:
        return self.boxes.text("carried")

    @property
    def kept_state(self) -> str:
        return "not-kept" if self.refused or self.revision is None else "kept"

    @property
    def kept_words(self) -> str:
        if self.refused:
            return _("Not kept: %(why)s") % {"why": self.refused}
        if self.revision is None:
            return _("Not kept: nothing is entered yet")
        at = date_format(self.revision.at.astimezone(self.site.zone), "H:i")
        return _("Kept at %(time)s") % {"time": at}

    @property
    def ended(self) -> str:
        code = self.document.ended_early
        return str(ENDINGS[code]) if code else ""

    @property
    def ended_words(self) -> str:
        return self.document.ended_words or ""

    @cached_property
    def set_aside(self) -> list[Any]:
        aside = list(self.draft.set_aside.order_by("-pk")[:5])
        for row in aside:
            row.address = reverse("surveys:set_aside", args=[self.draft.pk, row.pk])
        return aside

    @property
    def stop_reasons(self) -> list[tuple[str, str]]:
        return list(words.STOP_REASONS.items())

    @property
    def leave_reasons(self) -> list[tuple[str, str]]:
        return list(words.PAUSE_REASONS.items())

    @property
    def stop_open(self) -> bool:
        return bool(self.stop_problem)

    @property
    def stop_chosen(self) -> str:
        return self.boxes.text("stop_reason")

    @property
    def stop_words(self) -> str:
        return self.boxes.text("stop_words")

    @property
    def verdict(self) -> dict[str, Any]:
        """What the last save would be judged as: always provisional."""
        if self.revision is None:
            return {"tone": "idle", "shape": "not-yet-surveyed", "words": _("Provisional: no verdict yet"), "reasons": []}
        if self.judging is None:
            words_of = _("Provisional: no verdict. This could not be judged: tell the programme manager.")
            return {"tone": "idle", "shape": "not-yet-surveyed", "words": words_of, "reasons": [], "at": self.revision.at}
        judged = self.judging.judged
        tone, shape = TONES.get(judged.verdict, ("idle", "not-yet-surveyed"))
        reasons = list(dict.fromkeys(sentence(reason) for reason in judged.reasons))
        return {
            "tone": tone, "shape": shape, "reasons": reasons, "at": self.revision.at,
            "words": provisional_words(judged.verdict, judged.restriction),
        }  # fmt: skip

    # --- steps, what is next, what is still to come -------------------------------------------------------------------

    @cached_property
    def step(self) -> dict[str, Step]:
        return {step.id.removeprefix("part-"): step for step in self.steps}

    @cached_property
    def steps(self) -> list[Step]:
        made = numbered(self._steps())
        for step in made:
            step.wrong = any(item.problem for item in step.items)
            if not step.asks:
                continue
        current = next((step for step in made if step.waiting), None)
        if current is not None:
            current.current = True
        return made

    def _steps(self) -> Iterator[Step]:
        yield Step("part-hood", _("Hood"), items=list(self.who))
        yield Step("part-conditions", _("Conditions"), items=list(self.conditions))
        yield Step("part-found", _("As found"), items=[*self.found_boxes, *self.found])
        yield Step("part-checks", _("Checks"), items=[*self.checks, *self.plain_found, self.notes])
        for place in self.openings:
            yield from self._steps_of(place)
        yield Step("part-verdict", _("Verdict"), asks=False)
        yield Step("part-left", _("As left"), items=self._items_left(), ready=self._is_found_whole())
        yield Step("part-last", _("Last"), items=list(self.last_questions))
        yield Step("part-sign", _("Sign"), asks=False)

    def _steps_of(self, place: Place) -> Iterator[Step]:
        def named(word: str) -> str:
            return f"{place.name}: {word.lower()}".capitalize() if self.several else word

        alarm = place.alarm.items if place.alarm else []
        monitor = [*([place.monitor_box] if place.monitor_box else []), *place.monitor_checks, *alarm]
        place.steps = {
            "opening": Step(
                f"part-opening-{place.index}", named(_("Opening")),
                items=[place.height_box, place.width_box, *place.sash_checks],
            ),
            "traverse": Step(
                f"part-traverse-{place.index}", named(_("Traverse")), items=place.found.cells if place.found else [],
                ready=place.found is not None and not place.found.other_grid,
            ),
            "monitor": Step(f"part-monitor-{place.index}", named(_("Monitor")), items=monitor),
            "smoke": Step(f"part-smoke-{place.index}", named(_("Smoke")), items=list(place.smoke)),
        }  # fmt: skip
        order = ("opening", "smoke", "traverse", "monitor") if self.criteria.smoke_first else tuple(place.steps)
        yield from (place.steps[kind] for kind in order)

    def _items_left(self) -> list[Any]:
        items: list[Any] = [self.adjusted]
        if self.document.adjusted:
            for place in self.openings:
                smoke, read = list(place.left_smoke), list(place.left.cells if place.left else [])
                items += [*smoke, *read] if self.criteria.smoke_first else read
                items += [place.left_monitor_box] if place.left_monitor_box else []
                items += place.left_checks
                items += [] if self.criteria.smoke_first else smoke
            items += [*self.left_checks, *(self.alarm_left.items if self.alarm_left else ()), *self.plain_left]
        return items

    def _is_found_whole(self) -> bool:
        return bool(self.openings) and all(
            place.found and place.found.read == place.found.number for place in self.openings
        )

    @property
    def not_answered(self) -> str:
        """Everything asked and not answered, in one line; the points of a traverse are told as missing."""
        return "; ".join(dict.fromkeys(words for step in self.steps if step.asks for words in step.unanswered))

    @cached_property
    def next(self) -> Going | None:
        for step in self.steps:
            if step.waiting:
                item = step.waiting[0]
                return Going(item.target, _("Next: %(place)s") % {"place": item.needed})
            if step.id.startswith("part-traverse") and not step.items:
                opening = step.id.replace("traverse", "opening")
                return Going(opening, _("Next: %(place)s") % {"place": _("the opening")})
        return None

    @property
    def next_target(self) -> str:
        return self.next.target if self.next else "part-sign"

    @property
    def next_words(self) -> str:
        return self.next.words if self.next else _("Review and sign")

    @cached_property
    def points(self) -> dict[str, Any]:
        blocks = [place.found for place in self.openings if place.found]
        if self.document.adjusted:
            blocks += [place.left for place in self.openings if place.left]
        read, every = sum(block.read for block in blocks), sum(block.number for block in blocks)
        return {"read": read, "all": every, "words": SCRIPT_WORDS["points"] % {"read": read, "all": every}}

    @property
    def answer(self) -> tuple[str, str]:
        """The first line: what is next, and what waits."""
        if self.ended:
            return _("Ended: review and sign."), ""
        parts = []
        if on_another := [place.name for place in self.openings if place.is_on_another_grid]:
            said = _("‘%(opening)s’ was measured again: its readings stand on another grid.")
            parts += [said % {"opening": name} for name in on_another]
        elif self.points["all"]:
            parts.append(_("%(read)s of %(all)s points are read.") % self.points)
        if doubts := len(self.unanswered):
            parts.append(ngettext("One question waits for your answer.", "%(number)s questions wait for your answer.", doubts) % {"number": doubts})  # fmt: skip
        if wrong := len(self.wrong_boxes):
            parts.append(ngettext("One entry has an error.", "%(number)s entries have an error.", wrong) % {"number": wrong})
        return f"{self.next_words}.", " ".join(parts)

    @property
    def still(self) -> list[dict[str, str]]:
        """What is still to come, part by part, and what must be put right."""
        made = [{"target": one["target"], "words": f"{one['place']}: {one['words']}"} for one in self.wrong_boxes]
        made += [{"target": one.height_box.target, "words": doubt.words} for one in self.openings for doubt in one.questions]
        for block in (b for p in self.openings for b in (p.found, p.left) if b):
            made += [{"target": block.id, "words": doubt.words} for doubt in block.questions]
        for step in self.steps:
            if step.asks and step.waiting:
                number = len(step.waiting)
                count = ngettext("%(step)s: one answer or reading", "%(step)s: %(number)s answers or readings", number)
                made.append({"target": step.id, "words": count % {"step": step.name, "number": number}})
            elif step.id.startswith("part-traverse") and not step.items:
                made.append({"target": step.id, "words": _("%(step)s: not begun") % {"step": step.name}})
        return made
