"""What was judged, in print: a table of limits for each opening, and of those on the hood."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from reports.pdf import figures
from reports.pdf.flow import MEASURE, Section
from reports.pdf.style import BOLD, HAIR, INK, REGULAR, SEMIBOLD, SOFT, Draw, Pages, fit, one_line, wrap
from reports.pdf.wording import Wording

SHAPE_OF = {"pass": "met-criteria", "restrict": "restricted", "fail": "do-not-use", "no-verdict": "no-verdict"}
Judgement = Mapping[str, Any]


def outcome(pages: Pages, x: float, y: float, code: str, room: float, wording: Wording, size: float = 3.1) -> None:
    """The outcome of a limit or check as shape and word, standing on y."""
    pages.shape(code, x, y - 0.8 * size, 0.88 * size, SOFT if code == "not-tested" else INK)
    weight, ink = {"not-met": (BOLD, INK), "not-tested": (REGULAR, SOFT)}.get(code, (REGULAR, INK))
    word = one_line(wording.codes("outcome", code), room - 1.3 * size, size, weight)
    pages.text(x + 1.3 * size, y, word.lines[0], word.size, weight, ink)


def verdict(pages: Pages, x: float, y: float, code: str, room: float, wording: Wording, size: float = 3.3) -> None:
    """A verdict, or the outcome of an opening, as shape and word."""
    shape = SHAPE_OF.get(code)
    if shape:
        pages.shape(shape, x - 0.1 * size, y - 0.85 * size, 1.06 * size)
    word = one_line(wording.codes("verdict", code), room - 1.3 * size, size, BOLD)
    pages.text(x + 1.3 * size, y, word.lines[0], word.size, BOLD if shape else REGULAR)


@dataclass(frozen=True)
class Columns:
    """Where the columns of the table stand, in mm from its left edge: one column of values, or two where two states differ."""

    name: float
    required: float
    cost: float
    values: tuple[float, ...]  # the right edge of each column of values; its outcome follows

    def rooms(self) -> list[float]:
        """How much room an outcome has to the right of each column of values."""
        ends = [*(right - VALUE for right in self.values[1:]), MEASURE]
        return [end - right - GAP for right, end in zip(self.values, ends, strict=True)]


VALUE, GAP = 11.5, 2.4  # the width of a column of values, and what parts a value from its outcome [mm]
ONE = Columns(name=60, required=62, cost=96, values=(122,))
TWO = Columns(name=42, required=43.5, cost=74.5, values=(95.5, 125.5))


@dataclass(frozen=True)
class Sets:
    """The sets to print: as found and as left, or the one that stands for both."""

    sets: tuple[tuple[str, Mapping[str, Any]], ...]

    @classmethod
    def of(cls, judged: Mapping[str, Any], adjusted: bool) -> "Sets":
        found, left = judged["sets"]["as-found"], judged["sets"]["as-left"]
        return cls((("as-found", found), ("as-left", left)) if adjusted else (("both", left),))

    @property
    def columns(self) -> Columns:
        return ONE if len(self.sets) == 1 else TWO

    def openings(self) -> list[str]:
        """The names of all openings judged, in the order of the hood."""
        return list(dict.fromkeys(opening["opening"] for _state, made in self.sets for opening in made["openings"]))

    def opening(self, name: str) -> list[Mapping[str, Any] | None]:
        return [next((o for o in made["openings"] if o["opening"] == name), None) for _state, made in self.sets]


def limits(section: Section, sets: Sets, record: Mapping[str, Any], leading: float, wording: Wording) -> None:
    """The table of limits, opening by opening, and the verdict under it."""
    _ = wording
    columns, document = sets.columns, record["criteria"]["document"]
    heads = {"as-found": _("as found"), "as-left": _("as left"), "both": _("measured")}
    section.add(leading, _heading(columns, [heads[state] for state, _made in sets.sets], wording), keep=True)
    for name in sets.openings():
        made = sets.opening(name)
        first = name == sets.openings()[0]
        section.add(leading + 0.2, _opening(columns, name, made, record, leading, first, wording), keep=True)
        indices = dict.fromkeys(j["limit"] for o in made if o for j in o["judgements"] if "figure" in j)
        for index in sorted(indices):
            limit = document["limits"][index]
            _limit(section, columns, limit, [_judged(o, index) for o in made], leading, wording)
    of_hood = dict.fromkeys(j["limit"] for _state, made in sets.sets for j in made["hood"] if "figure" in j)
    if of_hood:
        section.add(leading + 0.2, _whole_hood(leading, wording), keep=True)
    for index in sorted(of_hood):
        _limit(section, columns, document["limits"][index], [_of_hood(one, index) for _s, one in sets.sets], leading, wording)
    section.add(leading + 0.8, _verdict(columns, [each["verdict"] for _state, each in sets.sets], leading, wording))


def _judged(opening: Mapping[str, Any] | None, index: int) -> Judgement | None:
    judgements = opening["judgements"] if opening else ()
    return next((j for j in judgements if "figure" in j and j["limit"] == index), None)


def _of_hood(made: Mapping[str, Any], index: int) -> Judgement | None:
    return next((j for j in made["hood"] if "figure" in j and j["limit"] == index), None)


def _whole_hood(leading: float, wording: Wording) -> Draw:
    _ = wording

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.rule(x, y, x + MEASURE, thick=0.22)
        pages.text(x, y + 0.76 * leading, _("The hood"), 3.1, BOLD)

    return draw


def _heading(columns: Columns, states: Sequence[str], wording: Wording) -> Draw:
    _ = wording

    def draw(pages: Pages, x: float, y: float) -> None:
        line = y + 2.6
        pages.text(x, line, _("Limit"), 2.6, REGULAR, SOFT)
        pages.text(x + columns.required, line, _("required"), 2.6, REGULAR, SOFT)
        pages.text(x + columns.cost, line, _("if not met"), 2.6, REGULAR, SOFT)
        for state, right in zip(states, columns.values, strict=True):
            pages.text(x + right, line, state, 2.6, REGULAR, SOFT, "right")
        pages.rule(x, y + 3.7, x + MEASURE, thick=0.22)

    return draw


def _opening(
    columns: Columns,
    name: str,
    made: Sequence[Mapping[str, Any] | None],
    record: Mapping[str, Any],
    leading: float,
    first: bool,
    wording: Wording,
) -> Draw:
    _ = wording
    sizes = next((each for each in record["entered"]["openings"] if each["name"] == name), {})
    stood, width = figures.opened(record, sizes.get("height"), wording), figures.size(sizes.get("width"), nearest=True)
    said = _("%(opening)s, %(stood)s, opening %(width)s wide") % {"opening": name, "stood": stood, "width": width}

    def draw(pages: Pages, x: float, y: float) -> None:
        if not first:
            pages.rule(x, y, x + MEASURE, thick=0.22)
        line = y + 0.76 * leading
        title = one_line(said, columns.values[0] - 10, 3.1, BOLD)
        pages.text(x, line, title.lines[0], title.size, BOLD)
        for opening, right, room in zip(made, columns.values, columns.rooms(), strict=True):
            verdict(pages, x + right + GAP, line, opening["outcome"] if opening else "not-tested", room, wording, 3.1)

    return draw


def _limit(
    section: Section,
    columns: Columns,
    limit: Mapping[str, Any],
    judged: Sequence[Judgement | None],
    leading: float,
    wording: Wording,
) -> None:
    _ = wording
    size, small, pitch = 3.1, 2.6, 3.4
    name = wrap(wording.figure(limit["figure"]), columns.name, size)
    required = wrap(figures.said(limit, wording), columns.cost - columns.required - 1, size)
    else_words = (
        fit(_("else %(restriction)s") % limit, columns.cost - 1, 6, small, 1.3) if limit.get("restriction") else None
    )
    cost = one_line(wording.codes("consequence", limit["consequence"]), columns.values[0] - columns.cost - 10, 2.7)
    tall = leading + (max(len(name), len(required)) - 1) * pitch
    if else_words:
        tall += else_words.height + 1.3

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.rule(x, y, x + MEASURE, thick=0.12, ink=HAIR)
        line = y + 0.76 * leading
        pages.lines(x, line, name, size, pitch)
        pages.lines(x + columns.required, line, required, size, pitch)
        pages.text(x + columns.cost, line, cost.lines[0], cost.size, REGULAR, SOFT)
        if else_words:
            pages.fitted(x, y + tall - 1.0 - else_words.height, else_words, ink=SOFT)
        for each, right, room in zip(judged, columns.values, columns.rooms(), strict=True):
            value = one_line(figures.measured(each) if each else figures.NOTHING, VALUE, size, SEMIBOLD)
            pages.text(x + right, line, value.lines[0], value.size, SEMIBOLD, INK, "right")
            outcome(pages, x + right + GAP, line, each["outcome"] if each else "not-tested", room, wording)

    section.add(tall, draw)


def _verdict(columns: Columns, verdicts: Sequence[str], leading: float, wording: Wording) -> Draw:
    _ = wording

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.rule(x, y, x + MEASURE, thick=0.25)
        line = y + 0.9 * leading
        pages.text(x, line, _("Verdict"), 3.1, BOLD)
        for code, right, room in zip(verdicts, columns.values, columns.rooms(), strict=True):
            verdict(pages, x + right + GAP, line, code, room, wording)

    return draw
