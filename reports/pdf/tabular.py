"""Headings, running text, tables and plots under each other over as many pages as it takes, at the full width of the page.

Everything is laid out before anything is drawn, so that each page can say of how many it is one. A table that goes on
over a page begins there with its head again; a row stays whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from reports.pdf.plot import Plot
from reports.pdf.style import BOLD, CAP_HEIGHT, HAIR, INK, REGULAR, SEMIBOLD, SOFT, Ink, Pages, wrap

WIDTH = 178.0  # what is set, on A4 and on Letter [mm]
TYPE, LEADING = 2.9, 3.7  # of a table [mm]
ABOVE, BELOW = 1.5, 1.2  # a row's text from its rules [mm]
GAP = 2.6  # between columns [mm]
MARK = 3.1  # a shape before a word [mm]


@dataclass(frozen=True, slots=True)
class Marked:
    """A word with its shape before it."""

    shape: str
    text: str
    ink: Ink = INK


@dataclass(frozen=True, slots=True)
class Strong:
    """Text that stands out in its row."""

    text: str


Cell = str | int | Marked | Strong | None


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, its width [mm], and whether numbers stand in it."""

    name: str
    wide: float
    right: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """Something that stays on one page; `keep` with what follows, `head` what begins a page that it would begin."""

    height: float
    draw: Callable[[Pages, float, float], None]
    keep: bool = False
    head: Block | None = None


@dataclass
class Flow:
    """What is to be set, in order."""

    blocks: list[Block] = field(default_factory=list)

    def heading(self, text: str, note: str = "") -> None:
        """A part's name under a rule."""
        lines = wrap(note, WIDTH - 4, 2.7) if note else []

        def draw(pages: Pages, x: float, y: float) -> None:
            pages.rule(x, y + 4, x + WIDTH, thick=0.25)
            pages.text(x, y + 9.6, text, 4.4, BOLD)
            pages.lines(x, y + 13.6, lines, 2.7, 3.5, REGULAR, SOFT)

        self.blocks.append(Block(12 + (3.5 * len(lines) + 1.2 if lines else 0), draw, keep=True))

    def sub(self, text: str) -> None:
        self.blocks.append(Block(7.6, lambda pages, x, y: pages.text(x, y + 5.8, text, 3.3, SEMIBOLD), keep=True))

    def words(
        self, text: str, size: float = 3.2, weight: str = REGULAR, ink: Ink = INK, after: float = 1.4, keep: bool = False
    ) -> None:  # fmt: skip
        """Running text; its first line never stands alone, and with `keep` none is parted from what follows."""
        found = wrap(text, WIDTH - 8, size, weight)
        for number, line in enumerate(found):
            last = number == len(found) - 1
            self.blocks.append(
                _line(line, size, weight, ink, after if last else 0, keep=keep or (number == 0 and not last))
            )

    def plot(self, plot: Plot, wide: float = WIDTH) -> None:
        self.blocks.append(Block(plot.height_at(wide) + 3, lambda pages, x, y: plot.draw(pages, x, y + 1, wide)))

    def table(
        self, columns: Sequence[Column], rows: Iterable[Sequence[Cell]], foot: Sequence[Cell] | None = None,
        none: str = "",
    ) -> None:  # fmt: skip
        """Rows under their head; `none` is said where there are none."""
        columns = filling(columns)
        found = [_row(columns, row) for row in rows]
        if not found:
            if none:
                self.words(none)
            return
        head = _head(columns)
        self.blocks.append(head)
        for number, row in enumerate(found):
            last = number == len(found) - 1 and foot is None
            self.blocks.append(_ruled(row, head, last=last, above=0.12 if number else 0, ink=HAIR))
        if foot is not None:
            self.blocks.append(_ruled(_row(columns, foot, SEMIBOLD), head, last=True, above=0.2, ink=INK))
        self.blocks.append(Block(2, _nothing))


def filling(columns: Sequence[Column]) -> list[Column]:
    """The columns as wide as the page, in the measure that they were given."""
    scale = (WIDTH - GAP * (len(columns) - 1)) / sum(column.wide for column in columns)
    return [replace(column, wide=column.wide * scale) for column in columns]


def _nothing(_pages: Pages, _x: float, _y: float) -> None:
    return None


def _line(text: str, size: float, weight: str, ink: Ink, after: float, keep: bool) -> Block:
    leading = 1.34 * size

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.text(x, y + 0.95 * size, text, size, weight, ink)

    return Block(leading + after, draw, keep=keep)


Set = list[tuple[float, list[str], bool, str, Ink, str]]  # where a cell stands, its lines, right, weight, ink, shape


def _cells(columns: Sequence[Column], cells: Sequence[Cell], weight: str, size: float) -> Set:
    found: Set = []
    x = 0.0
    for column, cell in zip(columns, cells, strict=True):
        text, own, ink, shape = "" if cell is None else str(cell), weight, INK, ""
        if isinstance(cell, Marked):
            text, ink, shape = cell.text, cell.ink, cell.shape
        elif isinstance(cell, Strong):
            text, own = cell.text, BOLD
        indent = MARK + 1.1 if shape else 0
        lines = wrap(text, column.wide - indent, size, own) if text else []
        found.append((x + (column.wide if column.right else indent), lines, column.right, own, ink, shape))
        x += column.wide + GAP
    return found


def _head(columns: Sequence[Column]) -> Block:
    cells = _cells(columns, [column.name for column in columns], REGULAR, 2.6)
    deep = max(len(lines) for _x, lines, *_rest in cells)
    height = 3.4 * deep + 1.6

    def draw(pages: Pages, x: float, y: float) -> None:
        for place, lines, right, weight, _ink, _shape in cells:
            top = y + 3.4 * (deep - len(lines)) + 2.5
            pages.lines(x + place, top, lines, 2.6, 3.4, weight, SOFT, "right" if right else "left")
        pages.rule(x, y + height, x + WIDTH, thick=0.2)

    return Block(height, draw, keep=True)


def _row(columns: Sequence[Column], cells: Sequence[Cell], weight: str = REGULAR) -> Block:
    found = _cells(columns, cells, weight, TYPE)
    deep = max([1, *(len(lines) for _x, lines, *_rest in found)])
    height = ABOVE + CAP_HEIGHT * TYPE + (deep - 1) * LEADING + BELOW

    def draw(pages: Pages, x: float, y: float) -> None:
        base = y + ABOVE + CAP_HEIGHT * TYPE
        for place, lines, right, own, ink, shape in found:
            if shape:
                pages.shape(shape, x + place - MARK - 1.1, base - 2.5, MARK, ink)
            pages.lines(x + place, base, lines, TYPE, LEADING, own, INK, "right" if right else "left")

    return Block(height, draw)


def _ruled(row: Block, head: Block, *, last: bool, above: float, ink: Ink) -> Block:
    """A row with the rule above it, which the first one has from the head; the last also has the closing rule."""

    def draw(pages: Pages, x: float, y: float) -> None:
        if above:
            pages.rule(x, y, x + WIDTH, thick=above, ink=ink)
        row.draw(pages, x, y)
        if last:
            pages.rule(x, y + row.height, x + WIDTH, thick=0.35)

    return Block(row.height, draw, head=head)


def paginate(blocks: Sequence[Block], first: float, top: float, bottom: float) -> list[list[tuple[float, Block]]]:
    """Each block on its page at its height: the first page begins lower, under its own head."""
    placed: list[list[tuple[float, Block]]] = [[]]
    y, number = first, 0
    while number < len(blocks):
        chain = _chain(blocks, number)
        height = sum(block.height for block in chain)
        if y + height > bottom and placed[-1]:
            placed.append([])
            y = top
            if (head := chain[0].head) is not None:
                placed[-1].append((y, head))
                y += head.height
        for block in chain:
            placed[-1].append((y, block))
            y += block.height
        number += len(chain)
    return placed


def _chain(blocks: Sequence[Block], start: int) -> Sequence[Block]:
    """A block with those that it must not be parted from."""
    end = start
    while end < len(blocks) - 1 and blocks[end].keep:
        end += 1
    return blocks[start : end + 1]
