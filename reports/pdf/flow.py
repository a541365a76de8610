"""Parts of a document one under the other, each with its name in the margin, on as many pages as it takes."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from reports.pdf.style import BOLD, CAP_HEIGHT, INK, REGULAR, SOFT, Draw, Fitted, Ink, Pages, fit, one_line, wrap

NAMES = 31.0  # the width of the column of names [mm]
COLUMN = 34.0  # where the column of what they say begins [mm]
MEASURE = 144.0  # and its width [mm]
WIDTH = COLUMN + MEASURE


@dataclass(frozen=True)
class Block:
    """Something that stays on one page: its height, and how it is drawn from the left edge of the column and its own top [mm]."""

    height: float
    draw: Draw
    keep: bool = False  # with what follows


@dataclass
class Section:
    """A named part. The notes stand small under the name. One that is `joined` stays whole, and never begins a page."""

    name: str
    notes: str = ""
    blocks: list[Block] = field(default_factory=list)
    joined: bool = False

    def add(self, height: float, draw: Draw, keep: bool = False) -> None:
        self.blocks.append(Block(height, draw, keep or self.joined))

    def lines(
        self, text: str, size: float, leading: float, weight: str = REGULAR, ink: Ink = INK, indent: float = 0,
        keep: bool = False,
    ) -> None:  # fmt: skip
        """Running text; each line may go on the next page, unless it is kept with what follows."""
        for line in wrap(text, MEASURE - indent, size, weight):
            self.add(leading, _line(line, size, leading, weight, ink, indent), keep)

    def rows(self, facts: Sequence[tuple[str, str]], leading: float, size: float = 3.1, indent: float = 20) -> None:
        """Facts one under the other, each beside what it is; a little smaller where that saves a line."""
        for key, text in facts:
            one = fit(text, MEASURE - indent, CAP_HEIGHT * size, size, 0.85 * size)
            lines, set_in = (list(one.lines), one.size) if one.fits else (wrap(text, MEASURE - indent, size), size)
            for number, line in enumerate(lines):
                self.add(leading, _fact(key if number == 0 else "", line, set_in, leading, indent))

    def pairs(
        self, left: Sequence[tuple[str, str]], right: Sequence[tuple[str, str]], leading: float, size: float = 3.1
    ) -> None:
        """Facts in two columns, each as long as it needs."""
        columns = [
            [
                (x, x + indent, key if number == 0 else "", line)
                for key, text in facts
                for number, line in enumerate(wrap(text, measure, size))
            ]
            for facts, x, indent, measure in ((left, 0, 20, 56), (right, 80, 17, 47))
        ]
        for row in range(max(map(len, columns))):
            self.add(leading, _pair([column[row] for column in columns if row < len(column)], size, leading))


def _line(line: str, size: float, leading: float, weight: str, ink: Ink, indent: float) -> Draw:
    return lambda pages, x, y: pages.text(x + indent, y + 0.72 * leading, line, size, weight, ink)


def _fact(key: str, line: str, size: float, leading: float, indent: float) -> Draw:
    def draw(pages: Pages, x: float, y: float) -> None:
        if key:
            heading = one_line(key, indent - 1.5, 2.85)
            pages.text(x, y + 0.72 * leading, heading.lines[0], heading.size, REGULAR, SOFT)
        pages.text(x + indent, y + 0.72 * leading, line, size)

    return draw


def _pair(cells: Sequence[tuple[float, float, str, str]], size: float, leading: float) -> Draw:
    def draw(pages: Pages, x: float, y: float) -> None:
        for key_at, text_at, key, text in cells:
            pages.text(x + key_at, y + 0.72 * leading, key, size - 0.2, REGULAR, SOFT)
            pages.text(x + text_at, y + 0.72 * leading, text, size)

    return draw


PAD = 1.5  # between a section's rule and what stands in it [mm]


@dataclass(frozen=True)
class Placed:
    """A part of a section on a page: its top, its height, and its blocks."""

    section: Section
    top: float
    height: float
    blocks: tuple[Block, ...]
    goes_on: bool


def _margin(section: Section, goes_on: bool, more: str) -> tuple[Fitted, Fitted]:
    """The name and the notes as they stand in the margin."""
    name = fit(f"{section.name} {more}" if goes_on else section.name, NAMES, 12, 3.6, 2, BOLD)
    return name, fit("" if goes_on else section.notes, NAMES, 60, 2.6, 1.2)


def _least(section: Section, goes_on: bool, more: str) -> float:
    name, notes = _margin(section, goes_on, more)
    return 2.1 + name.height + (1.6 + notes.height if notes.lines != ("",) else 0)


def paginate(
    sections: Sequence[Section], first: float, following: float, bottom: float, more: str = ""
) -> list[list[Placed]]:
    """Which blocks of which sections stand where, from `first` on the first page and from `following` on the others."""
    pages: list[list[Placed]] = [[]]
    y = first
    for section in sections:
        waiting, goes_on = list(section.blocks), False
        while waiting or not goes_on:
            taken, high = _take(waiting, bottom - y - 2 * PAD, force=not pages[-1])
            tall = _tall(high, section, goes_on, more) if taken else 0
            if waiting and (not taken or y + tall > bottom + 1e-6) and pages[-1]:
                before = _parted(pages[-1], more) if section.joined and not goes_on else []
                pages.append([])
                y = following
                for part in before:
                    pages[-1].append(replace(part, top=y))
                    y += part.height
                continue
            pages[-1].append(Placed(section, y, tall, tuple(waiting[:taken]), goes_on))
            y += tall
            waiting, goes_on = waiting[taken:], True
    return pages


def _tall(high: float, section: Section, goes_on: bool, more: str) -> float:
    return max(high + 2 * PAD, _least(section, goes_on, more) + PAD)


def _parted(page: list[Placed], more: str) -> list[Placed]:
    """Takes the last part off a page, for the next one; of a part that has its page alone, its last blocks."""
    last = page.pop()
    if page:
        return [last]
    breaks = [number for number in range(1, len(last.blocks)) if not last.blocks[number - 1].keep]
    if not breaks:
        page.append(last)
        return []
    stays, goes = last.blocks[: breaks[-1]], last.blocks[breaks[-1] :]
    page.append(_of(last, stays, last.goes_on, more))
    return [_of(last, goes, True, more)]


def _of(part: Placed, blocks: tuple[Block, ...], goes_on: bool, more: str) -> Placed:
    tall = _tall(sum(block.height for block in blocks), part.section, goes_on, more)
    return replace(part, height=tall, blocks=blocks, goes_on=goes_on)


def height(pages: Sequence[Sequence[Placed]]) -> float:
    """How high all parts are together [mm]."""
    return sum(part.height for page in pages for part in page)


def _take(blocks: Sequence[Block], room: float, force: bool) -> tuple[int, float]:
    """How many blocks fit, and how high they are; one at least on an empty page. None is parted from what it is kept with."""
    taken, high = 0, 0.0
    for number, block in enumerate(blocks):
        if high + block.height > room + 1e-6:
            break
        high += block.height
        taken = number + 1
    while 0 < taken < len(blocks) and blocks[taken - 1].keep:
        taken -= 1
    if taken == 0 and force and blocks:
        taken = 1
    return taken, sum(block.height for block in blocks[:taken])


def draw(pages: Pages, placed: Sequence[Placed], left: float, more: str = "") -> None:
    """One page of parts."""
    for part in placed:
        pages.rule(left, part.top, left + WIDTH, thick=0.25)
        name, notes = _margin(part.section, part.goes_on, more)
        pages.fitted(left, part.top + 2.1, name, BOLD)
        if notes.lines != ("",):
            pages.fitted(left, part.top + 2.1 + name.height + 1.6, notes, ink=SOFT)
        y = part.top + PAD
        for block in part.blocks:
            block.draw(pages, left + COLUMN, y)
            y += block.height
