"""A blank survey form, for where no tablet may go: what the survey page asks, in its order, with boxes for a pen."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from reports.pdf import flow, qr
from reports.pdf.flow import MEASURE, WIDTH, Section
from reports.pdf.front import ICON_WIDE, front, hatched
from reports.pdf.style import (
    BOLD,
    EDGE,
    GLASS,
    INK,
    PAPERS,
    REGULAR,
    SEMIBOLD,
    SOFT,
    Fitted,
    Pages,
    Words,
    fit,
    one_line,
    same,
    width,
    wrap,
)  # fmt: skip

BOX = 4.2  # the side of a box to tick [mm]
TEXT = 3.2
SMALL = 2.8
LINE = 8.5  # between lines to write on: what a pen needs [mm]
ASIDE = 148.0  # how wide words may stand beside the square code [mm]
CELL_HIGH = 13.0  # of a point of the grid, at most [mm]
CELL_WIDE = 28.0


@dataclass(frozen=True)
class Say:
    """A sentence to be read."""

    text: str
    strong: bool = False
    keep: bool = False  # with what follows


@dataclass(frozen=True)
class Tick:
    """A question or a thing to choose, with a box before each answer."""

    question: str
    answers: tuple[str, ...]
    keep: bool = False  # with what follows


@dataclass(frozen=True)
class Write:
    """Something to be written on a line, with its unit behind it."""

    label: str
    unit: str = ""
    help: str = ""


@dataclass(frozen=True)
class Lines:
    """Empty lines for words."""

    label: str
    number: int


@dataclass(frozen=True)
class Points:
    """The grid over an opening as planned for its registered size, seen from the front."""

    columns: int
    rows: int
    height: str
    width: str
    heading: str
    note: str
    edge_above: bool = True  # the lower edge of a sash stands over it
    free: tuple[bool, ...] = ()  # which places are points, row by row; all where nothing is said
    place: tuple[int, int, int, int] | None = None  # where it stands in the front, of a sash that is not vertical
    taken: tuple[Fraction, ...] | None = None  # what of it is covered, as parts of its width and height


@dataclass(frozen=True)
class Part:
    """A part of the survey page: its number, its name, and what it asks."""

    number: int
    name: str
    items: tuple[Say | Tick | Write | Lines | Points, ...]
    joined: bool = False  # whole, and never alone on a page


@dataclass(frozen=True)
class Blank:
    """What the form of one hood says."""

    tag: str
    code: str
    address: str
    place: str
    site: str
    criteria: str
    printed: str  # the day, as printed
    parts: tuple[Part, ...]


def blank_forms(
    blanks: Sequence[Blank], paper: str = "A4", dpi: int = 300, words: Words = same, language: str = "en"
) -> bytes:
    """The forms of some hoods, each beginning on a page of its own."""
    _ = words
    tags = ", ".join(blank.tag for blank in blanks)
    pages = Pages(PAPERS[paper], title=_("Blank survey form: %(hoods)s") % {"hoods": tags}, language=language)
    for number, blank in enumerate(blanks):
        if number:
            pages.next_page()
        _form(pages, blank, dpi, words)
    return pages.finish()


def _form(pages: Pages, blank: Blank, dpi: int, words: Words) -> None:
    _ = words
    left = (pages.width - WIDTH) / 2
    more = _("(continued)")
    heading = _heading(blank, words)
    first = max(58, heading[-1][0] + heading[-1][1].height + 4)
    placed = flow.paginate([_section(part, words) for part in blank.parts], first, 27, pages.height - 12, more)
    for number, some in enumerate(placed, 1):
        if number > 1:
            pages.next_page()
        _running_head(pages, blank, left, number, len(placed), words)
        if number == 1:
            _head(pages, blank, heading, left, dpi)
        flow.draw(pages, some, left, more)


def _running_head(pages: Pages, blank: Blank, left: float, number: int, of: int, words: Words) -> None:
    """On each page which hood it is of: sheets part."""
    _ = words
    pages.double_rule(left, 12, left + WIDTH)
    which = _("Blank form, %(hood)s, page %(page)s of %(pages)s") % {"hood": blank.tag, "page": number, "pages": of}
    said = one_line(which, 110, 3.3, SEMIBOLD)
    pages.text(left + WIDTH, 19, said.lines[0], said.size, SEMIBOLD, INK, "right")
    site = one_line(blank.site, WIDTH - width(said.lines[0], said.size, SEMIBOLD) - 6, 3.3, SEMIBOLD)
    pages.text(left, 19, site.lines[0], site.size, SEMIBOLD)


def _heading(blank: Blank, words: Words) -> list[tuple[float, Fitted, str]]:
    """What stands beside the square code, each with its top [mm] and weight: as high as its words are long."""
    _ = words
    made, y = [], 24.5
    for text, high, size, weight, least in (
        (_("Survey of hood %(hood)s") % {"hood": blank.tag}, 9, 8.4, BOLD, 3),
        (blank.place, 7, 4.4, REGULAR, 2.2),
        (_("For where no tablet may go. Nothing here is kept or judged until it is typed in (Start a survey, From paper) and signed."), 7, 3.6, SEMIBOLD, 2.2),
        (_("Asked by ‘%(criteria)s’ as on %(day)s, when this was printed.") % {"criteria": blank.criteria, "day": blank.printed}, 7, 3.2, REGULAR, 2.2),
    ):  # fmt: skip
        made.append((y, fit(text, ASIDE, high, size, least, weight), weight))
        y += made[-1][1].height + (2.6 if made[1:] else 3.2)
    return made


def _head(pages: Pages, blank: Blank, heading: list[tuple[float, Fitted, str]], left: float, dpi: int) -> None:
    for y, fitted, weight in heading:
        pages.fitted(left, y, fitted, weight)
    made = qr.code(blank.address)
    top = 24.5 - (27 - 27 * made.modules / made.field) / 2
    dark_left, dark = qr.draw(pages, blank.address, left + WIDTH - 27, top, 27, dpi, flush="right")
    pages.text(dark_left + dark / 2, 24.5 + dark + 5, blank.code, 3.4, BOLD, INK, "middle", spacing=0.15)


# --- what stands in the parts -----------------------------------------------------------------------------------------


def _section(part: Part, words: Words) -> Section:
    section = Section(f"{part.number}  {part.name}", joined=part.joined)
    waiting: list[Write] = []
    for item in (*part.items, None):
        if isinstance(item, Write):
            waiting.append(item)
            continue
        for first in range(0, len(waiting), 2):
            _add_writes(section, waiting[first : first + 2])
        waiting = []
        if isinstance(item, Say):
            section.lines(item.text, TEXT, 4.6, SEMIBOLD if item.strong else REGULAR, keep=item.keep)
        elif isinstance(item, Tick):
            _add_tick(section, item)
        elif isinstance(item, Lines):
            _add_lines(section, item)
        elif isinstance(item, Points):
            _add_points(section, item, words)
    return section


def _add_writes(section: Section, some: Sequence[Write]) -> None:
    """One or two things to write, side by side."""
    wide = (MEASURE - 6) / 2
    labels = [fit(one.label, 32, 9, TEXT, 2.2) for one in some]
    line = max(LINE, 2.4 + max(label.height for label in labels))
    helps = [wrap(one.help, wide, 2.5) if one.help else [] for one in some]

    def draw(pages: Pages, x: float, y: float) -> None:
        for number, one in enumerate(some):
            at = x + number * (wide + 6)
            pages.fitted(at, y + line - 2.4 - labels[number].height, labels[number])
            end = at + wide - (width(one.unit, TEXT) + 1.4 if one.unit else 0)
            pages.rule(at + 34, y + line - 1.6, end, thick=0.2, ink=EDGE)
            pages.text(at + wide, y + line - 2.4, one.unit, TEXT, REGULAR, INK, "right")
            pages.lines(at, y + line + 1.6, helps[number], 2.5, 3, ink=SOFT)

    section.add(line + 3 * max(map(len, helps)) + 0.6, draw)


def _add_tick(section: Section, item: Tick) -> None:
    """The question at the left, its answers at the right; under it where they are too many for that."""
    wides = [BOX + 1.2 + width(answer, SMALL) for answer in item.answers]
    under = (beside := sum(wides) + 3.5 * (len(wides) - 1)) > 78
    lines = wrap(item.question, MEASURE if under else MEASURE - beside - 5, TEXT)
    rows = _rows(wides, MEASURE) if under else [list(range(len(wides)))]

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.lines(x, y + 4.2, lines, TEXT, 4)
        top = y + (4 * len(lines) + 1.4 if under else 1)
        for number, row in enumerate(rows):
            at = x if under else x + MEASURE - beside
            for answer in row:
                pages.box(at, top + 6.2 * number, BOX, BOX, edge=INK, thick=0.25)
                pages.text(at + BOX + 1.2, top + 6.2 * number + 3.1, item.answers[answer], SMALL)
                at += wides[answer] + 3.5

    section.add(max(4 * len(lines) + (6.2 * len(rows) if under else 0), BOX) + 2.8, draw, item.keep)


def _rows(wides: Sequence[float], measure: float) -> list[list[int]]:
    """Which answers stand in which line."""
    rows: list[list[int]] = [[]]
    used = 0.0
    for number, wide in enumerate(wides):
        if rows[-1] and used + wide > measure:
            rows, used = [*rows, []], 0.0
        rows[-1].append(number)
        used += wide + 3.5
    return rows


def _add_lines(section: Section, item: Lines) -> None:
    def draw(pages: Pages, x: float, y: float) -> None:
        pages.text(x, y + 4.2, item.label, TEXT)
        for number in range(item.number):
            pages.rule(x, y + LINE * (number + 1.5), x + MEASURE, thick=0.2, ink=EDGE)

    section.add(LINE * (item.number + 0.5) + 2, draw)


def _add_points(section: Section, item: Points, words: Words) -> None:
    """The opening as its surveyor sees it: sash above, jambs at the sides, airfoil below, an empty box for each point."""
    _ = words
    tall = min(CELL_HIGH, 170 / item.rows)
    wide = min(CELL_WIDE, (MEASURE - 32) / item.columns)
    notes = wrap(item.note, MEASURE, SMALL)

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.text(x, y + 4.2, item.heading, TEXT, SEMIBOLD)
        left, right = x + 6, x + 6 + wide * item.columns
        for column in range(item.columns):
            pages.text(left + (column + 0.5) * wide, y + 9, str(column + 1), SMALL, REGULAR, SOFT, "middle")
        if item.edge_above:
            pages.box(left, y + 10, right - left, 5, fill=GLASS, edge=INK, thick=0.35)
            pages.text((left + right) / 2, y + 13.4, _("Sash, lower edge"), SMALL, REGULAR, SOFT, "middle")
        else:
            pages.text((left + right) / 2, y + 13.4, _("Upper edge of the opening"), SMALL, REGULAR, SOFT, "middle")
        top = y + 15.6
        pages.rule(left - 0.2, top - 0.3, right + 0.2, thick=1)
        if item.place:
            front(pages, x + MEASURE - ICON_WIDE * 2, y + 1, ICON_WIDE * 2, item.place, item.taken)
        for row in range(item.rows):
            pages.text(left - 1.6, top + (row + 0.5) * tall + 1, str(row + 1), SMALL, REGULAR, SOFT, "right")
            for column in range(item.columns):
                if item.free and not item.free[row * item.columns + column]:
                    hatched(pages, left + column * wide, top + row * tall, wide, tall)
                else:
                    pages.box(left + column * wide, top + row * tall, wide, tall, edge=EDGE, thick=0.25)
        bottom = top + item.rows * tall
        for edge in (left, right):
            pages.rule(edge, y + 10 if item.edge_above else top, edge, bottom, 0.6)
        pages.rule(left - 2, bottom, right + 2, thick=0.6)
        pages.rule(left, bottom + 1.1, right, thick=0.2)
        high = one_line(item.height, MEASURE - (right - x) - 3, SMALL)
        pages.text(right + 2.5, (top + bottom) / 2 + 1, high.lines[0], high.size, REGULAR, SOFT)
        pages.text((left + right) / 2, bottom + 4.8, item.width, SMALL, REGULAR, SOFT, "middle")
        pages.lines(x, bottom + 9, notes, SMALL, 3.4, ink=SOFT)

    section.add(15.6 + item.rows * tall + 7 + 3.4 * len(notes), draw)
