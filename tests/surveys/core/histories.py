"""Histories of a hood in a line, for tables of status."""

from datetime import UTC, date, datetime, timedelta

from surveys.core.due import DueRule
from surveys.core.history import Approved, Event, HoodFacts, Stop, Surveyed

YEARLY, YEARLY_THEN_BARRED, MONTH_END = 1, 2, 3


RULES = {
    YEARLY: DueRule(12),
    YEARLY_THEN_BARRED: DueRule(12, grace_days=30, use_ends_days=90),
    MONTH_END: DueRule(12, "month-end"),
}


WORKING, LOWER = Approved("working", "18 in", "working", "", 71), Approved("lower", "12 in", "lower", "", 72)


LEFT, RIGHT = Approved("left", "26 in", "working", "left panel", 73), Approved("right", "26 in", "working", "", 74)


METER = 5


def day(text: str) -> date:
    return date.fromisoformat(text)


def at(on: str, hour: int = 12) -> datetime:
    return datetime.combine(day(on), datetime.min.time(), UTC) + timedelta(hours=hour)


def event(kind: str, on: str, hour: int = 12, until_on: str | None = None, opening=None) -> Event:
    return Event(kind, day(on), at(on, hour), until_on and day(until_on), opening)


def stop(posted_on: str, ended_on: str | None = None, reason: str = "no-flow") -> Stop:
    return Stop(reason, day(posted_on), ended_on and day(ended_on))


def survey(record: int, verdict: str, on: str, hour: int = 12, **fields) -> Surveyed:
    values = {"full": True, "reason": "annual", "version": YEARLY, "instrument": METER, "label_issue": record}
    if verdict not in ("pass", "restrict"):
        values["label_issue"] = None
    values |= fields
    return Surveyed(f"s{record}", record, verdict, day(on), at(on, hour), at(on, hour + 1), **values)


def hood(*facts, approved=(WORKING,), one_way=True, doubts=(), **fields) -> HoodFacts:
    """The facts of one hood from events, stops and surveys in any order; each survey approves the same openings."""
    kinds: dict[type, list] = {Event: [], Stop: [], Surveyed: []}
    for fact in facts:
        kinds[type(fact)].append(fact)
    surveys = kinds[Surveyed]
    return HoodFacts(
        events=sorted(kinds[Event], key=lambda event: (event.on, event.at)),
        stops=kinds[Stop],
        surveys=surveys,
        approved=fields.get("by_survey") or {s.id: approved for s in surveys if s.verdict in ("pass", "restrict")},
        rules=RULES,
        doubts={METER: doubts} if doubts else {},
        one_way=one_way,
    )


INSTALLED = event("installed", "2024-01-10")


PASSED = survey(1, "pass", "2026-03-12")


RESTRICTED_USE = survey(1, "restrict", "2026-03-12", restriction={"use": "not for highly toxic materials"})


FAILED = survey(2, "fail", "2026-06-01")


BOTH = (WORKING, LOWER)
