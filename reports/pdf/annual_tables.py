"""The tables of the year's print: which columns each has, and what stands in them."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date

from reports.core.share import percent
from reports.core.year import Year
from reports.core.yearly_counts import Tally
from reports.core.yearly_rows import GROUPS, Average, SurveyRow
from reports.pdf.judgements import SHAPE_OF
from reports.pdf.style import SOFT, STOP, month
from reports.pdf.tabular import Cell, Column, Flow, Marked, Strong
from reports.pdf.wording import Wording


def marked(code: str, wording: Wording) -> Marked:
    return Marked(SHAPE_OF.get(code, "no-verdict"), wording.codes("verdict", code), STOP if code == "fail" else SOFT)


def day_of(on: date | None, wording: Wording) -> str:
    return wording.day(on) if on else "–"


def some(count: int) -> Cell:
    return count or "–"


def opening_of(average: Average) -> str:
    """The opening that an average is of, with its height where that is known."""
    return ", ".join(part for part in (average.opening, average.height) if part)


def tag_of(year: Year, hood: Hashable) -> str:
    return year.names.get(hood, ("–", ""))[0]


def _where(survey: SurveyRow) -> str:
    return f"{survey.place.building} {survey.place.room}".strip() or "–"


def outcomes(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    for group in GROUPS:
        found, left = year.counts.group(group)
        of = _("%% of %(whole)s") % {"whole": found.all}
        columns = [
            Column(_("Counts as"), 36), Column(_("Verdict"), 32), Column(_("As found"), 19, True), Column(of, 19, True),
            Column(_("As left"), 19, True), Column(of, 19, True),
        ]  # fmt: skip
        rows: list[list[Cell]] = [
            [
                wording.codes("group", group) if place == 0 else "", marked(one.verdict, wording), one.as_found,
                percent(one.as_found, found.all), one.as_left, percent(one.as_left, left.all),
            ]
            for place, one in enumerate(one for one in year.counts.outcomes if one.group == group)
        ]  # fmt: skip
        foot: list[Cell] = [
            "", _("all"), found.all, percent(found.all, found.all), left.all, percent(left.all, left.all),
        ]  # fmt: skip
        if found.all or group == GROUPS[0]:
            flow.table(columns, rows, foot)


def reasons(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Counts as"), 36), Column(_("Why it was made"), 60), Column(_("Surveys"), 22, True),
        Column(_("Fail as found"), 24, True), Column(_("Fail as left"), 24, True),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            wording.codes("group", one.group), wording.value("reason", one.reason), one.surveys,
            some(one.as_found_fail), some(one.as_left_fail),
        ]
        for one in year.counts.reasons
    ]  # fmt: skip
    found, left = year.counts.as_found, year.counts.as_left
    flow.table(columns, rows, ["", _("all surveys"), found.all, found.failed, left.failed], _("No survey was made."))


def service(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    counted = year.counts.service
    whole = counted.in_service
    columns = [
        Column(_("On %(on)s") % {"on": wording.day(year.on)}, 90), Column(_("Hoods"), 20, True),
        Column(_("%% of %(whole)s in service") % {"whole": whole}, 36, True),
    ]  # fmt: skip
    earlier = [(_("in date by earlier records, not signed here"), counted.by_earlier)] if counted.by_earlier else []
    in_service = [
        (_("surveyed within its interval"), counted.within), *earlier, (_("overdue"), counted.overdue),
        (_("waits for a full survey before use"), counted.not_surveyed),
    ]  # fmt: skip
    beside = [
        (_("out of service"), counted.out_of_service), (_("hibernated"), counted.hibernated),
        (_("retired in the year"), counted.retired),
    ]  # fmt: skip
    rows: list[list[Cell]] = [[name, hoods, percent(hoods, whole)] for name, hoods in in_service]
    rows.append([Strong(_("in service")), Strong(str(whole)), percent(whole, whole)])
    rows += [[name, some(hoods), ""] for name, hoods in beside]
    flow.table(columns, rows, [_("all that were there in the year"), counted.hoods, ""])
    flow.words(
        _("%(some)s of %(all)s were in service on some day of the year. %(barred)s of the %(whole)s in service must not "
          "be used.")
        % {"some": counted.seen_in_service, "all": counted.hoods, "barred": counted.barred, "whole": whole}
    )  # fmt: skip
    if counted.barred_beside:
        flow.words(_("Not to be used among those out of service: %(number)s more.") % {"number": counted.barred_beside})
    if year.counts.moved_away:
        flow.words(
            _("Surveyed here, moved away since and counted where they stand: %(number)s more.")
            % {"number": year.counts.moved_away}
        )


def definitions(_year: Year, wording: Wording) -> str:
    _ = wording
    return _(
        "In service: neither retired nor hibernated nor out of service on the day, by what was entered of its life; a "
        "hood that must not be used is in service, since its survey is owed, unless it stands in an outage. A hood not "
        "surveyed since it was installed, moved or woken, or changed since its survey, waits for one: no day from before counts. Within its interval: a full survey has let the hood be used since it was "
        "installed, moved or woken, and the day by which the next is due, by the months of the criteria that judged it, is "
        "not past. A survey that is late by a day is overdue; days of grace do not count as in date."
    )


def _tallied(*tallies: Tally) -> list[Cell]:
    return [some(count) for tally in tallies for count in tally]


def _verdicts(wording: Wording, wide: float = 15) -> list[Column]:
    return [Column(wording.codes("verdict", code), wide, True) for code in ("pass", "restrict", "fail", "no-verdict")]


def months(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Month"), 22), Column(_("As found: all"), 20, True), *_verdicts(wording, 12.6),
        Column(_("As left: all"), 19, True), *_verdicts(wording, 12.6),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            f"{month(one.month.month, wording.words)} {one.month.year}", some(one.as_found.all),
            *_tallied(one.as_found), some(one.as_left.all), *_tallied(one.as_left),
        ]
        for one in year.counts.months
    ]  # fmt: skip
    found, left = year.counts.as_found, year.counts.as_left
    flow.table(columns, rows, [_("all"), found.all, *_tallied(found), left.all, *_tallied(left)])


def buildings(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Building"), 42), Column(_("Hoods"), 11, True), Column(_("in service"), 14, True),
        Column(_("within"), 12, True), Column(_("overdue"), 14, True), Column(_("Surveys"), 13, True),
        *_verdicts(wording, 11.5), Column(_("left in fail"), 10, True),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            one.building or "–", one.service.hoods, one.service.in_service, one.service.within,
            some(one.service.overdue), one.as_found.all, *_tallied(one.as_found), some(one.as_left.failed),
        ]
        for one in year.counts.buildings
    ]  # fmt: skip
    all_, found = year.counts.service, year.counts.as_found
    foot: list[Cell] = [
        _("all"), all_.hoods, all_.in_service, all_.within, all_.overdue, found.all, *_tallied(found),
        year.counts.as_left.failed,
    ]  # fmt: skip
    flow.table(columns, rows, foot)
    flow.words(
        _("Hoods stand where they stand on the day; a survey counts where its hood stood when it was made."),
        2.8,
        ink=SOFT,
    )


def averages(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Criteria, version"), 44), Column(_("Hoods"), 12, True), *_verdicts(wording, 13),
        Column(_("Lowest, %(unit)s") % {"unit": year.speed_unit}, 16, True),
        Column(_("Median, %(unit)s") % {"unit": year.speed_unit}, 16, True),
        Column(_("Highest, %(unit)s") % {"unit": year.speed_unit}, 16, True),
    ]  # fmt: skip
    names = {one.key: one.name for one in year.versions}
    rows: list[list[Cell]] = [
        [names[one.version], len(one.values), *_tallied(one.verdicts), one.lowest, one.median, one.highest]
        for one in year.flows
    ]
    flow.table(columns, rows)
    for one in year.flows:
        if one.elsewhere:
            named = ", ".join(f"{tag} ({opening_of(average)})" for tag, average in one.elsewhere)
            flow.words(
                _("%(criteria)s, not at a working opening: %(hoods)s.")
                % {"criteria": names[one.version], "hoods": named}, 2.8, ink=SOFT,
            )  # fmt: skip
