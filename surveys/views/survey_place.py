"""One opening of a survey page: its boxes, its grid, what is asked there; as found and as left."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from hoods.models import Opening
from hoods.words import USES
from surveys.core.messages import Message
from surveys.core.opening import Grid
from surveys.core.sizes import both_from
from surveys.views.drawing import Place as Front
from surveys.views.survey_asked import fills_with_smoke
from surveys.views.survey_boxes import Box, Question, Step
from surveys.views.survey_doubts import Doubt
from surveys.views.survey_grid import Block
from surveys.views.survey_measured import Alarm


@dataclass
class Place:
    """An opening of the page: measured, traversed, its monitor read, its smoke seen; as found, and as left."""

    index: int
    name: str
    known: Opening | None
    use: str  # as it counts: a lower one under the least height is 'other'
    height_box: Box
    width_box: Box
    grid: Grid | Message | None = None
    found: Block | None = None
    left: Block | None = None
    monitor_box: Box | None = None
    left_monitor_box: Box | None = None
    alarm: Alarm | None = None  # of the hood, asked at its first opening
    beside: str = ""  # what the traverse or the register says of what the monitor shows
    beside_left: str = ""
    sash_checks: list[Question] = field(default_factory=list)
    monitor_checks: list[Question] = field(default_factory=list)
    smoke: list[Question] = field(default_factory=list)
    left_checks: list[Question] = field(default_factory=list)
    left_smoke: list[Question] = field(default_factory=list)
    questions: list[Doubt] = field(default_factory=list)  # about its size
    struck: list[Any] = field(default_factory=list)
    steps: dict[str, Step] = field(default_factory=dict)
    grid_text: str = ""
    covered_text: str = ""  # what covers a part of it, and the area that stays free
    may_be_left_out: bool = False  # nothing asks for it, and nothing was read there
    front: Front | None = None  # where it stands, of a sash that is not vertical
    set_so: str = ""  # how the sash is set for it, where a height alone does not say so
    state_text: str = ""  # the state that the hood is put in for it alone
    has_sash: bool = True

    @property
    def is_low(self) -> bool:
        """Whether it is meant to be a lower one and is under the least useful height."""
        return self.known is not None and self.known.use != self.use

    @property
    def use_words(self) -> str:
        words_of = str(USES.get(self.known.use if self.known else "other", self.use))
        return _("%(use)s opening ‘%(name)s’") % {"use": words_of.capitalize(), "name": self.name}

    @property
    def register_height(self) -> str:
        return self.known.height if self.known else ""

    @property
    def is_on_another_grid(self) -> bool:
        """Whether readings stand on a grid that has not the points which the size measured asks for."""
        return any(block.other_grid and not block.enough for block in (self.found, self.left) if block and block.taken)

    @property
    def set_to(self) -> str:
        """The height that the register says, first in the unit of the box; empty where it says none."""
        return both_from(self.register_height, self.height_box.unit) if self.register_height else ""

    @property
    def fills_with_smoke(self) -> bool:
        """Whether so much smoke is let out that whoever answers for fire detection is told before."""
        return fills_with_smoke(self.smoke)

    @property
    def fills_with_smoke_as_left(self) -> bool:
        return fills_with_smoke(self.left_smoke)

    @property
    def drawn_for(self) -> str:
        """The size that the grid was drawn for, as it stands in the boxes."""
        return f"{self.height_box.value}|{self.width_box.value}" if self.is_measured else ""

    @property
    def is_measured(self) -> bool:
        return isinstance(self.grid, Grid)
