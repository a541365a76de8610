"""The exceptions in the year's print: what is overdue, each failure, what was posted, amended or changed."""

from __future__ import annotations

from reports.core.year import Year
from reports.core.yearly_exceptions import Failure
from reports.pdf.annual_tables import day_of, marked, tag_of
from reports.pdf.tabular import Cell, Column, Flow, Strong
from reports.pdf.wording import Wording


def overdue(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    columns = [
        Column(_("Hood"), 22), Column(_("Where"), 34), Column(_("Due"), 22), Column(_("Late, days"), 14, True),
        Column(_("Status"), 27), Column(_("Reason given"), 46),
    ]  # fmt: skip
    rows: list[list[Cell]] = []
    for one in year.late:
        hood = one.line.hood
        due = day_of(one.due_on, wording) if one.due_on else _("never in full")
        if hood.status.in_grace_until:
            due = f"{due}; {_('in grace until %(until)s') % {'until': wording.day(hood.status.in_grace_until)}}"
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
            tag_of(year, one.survey.hood), f"{day_of(one.survey.done_on, wording)}, {one.survey.record}",
            marked(one.survey.verdict, wording), year.wanting.get(one.survey.key) or "–", _came(year, one, wording),
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
            tag_of(year, one.hood), wording.day(one.posted_on), why, one.by, until, "–" if one.days is None else one.days,
        ])  # fmt: skip
    flow.table(columns, rows, none=_("None."))


def _no_verdicts(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.sub(_("Surveys without a verdict"))
    columns = [Column(_("Hood"), 22), Column(_("Survey, record"), 34), Column(_("Made as"), 30), Column(_("Why"), 80)]
    rows: list[list[Cell]] = [
        [
            tag_of(year, one.hood), f"{wording.day(one.done_on)}, {one.record}", wording.value("reason", one.reason),
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
            tag_of(year, old.hood), f"{wording.day(old.done_on)}, {old.record}", marked(old.verdict, wording),
            f"{new.record}, {wording.day(new.signed_on)}", marked(new.verdict, wording), new.why or "–",
        ]
        for old, new in year.counts.replaced
    ]  # fmt: skip
    flow.table(columns, rows, none=_("None."))


def _changes(flow: Flow, year: Year, wording: Wording) -> None:
    _ = wording
    flow.sub(_("Changes of criteria"))
    rows: list[list[Cell]] = [
        [
            one.name, _("adopted on %(on)s by %(name)s") % {"on": day_of(one.adopted_on, wording), "name": one.adopted_by},
            day_of(one.first_day, wording), one.reason or "–",
        ]
        for one in year.adopted
    ]  # fmt: skip
    for moved in year.reassigned:
        judged = _("judged by ‘%(after)s’, before by ‘%(before)s’ (%(name)s)") % {
            "after": moved.after, "before": moved.before, "name": moved.by,
        }  # fmt: skip
        why = "; ".join(part for part in (moved.why, moved.evidence) if part)
        rows.append([tag_of(year, moved.hood), judged, wording.day(moved.from_on), why or "–"])
    columns = [Column(_("What"), 40), Column(_("Change"), 52), Column(_("From"), 24), Column(_("Why, evidence"), 54)]
    flow.table(columns, rows, none=_("None."))
