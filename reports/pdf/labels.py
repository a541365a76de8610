"""The label on a hood's sash, 100 by 50 mm, in one ink; alone or on a sheet of labels."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from reports.core.sheets import Sheet
from reports.pdf import qr
from reports.pdf.label_facts import LEAST, Fact, row
from reports.pdf.style import (
    BLACK,
    BOLD,
    CAP_HEIGHT,
    REGULAR,
    SEMIBOLD,
    WHITE,
    Pages,
    Words,
    fit,
    month,
    one_line,
    same,
    shown,
    width,
    wrap,
)

WIDE, HIGH = 100.0, 50.0  # [mm]
LEFT, RIGHT = 3.0, 97.0
ASIDE = 69.5  # where the column of the code begins
CODE_HEIGHT = 4.1  # of its capital letters: read by eye where no camera is at hand


@dataclass(frozen=True)
class Label:
    """What one label says. Measures come as words, in both units: '457 mm (18 in)'."""

    status: Literal["met-criteria", "restricted"]
    sash: str | None  # the height up to which the hood may be used; None where its openings differ in another way
    measured_from: Literal["airfoil", "work-surface"]
    tag: str
    room: str
    tested_on: date
    initials: str
    average: str
    average_height: str
    criteria: str
    issue: int
    code: str
    address: str
    caution: str
    due: date | None = None
    use: str | None = None  # the words of a restriction of use
    not_openings: str | None = None  # the openings that may not be used, by name
    openings: tuple[str, ...] = ()  # how far each may be open, a line each, where no one height says it
    from_paper: bool = False  # typed in from paper
    is_lowest: bool = False  # the average is the lowest of several openings


def label(label: Label, dpi: int, words: Words = same, language: str = "en") -> bytes:
    """One label on a page of its own size."""
    pages = _begin((WIDE, HIGH), [label], words, language)
    _draw(pages, label, 0, 0, dpi, words)
    return pages.finish()


def label_sheet(
    labels: Sequence[Label], sheet: Sheet, start: int, dpi: int, words: Words = same, language: str = "en"
) -> bytes:
    """Labels in their order on sheets, the first at place `start` of the first sheet, counted from 1 as on the paper."""
    if not labels:
        raise ValueError("a sheet needs at least one label")
    pages = _begin((sheet.page_width, sheet.page_height), labels, words, language)
    page = 0
    for each, place in zip(labels, sheet.places(len(labels), start), strict=True):
        if place.page > page:
            pages.next_page()
            page = place.page
        _draw(pages, each, place.x, place.y, dpi, words)
    return pages.finish()


def _begin(paper: tuple[float, float], labels: Sequence[Label], words: Words, language: str) -> Pages:
    _ = words
    tags = ", ".join(each.tag for each in labels)
    title = _("Hood label %(tags)s") if len(labels) == 1 else _("Hood labels %(tags)s")
    return Pages(paper, title=title % {"tags": tags}, language=language)


def day(on: date, words: Words = same) -> str:
    """A day whose order cannot be misread, the year first: 2027 MAR 12."""
    return f"{on.year} {month(on.month, words)} {on.day}"


def _draw(pages: Pages, label: Label, x: float, y: float, dpi: int, words: Words) -> None:
    pages.double_rule(x + LEFT, y + 3.2, x + RIGHT, ink=BLACK)
    _state(pages, label, x, y, words)
    _code(pages, label, x, y, dpi)
    pages.rule(x + LEFT, y + 33.1, x + RIGHT, thick=0.22, ink=BLACK)
    _facts(pages, label, x, y, words)
    pages.rule(x + LEFT, y + 45.9, x + RIGHT, thick=0.22, ink=BLACK)
    caution = f"{_transcribed(label, words)}{label.caution}"
    pages.fitted(x + LEFT, y + 46.65, fit(caution, RIGHT - LEFT, 2.2, 2.5, 0.9), ink=BLACK)


def _transcribed(label: Label, words: Words) -> str:
    """That it was measured with pen and paper, before the caution; in a word where the line has no room for more."""
    _ = words
    if not label.from_paper:
        return ""
    told = _("Transcribed from paper.")
    fits = fit(f"{told} {label.caution}", RIGHT - LEFT, 2.2, 2.5, LEAST).fits
    return f"{told if fits else _('From paper.')} "


def _state(pages: Pages, label: Label, x: float, y: float, words: Words) -> None:
    """The status as word and shape, the sash height, what the hood may not be used for."""
    _ = words
    measure = ASIDE - LEFT
    if label.status == "restricted":
        pages.box(x + LEFT, y + 5.9, measure, 9.6, fill=BLACK)
        pages.shape("restricted", x + LEFT + 1.4, y + 6.5, 8.4, WHITE)
        word = one_line(_("RESTRICTED"), measure - 13, 7.2, BOLD)
        pages.text(x + LEFT + 11.4, y + 10.7 + CAP_HEIGHT * word.size / 2, word.lines[0], word.size, BOLD, WHITE)
    else:
        pages.shape("met-criteria", x + LEFT, y + 6.2, 9, BLACK)
        word = one_line(_("MET CRITERIA"), measure - 11.5, 7.4, BOLD)
        pages.text(x + LEFT + 11.2, y + 10.7 + CAP_HEIGHT * word.size / 2, word.lines[0], word.size, BOLD, BLACK)
    limits = _limits(label, _)
    if label.openings:
        _openings_in(pages, [*label.openings, *([limits] if limits else [])], x + LEFT, y + 17.2, measure, _)
        return
    if label.sash is None:
        _limits_in(pages, limits, x + LEFT, y + 17.4, measure, 14.6, 5.2, _)
        return
    above = _("above the airfoil") if label.measured_from == "airfoil" else _("above the work surface")
    if limits and not fit(limits, measure, 5.6, 3.5, LEAST, BOLD).fits:
        sash = f"{_('with the sash at or below')} {label.sash} {above}"
        _openings_in(pages, [sash, limits], x + LEFT, y + 17.2, measure, _)
        return
    pages.text(x + LEFT, y + 19.1, _("with the sash at or below"), 3.6, REGULAR, BLACK)
    if not limits:
        height = one_line(label.sash, measure, 8.8, BOLD)
        pages.text(x + LEFT - 0.3, y + 26.7, height.lines[0], height.size, BOLD, BLACK)
        pages.text(x + LEFT, y + 31.95, above, 3.2, REGULAR, BLACK)  # clear of the brackets above it
        return
    height = one_line(label.sash, measure - 17, 6.6, BOLD)
    pages.text(x + LEFT - 0.2, y + 24.9, height.lines[0], height.size, BOLD, BLACK)
    beside = LEFT + width(label.sash, height.size, BOLD) + 1.6
    pages.fitted(x + beside, y + 20.5, fit(above, ASIDE - beside, 4.5, 2.6, 1.6), ink=BLACK)
    _limits_in(pages, limits, x + LEFT, y + 26.4, measure, 5.6, 3.5, _)


def _limits(label: Label, words: Words) -> str:
    _ = words
    parts = []
    if label.not_openings:
        parts.append(_("%(openings)s not to be used") % {"openings": label.not_openings})
    if label.use:
        parts.append(label.use)
    together = "; ".join(parts)
    return _("and %(restriction)s") % {"restriction": together} if together and label.sash else together


def _limits_in(
    pages: Pages, limits: str, x: float, y: float, measure: float, room: float, largest: float, words: Words
) -> None:
    _ = words
    fitted = fit(limits, measure, room, largest, LEAST, BOLD)
    if not fitted.fits:
        fitted = fit(_("and more that does not fit here: scan the code before use"), measure, room, largest, LEAST, BOLD)
    pages.fitted(x, y, fitted, BOLD, BLACK)


ROOM, BETWEEN, INDENT = 15.2, 0.15, 0.6  # of the lines: their height [mm]; what parts and what indents them, of their type
MARK = "•"  # before each of several lines, where one of them is carried on


def _openings_in(pages: Pages, lines: Sequence[str], x: float, y: float, measure: float, words: Words) -> None:
    """How far each sash may be open: each line in type as large as all can have, carried on under its begin where it is long."""
    size = 4.6
    while size > LEAST and _high(lines, measure, size) > ROOM:
        size = max(LEAST, size - 0.05)
    if _high(lines, measure, size) > ROOM:
        _limits_in(pages, "; ".join(lines), x, y, measure, ROOM, 3.5, words)
        return
    down, told = y + 0.86 * size, _carried_on(lines, measure, size)
    marked = _is_marked(told)
    for line in told:
        if marked:
            pages.text(x, down, MARK, size, BOLD, BLACK)
        for each in line:
            pages.text(x + INDENT * size * marked, down, shown(each), size, BOLD, BLACK)
            down += 1.14 * size
        down += BETWEEN * size


def _carried_on(lines: Sequence[str], measure: float, size: float) -> list[list[str]]:
    """Each line in as many as it takes; of several the begin of each is marked as soon as one is carried on."""
    whole = [wrap(line, measure, size, BOLD) for line in lines]
    return [wrap(line, measure - INDENT * size, size, BOLD) for line in lines] if _is_marked(whole) else whole


def _is_marked(told: Sequence[list[str]]) -> bool:
    return len(told) > 1 and any(len(line) > 1 for line in told)


def _high(lines: Sequence[str], measure: float, size: float) -> float:
    number = sum(len(line) for line in _carried_on(lines, measure, size))
    return (1.14 * number + BETWEEN * (len(lines) - 1)) * size


def _code(pages: Pages, label: Label, x: float, y: float, dpi: int) -> None:
    """The square code and, under it, the same code in letters."""
    room = 23.2
    left, dark = qr.draw(pages, label.address, x + RIGHT - room, y + 4.5, room, dpi, flush="right")
    measure = RIGHT - ASIDE - 1
    size, spacing = CODE_HEIGHT / CAP_HEIGHT, 0.12
    wide = width(label.code, size, BOLD) + spacing * len(shown(label.code))
    pages.text(
        x + RIGHT, y + 31.95, label.code, size, BOLD, BLACK, "right", spacing=spacing, squeeze=min(1, measure / wide)
    )


def _facts(pages: Pages, label: Label, x: float, y: float, words: Words) -> None:
    """Two rows of facts, each under its small heading."""
    _ = words
    tested = f"{day(label.tested_on, words)}, {label.initials}"
    due = day(label.due, words) if label.due else "–"
    velocity = _("%(average)s at %(height)s") % {"average": label.average, "height": label.average_height}
    first = (
        Fact(_("Hood"), label.tag, 3.6, BOLD, gives_way=True),
        Fact(_("Room"), label.room, 3.1, SEMIBOLD, gives_way=True),
        Fact(_("Tested on, by"), tested, 3.1),
        Fact(_("Due"), due, 3.6, BOLD),
    )
    second = (
        Fact(_heading(label, words), velocity, 3.1),
        Fact(_("Criteria"), label.criteria, 3.1, gives_way=True),
        Fact(_("Label issue"), _("no. %(issue)s") % {"issue": label.issue}, 3.1),
    )
    row(pages, first, x + LEFT, y + 34.0, RIGHT - LEFT)
    row(pages, second, x + LEFT, y + 40.0, RIGHT - LEFT)


def _heading(label: Label, words: Words) -> str:
    """What the average is of: of several openings the lowest is told."""
    _ = words
    if label.is_lowest:
        return _("Lowest average velocity, at opening")
    return _("Average velocity, at opening") if label.openings else _("Average velocity, at sash height")
