"""What stands beside the counts of a year: criteria, instruments, people, stops, and what was done about failures."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import Any, NamedTuple

from django.db.models import Q, QuerySet

from hoods.models import Hood, Person, Site
from reports.core.period import Period
from reports.core.year import (
    CalibrationRow,
    InstrumentRow,
    LimitRow,
    PersonRow,
    QualificationRow,
    Reassigned,
    StopRow,
    Told,
    VersionRow,
)
from reports.core.yearly_rows import SurveyRow
from surveys import wording, words
from surveys.core import units
from surveys.core.calibration import Calibrated, doubts, in_doubt
from surveys.models import (
    Assignment,
    Calibration,
    CriteriaVersion,
    FindingChange,
    Instrument,
    Notice,
    Qualification,
    Reading,
    Stop,
    Survey,
)

Names = Mapping[Hashable, tuple[str, str]]


class Bounds:
    """The limits on an average, by criteria version and unit; each version is read once."""

    def __init__(self) -> None:
        self._documents: dict[Hashable, dict[str, Any]] | None = None
        self._found: dict[tuple[Hashable, str], tuple[Fraction, ...]] = {}

    def of(self, version: Hashable, unit: str) -> tuple[Fraction, ...]:
        key = (version, unit)
        if key not in self._found:
            if self._documents is None:
                rows = CriteriaVersion.objects.filter(adopted_at__isnull=False).order_by()
                self._documents = {pk: json.loads(content) for pk, content in rows.values_list("pk", "content")}
            limits = self._documents.get(version, {}).get("limits", ())
            texts = [limit.get(end) for limit in limits if limit.get("figure") == "average" for end in ENDS]
            self._found[key] = tuple(units.quantity(text).to(unit) for text in texts if text)
        return self._found[key]


ENDS = ("at_least", "at_most")


# Criteria ----------------------------------------------------------------------------------------------------------


def versions(site: Site, period: Period, surveys: Sequence[SurveyRow]) -> tuple[VersionRow, ...]:
    """The adopted versions that were in force on some day of the year, or judged a survey of it; those adopted in it too."""
    judged = Counter(survey.version for survey in surveys)
    rows = CriteriaVersion.objects.filter(set__site=site, adopted_at__isnull=False).select_related("set", "adopted_by")
    found = []
    following: dict[Hashable, date | None] = {}
    for row in rows.order_by("set__name", "set", "-first_day", "-number"):
        until = following.get(row.set_id)
        last = until - timedelta(days=1) if until else None
        following[row.set_id] = row.first_day
        adopted_on = site.day_of(row.adopted_at)
        in_force = row.first_day <= period.last and (last is None or last >= period.first)
        if in_force or judged[row.pk] or adopted_on in period:
            found.append(_version(row, adopted_on, last, judged[row.pk]))
    return tuple(found)


def _version(row: CriteriaVersion, adopted_on: date, until: date | None, judged: int) -> VersionRow:
    document = row.document
    due = document.get("due") or {}
    return VersionRow(
        row.pk, row.set.name, row.number, row.first_day, adopted_on, row.adopted_by.name if row.adopted_by else "",
        row.reason, row.record_id, str(due.get("months") or ""), until, judged, tuple(_limits(document)), row.pk,
    )  # fmt: skip


def _limits(document: Mapping[str, Any]) -> Iterable[LimitRow]:
    for one in (*document.get("limits", ()), *document.get("checks", ())):
        yield LimitRow(
            one.get("figure") or "", one.get("check") or "", one.get("at_least") or "", one.get("at_most") or "",
            one.get("applies_to") or "each", one.get("consequence") or "", one.get("restriction") or "",
            one.get("source") or "", one.get("evidence") or "",
        )  # fmt: skip


def adopted(site: Site, found: Sequence[VersionRow], period: Period) -> tuple[VersionRow, ...]:
    """The versions that were adopted in the year, or came into force in it."""
    return tuple(one for one in found if one.adopted_on in period or one.first_day in period)


def reassigned(hoods: QuerySet[Hood], period: Period, names: Names) -> tuple[Reassigned, ...]:
    """The hoods of the year that came to be judged by another set in it; a hood's first set is no change."""
    rows = Assignment.objects.filter(hood__in=hoods.order_by().values("pk"), from_on__lte=period.last)
    columns = ("hood_id", "from_on", "set__name", "why", "evidence", "by__name")
    before: dict[Hashable, str] = {}
    found = []
    for hood, from_on, name, why, evidence, by in (
        rows.order_by("hood", "from_on", "pk").values_list(*columns).iterator(5000)
    ):
        was, before[hood] = before.get(hood), name
        if was is not None and was != name and from_on in period and hood in names:
            found.append(Reassigned(hood, from_on, was, name, why, evidence, by))
    return tuple(sorted(found, key=lambda one: (one.from_on, names[one.hood])))


# Instruments and people --------------------------------------------------------------------------------------------


class MeasuredWith(NamedTuple):
    instruments: dict[Hashable, InstrumentRow]
    calibrations: dict[Hashable, CalibrationRow]
    doubtful: dict[Hashable, bool]  # by survey: made while its instrument may have read wrongly, as known by the day


def instruments(site: Site, surveys: Sequence[SurveyRow], known_on: date) -> MeasuredWith:
    rows = Instrument.objects.filter(site=site).order_by().values_list("pk", "name", "serial", "kind")
    named: dict[Hashable, InstrumentRow] = {pk: InstrumentRow(*row) for pk, *row in rows}
    calibrations: dict[Hashable, CalibrationRow] = {}
    of_instrument: dict[Hashable, list[Calibrated]] = defaultdict(list)
    columns = ("pk", "instrument_id", "certificate", "laboratory", "done_on", "due_on", "in_tolerance")
    done = Calibration.objects.filter(instrument__site=site).order_by("done_on", "pk")
    for pk, instrument, certificate, laboratory, done_on, due_on, good in done.values_list(*columns):
        calibrations[pk] = CalibrationRow(certificate, laboratory, done_on, due_on)
        of_instrument[instrument].append(Calibrated(done_on, due_on, good))
    spans = {instrument: doubts(known) for instrument, known in of_instrument.items()}
    doubtful = {
        survey.key: in_doubt(spans.get(survey.instrument, ()), survey.done_on, known_on) is not None
        for survey in surveys
    }
    return MeasuredWith(named, calibrations, doubtful)


def people(site: Site, surveys: Sequence[SurveyRow]) -> tuple[dict[Hashable, PersonRow], tuple[QualificationRow, ...]]:
    """Who measured, typed in from paper and signed, and every qualification that those who measured have had here."""
    measured = {survey.surveyor for survey in surveys if survey.surveyor is not None}
    typed = {survey.paper.typed_in_by for survey in surveys if survey.paper}
    signed = {survey.signed_by for survey in surveys if survey.signed_by is not None}
    rows = Person.objects.filter(pk__in=measured | typed | signed).order_by().values_list("pk", "name", "initials", "position", "employer")
    named: dict[Hashable, PersonRow] = {pk: PersonRow(*row) for pk, *row in rows}
    held = Qualification.objects.filter(site=site, person__in=measured).order_by("person__name", "from_on", "pk")
    columns = ("person_id", "method", "qualified_by", "from_on", "until_on")
    return named, tuple(QualificationRow(*row) for row in held.values_list(*columns))


def overlapping(
    held: Sequence[QualificationRow], period: Period, signed: set[Hashable]
) -> tuple[QualificationRow, ...]:
    """The qualifications that covered some day of the year."""
    return tuple(
        one
        for one in held
        if one.person in signed
        and one.from_on <= period.last
        and (one.until_on is None or one.until_on >= period.first)
    )


# Failures and stops ------------------------------------------------------------------------------------------------


def stops(hoods: QuerySet[Hood], site: Site, period: Period, on: date, names: Names) -> tuple[StopRow, ...]:
    """'Do not use' posted in the year by the site's days, and until when it was up."""
    near = (period.first - timedelta(days=1), period.last + timedelta(days=2))
    rows = Stop.objects.filter(hood__in=hoods.order_by().values("pk"), at__date__range=near).order_by("at", "pk")
    changes: dict[Hashable, tuple[str, date]] = {}
    posted: dict[Hashable, tuple[Any, ...]] = {}
    columns = ("pk", "hood_id", "at", "reason", "words", "by__name", "changes__kind", "changes__at")
    for pk, hood, at, reason, said, by, kind, changed_at in rows.values_list(*columns):
        posted[pk] = (hood, site.day_of(at), reason, said, by)
        if kind in ("lifted", "withdrawn"):
            changes[pk] = (kind, site.day_of(changed_at))
    found = []
    for pk, (hood, posted_on, *rest) in posted.items():
        if posted_on in period and hood in names:
            kind, over_on = changes.get(pk, ("", None))
            found.append(
                StopRow(hood, posted_on, *rest, over_on, kind, (over_on - posted_on).days if over_on else None)
            )
    return tuple(found)


def told(surveys: QuerySet[Survey], site: Site) -> dict[Hashable, Told]:
    """Who was told of a failure and under which number its repair was ordered."""
    failed = surveys.order_by().filter(Q(verdict="fail") | Q(as_found="fail"))
    said: dict[Hashable, list[str]] = defaultdict(list)
    mails = Notice.objects.filter(survey__in=failed.values("pk"), tries__sent=True).order_by("tries__at", "pk")
    for survey, name, at in mails.values_list("survey_id", "to__name", "tries__at"):
        said[survey].append(f"{name}, {wording.day(site.day_of(at).isoformat())}")
    orders: dict[Hashable, list[str]] = defaultdict(list)
    changes = FindingChange.objects.filter(finding__survey__in=failed.values("pk")).exclude(order_number="")
    for survey, number in changes.order_by("at", "pk").values_list("finding__survey_id", "order_number"):
        orders[survey].append(number)
    return {
        survey: Told("; ".join(dict.fromkeys(said[survey])), ", ".join(dict.fromkeys(orders[survey])))
        for survey in {*said, *orders}
    }


def wanting(surveys: QuerySet[Survey]) -> dict[Hashable, str]:
    """What was not met, or why no verdict was reached: in the words of each survey's own record."""
    asked = surveys.order_by().filter(Q(verdict__in=("fail", "no-verdict")) | Q(as_found="fail"))
    rows = asked.values_list("pk", "record__content")
    return {pk: _wanting(json.loads(content)) for pk, content in rows.iterator(200)}


def _wanting(attested: Mapping[str, Any]) -> str:
    judged = attested.get("judged") or {}
    ended = (attested.get("entered") or {}).get("ended_early") or {}
    if ended.get("reason"):
        known = words.STOP_REASONS | words.PAUSE_REASONS
        return str(known.get(ended["reason"], ended["reason"]))
    if judged.get("verdict") in ("fail", "no-verdict"):
        return " ".join(wording.sentence(reason) for reason in judged.get("reasons", ()))
    return "; ".join(_not_met(judged.get("sets", {}).get("as-found", {})))


def _not_met(found: Mapping[str, Any]) -> Iterable[str]:
    """What was not met as found where it was put right on the visit: 'Average face velocity 91 ft/min (working)'."""
    everywhere = [(opening.get("opening"), opening.get("judgements", ())) for opening in found.get("openings", ())]
    for opening, judgements in (*everywhere, ("", found.get("hood", ()))):
        for judgement in judgements:
            if judgement.get("outcome") == "not-met" and judgement.get("consequence") == "fail":
                yield _judgement(judgement, opening or "")


def _judgement(judgement: Mapping[str, Any], opening: str) -> str:
    value = judgement.get("value") or {}
    said = wording.coded("figure", judgement["figure"]) if judgement.get("figure") else (
        wording.coded("check", judgement.get("check"))
    )  # fmt: skip
    if isinstance(value, Mapping) and value.get("shown"):
        said = f"{said} {units.with_unit(value['shown'], value['unit'])}"
    return f"{said} ({opening})" if opening else said


# Readings ----------------------------------------------------------------------------------------------------------

READING = (
    "traverse__survey__record_id", "traverse__survey__hood__tag", "traverse__survey__hood__code",
    "traverse__survey__done_on", "traverse__opening_name", "traverse__state", "row", "column", "repeat", "value",
    "traverse__unit", "at", "struck", "traverse__struck",
)  # fmt: skip


def readings(surveys: QuerySet[Survey]) -> Iterable[tuple[Any, ...]]:
    """Every reading of these surveys, in the order of their records."""
    rows = Reading.objects.filter(traverse__survey__in=surveys.order_by().values("pk"))
    rows = rows.order_by("traverse__survey__record_id", "traverse__order", "row", "column", "repeat")
    return rows.values_list(*READING).iterator(5000)
