"""What stands beside the counts in the year's print: criteria, instruments, surveyors, and each hood on one line."""

from __future__ import annotations

from datetime import date

from reports.core.year import LimitRow, Year
from reports.pdf.annual_tables import day_of, marked, opening_of
from reports.pdf.style import SOFT
from reports.pdf.tabular import Cell, Column, Flow, Strong
from reports.pdf.wording import Wording
from surveys.core.messages import SENTENCES
from surveys.core.status import FROM_PAPER, NOT_SIGNED_HERE


def _limit(one: LimitRow, wording: Wording) -> str:
    kind = "between" if one.least and one.most else "at-least" if one.least else "at-most"
    return wording(SENTENCES[kind]) % {"least": one.least, "most": one.most}


def criteria(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("What is judged"), 34), Column(_("Limit"), 26), Column(_("Where it is not met"), 28),
        Column(_("Source"), 82),
    ]  # fmt: skip
    for one in year.versions:
        flow.sub(_("%(set)s, version %(version)s") % {"set": one.set, "version": one.number})
        until = _(" until %(until)s") % {"until": wording.day(one.until)} if one.until else ""
        flow.words(
            _("From %(first)s%(until)s; adopted on %(on)s by %(name)s, record %(record)s; due again after %(months)s months; "
              "judged %(surveys)s surveys of the year.") % {
                "first": day_of(one.first_day, wording), "until": until, "on": day_of(one.adopted_on, wording),
                "name": one.adopted_by, "record": one.record, "months": one.months, "surveys": one.surveys,
            }, 2.9, keep=True,
        )  # fmt: skip
        rows: list[list[Cell]] = [
            [
                wording.figure(limit.figure), _limit(limit, wording), limit.restriction or wording.codes("consequence", limit.consequence),
                "; ".join(part for part in (limit.source, limit.evidence) if part) or "–",
            ]
            for limit in one.limits if limit.figure
        ]  # fmt: skip
        flow.table(columns, rows, none=_("No limit on a figure."))
        checks = [
            f"{wording.check(limit.check)} ({wording.codes('consequence', limit.consequence)})"
            for limit in one.limits if limit.check
        ]  # fmt: skip
        if checks:
            flow.words(_("Checks: %(checks)s.") % {"checks": "; ".join(checks)}, 2.8, ink=SOFT)


def instruments(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Instrument, serial"), 32), Column(_("Calibration"), 40), Column(_("Valid"), 30), Column(_("Used"), 30),
        Column(_("Surveys"), 14, True), Column(_("Each day covered"), 19),
    ]  # fmt: skip
    rows: list[list[Cell]] = []
    for one in year.measured:
        instrument, calibration = year.instruments.get(one.instrument), year.calibrations.get(one.calibration)
        covered: Cell = "–" if not instrument else _("yes") if one.covered else Strong(_("no"))
        if one.in_doubt:
            covered = Strong(_("%(number)s in doubt") % {"number": one.in_doubt})
        rows.append([
            f"{instrument.name}, {instrument.serial}" if instrument else _("none: nothing was measured"),
            ", ".join(part for part in calibration[:2] if part) if calibration else "–",
            f"{wording.day(calibration.done_on)} – {wording.day(calibration.due_on)}" if calibration else "–",
            _span(one.first_on, one.last_on, wording), one.surveys, covered,
        ])  # fmt: skip
    flow.table(columns, rows, ["", "", "", _("all surveys"), len(year.counts.surveys), ""], _("No survey was made."))


def _span(first: date, last: date, wording: Wording) -> str:
    return wording.day(first) if first == last else f"{wording.day(first)} – {wording.day(last)}"


def surveyors(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Name"), 44), Column(_("Position, employer"), 64), Column(_("Surveys"), 16, True),
        Column(_("Days"), 12, True), Column(_("On days with a qualification"), 28, True),
    ]  # fmt: skip
    rows: list[list[Cell]] = []
    for one in year.surveyors:
        person = year.people.get(one.person)
        qualified = _("%(part)s of %(whole)s") % {"part": one.qualified, "whole": one.surveys}
        name = year.measurer(one) or "–"
        if one.paper:
            name = _("%(name)s, from paper; typed in by %(by)s") % {"name": name, "by": year.person(one.paper.typed_in_by)}
            qualified = qualified if one.qualified else _("no qualification on record")
        said = ", ".join(part for part in (person.position, person.employer) if part) if person else ""
        rows.append([name, said or "–", one.surveys, one.days, qualified])
    flow.table(columns, rows, ["", _("all surveys"), len(year.counts.surveys), "", ""], _("No survey was made."))
    for held in year.qualifications:
        person = year.people.get(held.person)
        until = _(" until %(until)s") % {"until": wording.day(held.until_on)} if held.until_on else ""
        flow.words(
            _("%(name)s: %(method)s, found by %(by)s, from %(first)s%(until)s.") % {
                "name": person.name if person else "–", "method": held.method, "by": held.qualified_by,
                "first": wording.day(held.from_on), "until": until,
            }, 2.9,
        )  # fmt: skip


SOURCES = {NOT_SIGNED_HERE: "from earlier records, not signed here", FROM_PAPER: "transcribed from paper"}


def hoods(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Hood"), 19), Column(_("Where"), 27), Column(_("Status"), 23), Column(_("Due"), 18),
        Column(_("Survey"), 18), Column(_("As found"), 16), Column(_("As left"), 16), Column(_("Average"), 17, True),
        Column(_("Record"), 10, True),
    ]  # fmt: skip
    rows: list[list[Cell]] = []
    for line in year.counts.hoods:
        hood, last, status = line.hood, line.last, line.hood.status
        said: Cell = wording.codes("status", status.code)
        if line.state == "overdue":
            said = f"{said}; {_('overdue')}"
        for flag in status.sources:
            said = f"{said}; {_(SOURCES[flag.code])}"
        if status.code == "do-not-use":
            said = Strong(str(said))
        made: list[Cell] = ["–", "", "", "", ""]
        if last is not None:
            average = f"{last.left.digits} {last.left.unit}" if last.left else "–"
            if last.left and last.left.is_named:
                average = f"{average} ({opening_of(last.left)})"
            made = [
                f"{wording.day(last.done_on)}, {_('from paper')}" if last.paper else wording.day(last.done_on),
                marked(last.as_found, wording), marked(last.verdict, wording), average,
                last.record,
            ]  # fmt: skip
        due = day_of(status.due.on if status.due else None, wording)
        where = f"{hood.place.building} {hood.place.room}".strip() or "–"
        if line.left_on:
            where = f"{where}; {_('moved away on %(on)s') % {'on': wording.day(line.left_on)}}"
        rows.append([hood.tag, where, said, due, *made])
    flow.table(columns, rows, none=_("No hood was there."))
