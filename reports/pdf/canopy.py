"""The sign that hangs on a canopy instead of a label: what it is not for."""

from dataclasses import dataclass

from reports.pdf import qr
from reports.pdf.style import (
    BOLD,
    CAP_HEIGHT,
    INK,
    PAPERS,
    REGULAR,
    SEMIBOLD,
    SOFT,
    Pages,
    Words,
    fit,
    one_line,
    same,
    width,
)


@dataclass(frozen=True)
class CanopySign:
    """What the sign says."""

    tag: str
    place: str
    site: str
    surveyed: str  # the day of the last survey
    due: str  # of the next one; empty where none is known
    telephone: str
    code: str
    address: str


def canopy_sign(
    sign: CanopySign, paper: str = "A4", dpi: int = 300, words: Words = same, language: str = "en"
) -> bytes:
    """The sign on one page of A4 or Letter."""
    _ = words
    wide, high = PAPERS[paper]
    title = _("Not for hazardous vapours: canopy %(tag)s") % {"tag": sign.tag}
    pages = Pages((wide, high), title=title, language=language)
    left, right = (wide - 180) / 2, (wide + 180) / 2
    pages.double_rule(left, 15, right, scale=1.6)
    pages.shape("restricted", left - 2, 23, 56, INK)
    big = fit(_("NOT FOR HAZARDOUS VAPOURS"), right - left - 62, 58, 20, 9, BOLD)
    pages.fitted(left + 62, 51 - big.height / 2, big, BOLD)
    pages.rule(left, 86, right, thick=0.5)
    tag = fit(sign.tag, 78, 14, 18, 5, BOLD)
    pages.fitted(left, 98.6 - tag.height / 2, tag, BOLD)
    pages.fitted(left + 81, 91.2, fit(sign.place, right - left - 81, 8, 7, 2))
    pages.fitted(left + 81, 101.8, fit(sign.site, right - left - 81, 6, 7, 2), ink=SOFT)
    _rows(pages, sign, left, right, words)
    _foot(pages, sign, left, right, high, dpi, words)
    return pages.finish()


def _rows(pages: Pages, sign: CanopySign, left: float, right: float, words: Words) -> None:
    """What it is for, what it is not for, and whom to ask."""
    _ = words
    ask = _("Safety office, call %(telephone)s") % {"telephone": sign.telephone}
    rows = [
        (_("For"), _("Heat and steam alone."), SEMIBOLD),
        (_("Never for"), _("Hazardous vapours, gases or dust: they pass your face before they reach it. Work with them in a fume hood."), REGULAR),
        (_("Label"), _("A canopy has none. Take off any that hangs here."), REGULAR),
        (_("Surveyed"), sign.surveyed + (_("; next survey due %(day)s") % {"day": sign.due} if sign.due else ""), REGULAR),
        (_("Questions"), ask, SEMIBOLD),
    ]  # fmt: skip
    y = 115.0
    for heading, text, weight in rows:
        fitted = fit(text, right - left - 41, 24, 5.6, 2.4, weight)
        pages.rule(left, y, right, thick=0.25)
        first = y + 3.6 + CAP_HEIGHT * fitted.size
        pages.text(left, first, heading, 5, REGULAR, SOFT)
        pages.lines(left + 41, first, fitted.lines, fitted.size, fitted.leading, weight)
        y += fitted.height + 7.4
    pages.rule(left, y, right, thick=0.5)


def _foot(pages: Pages, sign: CanopySign, left: float, right: float, high: float, dpi: int, words: Words) -> None:
    _ = words
    top = high - 56
    made = qr.code(sign.address)
    room = 36 * made.field / made.modules
    dark_left, dark = qr.draw(pages, sign.address, left, top - (room - 36) / 2, room, dpi, flush="left")
    letters = 4.6 / CAP_HEIGHT
    squeeze = min(1, 38 / (width(sign.code, letters, BOLD) + 0.2 * len(sign.code)))
    pages.text(dark_left + dark / 2, top + 43.5, sign.code, letters, BOLD, INK, "middle", spacing=0.2, squeeze=squeeze)
    for place, said in enumerate(
        (_("The rules of this site and its safety office come first."), _("Scan the code for its state today."))
    ):
        line = one_line(said, right - left - 43, 5.2)
        pages.text(left + 43, top + 8 + 8 * place, line.lines[0], line.size)
