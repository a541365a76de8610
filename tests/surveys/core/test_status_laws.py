"""Laws of status: they hold for every history."""

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from hoods.core.ending import ENDING
from surveys.core.history import Event, HoodFacts, Stop, Surveyed
from surveys.core.status import (
    DO_NOT_USE,
    STANDINGS,
    VALID,
    grants_label,
    label_standing,
    status,
)
from tests.surveys.core.histories import BOTH, LOWER, MONTH_END, WORKING, YEARLY, YEARLY_THEN_BARRED, day, hood, survey

FIRST, LAST = day("2024-01-01"), day("2028-12-31")


ON = st.dates(FIRST, LAST)


KINDS = ("installed", "moved", "hibernated", "woken", "retired", "out-of-service", "back-in-service", "repaired",
         *ENDING)  # fmt: skip


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


@settings(max_examples=80)
@given(a_history(), ON, st.sampled_from(ENDING), st.sampled_from([71, 72, None]))
def test_law_a_change_of_the_hood_or_an_opening_never_lets_more_be_done(facts, on, kind, opening):
    """Entered at the end of its day, after every survey of it, it takes approvals away and gives none."""
    last = datetime.combine(on, datetime.max.time(), UTC)
    changed = Event(kind, on, last, None, opening if kind == "opening-changed" else None)
    events = sorted([*facts.events, changed], key=lambda event: (event.on, event.at))
    before, after = status(facts, on), status(facts._replace(events=events), on)
    assert allowed(after) <= allowed(before)
    if kind != "opening-changed":
        assert not after.grants
