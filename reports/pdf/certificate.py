"""The certificate or report of a signed survey, printed from its record: nothing is judged here, and nothing looked up."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from reports.pdf import flow, parts, qr
from reports.pdf.flow import WIDTH
from reports.pdf.judgements import SHAPE_OF
from reports.pdf.style import (
    BOLD,
    INK,
    PAPERS,
    REGULAR,
    SEMIBOLD,
    SOFT,
    WHITE,
    Fitted,
    Pages,
    Words,
    fit,
    one_line,
    same,
    width,
    wrap,
)
from reports.pdf.velocity import panels
from reports.pdf.wording import Wording, plain
from surveys.core import title as titles
from surveys.core.units import both

Record = Mapping[str, Any]

CLOSEST = 0.77  # of the usual leading: set so close, an ordinary survey stays on one page
MARGIN = 10.0  # under the last line [mm]
ASIDE = 150.0  # how wide words may stand beside the square code [mm]


@dataclass(frozen=True)
class Amended:
    """What became of a survey after it was signed: another amends it. The state of the print, and no part of its record."""

    record: int  # the one that amends it
    signed_on: str  # the site's day
    stands: bool = False  # an amendment without a verdict takes no failure away

    def said(self, wording: Wording) -> str:
        _ = wording
        values = {"record": self.record, "day": wording.day(self.signed_on)}
        if self.stands:
            return _("Amended by record %(record)s on %(day)s, which has no verdict: this failure stands") % values
        return _("Superseded by record %(record)s on %(day)s: do not go by this page") % values


def certificate(
    record: Record,
    sha256: str,
    address: str,
    words: Words = same,
    paper: str = "A4",
    *,
    codes: Callable[[str, str], str] = plain,
    language: str = "en",
    dpi: int = 300,
    amended: Amended | None = None,
) -> bytes:
    """The document of one signed survey: the same bytes for the same record, as long as nothing amends it.

    `record` is the content of the record, `sha256` the hash of its canonical bytes, `address` what the square code leads
    to. `words` translates a sentence; `codes(kind, code)` has the words for a code. `amended` marks every page.
    """
    wording = Wording(words, codes, language)
    said = title(record, wording, amended)
    pages = Pages(PAPERS[paper], title=f"{said}: {record['facts']['hood']['tag']}", language=language)
    draw(pages, record, sha256, address, wording, dpi, amended)
    return pages.finish()


def draw(
    pages: Pages, record: Record, sha256: str, address: str, wording: Wording, dpi: int = 300,
    amended: Amended | None = None,
) -> None:  # fmt: skip
    """The document from the page that is open on, which is blank, to the last of its own, which is left open."""
    head = Head(record, address, wording, amended)
    left = (pages.width - WIDTH) / 2
    placed = _laid_out(record, sha256, head.bottom, pages.height - MARGIN, wording)
    for number, some in enumerate(placed, 1):
        if number > 1:
            pages.next_page()
        if amended:
            _band(pages, left, amended.said(wording))
        _running_head(pages, record, left, number, len(placed), wording)
        if number == 1:
            head.draw(pages, left, dpi)
        else:
            again = fit(f"{head.said}: {head.hood}, {head.place}", WIDTH, 8, 4, 0.8, SEMIBOLD)
            pages.fitted(left, 24.4, again, SEMIBOLD)
        flow.draw(pages, some, left, wording("(continued)"))


def _laid_out(record: Record, sha256: str, first: float, bottom: float, wording: Wording) -> list[list[flow.Placed]]:
    """On one page where it fits, set closer if need be, and no closer than needed; else on as many as it takes."""
    drawings = panels(record, wording)

    def at(density: float) -> list[list[flow.Placed]]:
        return flow.paginate(
            parts.sections(record, sha256, drawings, density, wording), first, 35, bottom, wording("(continued)")
        )

    usual = at(1)
    if len(usual) == 1:
        return usual
    closest = at(CLOSEST)
    if len(closest) > 1:
        return usual
    low, high = flow.height(closest), flow.height(usual)
    between = at(CLOSEST + (1 - CLOSEST) * 0.97 * (bottom - first - low) / max(high - low, 1))
    return between if len(between) == 1 else closest


def _running_head(pages: Pages, record: Record, left: float, number: int, of: int, wording: Wording) -> None:
    _ = wording
    pages.double_rule(left, 14, left + WIDTH)
    said = _("Record %(record)s, page %(page)s of %(pages)s") % {
        "record": record["number"],
        "page": number,
        "pages": of,
    }
    pages.text(left + WIDTH, 21.4, said, 3.3, REGULAR, SOFT, "right")
    site = fit(record["facts"]["site"]["name"], WIDTH - width(said, 3.3) - 6, 3.2, 3.3, 0.6, SEMIBOLD)
    pages.fitted(left, 21.4 - site.height, site, SEMIBOLD)


def _band(pages: Pages, left: float, said: str) -> None:
    """Over the head of each page, in the reverse of ink: nobody takes the page for one that holds."""
    pages.box(left, 6, WIDTH, 6.4, fill=INK)
    one = one_line(said, WIDTH - 6, 3.8, BOLD)
    pages.text(left + 3, 10.5, one.lines[0], one.size, BOLD, WHITE)


def title(record: Record, wording: Wording, amended: Amended | None = None) -> str:
    """What the document is called: a certificate only where the criteria were met, a restriction in its title."""
    if amended is not None and not amended.stands:
        return wording("Superseded: %(title)s") % {"title": title(record, wording)}
    judged = record["judged"]
    values = {"restriction": parts.restriction(record, wording)}
    return wording.sentence(titles.title(judged["verdict"]).as_dict() | {"values": values})


def _parted(said: str) -> Fitted:
    """A long title breaks after its colon first."""
    one = fit(said, ASIDE, 6, 8.4, 7.6, BOLD)
    if one.fits or ": " not in said:
        return one if one.fits else fit(said, ASIDE, 14, 7.6, 3.4, BOLD)
    first, rest = said.split(": ", 1)
    size = 7.4
    while True:
        lines = (*wrap(f"{first}:", ASIDE, size, BOLD), *wrap(rest, ASIDE, size, BOLD))
        fitted = Fitted(lines, size, 1.14 * size)
        if fitted.height <= 14.5 or size <= 3:
            return fitted
        size -= 0.2


class Head:
    """The head of the first page: what it is, of which hood, and the answer in two lines beside its shape."""

    def __init__(self, record: Record, address: str, wording: Wording, amended: Amended | None = None):
        _ = wording
        facts = record["facts"]
        self.record, self.address, self.wording, self.amended = record, address, wording, amended
        self.said = title(record, wording, amended)
        self.hood = facts["hood"]["tag"]
        place = facts["place"]
        room = _("room %(room)s") % {"room": place["room"]} if place["room"] else ""
        self.place = ", ".join(each for each in (place["building"], room, place.get("room_name")) if each)
        self.title = _parted(self.said)
        self.line = 25.9 + self.title.height + 7.2
        self.answers = [fit(text, ASIDE - 14, 12, 4.8, 2.6, BOLD) for text in self._answers() if text]
        self.bottom = max(54.5, self.line + 4.2 + sum(each.height + 2.5 for each in self.answers) + 1.8)

    def _answers(self) -> list[str]:
        """What the paper answers; of a survey that is superseded, that first, and then what it had said."""
        if self.amended is None or self.amended.stands:
            return self._found()
        said = {"answer": self._found()[0]}
        return [self.amended.said(self.wording), self.wording("It had said: %(answer)s") % said]

    def _found(self) -> list[str]:
        _ = self.wording
        record, judged = self.record, self.record["judged"]
        values = {
            "criteria": record["criteria"]["set"],
            "version": record["criteria"]["version"],
            "day": self.wording.day(record["survey"]["done_on"]),
        }
        if judged["verdict"] == "pass":
            return [_("Met ‘%(criteria)s’, version %(version)s, on %(day)s") % values, self._sash()]
        if judged["verdict"] == "restrict":
            use = (judged["restriction"] or {}).get("use")
            met = _("Met ‘%(criteria)s’, version %(version)s, on %(day)s, restricted") % values
            return [met, self._sash(), use or ""]
        if judged["verdict"] == "fail":
            return [
                _("Did not meet ‘%(criteria)s’, version %(version)s, on %(day)s") % values,
                _("Do not use this hood"),
            ]
        said = _("No verdict by ‘%(criteria)s’, version %(version)s, on %(day)s") % values
        return [said, _("This changes nothing: the label or sign on the hood decides")]

    def _sash(self) -> str:
        """Up to which height, or at which openings, the hood may be used."""
        _ = self.wording
        record = self.record
        height, lines = parts.approved_height(record), parts.approved_lines(record, self.wording)
        if lines or not height:  # of a vertical sash there are lines where the height hangs on more than the sash
            return "; ".join(lines)
        above = _("the airfoil") if record["facts"]["site"]["height_from"] == "airfoil" else _("the work surface")
        return _("with the sash at or below %(height)s above %(edge)s") % {"height": both(height), "edge": above}

    def draw(self, pages: Pages, left: float, dpi: int) -> None:
        _ = self.wording
        pages.fitted(left, 25.9, self.title, BOLD)
        x = left
        kind = _("Canopy") if self.record["facts"]["hood"]["kind"] == "canopy" else _("Fume hood")
        for text, weight in ((kind, REGULAR), (self.hood, BOLD)):
            part = one_line(text, 70, 4.6, weight)
            pages.text(x, self.line, part.lines[0], part.size, weight)
            x += width(part.lines[0], part.size, weight) + (1.1 if weight == REGULAR else 0)
        place = fit(f", {self.place}", left + ASIDE - x, 3.8, 4.6, 0.6)
        pages.fitted(x, self.line + 0.3 * (len(place.lines) > 1) - place.height, place)
        self._answer(pages, left)
        made = qr.code(self.address)
        dark_left, dark = qr.draw(
            pages,
            self.address,
            left + WIDTH - 27,
            26 - (27 - 27 * made.modules / made.field) / 2,
            27,
            dpi,
            flush="right",
        )
        pages.text(
            dark_left + dark / 2, 50.3, self.record["facts"]["hood"]["code"], 3.4, BOLD, INK, "middle", spacing=0.15
        )

    def _answer(self, pages: Pages, left: float) -> None:
        y = self.line + 4.2
        tall = sum(each.height + 2.5 for each in self.answers) - 2.5
        size = 10.4
        stands = self.amended is None or self.amended.stands
        pages.shape(
            SHAPE_OF[self.record["judged"]["verdict"] if stands else "no-verdict"], left, y + (tall - size) / 2, size
        )
        for each in self.answers:
            pages.fitted(left + 14, y, each, BOLD)
            y += each.height + 2.5
