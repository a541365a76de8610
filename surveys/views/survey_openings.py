"""The openings of a survey page: measured, traversed, their monitor read, their smoke seen; as found and as left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext as _

from hoods.core.cover import said, share
from hoods.models import Opening
from hoods.words import USES, WAYS
from surveys import words
from surveys.actions.signing import Judging
from surveys.core.covered import told
from surveys.core.document import Document
from surveys.core.messages import Message, Problem
from surveys.core.opening import Grid
from surveys.core.questions import Question as Doubted
from surveys.core.questions import unanswered
from surveys.core.sash import has_edge_above, setting
from surveys.core.sizes import both_from
from surveys.core.trial import why_not
from surveys.core.units import quantity_or_none
from surveys.forms.hood_boxes import amount
from surveys.forms.survey_document import box_of, opening_names, prefix
from surveys.views.drawing import place as front_place
from surveys.views.monitor_said import beside
from surveys.views.survey_asked import AskedOfHood
from surveys.views.survey_boxes import Box, target_of
from surveys.views.survey_changes import is_begun
from surveys.views.survey_doubts import doubts_of, size_doubts
from surveys.views.survey_grid import Block
from surveys.views.survey_grid_words import grid_words, planned
from surveys.views.survey_measured import MONITOR_UNITS
from surveys.views.survey_names import name_of
from surveys.views.survey_place import Place
from surveys.views.survey_to_test import is_under_least, openings_to_test
from surveys.wording import sentence


class AskedOfOpenings(AskedOfHood):
    """Boxes, questions and grids of each opening that is measured, and what is wrong or doubtful in them."""

    document: Document
    judging: Judging | None
    problems: Sequence[Problem]
    entered: Mapping[str, Any]
    refused: str
    again: str

    @cached_property
    def names(self) -> dict[int, str]:
        return opening_names(self.boxes.texts)

    @property
    def several(self) -> bool:
        return len(self.names) > 1

    @cached_property
    def openings(self) -> list[Place]:
        known = {opening.name: opening for opening in self.around.openings}
        places = [self._opening(index, name, known.get(name)) for index, name in self.names.items()]
        for number, place in enumerate(places):
            place.monitor_checks = [*(self._of_hood("monitor") if number == 0 else []), *self._of_opening(place, "f", "monitor")]
            place.alarm = self.alarm_found if number == 0 else None
            place.smoke = [*(self._of_hood("smoke") if number == 0 else []), *self._of_opening(place, "f", "smoke")]
        return places

    def _opening(self, index: int, name: str, known: Opening | None) -> Place:
        unit, boxes = self.site.length_unit, self.boxes
        of = f"{name}: " if self.several else ""
        place = Place(
            index, name, known, self._use(index, known),
            height_box=boxes.box(
                f"o{index}_height", _("Height measured"), unit=unit, draws=True, needed=of + _("height"),
            ),
            width_box=boxes.box(
                f"o{index}_width", _("Width measured"), unit=unit, draws=True, needed=of + _("width"),
            ),
        )  # fmt: skip
        if known:
            place.height_box.help, place.width_box.help = (
                _("The register says %(size)s.") % {"size": both_from(size, box.unit)} if size else ""
                for size, box in ((known.height, place.height_box), (known.width, place.width_box))
            )
        place.questions = size_doubts(self.unanswered, list(self.names).index(index))
        taken = share(known.covered, known.width, known.height) if known else None
        place.front = front_place(name, known.way if known else "", self.hood.sash, taken=taken)
        place.has_sash = self.has_sash
        place.state_text = self._state_text(known)
        if not self.has_sash:
            place.set_so = _("without a sash, the front is open and cannot be closed")
        elif known and (how := setting(known, self.hood.sash)):
            place.set_so = sentence(how)
        place.grid = self._grid(index, known)
        place.covered_text = self._covered_text(index, known)
        place.grid_text = self._grid_text(place)
        if isinstance(place.grid, Grid):
            place.found, place.left = self._block(place, "as-found"), self._block(place, "as-left")
        if self.hood.monitor in MONITOR_UNITS:
            label = _("Monitor shows, sash at %(height)s") % {"height": quantity_or_none(self._size(index, "height")) or "–"}
            if not has_edge_above(self.hood.sash, known.way if known else "", name):
                label = _("Monitor shows, at ‘%(opening)s’") % {"opening": name}
            for letter in "fl":
                box = boxes.box(
                    f"t{index}{letter}_monitor", label, unit=self._shown_unit(), needed=of + _("what the monitor shows"),
                    help=_("Read it while the opening stands as measured."),
                )  # fmt: skip
                setattr(place, "monitor_box" if letter == "f" else "left_monitor_box", box)
        place.beside, place.beside_left = (self._beside(name, state) for state in ("as-found", "as-left"))
        place.sash_checks = self._of_opening(place, "f", "found", "sash", "inside")
        place.left_checks = self._of_opening(place, "l", "found", "sash", "inside", "monitor")
        place.left_smoke = self._of_opening(place, "l", "smoke")
        place.struck = [
            {"number": sum(len(cell) for row in one.readings for cell in row), "reason": one.struck}
            for one in self.document.struck_traverses if one.opening == name
        ]  # fmt: skip
        place.may_be_left_out = name not in self.needed_names and not is_begun(self.entered, name)
        return place

    @cached_property
    def needed_names(self) -> list[str]:
        return openings_to_test(self.around, self.criteria)

    def _size(self, index: int, side: str) -> str:
        return amount(self.boxes.texts, f"o{index}_{side}", self.site.length_unit) or ""

    def _use(self, index: int, known: Opening | None) -> str:
        use = known.use if known else "other"
        if use != "lower":
            return use
        height = self._size(index, "height") or (known.height if known else "")
        return "other" if is_under_least(height, self.criteria) else use

    def _grid(self, index: int, known: Opening | None) -> Grid | Message | None:
        width, height = self._size(index, "width"), self._size(index, "height")
        return planned(width, height, self.criteria, known.covered if known else None)

    def _covered_text(self, index: int, known: Opening | None) -> str:
        """What covers a part of an opening, by the size measured; before that, by the one registered."""
        if known is None or known.covered is None:
            return ""
        width, height = (self._size(index, side) or getattr(known, side) for side in ("width", "height"))
        free = told(known.covered, width, height, self.speed_unit, gettext)
        return sentence(free) if free else said(known.covered, gettext)

    def _state_text(self, known: Opening | None) -> str:
        """The state that an opening is measured in, where its use does not say it."""
        if known is not None and known.use in ("other", "full-open") and self.hood.control == "two-state":
            return self._tested_state()
        if known is None or known.use != "set-back":
            return ""
        if self.hood.control == "two-state":
            return _("Put the hood in its other state, wait until the flow is steady, measure, put it back in the state tested.")
        return _("Put the hood in set-back, wait until the flow is steady, measure, put it back in normal mode.")

    def _tested_state(self) -> str:
        """That an opening is measured in the state that was chosen as tested, or that it is to be chosen."""
        tested = words.FLOW_STATES.get(self.boxes.text("flow_state"))
        if tested is None:
            return _("Measure it in the state that is tested: choose which, higher or lower, under Conditions.")
        return _("Measure it in the state tested: %(state)s.") % {"state": tested}

    def _grid_text(self, place: Place) -> str:
        if isinstance(place.grid, Grid):
            return grid_words(place.grid, self.criteria)
        return sentence(place.grid) if place.grid else ""

    @property
    def speed_unit(self) -> str:
        """The unit that is read: the instrument's own, else the site's."""
        resolution = self.around.facts.resolution
        return resolution.unit if resolution else self.site.speed_unit

    def _shown_unit(self) -> str:
        """The unit of what the monitor shows: a velocity stands beside readings of the same unit."""
        return self.speed_unit if self.hood.monitor == "velocity" else self.monitor_unit()

    def _beside(self, name: str, state: str) -> str:
        """What stands beside what the monitor shows of an opening, at the last save."""
        judged = self._judged(name, state)
        figures = {code: number.as_dict() for code, number in judged.figures.items() if number} if judged else {}
        return beside(self.hood.monitor, self.mark, figures)

    def _block(self, place: Place, state: str) -> Block:
        key = prefix(place.index, state)
        reading = next((t for t in self.document.traverses if t.opening == place.name and t.state == state), None)
        judged = self._judged(place.name, state)
        assert isinstance(place.grid, Grid)
        block = Block(
            place=key, opening=place.name, state=state,
            unit=(reading.unit if reading and reading.begun and reading.unit else None) or self.speed_unit,
            width=self._size(place.index, "width"), height=self._size(place.index, "height"), boxes=self.boxes,
            criteria=self.criteria, version=self.version, grid=place.grid, resolution=self.around.facts.resolution,
            highest=self.around.facts.highest,
            covered=self.around.instrument is None or self.around.calibration_covers, use=place.use, judged=judged,
            several=self.several, again=self.again.partition(":")[2] if self.again.startswith(f"{key}:") else "",
            monitor=self.hood.monitor,
            no_trial=why_not(self.around.facts.hood, self.document.conditions, place.known.covered if place.known else None),
            sash=self.hood.sash, is_panel=not has_edge_above(self.hood.sash, place.known.way if place.known else "", place.name),
            cover=place.known.covered if place.known else None,
        )  # fmt: skip
        block.questions = doubts_of(self.unanswered, self.document, place.name, state)
        block.asked_places = frozenset(doubt.point for doubt in block.questions)
        block.problems = [one for one in self.wrong_boxes if one["target"].startswith(f"r{key}-")]
        return block

    def _judged(self, name: str, state: str) -> Any:
        if self.judging is None:
            return None
        judged = self.judging.judged
        if state == "as-left" and not self.document.adjusted:
            return None
        chosen = judged.as_found if state == "as-found" else judged.as_left
        return next((one for one in chosen.openings if one.opening == name), None)

    @property
    def registered_others(self) -> list[Opening]:
        return [opening for opening in self.around.openings if opening.name not in self.names.values()]

    @cached_property
    def another(self) -> list[Box]:
        unit, boxes, ways = self.site.length_unit, self.boxes, WAYS.get(self.hood.sash)
        return [
            boxes.box("another_name", _("Its name"), line=True, help=_("Such as ‘lower’.")),
            boxes.choice("another_use", _("Its use"), {use: USES[use] for use in ("lower", "working", "other")}),
            *([boxes.choice("another_way", _("Which part is open"), ways)] if ways else []),
            boxes.box("another_height", _("Height measured"), unit=unit),
            boxes.box("another_width", _("Width measured"), unit=unit),
        ]

    # --- doubts and problems ------------------------------------------------------------------------------------------

    @cached_property
    def unanswered(self) -> tuple[Doubted, ...]:
        return () if self.refused else unanswered(self.document, self.around.facts)

    @cached_property
    def wrong_boxes(self) -> list[dict[str, str]]:
        """Each problem with the box that it is at, and how that box is called."""
        made = []
        for problem in self.problems:
            box = box_of(problem.path, self.entered)
            made.append({"target": target_of(box), "place": self._called(box), "words": sentence(problem.message)})
        made += [
            {"target": target_of(name), "place": self._called(name), "words": said}
            for name, said in self.boxes.problems.items()
            if self.refused and not any(one["target"] == target_of(name) for one in made)
        ]
        return made

    def _called(self, box: str) -> str:
        if box.startswith("r") and box.count("-") == 3:
            place, row, column, _repeat = box[1:].split("-")
            values = {"row": int(row) + 1, "column": int(column) + 1}
            words_of = _("row %(row)s, column %(column)s") % values
            return f"{self.names.get(int(place[:-1]), '')}: {words_of}" if self.several else words_of.capitalize()
        return self.labels.get(box) or name_of(box, self)

    @cached_property
    def labels(self) -> dict[str, str]:
        fixed = [*self.conditions, *self.found_boxes, self.notes]
        made = {box.name: box.label for box in fixed}
        for index, name in self.names.items():
            made[f"o{index}_height"] = _("%(opening)s: height") % {"opening": name}
            made[f"o{index}_width"] = _("%(opening)s: width") % {"opening": name}
            for letter in "fl":
                made[f"t{index}{letter}_monitor"] = _("%(opening)s: monitor") % {"opening": name}
        return {**made, **self.measured_labels}
