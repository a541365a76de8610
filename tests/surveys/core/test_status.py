"""Whether a hood may be used on a day: the table is the specification, the laws hold for every history."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from surveys.core import status as module
from surveys.core.approval import highest
from surveys.core.calibration import Doubt
from surveys.core.due import DueRule
from surveys.core.history import Approved, Event, HoodFacts, Stop, Surveyed
from surveys.core.messages import SENTENCES, Message
from surveys.core.status import (
    DO_NOT_USE,
    FLAGS,
    GRANTING,
    HIBERNATED,
    MET_CRITERIA,
    NO_LABEL,
    NOT_SURVEYED,
    OUT_OF_SERVICE,
    OUTDATED,
    RESTRICTED,
    RETIRED,
    STANDINGS,
    STATUSES,
    SUSPENDED,
    VALID,
    Flag,
    grants_label,
    label_standing,
    status,
)

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

CASES = [
    # facts, day, status, since, why
    ([], "2026-03-12", NOT_SURVEYED, None, "nothing is known"),
    ([INSTALLED], "2026-03-12", NOT_SURVEYED, "2024-01-10", "installed, never surveyed"),
    ([INSTALLED, survey(1, "no-verdict", "2026-03-12")], "2026-03-13", NOT_SURVEYED, "2024-01-10", "no verdict yet"),
    ([INSTALLED, PASSED], "2026-03-12", MET_CRITERIA, "2026-03-12", "passed that day"),
    ([INSTALLED, PASSED], "2026-03-11", NOT_SURVEYED, "2024-01-10", "the day before: facts after the day are not seen"),
    ([INSTALLED, RESTRICTED_USE], "2026-03-12", RESTRICTED, "2026-03-12", "restricted"),
    ([INSTALLED, PASSED, FAILED], "2026-06-01", DO_NOT_USE, "2026-06-01", "failed after a pass"),
    ([INSTALLED, PASSED, FAILED], "2026-05-31", MET_CRITERIA, "2026-03-12", "the day before it failed"),
    ([FAILED, survey(3, "pass", "2026-06-09")], "2026-06-09", MET_CRITERIA, "2026-06-09", "passed after the repair"),
    ([PASSED, survey(2, "no-verdict", "2026-06-01")], "2026-06-02", MET_CRITERIA, "2026-03-12", "no verdict, no change"),
    ([FAILED, survey(3, "no-verdict", "2026-06-09")], "2026-06-10", DO_NOT_USE, "2026-06-01", "nor does it lift one"),
    (
        [survey(1, "fail", "2026-03-12", 9), survey(2, "pass", "2026-03-12", 15)],
        "2026-03-12",
        MET_CRITERIA,
        "2026-03-12",
        "two on one day: the one whose measuring ended last",
    ),
    (
        [survey(2, "fail", "2026-03-12", 9), survey(1, "pass", "2026-03-12", 15)],
        "2026-03-12",
        MET_CRITERIA,
        "2026-03-12",
        "by the end of measuring, though the other was signed last",
    ),
    (
        [survey(1, "pass", "2026-03-12", 9), survey(2, "fail", "2026-03-12", 9)],
        "2026-03-12",
        DO_NOT_USE,
        "2026-03-12",
        "the same moment: the higher record number",
    ),
    # stops
    ([PASSED, stop("2026-04-02")], "2026-04-02", DO_NOT_USE, "2026-04-02", "posted today"),
    ([PASSED, stop("2026-04-02")], "2026-04-01", MET_CRITERIA, "2026-03-12", "posted tomorrow"),
    ([PASSED, stop("2026-04-02", "2026-04-05")], "2026-04-04", DO_NOT_USE, "2026-04-02", "lifted tomorrow"),
    ([PASSED, stop("2026-04-02", "2026-04-05")], "2026-04-05", MET_CRITERIA, "2026-03-12", "lifted today: as it stands"),
    ([PASSED, stop("2026-04-02", "2026-04-02")], "2026-04-02", MET_CRITERIA, "2026-03-12", "posted and withdrawn"),
    (
        [PASSED, stop("2026-04-02", "2026-04-05"), stop("2026-04-03")],
        "2026-04-06",
        DO_NOT_USE,
        "2026-04-03",
        "one of two lifted: the other is up",
    ),
    ([FAILED, stop("2026-05-30")], "2026-06-02", DO_NOT_USE, "2026-05-30", "two causes: since the first"),
    ([INSTALLED, stop("2024-01-11")], "2024-01-12", DO_NOT_USE, "2024-01-11", "a hood never surveyed can be stopped"),
    # outages
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-05-10")],
        "2026-05-10",
        OUT_OF_SERVICE,
        "2026-05-01",
        "the last planned day",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-05-10")],
        "2026-05-11",
        MET_CRITERIA,
        "2026-03-12",
        "the plan is over",
    ),
    ([PASSED, event("out-of-service", "2026-05-01")], "2027-01-01", OUT_OF_SERVICE, "2026-05-01", "without an end"),
    (
        [PASSED, event("out-of-service", "2026-05-01"), event("back-in-service", "2026-05-04")],
        "2026-05-04",
        MET_CRITERIA,
        "2026-03-12",
        "ended by hand",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-06-30"),
         event("out-of-service", "2026-05-10", until_on="2026-05-12")],
        "2026-05-20",
        OUT_OF_SERVICE,
        "2026-05-01",
        "a shorter one inside a longer one does not end it",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01"), stop("2026-05-02")],
        "2026-05-03",
        DO_NOT_USE,
        "2026-05-02",
        "a stop comes before an outage",
    ),
    ([FAILED, event("out-of-service", "2026-06-05")], "2026-06-06", DO_NOT_USE, "2026-06-01", "so does a failure"),
    ([INSTALLED, event("out-of-service", "2024-02-01")], "2024-02-02", OUT_OF_SERVICE, "2024-02-01", "before a verdict"),
    # installed, moved, woken
    ([INSTALLED, PASSED, event("moved", "2026-05-01")], "2026-05-01", NOT_SURVEYED, "2026-05-01", "moved since"),
    ([INSTALLED, PASSED, event("moved", "2026-05-01")], "2026-04-30", MET_CRITERIA, "2026-03-12", "not moved yet"),
    (
        [PASSED, event("moved", "2026-05-01"), survey(2, "pass", "2026-05-02")],
        "2026-05-02",
        MET_CRITERIA,
        "2026-05-02",
        "surveyed where it stands now",
    ),
    (
        [event("moved", "2026-05-01", 8), survey(2, "pass", "2026-05-01", 15)],
        "2026-05-01",
        MET_CRITERIA,
        "2026-05-01",
        "moved in the morning, surveyed in the afternoon",
    ),
    (
        [event("moved", "2026-05-01", 15), survey(2, "pass", "2026-05-01", 15)],
        "2026-05-01",
        MET_CRITERIA,
        "2026-05-01",
        "entered at the moment of the last reading",
    ),
    (
        [survey(2, "pass", "2026-05-01", 9), event("moved", "2026-05-01", 15)],
        "2026-05-01",
        NOT_SURVEYED,
        "2026-05-01",
        "surveyed in the morning, moved in the afternoon",
    ),
    (
        [survey(2, "pass", "2026-05-01", 9, reason="after-a-move"), event("moved", "2026-05-01", 15)],
        "2026-05-01",
        MET_CRITERIA,
        "2026-05-01",
        "the move was entered late, but the survey says that it came after it",
    ),
    (
        [survey(2, "pass", "2026-05-01", 9, reason="initial"), event("moved", "2026-05-01", 15)],
        "2026-05-01",
        NOT_SURVEYED,
        "2026-05-01",
        "a reason that says nothing of this move",
    ),
    ([FAILED, event("moved", "2026-06-05")], "2026-06-06", DO_NOT_USE, "2026-06-01", "a move does not cure a failure"),
    # hibernated, woken, retired
    ([PASSED, event("hibernated", "2026-05-01")], "2026-05-01", HIBERNATED, "2026-05-01", "put to sleep"),
    ([PASSED, event("hibernated", "2026-05-01"), stop("2026-05-02")], "2026-05-03", HIBERNATED, "2026-05-01", "first line"),
    (
        [PASSED, event("hibernated", "2026-05-01"), event("woken", "2026-07-01")],
        "2026-07-01",
        NOT_SURVEYED,
        "2026-07-01",
        "woken: a verdict from before its sleep does not count",
    ),
    (
        [PASSED, event("hibernated", "2026-05-01"), event("woken", "2026-07-01"),
         survey(2, "pass", "2026-07-02", reason="wake-from-hibernation")],
        "2026-07-02",
        MET_CRITERIA,
        "2026-07-02",
        "surveyed after it woke",
    ),
    ([PASSED, event("retired", "2026-05-01")], "2030-01-01", RETIRED, "2026-05-01", "retired for good"),
    ([FAILED, event("retired", "2026-07-01")], "2026-07-02", RETIRED, "2026-07-01", "retired after it failed"),
    (
        [event("hibernated", "2026-05-01"), event("retired", "2026-06-01")],
        "2026-06-02",
        RETIRED,
        "2026-06-01",
        "the last such event",
    ),
    (
        [PASSED, event("hibernated", "2026-05-01"), event("moved", "2026-05-05")],
        "2026-05-06",
        HIBERNATED,
        "2026-05-01",
        "moved in its sleep",
    ),
    ([PASSED, event("repaired", "2026-05-01")], "2026-05-02", MET_CRITERIA, "2026-03-12", "a repair alone ends nothing"),
    # the end of use after due
    ([survey(1, "pass", "2026-03-12", version=YEARLY)], "2030-01-01", MET_CRITERIA, "2026-03-12", "overdue is a flag"),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-06-10",
        MET_CRITERIA,
        "2026-03-12",
        "90 days after due: the last day of use",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-06-11",
        DO_NOT_USE,
        "2027-06-11",
        "the day after it",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED),
         survey(2, "pass", "2027-06-20", version=YEARLY_THEN_BARRED, full=False)],
        "2027-06-21",
        DO_NOT_USE,
        "2027-06-11",
        "a survey that was not full does not move due",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED), survey(2, "pass", "2027-06-20", version=YEARLY)],
        "2027-06-21",
        MET_CRITERIA,
        "2027-06-20",
        "a full one does, by its own version",
    ),
    # damaged rows
    ([survey(1, "perhaps", "2026-03-12")], "2026-03-12", NOT_SURVEYED, "2026-03-12", "an unknown verdict grants nothing"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "code", "since", "why"), CASES)
def test_the_first_line_that_holds(facts, on, code, since, why):
    found = status(hood(*facts), day(on))
    assert (found.code, found.since) == (code, since and day(since)), why
    assert found.grants is (code in GRANTING)
    assert bool(found.approved) is found.grants
    assert found.reasons
    assert found == status(hood(*reversed(facts)), day(on)), "the order of rows does not matter"


def test_every_status_is_in_the_table():
    assert {code for _, _, code, _, _ in CASES} == set(STATUSES)


REASONS = [
    # facts, day, messages, why
    ([INSTALLED], "2026-01-01", [("never-surveyed", {})], "no verdict at all"),
    ([event("moved", "2026-05-01"), PASSED], "2026-05-02", [("not-surveyed-since-moved", {"on": "2026-05-01"})], "moved"),
    ([PASSED], "2026-05-02", [("last-survey-passed", {"on": "2026-03-12"})], "passed"),
    ([RESTRICTED_USE], "2026-05-02", [("last-survey-restricted", {"on": "2026-03-12"})], "restricted"),
    (
        [FAILED, stop("2026-05-30"), stop("2026-05-31", reason="smoke-came-out")],
        "2026-06-02",
        [("stopped-no-flow", {"on": "2026-05-30"}), ("stopped-smoke-came-out", {"on": "2026-05-31"}),
         ("last-survey-failed", {"on": "2026-06-01"})],
        "every cause is named",
    ),
    ([stop("2026-05-30", reason="of-old")], "2026-06-02", [("stopped", {"on": "2026-05-30"})], "a reason of old records"),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-06-11",
        [("survey-overdue", {"on": "2027-06-11", "due_on": "2027-03-12"})],
        "use has ended",
    ),
    (
        [PASSED, event("out-of-service", "2026-05-01", until_on="2026-05-10")],
        "2026-05-02",
        [("out-of-service-until", {"on": "2026-05-01", "until_on": "2026-05-10"})],
        "a planned outage says until when",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "messages", "why"), REASONS)
def test_reasons(facts, on, messages, why):
    assert status(hood(*facts), day(on)).reasons == tuple(Message(*message) for message in messages), why


def test_every_reason_has_its_sentence():
    codes = {name for name in _literals(module) if name in SENTENCES}
    assert {"retired", "survey-overdue", "no-label-issued", "opening-changed-since"} <= codes
    for reason in module._STOPPING:
        assert f"stopped-{reason}" in SENTENCES
    for kind in module._BEGINNINGS:
        assert f"not-surveyed-since-{kind}" in SENTENCES
    for facts, on, *_ in CASES:
        found = status(hood(*facts), day(on))
        for message in (*found.reasons, *filter(None, [found.why_no_label])):
            assert SENTENCES[message.code] % message.values


def _literals(of) -> set[str]:
    import ast
    from pathlib import Path

    tree = ast.parse(Path(of.__file__).read_text(encoding="utf-8"))
    return {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}


FLAGGED = [
    # facts, day, flags, why
    ([PASSED], "2027-03-12", [], "T10: due today is in date"),
    ([PASSED], "2027-03-13", [("overdue", "2027-03-13")], "T10: overdue from the day after due"),
    ([survey(1, "pass", "2026-03-12", version=MONTH_END)], "2027-03-31", [], "to the end of the month"),
    ([survey(1, "pass", "2026-03-12", version=MONTH_END)], "2027-04-01", [("overdue", "2027-04-01")], "and not longer"),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        "2027-03-20",
        [("overdue", "2027-03-13")],
        "in grace is not in date",
    ),
    ([PASSED, FAILED], "2027-03-13", [("overdue", "2027-03-13")], "beside 'do not use', not hidden by it"),
    ([PASSED, event("hibernated", "2026-05-01")], "2028-01-01", [], "nothing is owed of a hood that sleeps"),
    ([PASSED, event("retired", "2026-05-01")], "2028-01-01", [], "nor of a retired one"),
    (
        [survey(1, "pass", "2026-03-12", full=False)],
        "2026-03-12",
        [("overdue", "2026-03-12")],
        "never surveyed in full: that is owed",
    ),
    (
        [survey(1, "pass", "2025-03-12"), survey(2, "pass", "2026-02-01", full=False)],
        "2026-03-13",
        [("overdue", "2026-03-13")],
        "due is counted from the last full survey",
    ),
    (
        [survey(1, "restrict", "2025-03-12"), survey(2, "fail", "2026-02-01"), survey(3, "no-verdict", "2026-02-02")],
        "2026-03-12",
        [],
        "a restricted full survey counts, a failed one and one without a verdict do not",
    ),
    ([INSTALLED], "2030-01-01", [], "'not yet surveyed' says it already"),
    ([survey(1, "pass", "2026-03-12", version=99)], "2026-03-12", [("overdue", "2026-03-12")], "a rule that is lost"),
    (
        [survey(1, "pass", "2026-03-12", signed_here=False)],
        "2026-04-01",
        [("not-signed-here", "2026-03-12")],
        "accepted",
    ),
]


@pytest.mark.parametrize(("facts", "on", "flags", "why"), FLAGGED)
def test_t10_flags_stand_beside_the_status(facts, on, flags, why):
    assert status(hood(*facts), day(on)).flags == tuple(Flag(code, day(since)) for code, since in flags), why


DOUBT = Doubt(day("2025-09-01"), day("2026-09-01"), day("2026-09-01"))


@pytest.mark.parametrize(
    ("on", "instrument", "since", "why"),
    [
        ("2026-08-31", METER, None, "nobody knew"),
        ("2026-09-01", METER, "2026-09-01", "the day that it was found"),
        ("2026-12-01", METER, "2026-09-01", "until surveyed again"),
        ("2026-12-01", 6, None, "another instrument"),
        ("2026-12-01", None, None, "no instrument was named"),
    ],
)
def test_a_survey_with_an_instrument_found_wrong_is_in_doubt(on, instrument, since, why):
    found = status(hood(survey(1, "pass", "2026-03-12", instrument=instrument), doubts=[DOUBT]), day(on))
    assert found.code == MET_CRITERIA, "a flag changes no status"
    assert found.flag("instrument-in-doubt") == (since and Flag("instrument-in-doubt", day(since))), why


def test_every_flag_is_seen():
    seen = {code for _, _, flags, _ in FLAGGED for code, _ in flags} | {"instrument-in-doubt"}
    assert seen == set(FLAGS)


AMENDED = [
    # facts, day, status, survey, why
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1")],
        "2026-04-02",
        DO_NOT_USE,
        "s2",
        "the amendment takes the place of what it amends",
    ),
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1")],
        "2026-03-12",
        DO_NOT_USE,
        "s2",
        "and its time: that day, too, is asked for as it is known now",
    ),
    (
        [survey(1, "fail", "2026-03-12"), survey(2, "pass", "2026-03-20"),
         survey(3, "fail", "2026-04-01", amends="s1")],
        "2026-04-02",
        MET_CRITERIA,
        "s2",
        "what came after the amended one still comes after",
    ),
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1"),
         survey(3, "restrict", "2026-05-01", amends="s2")],
        "2026-05-02",
        RESTRICTED,
        "s3",
        "an amendment of an amendment",
    ),
    (
        [survey(1, "pass", "2026-03-12"), survey(2, "fail", "2026-04-01", amends="s1"),
         survey(3, "pass", "2026-05-01", amends="s1")],
        "2026-05-02",
        MET_CRITERIA,
        "s3",
        "amended twice: the later record",
    ),
    (
        [survey(1, "pass", "2025-03-12"), survey(2, "pass", "2026-03-12"),
         survey(3, "no-verdict", "2026-04-01", amends="s2")],
        "2026-04-02",
        MET_CRITERIA,
        "s1",
        "an amendment without a verdict takes a pass away: the one before holds",
    ),
    (
        [survey(1, "pass", "2025-03-12"), survey(2, "fail", "2026-03-12"),
         survey(3, "no-verdict", "2026-04-01", amends="s2")],
        "2026-04-02",
        DO_NOT_USE,
        "s2",
        "but not a failure: unfinished work does not hide one",
    ),
    (
        [survey(1, "fail", "2026-03-12"), survey(2, "pass", "2026-04-01", amends="s1")],
        "2026-04-02",
        MET_CRITERIA,
        "s2",
        "a failure entered in error",
    ),
    ([survey(2, "pass", "2026-04-01", amends="s9")], "2026-04-02", MET_CRITERIA, "s2", "what it amends is not here"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "code", "by", "why"), AMENDED)
def test_amendments(facts, on, code, by, why):
    found = status(hood(*facts), day(on))
    assert (found.code, found.survey) == (code, by), why
    assert found == status(hood(*reversed(facts)), day(on))


def test_an_amendment_is_due_from_the_day_of_what_it_amends():
    facts = hood(survey(1, "pass", "2026-03-12"), survey(2, "restrict", "2026-06-01", amends="s1"))
    found = status(facts, day("2026-06-02"))
    assert (found.since, found.due.on) == (day("2026-03-12"), day("2027-03-12"))


BOTH = (WORKING, LOWER)
CHANGES = [
    # approved, one way, changed, status, approved still, restriction, why
    (BOTH, True, [], MET_CRITERIA, BOTH, None, "nothing changed"),
    ((WORKING,), True, [71], NOT_SURVEYED, (), None, "the only one changed"),
    (BOTH, True, [71, 72], NOT_SURVEYED, (), None, "both changed"),
    (BOTH, True, [71], RESTRICTED, (LOWER,), {"largest_opening": "12 in"}, "the higher one changed: the lower stands"),
    (BOTH, True, [72], MET_CRITERIA, (WORKING,), None, "the lower one changed: the higher was measured for itself"),
    (
        (WORKING, LOWER._replace(height="18 in")),
        True,
        [71],
        MET_CRITERIA,
        (LOWER._replace(height="18 in"),),
        None,
        "as high",
    ),
    ((LEFT, RIGHT), False, [73], RESTRICTED, (RIGHT,), {"not_openings": ["left"]}, "a panel of its own way"),
    (BOTH, False, [71], RESTRICTED, (LOWER,), {"not_openings": ["working"]}, "each its own way"),
    (BOTH, True, [None], NOT_SURVEYED, (), None, "nobody can say which one"),
    (BOTH, True, [99], MET_CRITERIA, BOTH, None, "an opening that was not approved"),
    (
        (Approved("a", "305 mm", way="frame", opening=1), Approved("b", "13 in", way="frame", opening=2)),
        True,
        [2],
        RESTRICTED,
        (Approved("a", "305 mm", way="frame", opening=1),),
        {"largest_opening": "305 mm"},
        "heights are compared across units: 13 in is 330.2 mm",
    ),
]


@pytest.mark.parametrize(("approved", "one_way", "changed", "code", "left", "restriction", "why"), CHANGES)
def test_changing_an_opening_ends_its_approval(approved, one_way, changed, code, left, restriction, why):
    changes = [event("opening-changed", "2026-05-01", opening=opening) for opening in changed]
    facts = hood(PASSED, *changes, approved=approved, one_way=one_way)
    found = status(facts, day("2026-05-01"))
    assert (found.code, found.approved, found.restriction) == (code, left, restriction), why
    ended = code == NOT_SURVEYED or found.restriction is not None
    assert found.since == (day("2026-05-01") if ended else day("2026-03-12")), "since the change, not since the survey"
    assert grants_label(found) is (code == MET_CRITERIA), "no label says what is left; it wants a survey"
    assert label_standing(facts, 1, day("2026-05-01")) == (VALID if code == MET_CRITERIA else OUTDATED)
    before = status(facts, day("2026-04-30"))
    assert (before.code, before.approved) == (MET_CRITERIA, approved), "the day before"


WHEN = [
    # changed on, hour, ends, why
    ("2026-03-11", 12, False, "before the survey"),
    ("2026-03-12", 8, False, "that day, before it was measured"),
    ("2026-03-12", 12, False, "at the last reading"),
    ("2026-03-12", 13, False, "by the signing itself, which enters the size that was measured"),
    ("2026-03-12", 15, True, "that day, after it"),
    ("2026-03-13", 8, True, "the next day"),
]


@pytest.mark.parametrize(("on", "hour", "ends", "why"), WHEN)
def test_an_approval_ends_by_a_change_after_its_survey(on, hour, ends, why):
    found = status(hood(PASSED, event("opening-changed", on, hour, opening=71)), day("2026-03-14"))
    assert (found.code == NOT_SURVEYED) is ends, why


def test_changing_an_opening_keeps_the_words_of_the_restriction():
    facts = hood(RESTRICTED_USE, event("opening-changed", "2026-05-01", opening=71), approved=BOTH)
    found = status(facts, day("2026-05-01"))
    assert found.restriction == {"use": "not for highly toxic materials", "largest_opening": "12 in"}
    barred = survey(1, "restrict", "2026-03-12", restriction={"not_openings": ["middle"]})
    facts = hood(barred, event("opening-changed", "2026-05-01", opening=73), approved=(LEFT, RIGHT), one_way=False)
    assert status(facts, day("2026-05-01")).restriction == {"not_openings": ["middle", "left"]}


@pytest.mark.parametrize("height", ["", "18", "eighteen in", "18 kg", "-18 in", "0 in"])
def test_g12_a_height_that_cannot_be_read_approves_nothing(height):
    damaged = WORKING._replace(height=height)
    assert status(hood(PASSED, approved=(damaged,)), day("2026-03-12")).code == NOT_SURVEYED
    assert status(hood(PASSED, approved=(WORKING,)), day("2026-03-12")).code == MET_CRITERIA, "the control"


def test_g12_a_pass_whose_approvals_are_lost_grants_nothing():
    facts = hood(PASSED)._replace(approved={})
    found = status(facts, day("2026-03-12"))
    assert (found.code, found.reasons) == (NOT_SURVEYED, (Message("nothing-approved"),))
    assert not grants_label(found)


LABELS = [
    # facts, issue, day, standing, why
    ([PASSED], 1, "2026-03-12", VALID, "just put on"),
    ([PASSED], 1, "2027-12-01", VALID, "overdue is said beside it"),
    ([PASSED], 2, "2026-03-12", NO_LABEL, "a number that was never issued"),
    ([PASSED, survey(2, "no-verdict", "2026-06-01")], 1, "2026-06-02", VALID, "no verdict ends no label"),
    ([PASSED, FAILED], 1, "2026-06-01", OUTDATED, "failed since"),
    ([PASSED, survey(2, "pass", "2027-03-01")], 1, "2027-03-01", OUTDATED, "a later label"),
    ([PASSED, survey(2, "pass", "2027-03-01")], 2, "2027-03-01", VALID, "which is valid"),
    ([PASSED, survey(2, "restrict", "2026-04-01", amends="s1")], 1, "2026-04-02", OUTDATED, "amended"),
    ([PASSED, event("moved", "2026-05-01")], 1, "2026-05-01", OUTDATED, "moved"),
    ([PASSED, event("hibernated", "2026-05-01")], 1, "2026-05-01", OUTDATED, "hibernated: waking wants a survey"),
    ([PASSED, event("retired", "2026-05-01")], 1, "2026-05-01", OUTDATED, "retired"),
    ([PASSED, stop("2026-04-02")], 1, "2026-04-02", SUSPENDED, "stopped: its survey stands"),
    ([PASSED, stop("2026-04-02", "2026-04-03")], 1, "2026-04-03", VALID, "the stop was withdrawn"),
    ([PASSED, stop("2026-04-02"), event("moved", "2026-05-01")], 1, "2026-05-02", OUTDATED, "stopped, and moved"),
    ([PASSED, event("out-of-service", "2026-05-01")], 1, "2026-05-02", SUSPENDED, "out of service"),
    (
        [PASSED, event("out-of-service", "2026-05-01"), event("opening-changed", "2026-05-02", opening=71)],
        1,
        "2026-05-03",
        OUTDATED,
        "out of service, and its opening was changed there",
    ),
    (
        [survey(1, "pass", "2026-03-12", version=YEARLY_THEN_BARRED)],
        1,
        "2027-06-11",
        SUSPENDED,
        "use has ended until it is surveyed",
    ),
]


@pytest.mark.parametrize(("facts", "issue", "on", "standing", "why"), LABELS)
def test_what_a_label_is_worth(facts, issue, on, standing, why):
    assert label_standing(hood(*facts), issue, day(on)) == standing, why


def test_every_standing_is_in_the_table():
    assert {standing for *_, standing, _ in LABELS} == set(STANDINGS)


NO_LABELS = [
    # survey, why there is none
    (survey(1, "pass", "2026-03-12"), None),
    (survey(1, "restrict", "2026-03-12", restriction={"largest_opening": "12 in"}), None),
    (
        survey(1, "restrict", "2026-03-12", restriction={"largest_opening": "12 in"}, label_issue=None),
        "no-label-stop-not-moved",
    ),
    (survey(1, "pass", "2026-03-12", label_issue=None), "no-label-issued"),
    (survey(1, "fail", "2026-03-12"), "no-label-for-status"),
    (survey(1, "no-verdict", "2026-03-12"), "no-label-for-status"),
]


@pytest.mark.parametrize(("last", "why"), NO_LABELS)
def test_g18_no_label_where_the_status_grants_none(last, why):
    found = status(hood(last), day("2026-03-12"))
    assert grants_label(found) is (why is None)
    assert found.why_no_label == (why and Message(why))
    assert found.in_use is (found.grants and why is None)
    assert bool(found.unlabelled) is (found.grants and why is not None)


def test_a_hood_without_a_valid_label_is_not_in_use_and_says_why():
    restricted = survey(1, "restrict", "2026-03-12", restriction={"largest_opening": "12 in"}, label_issue=None)
    found = status(hood(restricted), day("2026-03-12"))
    assert (found.code, found.grants, found.in_use) == ("restricted", True, False)
    assert found.unlabelled == Message("unlabelled-stop-not-moved", {"height": "12 in (304 mm)"})
    changed = hood(RESTRICTED_USE, event("opening-changed", "2026-05-01", opening=71), approved=BOTH)
    assert status(changed, day("2026-04-30")).in_use
    assert status(changed, day("2026-05-02")).unlabelled.code == "unlabelled-opening-changed"
    assert status(hood(survey(1, "pass", "2026-03-12")), day("2026-03-12")).in_use


def test_the_highest_approved_opening():
    assert highest(()) is None
    assert highest((LOWER, WORKING)) == WORKING
    assert highest((Approved("a", "457 mm"), Approved("b", "18 in"))).name == "b", "457.2 mm"
    assert highest((Approved("a", "18 in"), Approved("b", "18.0 in"))).name == "a", "equal: the first"


# --- laws ---------------------------------------------------------------------------------------------------------------

FIRST, LAST = day("2024-01-01"), day("2028-12-31")
ON = st.dates(FIRST, LAST)
KINDS = ("installed", "moved", "hibernated", "woken", "retired", "out-of-service", "back-in-service", "repaired",
         "opening-changed")  # fmt: skip


@st.composite
def an_event(draw) -> Event:
    on = draw(ON)
    until_on = draw(st.none() | st.dates(on, LAST))
    moment = datetime.combine(on, datetime.min.time(), UTC) + timedelta(hours=draw(st.integers(0, 23)))
    return Event(draw(st.sampled_from(KINDS)), on, moment, until_on, draw(st.sampled_from([71, 72, None])))


@st.composite
def a_stop(draw) -> Stop:
    posted_on = draw(ON)
    return Stop(
        draw(st.sampled_from(["no-flow", "other-danger"])), posted_on, draw(st.none() | st.dates(posted_on, LAST))
    )


@st.composite
def a_survey(draw, record: int) -> Surveyed:
    on, verdict = draw(ON), draw(st.sampled_from(["pass", "restrict", "fail", "no-verdict"]))
    amends = draw(st.none() | st.integers(1, record - 1)) if record > 1 else None
    return survey(
        record,
        verdict,
        on.isoformat(),
        draw(st.integers(0, 22)),
        full=draw(st.booleans()),
        version=draw(st.sampled_from([YEARLY, YEARLY_THEN_BARRED, MONTH_END])),
        restriction={"use": "not for x"} if verdict == "restrict" else None,
        amends=amends and f"s{amends}",
    )


@st.composite
def a_history(draw) -> HoodFacts:
    surveys = [draw(a_survey(record)) for record in range(1, draw(st.integers(0, 5)) + 1)]
    return hood(
        *draw(st.lists(an_event(), max_size=5)),
        *draw(st.lists(a_stop(), max_size=2)),
        *surveys,
        by_survey={s.id: draw(st.sampled_from([(WORKING,), (LOWER,), BOTH])) for s in surveys},
    )


def allowed(found) -> set[tuple[str, str]]:
    """What the status lets people do: the openings, with their heights."""
    return {(opening.name, opening.height) for opening in found.approved} if found.grants else set()


@settings(max_examples=80)
@given(a_history(), ON)
def test_law_status_never_grants_what_no_standing_survey_measured(facts, on):
    found = status(facts, on)
    if found.grants:
        granting = next(survey for survey in facts.surveys if survey.id == found.survey)
        assert granting.verdict in ("pass", "restrict")
        assert set(found.approved) <= set(facts.approved[granting.id])
        assert found.approved
    else:
        assert not found.approved
        assert found.restriction is None
        assert not grants_label(found)


@settings(max_examples=80)
@given(a_history(), a_stop(), ON)
def test_law_posting_a_stop_never_makes_status_better(facts, posted, on):
    before, after = status(facts, on), status(facts._replace(stops=[*facts.stops, posted]), on)
    assert allowed(after) <= allowed(before)
    if posted.posted_on <= on and posted.ended_on is None:
        assert not after.grants


@settings(max_examples=80)
@given(a_history(), an_event(), ON)
def test_law_no_event_but_an_outage_ended_or_a_waking_lets_more_be_done(facts, added, on):
    if added.kind in ("back-in-service", "woken", "installed", "moved"):
        return
    events = sorted([*facts.events, added], key=lambda event: (event.on, event.at))
    assert allowed(status(facts._replace(events=events), on)) <= allowed(status(facts, on))


@settings(max_examples=80)
@given(a_history(), a_survey(9), ON)
def test_law_a_survey_without_a_verdict_never_lets_more_be_done_unless_it_amends(facts, added, on):
    added = added._replace(verdict="no-verdict", amends=None)
    assert status(facts._replace(surveys=[*facts.surveys, added]), on) == status(facts, on)


@settings(max_examples=80)
@given(a_history(), ON)
def test_law_a_failure_measured_last_always_bars_the_hood(facts, on):
    if any(event.kind in ("hibernated", "retired") for event in facts.events):
        return
    failed = survey(99, "fail", on.isoformat(), 23)
    found = status(facts._replace(surveys=[*facts.surveys, failed]), on)
    assert found.code == DO_NOT_USE


@settings(max_examples=80)
@given(a_history(), a_history(), ON)
def test_law_facts_after_the_day_are_not_seen(facts, later, on):
    """Amendments aside, which take the time of what they amend."""
    surveys = [
        s._replace(id=f"t{s.record}", record=s.record + 50, amends=None) for s in later.surveys if s.done_on > on
    ]
    more = facts._replace(
        events=sorted([*facts.events, *(e for e in later.events if e.on > on)], key=lambda e: (e.on, e.at)),
        stops=[*facts.stops, *(s for s in later.stops if s.posted_on > on)],
        surveys=[*facts.surveys, *surveys],
    )
    assert status(more, on) == status(facts, on)


@settings(max_examples=80)
@given(a_history(), ON, st.integers(0, 400))
def test_law_time_alone_never_takes_overdue_away(facts, on, days):
    later = on + timedelta(days=days)
    still = facts._replace(
        events=[event for event in facts.events if event.on <= on],
        stops=[stop for stop in facts.stops if stop.posted_on <= on and (stop.ended_on is None or stop.ended_on <= on)],
        surveys=[survey for survey in facts.surveys if survey.done_on <= on and survey.amends is None],
    )
    before, after = status(still, on), status(still, later)
    if before.flag("overdue") and after.code == before.code:
        assert after.flag("overdue") == before.flag("overdue")
    if before.code == DO_NOT_USE:
        assert after.code == DO_NOT_USE


@settings(max_examples=80)
@given(a_history(), ON, st.integers(1, 6))
def test_law_a_valid_label_is_one_that_may_be_printed_today(facts, on, issue):
    found, standing = status(facts, on), label_standing(facts, issue, on)
    assert standing in STANDINGS
    assert (standing == VALID) == (grants_label(found) and found.label_issue == issue)


@given(a_history(), ON)
def test_law_the_order_of_rows_does_not_matter(facts, on):
    turned = facts._replace(stops=facts.stops, surveys=list(reversed(facts.surveys)))
    assert status(turned, on) == status(facts, on)
