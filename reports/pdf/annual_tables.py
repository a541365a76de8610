"""The tables of the year's print: which columns each has, and what stands in them."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date

from reports.core.share import percent
from reports.core.year import LimitRow, Year
from reports.core.yearly_counts import Tally
from reports.core.yearly_exceptions import Failure
from reports.core.yearly_rows import GROUPS, SurveyRow
from reports.pdf.judgements import SHAPE_OF
from reports.pdf.style import SOFT, STOP, month
from reports.pdf.tabular import Cell, Column, Flow, Marked, Strong
from reports.pdf.wording import Wording
from surveys.core.messages import SENTENCES

STATUS_SHAPES = {"met-criteria": "met-criteria", "restricted": "restricted", "do-not-use": "do-not-use"}


def _verdict(code: str, wording: Wording) -> Marked:
    return Marked(SHAPE_OF.get(code, "no-verdict"), wording.codes("verdict", code), STOP if code == "fail" else SOFT)


def _day(on: date | None, wording: Wording) -> str:
    return wording.day(on) if on else "–"


def _number(count: int) -> Cell:
    return count or "–"


def _tag(year: Year, hood: Hashable) -> str:
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
                wording.codes("group", group) if place == 0 else "", _verdict(one.verdict, wording), one.as_found,
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
            _number(one.as_found_fail), _number(one.as_left_fail),
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
    in_service = [
        (_("surveyed within its interval"), counted.within), (_("overdue"), counted.overdue),
        (_("waits for its first full survey since it stands there"), counted.not_surveyed),
    ]  # fmt: skip
    beside = [
        (_("out of service"), counted.out_of_service), (_("hibernated"), counted.hibernated),
        (_("retired in the year"), counted.retired),
    ]  # fmt: skip
    rows: list[list[Cell]] = [[name, hoods, percent(hoods, whole)] for name, hoods in in_service]
    rows.append([Strong(_("in service")), Strong(str(whole)), percent(whole, whole)])
    rows += [[name, _number(hoods), ""] for name, hoods in beside]
    flow.table(columns, rows, [_("all that were there in the year"), counted.hoods, ""])
    flow.words(
        _("%(some)s of %(all)s were in service on some day of the year. %(posted)s of the %(whole)s in service are posted "
          "‘do not use’ or must not be used.")
        % {"some": counted.seen_in_service, "all": counted.hoods, "posted": counted.posted, "whole": whole}
    )  # fmt: skip


def definitions(_year: Year, wording: Wording) -> str:
    _ = wording
    return _(
        "In service: neither retired nor hibernated nor out of service on the day; a hood posted ‘do not use’ is in "
        "service, since its survey is owed. Within its interval: a full survey has let the hood be used since it was "
        "installed, moved or woken, and the day by which the next is due, by the months of the criteria that judged it, is "
        "not past. A survey that is late by a day is overdue; days of grace do not count as in date."
    )


def _tallied(*tallies: Tally) -> list[Cell]:
    return [_number(count) for tally in tallies for count in tally]


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
            f"{month(one.month.month, wording.words)} {one.month.year}", _number(one.as_found.all),
            *_tallied(one.as_found), _number(one.as_left.all), *_tallied(one.as_left),
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
            _number(one.service.overdue), one.as_found.all, *_tallied(one.as_found), _number(one.as_left.failed),
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


def overdue(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Hood"), 22), Column(_("Where"), 34), Column(_("Due"), 22), Column(_("Late, days"), 14, True),
        Column(_("Status"), 27), Column(_("Reason given"), 46),
    ]  # fmt: skip
    rows: list[list[Cell]] = []
    for one in year.late:
        hood = one.line.hood
        due = _day(one.due_on, wording) if one.due_on else _("never in full")
        rows.append([
            hood.tag, f"{hood.place.building} {hood.place.room}", due, one.days,
            wording.codes("status", hood.status.code), one.explained or "–",
        ])  # fmt: skip
    flow.table(columns, rows, none=_("None."))


def delay(year: Year, wording: Wording) -> str:
    _ = wording
    found = year.delay
    if not found.failures:
        return ""
    said = _("Left in fail: %(left)s. Met criteria again later: %(met)s. Not yet: %(open)s.")
    parts = [said % {"left": found.failures, "met": found.met_again, "open": found.still_open}]
    if found.met_again:
        took = _("It took %(middle)s days (median), %(most)s at most.")
        parts.append(took % {"middle": found.median_days, "most": found.most_days})
    return " ".join(parts)


def _came(year: Year, one: Failure, wording: Wording) -> str:
    _ = wording
    said = wording.codes("became", one.became)
    if one.met_on and one.days:
        said = f"{said}, {wording.day(one.met_on)}"
    told = year.told.get(one.survey.key)
    parts = [said]
    if one.failed_again:
        parts.append(_("failed again %(times)s times before") % {"times": one.failed_again})
    if told and told.order:
        parts.append(_("order %(number)s") % {"number": told.order})
    if told and told.told:
        parts.append(_("told: %(names)s") % {"names": told.told})
    return "; ".join(parts)


def failures(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Hood"), 19), Column(_("Survey, record"), 26), Column(_("As left"), 18),
        Column(_("What was not met"), 50), Column(_("What came of it"), 38), Column(_("After, days"), 12, True),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            _tag(year, one.survey.hood), f"{_day(one.survey.done_on, wording)}, {one.survey.record}",
            _verdict(one.survey.verdict, wording), year.wanting.get(one.survey.key) or "–", _came(year, one, wording),
            "–" if one.days is None else one.days,
        ]
        for one in year.failures
    ]  # fmt: skip
    flow.table(columns, rows, none=_("No survey ended in fail, as found or as left."))


def others(flow: Flow, year: Year, wording: Wording) -> None:
    for part in (_stops, _no_verdicts, _amended, _changes):
        part(flow, year, wording)


def _stops(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.sub(_("‘Do not use’ posted"))
    columns = [
        Column(_("Hood"), 20), Column(_("Posted"), 22), Column(_("Why"), 54), Column(_("By"), 28), Column(_("Until"), 28),
        Column(_("Days"), 10, True),
    ]  # fmt: skip
    rows: list[list[Cell]] = []
    for one in year.stops:
        why = ": ".join(part for part in (wording.codes("ending", one.reason), one.words) if part)
        if one.over_on is None:
            until: Cell = Strong(_("still posted"))
        else:
            how = _("lifted") if one.over == "lifted" else _("withdrawn as a mistake")
            until = f"{wording.day(one.over_on)}, {how}"
        rows.append([
            _tag(year, one.hood), wording.day(one.posted_on), why, one.by, until, "–" if one.days is None else one.days,
        ])  # fmt: skip
    flow.table(columns, rows, none=_("None."))


def _no_verdicts(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.sub(_("Surveys without a verdict"))
    columns = [Column(_("Hood"), 22), Column(_("Survey, record"), 34), Column(_("Made as"), 30), Column(_("Why"), 80)]
    rows: list[list[Cell]] = [
        [
            _tag(year, one.hood), f"{wording.day(one.done_on)}, {one.record}", wording.value("reason", one.reason),
            year.wanting.get(one.key) or "–",
        ]
        for one in year.no_verdicts
    ]  # fmt: skip
    flow.table(columns, rows, none=_("None."))


def _amended(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.sub(_("Amended surveys"))
    columns = [
        Column(_("Hood"), 20), Column(_("Survey, record"), 30), Column(_("Had ended in"), 22),
        Column(_("Amended by record"), 20), Column(_("Which ended in"), 22), Column(_("Why"), 48),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            _tag(year, old.hood), f"{wording.day(old.done_on)}, {old.record}", _verdict(old.verdict, wording),
            f"{new.record}, {wording.day(new.signed_on)}", _verdict(new.verdict, wording), new.why or "–",
        ]
        for old, new in year.counts.replaced
    ]  # fmt: skip
    flow.table(columns, rows, none=_("None."))


def _changes(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.sub(_("Changes of criteria"))
    rows: list[list[Cell]] = [
        [
            one.name, _("adopted on %(on)s by %(name)s") % {"on": _day(one.adopted_on, wording), "name": one.adopted_by},
            _day(one.first_day, wording), one.reason or "–",
        ]
        for one in year.adopted
    ]  # fmt: skip
    for moved in year.reassigned:
        judged = _("judged by ‘%(after)s’, before by ‘%(before)s’ (%(name)s)") % {
            "after": moved.after, "before": moved.before, "name": moved.by,
        }  # fmt: skip
        why = "; ".join(part for part in (moved.why, moved.evidence) if part)
        rows.append([_tag(year, moved.hood), judged, wording.day(moved.from_on), why or "–"])
    columns = [Column(_("What"), 40), Column(_("Change"), 52), Column(_("From"), 24), Column(_("Why, evidence"), 54)]
    flow.table(columns, rows, none=_("None."))


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
                "first": _day(one.first_day, wording), "until": until, "on": _day(one.adopted_on, wording),
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
        said = ", ".join(part for part in (person.position, person.employer) if part) if person else ""
        rows.append([person.name if person else "–", said or "–", one.surveys, one.days, qualified])
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
        if status.code == "do-not-use":
            said = Strong(str(said))
        made: list[Cell] = ["–", "", "", "", ""]
        if last is not None:
            average = f"{last.left.digits} {last.left.unit}" if last.left else "–"
            made = [
                wording.day(last.done_on), _verdict(last.as_found, wording), _verdict(last.verdict, wording), average,
                last.record,
            ]  # fmt: skip
        due = _day(status.due.on if status.due else None, wording)
        rows.append([hood.tag, f"{hood.place.building} {hood.place.room}".strip(), said, due, *made])
    flow.table(columns, rows, none=_("No hood was there."))
