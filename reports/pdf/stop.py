"""The 'Do not use' sign that hangs on a hood."""

from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from reports.pdf import qr
from reports.pdf.style import (
    BOLD,
    CAP_HEIGHT,
    INK,
    PAPERS,
    REGULAR,
    SEMIBOLD,
    SOFT,
    STOP,
    Fitted,
    Pages,
    Words,
    fit,
    month,
    one_line,
    same,
    shown,
    width,
)  # fmt: skip
from surveys.core.cautions import caution


@dataclass(frozen=True)
class StopSign:
    """What the sign says. A row whose words are missing is left out, save the reason and whom to call."""

    tag: str
    place: str  # 'North Range, room 2.14'
    site: str
    reason: str
    since: str  # '24 MAR 2026, 09:40'
    telephone: str
    code: str
    address: str
    posted_by: str | None = None
    repair_by: str | None = None
    emergency: str | None = None  # what to do, in the site's own words
    number: int | None = None  # of the signs of this hood
    sash: str = "vertical"  # its kind


def moment(at: datetime, zone: str, words: Words = same) -> str:
    """A moment by the site's clock: 24 MAR 2026, 09:40."""
    local = at.astimezone(ZoneInfo(zone))
    return f"{local.day} {month(local.month, words)} {local.year}, {local:%H:%M}"


def stop_sign(sign: StopSign, paper: str = "A4", dpi: int = 300, words: Words = same, language: str = "en") -> bytes:
    """The sign on one page of A4 or Letter."""
    _ = words
    wide, high = PAPERS[paper]
    pages = Pages((wide, high), title=_("Do not use hood %(tag)s") % {"tag": sign.tag}, language=language)
    left, right = (wide - 180) / 2, (wide + 180) / 2
    pages.double_rule(left, 15, right, scale=1.6)
    _head(pages, sign, left, right, _)
    y = _rows(pages, sign, left, right, high - 98, _)
    _foot(pages, sign, left, right, y, high, dpi, _)
    return pages.finish()


def _head(pages: Pages, sign: StopSign, left: float, right: float, words: Words) -> None:
    _ = words
    pages.shape("do-not-use", left - 2, 23, 56, STOP)
    big = fit(_("DO NOT USE"), right - left - 60, 50, 31, 12, BOLD)
    pages.lines(left + 60, 48.5 if len(big.lines) > 1 else 60, big.lines, big.size, 28.5 / 31 * big.size, BOLD)
    pages.rule(left, 86, right, thick=0.5)
    tag = fit(sign.tag, 78, 14, 18, 5, BOLD)
    pages.fitted(left, 98.6 - tag.height / 2, tag, BOLD)
    aside = left + 81
    place = fit(sign.place, right - aside, 8, 7, 2)
    pages.fitted(aside, 91.2, place)
    site = fit(sign.site, right - aside, 6, 7, 2)
    pages.fitted(aside, 101.8, site, ink=SOFT)


def _rows(pages: Pages, sign: StopSign, left: float, right: float, end: float, words: Words) -> float:
    """Why, since when, who mends it, whom to call; in smaller type where the reason is long."""
    _ = words
    since = (
        _("%(moment)s, posted by %(person)s") % {"moment": sign.since, "person": sign.posted_by}
        if sign.posted_by
        else sign.since
    )
    rows = [
        (_("Why"), sign.reason, REGULAR),
        (_("Since"), since, SEMIBOLD),
        *([(_("Repair by"), sign.repair_by, REGULAR)] if sign.repair_by else []),
        (_("Questions"), _("Safety office, call %(telephone)s") % {"telephone": sign.telephone}, SEMIBOLD),
    ]
    top, measure, size = 115.0, right - left - 41, 5.6
    while True:
        fitted = [fit(text, measure, 1000, size, size, weight) for _heading, text, weight in rows]
        spare = end - top - sum(each.height + 0.9 * size + 2 for each in fitted)
        if spare >= 0 or size <= 2:
            break
        size -= 0.2
    if spare < 0:
        fitted[0] = _cut(fitted[0], spare, _("There is more: see the page behind the code."))
    padding = 0.9 * size + 2 + max(0, min(4, spare / len(rows)))
    y = top
    for (heading, _text, weight), each in zip(rows, fitted, strict=True):
        pages.rule(left, y, right, thick=0.25)
        first = y + padding / 2 + CAP_HEIGHT * size
        pages.text(left, first, heading, min(5, size), REGULAR, SOFT)
        pages.lines(left + 41, first, each.lines, each.size, each.leading, weight)
        y += each.height + padding
    pages.rule(left, y, right, thick=0.5)
    return y


def _cut(fitted: Fitted, spare: float, more: str) -> Fitted:
    """Fewer lines, and a last one that says so."""
    kept = max(1, len(fitted.lines) - 1 - int(-spare / fitted.leading) - 1)
    return replace(fitted, lines=(*fitted.lines[:kept], more))


def _without(heading: str, said: str) -> str:
    """What stands under a heading, where it begins with the heading itself: without it."""
    if not said.lower().startswith(f"{heading}:".lower()):
        return said
    rest = said[len(heading) + 1 :].strip()
    return rest[:1].upper() + rest[1:] or said


def _foot(
    pages: Pages, sign: StopSign, left: float, right: float, y: float, high: float, dpi: int, words: Words
) -> None:
    _ = words
    top = high - 56
    sentences = [
        (_(caution("shut", sign.sash)), SEMIBOLD),
        (_("If something is running inside: call the safety office before you touch it."), REGULAR),
        (_("Only a surveyor takes this sign down, after a signed survey that lets the hood be used."), REGULAR),
    ]
    first = y + 5.5 + (top - y - 5.5 - 20) / 2.6
    for place, (sentence, weight) in enumerate(sentences):
        line = one_line(sentence, right - left, 5.5, weight)
        pages.text(left, first + 8.4 * place, line.lines[0], line.size, weight)
    made = qr.code(sign.address)
    room = 36 * made.field / made.modules
    dark_left, dark = qr.draw(pages, sign.address, left, top - (room - 36) / 2, room, dpi, flush="left")
    letters = 4.6 / CAP_HEIGHT
    wide = width(sign.code, letters, BOLD) + 0.2 * len(shown(sign.code))
    pages.text(
        dark_left + dark / 2,
        top + 43.5,
        sign.code,
        letters,
        BOLD,
        INK,
        "middle",
        spacing=0.2,
        squeeze=min(1, 38 / wide),
    )
    aside = left + 43
    pages.box(aside, top + 0.5, right - aside, 34.5, edge=STOP, thick=1)
    emergency = sign.emergency or _("Leave the room, close the door, call %(telephone)s.") % {
        "telephone": sign.telephone
    }
    heading = _("Fire, spill or injury")
    emergency = _without(heading, emergency)
    fitted = fit(emergency, right - aside - 14, 20, 6.4, 1.8)
    if not fitted.fits:
        fitted = fit(
            _("Do as this site's own instructions say; call %(telephone)s.") % {"telephone": sign.telephone},
            right - aside - 14,
            20,
            6.4,
            1.8,
        )
    first = top + 0.5 + (34.5 - fitted.height - 9) / 2
    pages.text(aside + 7, first + CAP_HEIGHT * 7, heading, 7, BOLD)
    pages.fitted(aside + 7, first + 9, fitted)
    note = _("Scan the code for its state today.")
    if sign.number:
        note = _("Sign no. %(number)s of this hood. Scan the code for its state today.") % {"number": sign.number}
    pages.text(aside, top + 43.5, note, 4.2, REGULAR, SOFT)
