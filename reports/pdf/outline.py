"""The test of a paper before labels are printed on it: where each label would stand, and lines to hold a ruler to."""

from __future__ import annotations

from reports.core.sheets import Sheet, on_dot_mm
from reports.pdf.style import BLACK, BOLD, REGULAR, Pages, Words, fit, same
from surveys.core.messages import gettext_noop

LINES = ((100.0, "100 mm"), (101.6, "4 in"))  # what a ruler of either kind shows
THICK = 2  # dots: seen, and of the same breadth everywhere
TICK = 3.0  # how high the ends of a measuring line stand [mm]
CENTRE = 7.0  # the size of the number of a place [mm]


def outline(sheet: Sheet, name: str, dpi: int, words: Words = same, language: str = "en") -> bytes:
    """One page of the paper, to be printed as labels are: at actual size, on the label printer or on plain paper."""
    paper = (sheet.page_width, sheet.page_height)
    pages = Pages(paper, title=words("Outline test: %(paper)s") % {"paper": name}, language=language)
    for number in range(sheet.per_page):
        x, y = sheet.box(number)
        _frame(pages, x, y, sheet.label_width, sheet.label_height, dpi)
        if not sheet.is_roll:
            _number(pages, x, y, sheet, number + 1)
    (_roll if sheet.is_roll else _sheet)(pages, sheet, name, dpi, words)
    return pages.finish()


def _frame(pages: Pages, x: float, y: float, wide: float, high: float, dpi: int) -> None:
    """The edge of a label, drawn inside it, each stroke of whole dots."""
    left, top, right, bottom = (on_dot_mm(each, dpi) for each in (x, y, x + wide, y + high))
    thick = THICK * 25.4 / dpi
    pages.box(left, top, right - left, thick, fill=BLACK)
    pages.box(left, bottom - thick, right - left, thick, fill=BLACK)
    pages.box(left, top, thick, bottom - top, fill=BLACK)
    pages.box(right - thick, top, thick, bottom - top, fill=BLACK)


def _number(pages: Pages, x: float, y: float, sheet: Sheet, number: int) -> None:
    middle = y + sheet.label_height / 2 + 0.33 * CENTRE
    pages.text(x + sheet.label_width / 2, middle, str(number), CENTRE, REGULAR, BLACK, "middle")


def _line(pages: Pages, x: float, y: float, long: float, dpi: int) -> None:
    """A measuring line: from the outer edge of its left end to the outer edge of its right one."""
    thick = THICK * 25.4 / dpi
    left, right, top = on_dot_mm(x, dpi), on_dot_mm(x + long, dpi), on_dot_mm(y, dpi)
    pages.box(left, top, right - left, thick, fill=BLACK)
    for end in (left, right - thick):
        pages.box(end, top - on_dot_mm(TICK / 2, dpi), thick, on_dot_mm(TICK, dpi), fill=BLACK)


def _sheet(pages: Pages, sheet: Sheet, name: str, dpi: int, words: Words) -> None:
    """On a sheet the lines stand in the margin above the labels, what to do in the one below."""
    _ = words
    left = sheet.left + 12
    for place, (long, said) in enumerate(LINES):
        y = sheet.top / 2 + (place - 0.4) * 5
        _line(pages, left, y, long, dpi)
        caption = _("%(long)s between the ends") % {"long": said}
        if place == 0:
            caption += _("; %(paper)s, printed at %(dpi)s dots an inch") % {"paper": name, "dpi": dpi}
        fitted = fit(caption, sheet.page_width - left - long - 10, 2.4, 2.6, 1.4)
        pages.fitted(left + long + 3, y - fitted.height / 2, fitted, ink=BLACK)
    text = " ".join(_(each) for each in SHEET_STEPS)
    room = sheet.page_height - sheet.top - sheet.rows * sheet.label_height - (sheet.rows - 1) * sheet.gap_y
    fitted = fit(text, sheet.page_width - 2 * left, room - 6.5, 2.8, 1.6)
    pages.fitted(left, sheet.page_height - room + 2.4, fitted, ink=BLACK)


def _roll(pages: Pages, sheet: Sheet, name: str, dpi: int, words: Words) -> None:
    """On a roll everything stands inside the one label."""
    _ = words
    x, y = sheet.box(0)
    inside = 1.0
    _frame(pages, x + inside, y + inside, sheet.label_width - 2 * inside, sheet.label_height - 2 * inside, dpi)
    title = _("Outline test: %(paper)s, printed at %(dpi)s dots an inch") % {"paper": name, "dpi": dpi}
    pages.fitted(x + 5, y + 4.2, fit(title, sheet.label_width - 10, 4, 3.2, 1.6, BOLD), BOLD, BLACK)
    for place, (long, said) in enumerate(LINES):
        at = y + 12.5 + place * 7.5
        if long <= sheet.page_width:
            _line(pages, (sheet.page_width - long) / 2, at, long, dpi)
            caption = _("%(long)s between the ends") % {"long": said}
        else:
            caption = _("A line of %(long)s is longer than this label.") % {"long": said}
        pages.fitted(x + 5, at + 1.9, fit(caption, sheet.label_width - 10, 3, 2.6, 1.4), ink=BLACK)
    text = " ".join(_(each) for each in ROLL_STEPS)
    pages.fitted(x + 5, y + 28, fit(text, sheet.label_width - 10, 18, 2.8, 1.4), ink=BLACK)


#: What to do, for the page itself and for the page that leads to it; translated where they are shown.
SHEET_STEPS = (
    gettext_noop("Print this on plain paper at actual size and hold it against the sheet of labels."),
    gettext_noop("A line too long or too short: the print was scaled; choose actual size (100\u00a0%), without fitting to the page."),
    gettext_noop("Every frame off by the same way: move the paper’s guides, or set the printer’s offset by that way."),
    gettext_noop("Frames that fall behind more from label to label: the sheet is of another kind; choose another paper."),
)  # fmt: skip
ROLL_STEPS = (
    gettext_noop("The outer frame is the edge of the label, the inner one stands 1 mm inside it; all four sides of the inner one must be there."),
    gettext_noop("A line too long or too short: set the label’s size in the printer and print at actual size."),
    gettext_noop("A frame off by the same way each time: set the printer’s offset, and let it find the gap between labels anew."),
)  # fmt: skip
