"""Many certificates as one file, in the order of the walk: bookmarks for each hood, and a first page that says what is missing."""

import zlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import IO, Any

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream

from reports.pdf import flow
from reports.pdf.certificate import MARGIN, Amended, Record, draw, title
from reports.pdf.flow import MEASURE, WIDTH, Section
from reports.pdf.style import BOLD, INK, PAPERS, REGULAR, SEMIBOLD, SOFT, Fitted, Pages, Words, fit, same, width, wrap
from reports.pdf.wording import Wording, plain


@dataclass(frozen=True)
class Without:
    """A hood that has no certificate in the file, or is not to be used today, and why."""

    tag: str
    place: str
    why: str


@dataclass(frozen=True)
class Front:
    """What the first page says: what the file is about, the answer, the hoods not to be used, those without a certificate."""

    site: str
    title: str
    answers: Sequence[str]
    made: str  # when and for whom the list of hoods holds
    without: Sequence[Without] = ()
    barred: Sequence[Without] = ()  # that nobody is to use today, whatever a certificate of theirs says, and why
    canopies: Sequence[Without] = ()  # for heat and steam alone, whatever a certificate of theirs says
    today: str = ""  # the day that this holds for


@dataclass(frozen=True)
class Document:
    """One signed survey: its record, the record's hash, and the address behind the square code."""

    record: Record
    sha256: str
    address: str
    amended: Amended | None = None


@dataclass(frozen=True)
class HoodFile:
    """The documents of one hood, oldest first, and the name of its bookmark."""

    name: str
    documents: Iterable[Document]


class Packed(Pages):
    """Pages that are packed as soon as they are finished: what stays in memory is the packed pages alone."""

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.canvas.setPageCompression(1)  # the typefaces too
        self.canvas.showOutline()

    def next_page(self) -> None:
        document = self.canvas._doc
        page_name = document.thisPageName()
        super().next_page()
        page = document.idToObject[page_name]  # the canvas has no public way to the page that it just finished
        packed = zlib.compress(page.stream.encode("latin-1"))
        page.stream = None
        page.Contents = PDFStream(PDFDictionary({"Filter": PDFName("FlateDecode")}), packed, filters=())

    def bookmark(self, name: str, level: int = 0) -> None:
        """A bookmark that leads to the page that is open."""
        key = f"b{self.canvas.getPageNumber()}-{level}"
        self.canvas.bookmarkPage(key)
        self.canvas.addOutlineEntry(name, key, level, closed=True)


def bundle(
    file: IO[bytes],
    front: Front,
    hoods: Iterable[HoodFile],
    words: Words = same,
    paper: str = "A4",
    *,
    codes: Callable[[str, str], str] = plain,
    language: str = "en",
) -> None:
    """Write the certificates of many hoods into a file, each drawn by the same code as alone.

    `hoods` may make its documents as they are asked for: none is kept after it is drawn.
    """
    wording = Wording(words, codes, language)
    pages = Packed(PAPERS[paper], title=front.title, language=language, file=file)
    _front(pages, front, wording)
    for hood in hoods:
        named = False
        for document in hood.documents:
            pages.next_page()
            if not named:
                pages.bookmark(hood.name)
                named = True
            pages.bookmark(_name(document, wording), level=1)
            draw(pages, document.record, document.sha256, document.address, wording, amended=document.amended)
    pages.finish()


def _name(document: Document, wording: Wording) -> str:
    """The bookmark of one document: its day, what it is called, the number of its record."""
    record = document.record
    values = {
        "day": wording.day(record["survey"]["done_on"]),
        "title": title(record, wording, document.amended),
        "number": record["number"],
    }
    return wording("%(day)s: %(title)s (record %(number)s)") % values


# The first page ------------------------------------------------------------------------------------------------------


def _front(pages: Pages, front: Front, wording: Wording) -> None:
    _ = wording
    pages_of_front = flow.paginate(
        _sections(front, wording), _head_height(front), 35, pages.height - MARGIN, _("(continued)")
    )
    left = (pages.width - WIDTH) / 2
    for number, some in enumerate(pages_of_front, 1):
        if number > 1:
            pages.next_page()
        pages.double_rule(left, 14, left + WIDTH)
        said = _("List, page %(page)s of %(pages)s") % {"page": number, "pages": len(pages_of_front)}
        pages.text(left + WIDTH, 21.4, said, 3.3, REGULAR, SOFT, "right")
        site = fit(front.site, WIDTH - width(said, 3.3) - 6, 3.2, 3.3, 0.6, SEMIBOLD)
        pages.fitted(left, 21.4 - site.height, site, SEMIBOLD)
        if number == 1:
            _head(pages, front, left)
        else:
            pages.fitted(left, 24.4, fit(front.title, WIDTH, 8, 4, 0.8, SEMIBOLD), SEMIBOLD)
        flow.draw(pages, some, left, _("(continued)"))


ANSWER = 4.8  # the size of the answers [mm]


def _title(front: Front) -> Fitted:
    """On one line where it can be read so, else on as many as it takes."""
    one = fit(front.title, WIDTH, 6, 8.4, 6, BOLD)
    return one if one.fits else fit(front.title, WIDTH, 16, 8.4, 3.4, BOLD)


def _head_height(front: Front) -> float:
    name = _title(front)
    lines = sum(len(wrap(answer, WIDTH, ANSWER, BOLD)) for answer in front.answers)
    return 25.9 + name.height + 6 + lines * 1.3 * ANSWER + 4


def _head(pages: Pages, front: Front, left: float) -> None:
    name = _title(front)
    pages.fitted(left, 25.9, name, BOLD)
    y = 25.9 + name.height + 6 + 0.66 * ANSWER
    for answer in front.answers:
        y = pages.lines(left, y, wrap(answer, WIDTH, ANSWER, BOLD), ANSWER, 1.3 * ANSWER, BOLD)


def _sections(front: Front, wording: Wording) -> list[Section]:
    _ = wording
    barred = Section(_("Not to be used"), _("as on %(day)s, whatever a certificate says") % {"day": front.today})
    for each in front.barred:
        _line_of(barred, each)
    canopies = Section(_("For heat and steam alone"), _("never for hazardous vapours, whatever a certificate says"))
    for each in front.canopies:
        _line_of(canopies, each)
    missing = Section(_("No certificate"), _("hoods of this list without one, and why") if front.without else "")
    for each in front.without:
        _line_of(missing, each)
    if not front.without:
        missing.lines(_("Every hood of this list has its certificate."), 3.3, 4.8)
    about = Section(_("About this file"))
    for text in (
        front.made,
        _("Every page is printed from its signed record alone, as it is when printed by itself. Bookmarks lead to each hood."),
        _("A certificate says what was found on its day. Whether a hood may be used today, its label or sign says."),
        _("Meeting criteria does not guarantee containment."),
    ):  # fmt: skip
        about.lines(text, 3.1, 4.4)
    named = [section for section, hoods in ((barred, front.barred), (canopies, front.canopies)) if hoods]
    return [*named, missing, about]


TAG = 34.0  # the column of tags [mm]


def _line_of(section: Section, without: Without) -> None:
    """One hood that is named on the first page: its tag, and beside it where it stands and why, as many lines as it takes."""
    tag = fit(without.tag, TAG - 2, 7.2, 3.4, 0.8, BOLD)
    said = [(line, INK) for line in wrap(without.why, MEASURE - TAG, 3.1)]
    where = [(line, SOFT) for line in wrap(without.place, MEASURE - TAG, 2.8)] if without.place else []
    lines = [*where, *said]
    high = max(len(lines) * 4.2, tag.height + 1.4) + 1.4

    def drawn(pages: Pages, x: float, y: float) -> None:
        pages.fitted(x, y + 1.0, tag, BOLD)
        for number, (line, ink) in enumerate(lines):
            pages.text(x + TAG, y + 1.0 + 2.1 + number * 4.2, line, 3.1 if ink is INK else 2.8, REGULAR, ink)

    if high <= 60:
        section.add(high, drawn)
        return
    section.lines(without.tag, 3.4, 4.8, BOLD)  # longer than a page could keep together: line by line
    section.lines(f"{without.place}: {without.why}", 3.1, 4.2)
