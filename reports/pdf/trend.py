"""The averages of one hood over the years as a print: the plot of its page, and a table that says the same."""

from __future__ import annotations

from reports.core.trend import Measured, Trend
from reports.pdf import trend_plot
from reports.pdf.style import BOLD, PAPERS, REGULAR, SEMIBOLD, SOFT, Pages, fit, width
from reports.pdf.tabular import WIDTH, Cell, Column, Flow, paginate
from reports.pdf.wording import Wording
from surveys.core.messages import gettext_noop

NOT_SIGNED_HERE = gettext_noop("from earlier records, not signed here")
FROM_PAPER = gettext_noop("transcribed from paper")


def trend(given: Trend, hood: str, place: str, site: str, wording: Wording, paper: str = "A4") -> bytes:
    _ = wording
    wide, high = PAPERS[paper]
    title = _("Averages of %(hood)s over the years") % {"hood": hood}
    pages = Pages((wide, high), title=title, language=wording.language)
    left = (wide - WIDTH) / 2
    placed = paginate(_contents(given, wording).blocks, 44, 27, high - 14)
    for number, page in enumerate(placed, 1):
        if number > 1:
            pages.next_page()
        said = _("page %(page)s of %(pages)s") % {"page": number, "pages": len(placed)}
        pages.double_rule(left, 14, left + WIDTH)
        pages.text(left + WIDTH, 21.4, said, 3.3, REGULAR, SOFT, "right")
        name = fit(f"{site} · {hood}", WIDTH - width(said, 3.3) - 6, 3.2, 3.3, 0.6, SEMIBOLD)
        pages.fitted(left, 21.4 - name.height, name, SEMIBOLD)
        if number == 1:
            head = fit(title, WIDTH, 6, 6.4, 3, BOLD)
            pages.fitted(left, 30, head, BOLD)
            where = _("%(place)s; as it stands on %(on)s") % {"place": place, "on": wording.day(given.today)}
            pages.fitted(left, 39, fit(where, WIDTH, 4, 3.4, 1), REGULAR, SOFT)
        for y, block in page:
            block.draw(pages, left, y)
    return pages.finish()


def _contents(given: Trend, wording: Wording) -> Flow:
    _ = wording
    flow = Flow()
    flow.plot(trend_plot.trend(given, "", wording))
    flow.heading(_("The same as a table"))
    columns = [
        Column(_("Survey, record"), 30), Column(_("Opening"), 20), Column(_("As found"), 22, True),
        Column(_("As left"), 22, True), Column(_("Verdict"), 18), Column(_("Judged by"), 66),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            _survey(one, wording), one.opening, one.found_said or "–", one.left_said or "–",
            wording.codes("verdict", one.verdict), "; ".join([one.version, *one.limits]) or "–",
        ]
        for one in given.measured
    ]  # fmt: skip
    flow.table(columns, rows, none=_("No average was measured yet."))
    if given.restricted:
        flow.heading(_("Restrictions"))
        flow.table(
            [Column(_("From"), 30), Column(_("Until"), 30), Column(_("Restriction"), 110)],
            [[wording.day(one.from_on), wording.day(one.until_on) if one.until_on < given.today else _("today"), one.words]
             for one in given.restricted],
        )  # fmt: skip
    if given.benchmarks:
        flow.heading(_("Benchmarks"))
        flow.table(
            [Column(_("Opening"), 30), Column(_("Valid from"), 30), Column(_("Average"), 24, True), Column(_("Source"), 80)],
            [[one.opening, wording.day(one.from_on), one.said, one.source or "–"] for one in given.benchmarks],
        )  # fmt: skip
    flow.words(
        _("Face velocity alone is no proof of containment. Meeting criteria does not guarantee containment."),
        3,
        SEMIBOLD,
    )
    return flow


def _survey(one: Measured, wording: Wording) -> str:
    """The day and the record, and what the measurement comes from where that is no survey made with a tablet."""
    said = [wording.day(one.on), str(one.record) if one.signed_here else wording(NOT_SIGNED_HERE)]
    return ", ".join([*said, wording(FROM_PAPER)] if one.from_paper else said)
