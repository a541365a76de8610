"""What followed from the demo's surveys: who mends what, one survey amended, a reason for an overdue one, qualifications."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any

from surveys.actions import amendments, drafts, findings, labels, overdue, qualifications, signing
from surveys.models import Finding, Survey

if TYPE_CHECKING:
    from config.demo.build import Built


@dataclass(frozen=True)
class Arranged:
    """Who sees to what was found at a hood, said so many days ago; promised for a day so many days from today."""

    days_ago: int
    tag: str
    kind: str
    owner: str
    order: str = ""
    promised_in: int | None = None
    words: str = ""


ARRANGED = (
    Arranged(17, "FH-0103", "fail", "Building Services", "W-2231", 12, "The damper sticks; a part is ordered."),
    Arranged(15, "FH-0104", "restrict", "Building Services", "W-2232", -2, "To be balanced with its neighbour."),
    Arranged(18, "FH-0101", "note", "Electricians", "W-2218", 5),
    Arranged(2, "FH-0105", "fail", "Glazier", "W-2240", 9, "A new lower pane is cut."),
)
CLOSED = (25, "FH-0110", "mended-on-visit", "The belt was worn and is replaced; the spare is on the shelf.")
#: Copied to correct it: days ago of the survey and of its amendment, the hood, what was wrong.
AMENDED = (270, 268, "FH-0111", "The room's temperature was read off the wrong thermometer.")
OVERDUE = (10, "FH-0102", "The laboratory could not be cleared before its long experiment ended.")
#: Of the surveyor: method, by whom, first and last day in days from today.
QUALIFIED = (
    ("Face velocity by traverse", "Skuaness Air Laboratory, two-day course", -1130, -400),
    ("Face velocity by traverse", "Skuaness Air Laboratory, renewal", -399, 331),
    ("Smoke at the opening", "Henrik Sole", -760, None),
)


def happenings(built: Built, day: date) -> Iterator[tuple[datetime, Callable[[], Any]]]:
    """Each with the moment at which it is said; all after the surveys that they follow from."""
    begun = _at(day - timedelta(days=760))
    for method, by, first, last in QUALIFIED:
        at = max(begun, _at(day + timedelta(days=first)))
        yield (
            at,
            partial(_qualify, built, method, by, day + timedelta(days=first), last and day + timedelta(days=last), at),
        )
    for one in ARRANGED:
        at = _at(day - timedelta(days=one.days_ago), 17)
        yield at, partial(_arrange, built, one, day, at)
    ago, tag, kind, words = CLOSED
    at = _at(day - timedelta(days=ago), 17)
    yield at, partial(_close, built, tag, kind, words, at)
    measured, ago, tag, why = AMENDED
    at = _at(day - timedelta(days=ago), 10)
    yield at, partial(_amend, built, tag, day - timedelta(days=measured), why, at)
    ago, tag, why = OVERDUE
    at = _at(day - timedelta(days=ago), 16)
    yield at, lambda: overdue.explain_overdue(hood=built.hoods[tag], why=why, by=built.manager, at=at)


def _at(day: date, hour: int = 13) -> datetime:
    return datetime.combine(day, time(hour), tzinfo=UTC)


def _qualify(built: Built, method: str, by: str, first: date, last: date | None, at: datetime) -> None:
    qualifications.record_qualification(
        person=built.surveyor, site=built.site, method=method, qualified_by=by, from_on=first, until_on=last,
        by=built.manager, at=at,
    )  # fmt: skip


def _finding(built: Built, tag: str, kind: str) -> Finding:
    return Finding.objects.filter(hood=built.hoods[tag], kind=kind).open().latest("at", "pk")


def _arrange(built: Built, one: Arranged, day: date, at: datetime) -> None:
    findings.arrange_finding(
        finding=_finding(built, one.tag, one.kind), owner=one.owner, order_number=one.order, words=one.words,
        promised_on=None if one.promised_in is None else day + timedelta(days=one.promised_in), by=built.manager, at=at,
    )  # fmt: skip


def _close(built: Built, tag: str, kind: str, words: str, at: datetime) -> None:
    findings.close_finding(finding=_finding(built, tag, kind), words=words, by=built.surveyor, at=at)


def _amend(built: Built, tag: str, measured: date, why: str, at: datetime) -> None:
    """A copy of the survey with its temperature put right, signed, and its label put on in place of the old one."""
    wrong = Survey.objects.get(hood=built.hoods[tag], done_on=measured)
    by = built.surveyor
    draft = amendments.start_amendment(survey=wrong, why=why, begins="copy", by=by, at=at)
    content = amendments.with_moments_as_corrected(wrong)
    content["conditions"]["temperature"] = "19.0 degC"
    receipt = drafts.save_revision(draft=draft, content=content, form_id="demo", made_from=1, by=by, at=at)
    seen = signing.Seen(receipt.revision, draft.version_id)
    survey = signing.sign_survey(draft=draft, seen=seen, by=by, at=at + timedelta(minutes=4))
    labels.record_label_copies(surveys=[survey], sheet="100x50", by=by, at=at + timedelta(minutes=6))
    labels.label_put_on(
        survey=survey, issue=survey.label_issue or 0, old_removed=True, by=by, at=at + timedelta(minutes=15)
    )
