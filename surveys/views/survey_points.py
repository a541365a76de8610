"""The points of a grid as the survey page draws them: a box for each, what was read there, how far it stands from the average."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from django.utils.translation import gettext as _

from hoods.core.cover import Cover
from surveys.core.content import why_not_reading
from surveys.core.criteria import Criteria
from surveys.core.opening import Grid, counted_points, free_points, has_points_enough
from surveys.core.units import UNIT, Quantity, decimals_allowed, number
from surveys.forms.survey_document import grid_size, readings
from surveys.views.survey_boxes import Boxes
from surveys.views.survey_grid_words import columns_and_rows

MOST_DIGITS = 9  # decimals of a reading where no instrument says its resolution


@dataclass
class Cell:
    """One point: the box of its newest reading, and how far it stands from the average."""

    row: int
    column: int
    name: str
    value: str
    at: str
    words: str  # 'row 2, column 3'
    needed: str
    label: str
    problem: str = ""
    edge: bool = False
    asked: bool = False
    readings: int = 0
    covered: bool = False  # something stands there, and no probe can be held
    off: str = ""
    shade: str = ""
    instead: str = ""

    @property
    def id(self) -> str:
        return self.name

    target = id

    @property
    def place(self) -> str:
        return f"{self.row}.{self.column}"

    @property
    def words_capital(self) -> str:
        return self.words[:1].upper() + self.words[1:]

    @property
    def count(self) -> str:
        return _("%(number)s read") % {"number": self.readings} if self.readings > 1 else ""

    @property
    def is_filled(self) -> bool:
        return self.value != ""


@dataclass
class Repeat:
    """An earlier reading of a point, counted with the others until it is struck."""

    name: str
    place: str
    value: str
    at: str
    struck: str
    label: str

    @property
    def id(self) -> str:
        return self.name



@dataclass(kw_only=True)
class Points:
    """The grid over one opening in one state, with the readings at its points."""

    place: str  # '0f'
    opening: str
    state: str
    unit: str
    width: str
    height: str
    boxes: Boxes
    criteria: Criteria
    grid: Grid
    resolution: Quantity | None
    highest: Quantity | None
    cover: Cover | None = None  # what covers a part of it
    several: bool = False
    again: str = ""  # the point that is to be read again, if one is
    asked_places: frozenset[str] = frozenset()

    @property
    def id(self) -> str:
        return f"grid-{self.place}"

    @property
    def prefix(self) -> str:
        return f"t{self.place}"

    @property
    def again_box(self) -> Mapping[str, str]:
        """What was entered beside the grid where a button refused it, and what is wrong with it."""
        place, why = f"{self.prefix}_place", f"{self.prefix}_why"
        return {
            "place": self.boxes.text(place), "why": self.boxes.text(why),
            "place_problem": self.boxes.problems.get(place, ""), "why_problem": self.boxes.problems.get(why, ""),
        }  # fmt: skip

    @property
    def unit_shown(self) -> str:
        return UNIT[self.unit].shown

    @cached_property
    def taken(self) -> Mapping[tuple[int, int], list[dict[str, str | None]]]:
        return readings(self.boxes.texts, self.place)

    @cached_property
    def size(self) -> tuple[int, int]:
        """Rows and columns: of the readings where there are any, so that none ever moves to another point."""
        return grid_size(self.boxes.texts, self.place) if self.taken else (self.grid.rows, self.grid.columns)

    @property
    def other_grid(self) -> Grid | None:
        """The plan of the opening as measured now, where the readings stand on another grid; not one of as many points as asked."""
        stands = self.criteria.grid.points is not None and self.enough
        return self.grid if self.size != (self.grid.rows, self.grid.columns) and not stands else None

    @property
    def other_grid_words(self) -> str:
        return columns_and_rows(self.grid)

    @property
    def enough(self) -> bool:
        rows, columns = self.size
        return has_points_enough(self.criteria.grid, self.grid, columns, rows, sum(self.free))

    @property
    def by_cells(self) -> bool:
        """Whether a point is the middle of its cell."""
        return not self.grid.spaced

    @property
    def columns(self) -> range:
        return range(1, self.size[1] + 1)

    @cached_property
    def free(self) -> tuple[bool, ...]:
        """Which places of the grid are points: those that nothing covers."""
        rows, columns = self.size
        free = free_points(self.width, self.height, columns, rows, self.criteria.grid.margin, self.cover)
        return (True,) * (rows * columns) if free is None else free

    @cached_property
    def rows(self) -> list[list[Cell]]:
        rows, columns = self.size
        rule = self.criteria.grid
        counted = counted_points(
            self.width, self.height, columns, rows, self.criteria.edge_exclusion, rule.margin, self.cover
        )
        made = [[self._cell(r, c, counted) for c in range(columns)] for r in range(rows)]
        self._shade(made)
        return made

    @property
    def cells(self) -> list[Cell]:
        """The points: what is covered is none."""
        return [cell for row in self.rows for cell in row if not cell.covered]

    def _cell(self, r: int, c: int, counted: tuple[bool, ...] | None) -> Cell:
        taken = self.taken.get((r, c), [])
        fresh = f"{r + 1}.{c + 1}" == self.again or not taken or taken[-1]["struck"] is not None
        k = len(taken) if fresh else len(taken) - 1
        held = {"value": "", "at": ""} if fresh else taken[k]
        name = f"r{self.place}-{r}-{c}-{k}"
        words = _("row %(row)s, column %(column)s") % {"row": r + 1, "column": c + 1}
        return Cell(
            r + 1, c + 1, name, held["value"] or "", held["at"] or "", words,
            needed=self._needed(words),
            label=_("%(opening)s, %(words)s, %(unit)s")
            % {"opening": self.opening, "words": words, "unit": self.unit_shown},
            problem=self.boxes.problems.get(name, ""),
            edge=counted is not None and not counted[r * self.size[1] + c],
            asked=f"{r + 1}.{c + 1}" in self.asked_places,
            readings=sum(1 for reading in taken if reading["struck"] is None),
            covered=not self.free[r * self.size[1] + c] and not taken,
        )  # fmt: skip

    def _needed(self, words: str) -> str:
        """How a point is called among those of the other grids."""
        if self.state == "as-left":
            words = _("as left, %(words)s") % {"words": words}
        return f"{self.opening}: {words}" if self.several else words

    @cached_property
    def repeats(self) -> list[Repeat]:
        """Every reading but the newest of its point, and those struck."""
        made = []
        newest = {cell.name for row in self.rows for cell in row}
        for (r, c), taken in sorted(self.taken.items()):
            for k, reading in enumerate(taken):
                name = f"r{self.place}-{r}-{c}-{k}"
                if name in newest:
                    continue
                values = {"row": r + 1, "column": c + 1, "number": k + 1}
                label = _("Row %(row)s, column %(column)s, reading %(number)s") % values
                made.append(
                    Repeat(name, f"{r + 1}.{c + 1}", reading["value"] or "", reading["at"] or "", reading["struck"] or "", label)
                )
        return made

    def _points(self) -> dict[tuple[int, int], Fraction]:
        points = {}
        for (r, c), taken in self.taken.items():
            counting = [reading["value"] or "" for reading in taken if reading["struck"] is None]
            if any(why_not_reading(text, self.unit, self.resolution, self.highest) for text in counting):
                continue
            values = [number(text) for text in counting]
            if values:
                points[r, c] = sum(values, Fraction(0)) / len(values)
        return points

    def _shade(self, rows: list[list[Cell]]) -> None:
        """How far each point read so far stands from their average: as a number and as a shade."""
        points = self._points()
        average = sum(points.values(), Fraction(0)) / len(points) if points else Fraction(0)
        if not average:
            return
        for (r, c), value in points.items():
            cell, off = rows[r][c], 100 * (value - average) / average
            whole = round(off)
            cell.off = f"{'+' if whole > 0 else ''}{whole} %".replace("-", "−")
            step = "-2" if abs(off) >= 10 else "-1" if abs(off) >= 5 else ""
            cell.shade = f"{'slow' if off < 0 else 'fast'}{step}" if step else ""

    @property
    def read(self) -> int:
        return len(self._points())

    @property
    def number(self) -> int:
        return sum(self.free)

    @property
    def heading(self) -> str:
        values = {"read": self.read, "all": self.number, "unit": self.unit_shown}
        if self.read == self.number:
            return _("From all %(all)s points, %(unit)s") % values
        return _("So far, from %(read)s of %(all)s points, %(unit)s") % values

    @property
    def missing_words(self) -> str:
        missing = self.number - self.read
        if not missing:
            return _("Every point is read.")
        return _("Points missing: %(number)s. No limit is met yet.") % {"number": missing}

    @property
    def edges(self) -> str:
        return str(self.criteria.edge_exclusion) if any(cell.edge for cell in self.cells) else ""

    @property
    def digits(self) -> int:
        if self.resolution is not None:
            return decimals_allowed(self.resolution, self.unit)
        return MOST_DIGITS
