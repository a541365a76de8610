"""The year as a print: the answer first, what was counted, the exceptions, what was judged by and measured with, each hood."""

from __future__ import annotations

from reports.core.share import percent
from reports.core.year import Year
from reports.pdf import annual_beside as beside
from reports.pdf import annual_exceptions as exceptions
from reports.pdf import annual_tables as tables
from reports.pdf import averages_plot, year_plots
from reports.pdf.style import BOLD, INK, PAPERS, REGULAR, SEMIBOLD, SOFT, Pages, fit, width, wrap
from reports.pdf.tabular import WIDTH, Flow, paginate
from reports.pdf.wording import Wording

TOP, BOTTOM = 27.0, 14.0  # where a page begins, and the margin under its last line [mm]


def annual(year: Year, wording: Wording, paper: str = "A4") -> bytes:
    """The report of a year; the same year at the same moment gives the same bytes."""
    _ = wording
    wide, high = PAPERS[paper]
    title = _("Hoods: %(name)s, %(place)s") % {"name": period(year, wording), "place": place(year, wording)}
    pages = Pages((wide, high), title=title, language=wording.language)
    left = (wide - WIDTH) / 2
    answers = [wrap(text, WIDTH - 6, size, BOLD if size > 4 else REGULAR) for text, size in answer(year, wording)]
    below = 38 + sum(6.8 * len(lines) for lines in answers[:2]) + sum(4.6 * len(lines) for lines in answers[2:]) + 6
    placed = paginate(contents(year, wording).blocks, below, TOP, high - BOTTOM)
    for number, page in enumerate(placed, 1):
        if number > 1:
            pages.next_page()
        _running_head(pages, year, wording, left, number, len(placed))
        if number == 1:
            _head(pages, year, wording, left, answers)
        for y, block in page:
            block.draw(pages, left, y)
        _foot(pages, year, wording, left)
    return pages.finish()


def period(year: Year, wording: Wording) -> str:
    _ = wording
    if year.period.is_calendar_year:
        return _("the year %(name)s") % {"name": year.period.name}
    return _("%(first)s to %(last)s") % {"first": wording.day(year.period.first), "last": wording.day(year.period.last)}


def place(year: Year, wording: Wording) -> str:
    _ = wording
    said = f"{year.site}, {year.building}" if year.building else year.site
    return f"{said}, {_('the rooms of the reader')}" if year.own_rooms else said


def stamp(year: Year, wording: Wording) -> str:
    """The moment as which the report holds, by the clock of the site, and the last record by then."""
    _ = wording
    day, time, offset = wording.clock(year.stamp.at.isoformat(), year.zone)
    return _("Records as of %(day)s, %(time)s %(offset)s (%(zone)s); the last was record %(number)s") % {
        "day": day, "time": time, "offset": offset, "zone": year.zone, "number": year.stamp.record,
    }  # fmt: skip


def answer(year: Year, wording: Wording) -> list[tuple[str, float]]:
    """The first lines, each with the size it is set in: hoods within their interval, those overdue, what was found."""
    _ = wording
    service, (found, left) = year.counts.service, year.counts.group("routine")
    values = {
        "part": service.within, "whole": service.in_service, "percent": percent(service.within, service.in_service),
        "on": wording.day(year.on), "overdue": service.overdue, "barred": service.overdue_barred,
        "surveys": found.all, "found": found.failed, "left": left.failed,
    }  # fmt: skip
    if year.is_before_records and year.begins:
        then = _("The ledger had no records then: its first survey was made on %(on)s.")
        return [
            (then % {"on": wording.day(year.begins)}, 5.4),
            (_("What follows is what was entered of these months later."), 3.6),
        ]
    if not service.in_service:
        lines = [(_("No hood was in service on %(on)s.") % values, 5.4)]
    else:
        within = _(
            "%(part)s of %(whole)s hoods in service were within their survey interval on %(on)s (%(percent)s %%)."
        )
        late = _overdue(service.overdue, service.overdue_barred, wording)
        lines = [(within % values, 5.4), (late % values, 5.4)]
    routine = _("Of %(surveys)s routine surveys %(found)s ended in fail as found, %(left)s as left.")
    earlier = f"{_by_earlier(service.by_earlier, wording)} " if service.by_earlier else ""
    return [*lines, (f"{earlier}{routine % values}", 3.6)]


def _by_earlier(hoods: int, wording: Wording) -> str:
    _ = wording
    one, more = (
        _("1 more was in date by earlier records, not signed here: it is not counted as surveyed."),
        _("%(hoods)s more were in date by earlier records, not signed here: they are not counted as surveyed."),
    )
    return one if hoods == 1 else more % {"hoods": hoods}


def _overdue(overdue: int, barred: int, wording: Wording) -> str:
    _ = wording
    if not overdue:
        return _("None overdue.")
    if overdue == 1:
        return _("1 overdue, and not to be used.") if barred else _("1 overdue.")
    if barred:
        return _("%(overdue)s overdue, %(barred)s of them not to be used.")
    return _("%(overdue)s overdue.")


def _running_head(pages: Pages, year: Year, wording: Wording, left: float, number: int, of: int) -> None:
    _ = wording
    pages.double_rule(left, 14, left + WIDTH)
    said = _("page %(page)s of %(pages)s") % {"page": number, "pages": of}
    pages.text(left + WIDTH, 21.4, said, 3.3, REGULAR, SOFT, "right")
    name = f"{place(year, wording)} · {period(year, wording)}"
    site = fit(name, WIDTH - width(said, 3.3) - 6, 3.2, 3.3, 0.6, SEMIBOLD)
    pages.fitted(left, 21.4 - site.height, site, SEMIBOLD)


def _head(pages: Pages, year: Year, wording: Wording, left: float, answers: list[list[str]]) -> None:
    _ = wording
    said = _("The hoods of %(name)s") % {"name": period(year, wording)}
    if not year.over:
        said = f"{said} ({_('not over')})"
    pages.text(left, 32, said, 4, SEMIBOLD, SOFT)
    y = 40.0
    for number, lines in enumerate(answers):
        size, leading, weight = (5.4, 6.8, BOLD) if number < len(answers) - 1 else (3.6, 4.6, REGULAR)
        y = pages.lines(left, y, lines, size, leading, weight, INK) + (0 if weight == BOLD else 1)


def _foot(pages: Pages, year: Year, wording: Wording, left: float) -> None:
    y = pages.height - 8
    one = fit(stamp(year, wording), WIDTH, 3, 2.6, 0.6)
    pages.fitted(left, y - one.height, one, REGULAR, SOFT)


def contents(year: Year, wording: Wording) -> Flow:
    flow = Flow()
    for part in (_outcomes, _hoods_of_the_year, _plots, _exceptions, _beside, _lines, _checking):
        part(flow, year, wording)
    return flow


def _outcomes(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.heading(
        _("Outcomes"),
        _("As found says how the hoods had been working when the surveyor came; as left is what their labels say."),
    )
    tables.outcomes(flow, year, wording)
    held = next(one for one in year.counts.held if one.group == "routine")
    flow.words(
        _("Did the label hold? Of %(whole)s routine surveys: held %(held)s, did not hold %(not_held)s, not tested "
          "%(not_tested)s, no label before %(no_label)s.") % {**held._asdict(), "whole": sum(held[1:])}
    )  # fmt: skip
    tables.reasons(flow, year, wording)


def _hoods_of_the_year(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.heading(_("Hoods of the year"))
    tables.service(flow, year, wording)
    flow.words(tables.definitions(year, wording), 2.8, ink=SOFT)


def _plots(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    counts = year.counts
    flow.heading(_("By month"))
    flow.plot(year_plots.by_month(counts.months, "", wording))
    tables.months(flow, year, wording)
    flow.heading(_("By building"))
    tables.buildings(flow, year, wording)
    if len([one for one in counts.buildings if one.as_found.all]) <= MOST_BUILDINGS and counts.surveys:
        flow.plot(year_plots.by_building(counts.buildings, "", wording))
    if year.flows:
        flow.heading(
            _("Averages"),
            _("Each hood a mark at the average face velocity of its last survey of the year, as left, in %(unit)s. Face "
              "velocity alone is no proof of containment.") % {"unit": year.speed_unit},
        )  # fmt: skip
        names = {one.key: one.name for one in year.versions}
        for one in year.flows:  # a plot each, so that many fit on their pages; what they are drawn with, under the last
            named = [(names[one.version], one)]
            key = one is year.flows[-1]
            flow.plot(averages_plot.averages(named, "", year.speed_unit, wording, year.flows, key=key))
        tables.averages(flow, year, wording)


MOST_BUILDINGS = 17  # that one page can show


def _exceptions(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.heading(_("Overdue on %(on)s") % {"on": wording.day(year.on)})
    exceptions.overdue(flow, year, wording)
    flow.heading(_("Failures, and what came of them"), exceptions.delay(year, wording))
    exceptions.failures(flow, year, wording)
    flow.heading(_("Other exceptions"))
    exceptions.others(flow, year, wording)


def _beside(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.heading(_("Criteria in force"))
    beside.criteria(flow, year, wording)
    flow.heading(_("Instruments"))
    beside.instruments(flow, year, wording)
    flow.heading(_("Surveyors"))
    beside.surveyors(flow, year, wording)


def _lines(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.heading(
        _("One line a hood"),
        _("Its status on %(on)s, and its last survey of the year. An average is of the opening ‘working’ where no other "
          "is named.") % {"on": wording.day(year.on)},
    )  # fmt: skip
    beside.hoods(flow, year, wording)


def _checking(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.heading(_("How this can be checked"))
    flow.words(f"{stamp(year, wording)}.")
    flow.words(_("SHA-256 of its canonical bytes: %(hash)s") % {"hash": year.stamp.sha256 or "–"}, 2.8)
    flow.words(
        _("Everything here is counted from signed records, which are numbered without gaps and never changed; nothing was "
          "judged anew. What was signed later, as amendments, changes what is counted, and is listed.")
    )  # fmt: skip
    flow.words(_("Meeting criteria does not guarantee containment."), 3.4, BOLD)
    flow.words(
        _("Met criteria means that a hood met this site’s written criteria, at this sash height, on the day of its survey. "
          "The rules of the laboratory, of the safety office and of the law come first.")
    )  # fmt: skip
