"""Whether a hood may be used on a day, and up to which sash height: derived from dated facts, never stored.

The first line that holds is the status (DEVELOPERS.md, 'Status'):

    retired, hibernated   the last such event says so
    do-not-use            a posted stop is up; or the last verdict is `fail`; or the criteria version says that use ends
                          so many days after due, and they are over
    out-of-service        inside an outage that has not been ended
    not-surveyed          no verdict since the hood was installed, last moved or last woken; or nothing is approved
    restricted            the last verdict is `restrict`, or a part of its approval has ended
    met-criteria          the last verdict is `pass`

A result from earlier records that was accepted counts as a survey until the first verdict signed here; after that it
grants nothing: the last of them bars if it is a failure, narrows if it restricts and is newer, and else changes nothing.
No label comes of one.

Flags stand beside the status and never hide it. A day is asked for as it stands at its end: a stop that was posted and
lifted on one day is not up that day. Facts after the day are not looked at, so that any past day can be asked for.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from datetime import date
from typing import Any, NamedTuple

from surveys.core.approval import approvals, changes, joined, limited, narrowed_by
from surveys.core.calibration import in_doubt
from surveys.core.due import Due, next_due
from surveys.core.history import Approved, HoodFacts, Surveyed
from surveys.core.life import Life
from surveys.core.messages import Message
from surveys.core.status_reasons import (
    CHANGED_SINCE,
    UNLABELLED,
    barred_by,
    changed_since,
    found,
    outage,
    why_not_issued,
    why_nothing_approved,
)
from surveys.core.units import both
from surveys.core.verdicts import last_surveys, restricted_since

RETIRED = "retired"
HIBERNATED = "hibernated"
DO_NOT_USE = "do-not-use"
OUT_OF_SERVICE = "out-of-service"
NOT_SURVEYED = "not-surveyed"
RESTRICTED = "restricted"
MET_CRITERIA = "met-criteria"
STATUSES = (RETIRED, HIBERNATED, DO_NOT_USE, OUT_OF_SERVICE, NOT_SURVEYED, RESTRICTED, MET_CRITERIA)
GRANTING = frozenset({RESTRICTED, MET_CRITERIA})

OVERDUE = "overdue"
INSTRUMENT_IN_DOUBT = "instrument-in-doubt"
NOT_SIGNED_HERE = "not-signed-here"
FROM_PAPER = "from-paper"
FLAGS = (OVERDUE, INSTRUMENT_IN_DOUBT, NOT_SIGNED_HERE, FROM_PAPER)
SOURCES = frozenset({NOT_SIGNED_HERE, FROM_PAPER})

VALID = "valid"  # the label says what holds today
SUSPENDED = "suspended"  # its survey stands, but the hood must not be used now, or is out of service
OUTDATED = "outdated"  # its survey or restriction no longer stands: 'remove it'
NO_LABEL = "none"  # no label of this number was ever issued for this hood
STANDINGS = (VALID, SUSPENDED, OUTDATED, NO_LABEL)

_CHANGED = frozenset(CHANGED_SINCE.values())
_NOT_SIGNED_HERE = Message("no-label-not-signed-here")
_FOR_STATUS = Message("no-label-for-status")
_LABEL_FROM_BEFORE = Message("label-from-before")
_LABEL_VOID = Message("label-void")


class Flag(NamedTuple):
    """Something to know beside the status, and since when."""

    code: str
    since: date | None


class Status(NamedTuple):
    """What holds on a day. `approved` and `restriction` are empty where the status grants nothing."""

    code: str
    since: date | None
    flags: tuple[Flag, ...]
    reasons: tuple[Message, ...]
    approved: tuple[Approved, ...]
    restriction: Mapping[str, Any] | None
    due: Due | None
    survey: Hashable  # the survey with the last verdict, be the status its own or not
    label_issue: int | None
    why_no_label: Message | None
    in_grace_until: date | None = None  # overdue, and still within the site's grace: said beside, never as in date
    earlier: Hashable = None  # the result from earlier records that has the last verdict, where no survey has it

    def flag(self, code: str) -> Flag | None:
        """The flag of this code, where it is up."""
        for flag in self.flags:
            if flag.code == code:
                return flag
        return None

    @property
    def sources(self) -> tuple[Flag, ...]:
        """The flags that say where the last verdict is from, where nobody measured and signed it here at once."""
        return tuple(flag for flag in self.flags if flag.code in SOURCES)

    @property
    def barred_by_earlier(self) -> bool:
        """Whether it must not be used for what earlier records say, and for nothing else."""
        return self.code == DO_NOT_USE and all(reason.code == "earlier-record-failed" for reason in self.reasons)

    @property
    def waits(self) -> bool:
        """Whether a survey is owed by no day: none that counts since the hood stands there, or nothing is approved."""
        return (self.due is None or self.code == NOT_SURVEYED) and self.flag(OVERDUE) is None

    @property
    def grants(self) -> bool:
        """Whether the hood may be used, at the approved openings and within the restriction."""
        return self.code in GRANTING

    @property
    def in_use(self) -> bool:
        """Whether the hood may be used today: granted, and by a label that holds, since the label decides.

        Where earlier records grant it, that is the label which the site put on then (`label_from_before`).
        """
        why = self.why_no_label
        return self.code in GRANTING and (why is None or why.code == _NOT_SIGNED_HERE.code)

    @property
    def is_canopy(self) -> bool:
        """Whether it is a canopy as surveyed: for heat and steam alone, and no label ever says otherwise."""
        return self.code in GRANTING and self.why_no_label is not None and self.why_no_label.code == "no-label-canopy"

    @property
    def label_from_before(self) -> Message | None:
        """What is said of a hood that is used by earlier records: this ledger knows no label of it."""
        return _LABEL_FROM_BEFORE if self.in_use and self.why_no_label is not None else None

    @property
    def label_void(self) -> Message | None:
        """What is said of a hood that counts as never surveyed, but on which a label of before may hang and grant use."""
        labelled = self.label_issue is not None or self.earlier is not None
        return _LABEL_VOID if self.code == NOT_SURVEYED and labelled else None

    @property
    def unlabelled(self) -> Message | None:
        """What is said of a hood whose status stands but that no valid label can hang on; None of any other."""
        if self.code not in GRANTING or self.why_no_label is None or self.label_from_before is not None:
            return None
        height = (self.restriction or {}).get("largest_opening")
        values = {"height": both(height)} if height else {}
        return Message(UNLABELLED.get(self.why_no_label.code, "unlabelled"), values)


def status(facts: HoodFacts, on: date) -> Status:
    """The status of a hood on a day."""
    life = Life(facts.events, on)
    verdict, counted = last_surveys(facts.surveys, on)
    counts = counted and life.counts(counted)  # not elsewhere, or before its sleep
    rule = facts.rules.get(counted.version) if counted and counts else None
    due = next_due(counted.done_on, rule) if counted and rule else None
    code, since, reasons = _standing(facts, life, verdict, due, on)
    approved: tuple[Approved, ...] = ()
    restriction: Mapping[str, Any] | None = None
    if verdict is None or code not in GRANTING:
        why_no_label: Message | None = _FOR_STATUS
    else:
        code, reasons, approved, restriction, why_no_label = _granted(facts, verdict, code, reasons, due, on)
    record = restricted_since(facts.surveys, verdict, on) if verdict and approved else None
    if record is not None:
        code, approved, restriction, why_no_label = _narrowed(facts, record, approved, restriction, why_no_label)
        reasons = (reasons[0], found(record, "restricted"), *reasons[1:])
    flags = () if life.resting else _flags(facts, verdict, code, since, due, on)
    grace = due.grace_until if due and due.on < on <= due.grace_until and not life.resting else None
    if verdict and reasons[-1].code in _CHANGED:
        since = changes(facts, verdict, on)[-1].on
    if record is not None:
        since = max(since or record.done_on, record.done_on)
    survey, issue = (verdict.id, verdict.label_issue) if verdict and verdict.signed_here else (None, None)
    earlier = verdict.id if verdict and not verdict.signed_here else None
    return Status(code, since, flags, reasons, approved, restriction, due, survey, issue, why_no_label, grace, earlier)


def grants_label(status: Status) -> bool:
    """Whether a label may be printed from this status."""
    return status.why_no_label is None


def label_standing(facts: HoodFacts, issue: int, on: date) -> str:
    """What a label of this issue number is worth on a day: one of STANDINGS.

    It is valid while its survey has the last verdict and approves what the label says. A stop, an overdue survey that
    ends use, or an outage suspends it; a later verdict, an amendment, a move, a change of the hood or of its opening,
    hibernation or retirement ends it.
    """
    if not any(survey.label_issue == issue for survey in facts.surveys):
        return NO_LABEL
    now = status(facts, on)
    if now.label_issue != issue or now.code in (RETIRED, HIBERNATED, NOT_SURVEYED):
        return OUTDATED
    if now.grants:
        return VALID if grants_label(now) else OUTDATED
    return SUSPENDED if status(unhindered(facts), on).why_no_label is None else OUTDATED


def _standing(
    facts: HoodFacts, life: Life, verdict: Surveyed | None, due: Due | None, on: date
) -> tuple[str, date | None, tuple[Message, ...]]:
    """The first line that holds, since when, and why; what the approved openings say comes after."""
    if life.resting is not None:
        day = life.resting.on
        return life.resting.kind, day, (Message(life.resting.kind, {"on": day.isoformat()}),)
    barred = barred_by(facts.stops, verdict, due, on)
    if barred:
        return DO_NOT_USE, min(day for day, _ in barred), tuple(message for _, message in barred)
    if life.outage is not None:
        return OUT_OF_SERVICE, life.outage.on, (outage(life.outage),)
    if verdict is None:
        return NOT_SURVEYED, life.began and life.began.on, (Message("never-surveyed", {}),)
    if life.began is not None and not life.counts(verdict):
        began = life.began
        return NOT_SURVEYED, began.on, (Message(f"not-surveyed-since-{began.kind}", {"on": began.on.isoformat()}),)
    if verdict.verdict == "pass":
        return MET_CRITERIA, verdict.done_on, (found(verdict, "passed"),)
    if verdict.verdict == "restrict":
        return RESTRICTED, verdict.done_on, (found(verdict, "restricted"),)
    return NOT_SURVEYED, verdict.done_on, (Message("nothing-approved", {}),)


def _granted(
    facts: HoodFacts, verdict: Surveyed, code: str, reasons: tuple[Message, ...], due: Due | None, on: date
) -> tuple[str, tuple[Message, ...], tuple[Approved, ...], Mapping[str, Any] | None, Message | None]:
    """Where and how the hood may be used after the last verdict, and why it gets no label if it gets none."""
    approved, ended = approvals(facts, verdict, on)
    restriction = verdict.restriction or None
    why = changed_since(changes(facts, verdict, on)) if ended else ()
    if not approved:
        reasons = why or (Message(why_nothing_approved(verdict)),)
        return NOT_SURVEYED, reasons, (), None, _FOR_STATUS
    if ended and (narrowed := narrowed_by(approved, ended, facts.one_way)):
        reasons = (*reasons, *why)
        restriction = joined(restriction or {}, narrowed)
        return RESTRICTED, reasons, approved, restriction, Message("no-label-opening-changed")
    if not verdict.signed_here:
        return code, reasons, approved, restriction, _NOT_SIGNED_HERE
    undue = due is None and bool(facts.rules)  # where no rule is known, as of what hung on a day, no day is asked for
    if verdict.label_issue is not None:
        return code, reasons, approved, restriction, Message("no-label-not-full") if undue else None
    unissued = why_not_issued(restriction or {})
    unissued = "no-label-not-full" if undue and unissued == "no-label-issued" else unissued
    return code, reasons, approved, restriction, Message(unissued)


def _narrowed(
    facts: HoodFacts, record: Surveyed, approved: tuple[Approved, ...], restriction: Mapping[str, Any] | None, why: Message | None
) -> tuple[str, tuple[Approved, ...], Mapping[str, Any] | None, Message | None]:
    """What a later record leaves of what was signed here; the label that says more is void."""
    left, narrowed = limited(approved, facts.approved.get(record.id, ()), facts.one_way)
    if not left:
        return NOT_SURVEYED, (), None, _FOR_STATUS
    why = why if why is not None and why.code == "no-label-canopy" else Message("no-label-earlier-restricts")
    return RESTRICTED, left, joined(restriction or {}, {**(record.restriction or {}), **narrowed}), why


def _flags(
    facts: HoodFacts, verdict: Surveyed | None, code: str, since: date | None, due: Due | None, on: date
) -> tuple[Flag, ...]:
    """The flags that are up, in the order of FLAGS."""
    flags = []
    if due is not None:
        if on > due.on:
            flags.append(Flag(OVERDUE, due.overdue_from))
    elif code in GRANTING:  # never surveyed in full: that has been owed since the survey that granted it
        flags.append(Flag(OVERDUE, since))
    if verdict is not None:
        if facts.doubts and (doubts := facts.doubts.get(verdict.instrument)):
            found_on = in_doubt(doubts, verdict.done_on, on)
            if found_on is not None:
                flags.append(Flag(INSTRUMENT_IN_DOUBT, found_on))
        if not verdict.signed_here:
            flags.append(Flag(NOT_SIGNED_HERE, verdict.done_on))
        if verdict.from_paper:
            flags.append(Flag(FROM_PAPER, verdict.done_on))
    return tuple(flags)


def unhindered(facts: HoodFacts) -> HoodFacts:
    """The same facts without what only suspends a label: stops, outages, and the end of use by an overdue survey."""
    return facts._replace(
        events=[event for event in facts.events if event.kind != OUT_OF_SERVICE],
        stops=(),
        rules={version: rule._replace(use_ends_days=None) for version, rule in facts.rules.items()},
    )
