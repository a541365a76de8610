"""Findings: opened, found again and closed by signed surveys; arranged, and some closed, by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods import queries as inventory
from hoods.actions.refusal import Refused
from hoods.models import Entry, Person
from surveys.core.criteria import Criteria
from surveys.core.facts import HoodFacts
from surveys.core.findings import BY_SURVEY, Left, OpeningNow, Thing, is_asked, left_by
from surveys.models import CriteriaVersion, Finding, FindingChange, Judgement, Survey


class FindingClosed(Refused):
    said = _("This finding is closed already: nothing is changed.")


class NothingArranged(Refused):
    said = _("Nothing is said anew here: change what is arranged, or write what was heard.")


class PromisedDayOver(Refused):
    said = _("This day is over: write the day that is promised now, or leave it empty.")
    field = "promised_on"


class NoWords(Refused):
    said = _("Say why this finding is closed: what was done, or why nothing has to be.")
    field = "words"


class ASurveyCloses(Refused):
    said = _(
        "A survey closes this finding: have it mended, then survey the hood. It is closed by hand only where nothing "
        "asks for it any more."
    )


class ManagerCloses(Refused):
    said = _("Nothing asks for this any more, and the programme manager closes it, with a reason.")


# --- by a signed survey -----------------------------------------------------------------------------------------------


def thing_of(finding: Finding) -> Thing:
    return Thing(finding.kind, finding.figure, finding.check_code, finding.opening_name, finding.ended)


@dataclass
class _Seen:
    """An open finding with the surveys that saw it: the one that opened it, and those that found it again."""

    finding: Finding
    by: set[Any] = field(default_factory=set)


def keep_findings(
    *, survey: Survey, judged: Mapping[str, Any], ended: str | None, earlier: Sequence[Survey], by: Person, at: datetime
) -> dict[str, int]:
    """What a survey opens, finds again and closes, as part of its signing; how many of each, for the log.

    `earlier` are the signed surveys of the hood, each with `leaves_open`: whether a finding that it opened is open.
    Nothing is asked of the database where nothing was found and nothing is open.
    """
    left = left_by(judged, ended)
    waiting = any(row.leaves_open for row in earlier)  # type: ignore[attr-defined]  # annotated by facts.around
    if not left.found and not waiting:
        return {}
    place = _Places(survey, earlier)
    seen = _open_findings(survey) if waiting else []
    changes = list(_changes(survey, left, seen, place))
    known = {thing_of(one.finding) for one in seen}
    opened = Finding.objects.bulk_create(
        Finding(
            hood_id=survey.hood_id, survey=survey, kind=one.thing.kind, figure=one.thing.figure,
            check_code=one.thing.check, limit=one.limit, ended=one.thing.ended, opening_name=one.thing.opening,
            value=one.value, unit=one.unit, at=at, by=by,
        )
        for one in left.found
        if one.thing not in known
    )  # fmt: skip
    changes += _met_since(opened, place)
    for change in changes:
        change.at, change.by = at, by
    FindingChange.objects.bulk_create(changes)
    counts = {"opened": len(opened), "again": 0, "closed": 0}
    for change in changes:
        counts["closed" if change.kind == "closed" else "again"] += 1
    return {name: number for name, number in counts.items() if number}


class _Places:
    """Which survey comes after which: by the end of measuring, an amendment at the place of what it amends."""

    def __init__(self, survey: Survey, earlier: Sequence[Survey]) -> None:
        self.survey = survey
        self._rows = {row.pk: row for row in earlier} | {survey.pk: survey}
        self.amended = {row.pk for row in self._chain(survey)}  # with the survey itself

    def _chain(self, survey: Survey) -> list[Survey]:
        found = [survey]
        while found[-1].amends_id is not None:
            found.append(self._rows[found[-1].amends_id])
        return found

    def of(self, key: Any) -> datetime:
        return self._chain(self._rows[key])[-1].measured_until

    def is_behind(self, keys: set[Any]) -> bool:
        """Whether one of these surveys measured after this one."""
        here = self.of(self.survey.pk)
        return any(self.of(key) > here for key in keys)

    def later(self) -> list[Survey]:
        """The surveys that measured after this one and stand, in their order."""
        void = {row.amends_id for row in self._rows.values()}
        here = self.of(self.survey.pk)
        rows = [row for row in self._rows.values() if row.pk not in void and self.of(row.pk) > here]
        return sorted(rows, key=lambda row: self.of(row.pk))


def _open_findings(survey: Survey) -> list[_Seen]:
    """The open findings of the hood, locked: their changes are asked for once nobody else can add one."""
    rows = list(Finding.objects.filter(hood=survey.hood_id).open().select_for_update(of=("self",), no_key=True))
    seen = {row.pk: _Seen(row, {row.survey_id}) for row in rows}
    changes = FindingChange.objects.filter(finding__in=seen, kind__in=("closed", "found-again"))
    for finding, kind, key in changes.values_list("finding_id", "kind", "survey_id"):
        if kind == "closed":
            seen.pop(finding, None)
        elif finding in seen:
            seen[finding].by.add(key)
    return list(seen.values())


def _changes(survey: Survey, left: Left, seen: list[_Seen], place: _Places) -> list[FindingChange]:
    """What becomes of the open findings: found again; or closed, unless a survey that measured later saw it."""
    found = {one.thing for one in left.found}
    made = []
    for one in seen:
        thing = thing_of(one.finding)
        met = left.closes(thing) and not place.is_behind(one.by)
        taken_back = one.by <= place.amended and left.takes_back(thing)
        if thing in found or met or taken_back:
            kind = "found-again" if thing in found else "closed"
            made.append(FindingChange(finding=one.finding, kind=kind, survey=survey))
    return made


def _met_since(opened: list[Finding], place: _Places) -> list[FindingChange]:
    """What is opened late, by an amendment or a survey signed long after, may have been met by a later one already."""
    later = place.later() if opened else []
    if not later:
        return []
    rows: dict[Any, list[Judgement]] = {}
    for row in Judgement.objects.filter(survey__in=later):
        rows.setdefault(row.survey_id, []).append(row)
    made = []
    for finding in opened:
        met_by = next((one for one in later if _as_kept(one, rows.get(one.pk, [])).closes(thing_of(finding))), None)
        if met_by is not None:
            made.append(FindingChange(finding=finding, kind="closed", survey=met_by))
    return made


def _as_kept(survey: Survey, rows: Sequence[Judgement]) -> Left:
    """What an earlier survey met, from its rows: as left where it was adjusted, else as found, which is both."""
    state = "as-left" if any(row.state == "as-left" for row in rows) else "as-found"
    outcomes: dict[tuple[str, str, str], tuple[Mapping[str, Any], ...]] = {}
    for row in rows:
        if row.state == state:
            key = (row.figure, row.check_code, row.opening_name)
            outcomes[key] = (*outcomes.get(key, ()), {"outcome": row.outcome, "consequence": row.consequence})
    return Left((), outcomes, survey.verdict, survey.held)


# --- by hand ----------------------------------------------------------------------------------------------------------


@transaction.atomic
def arrange_finding(
    *, finding: Finding, by: Person, at: datetime, owner: str = "", order_number: str = "",
    promised_on: date | None = None, words: str = "",
) -> FindingChange:  # fmt: skip
    """Say who sees to a finding, under which order, by which day; what is said last holds, what is left empty is not."""
    finding = _locked(finding)
    last = finding.changes.filter(kind="arranged").order_by("-at", "-pk").first()
    before = _arranged(last)
    said = {"owner": owner, "order_number": order_number, "promised_on": promised_on}
    if said == before and not words.strip():
        raise NothingArranged()
    if promised_on is not None and promised_on != before["promised_on"] and promised_on < finding.hood.site.day_of(at):
        raise PromisedDayOver()
    change = FindingChange.objects.create(finding=finding, kind="arranged", words=words, at=at, by=by, **said)
    _enter(finding, "finding-arranged", by=by, at=at, why=words, **_plain(said))
    return change


@transaction.atomic
def close_finding(*, finding: Finding, words: str, by: Person, at: datetime) -> FindingChange:
    """Close by hand, with the reason, what no survey closes: a note, a label that did not hold, what was mended at once.

    A fail or restrict is closed by hand only where nothing asks for it any more, and by the programme manager.
    """
    finding = _locked(finding)
    if not words.strip():
        raise NoWords()
    if closing := why_not_close(finding, by, finding.hood.site.day_of(at)):
        raise closing
    change = FindingChange.objects.create(finding=finding, kind="closed", words=words, at=at, by=by)
    _enter(finding, "finding-closed", by=by, at=at, why=words)
    return change


def why_not_close(finding: Finding, by: Person, today: date) -> Refused | None:
    """Why somebody cannot close a finding by hand today; None where it can be done."""
    if finding.kind not in BY_SURVEY:
        return None
    if is_still_asked(finding, today):
        return ASurveyCloses()
    return None if by.has_role(finding.hood.site, "programme-manager") else ManagerCloses()


def is_still_asked(finding: Finding, today: date) -> bool:
    """Whether a survey made today would judge what was found; of a retired hood nothing is asked any more."""
    hood = finding.hood
    if inventory.life(hood) == "retired":
        return False
    version = _in_force(finding, today)
    if version is None:
        return True
    openings = [OpeningNow(one.name, one.use, one.height) for one in hood.openings.all()]
    facts = HoodFacts(hood.kind, hood.control, hood.sash, hood.monitor, hood.powered)
    if not is_asked(thing_of(finding), Criteria.from_dict(version.document), openings, facts):
        return False
    return not _was_taken_away(finding)


def _in_force(finding: Finding, today: date) -> CriteriaVersion | None:
    rows = finding.hood.assignments.filter(from_on__lte=today).select_related("set")
    assigned = rows.order_by("-from_on", "-pk").first()
    return assigned.set.in_force(today) if assigned else None


def _was_taken_away(finding: Finding) -> bool:
    """Whether the last survey, made in full since it was found, answered that the check does not apply to the hood."""
    if not finding.check_code:
        return False
    last = Survey.objects.filter(hood=finding.hood_id, measured_until__gt=finding.survey.measured_until)
    newest = last.order_by("-measured_until", "-record").first()
    if newest is None or not newest.full:
        return False
    return not newest.judgements.filter(check_code=finding.check_code, opening_name=finding.opening_name).exists()


def _locked(finding: Finding) -> Finding:
    rows = Finding.objects.select_for_update(of=("self",), no_key=True).select_related("hood__site", "survey")
    finding = rows.get(pk=finding.pk)
    if finding.changes.filter(kind="closed").exists():
        raise FindingClosed()
    return finding


def _arranged(last: FindingChange | None) -> dict[str, Any]:
    if last is None:
        return {"owner": "", "order_number": "", "promised_on": None}
    return {"owner": last.owner, "order_number": last.order_number, "promised_on": last.promised_on}


def _plain(said: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value.isoformat() if isinstance(value, date) else value for name, value in said.items() if value}


def _enter(finding: Finding, action: str, *, by: Person, at: datetime, why: str, **after: Any) -> None:
    Entry.objects.add(by=by, at=at, action=action, what=finding.hood, after={"finding": finding.pk, **after}, why=why)
