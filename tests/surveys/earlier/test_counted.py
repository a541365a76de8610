"""Earlier results that count for status and due once a programme manager accepted their list."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from hoods.models import Entry, Hood, HoodEvent
from surveys import queries
from surveys.actions import earlier
from surveys.core import status as core
from surveys.models import EarlierCounted, EarlierResult
from tests import making
from tests.surveys import rows
from tests.surveys.earlier.counting import MARK, MEASURED, NOW, TODAY, a_row, brought, registered_as, status_of
from tests.surveys.words import said


@pytest.fixture(autouse=True)
def on_that_day():
    import time_machine

    with time_machine.travel(NOW, tick=False):
        yield


# --- accepting, withdrawing, striking --------------------------------------------------------------------------------------


def test_results_that_nobody_accepted_change_no_status(judged, programme_manager):
    before = status_of(judged)
    brought(programme_manager, a_row(judged), a_row(judged, date(2025, 1, 15), "fail"))
    assert status_of(judged) == before
    assert before.code == "not-surveyed"


def test_an_accepted_result_counts_for_status_and_due_with_its_flag_and_without_a_label(judged, accepted):
    accepted(a_row(judged))
    found = status_of(judged)
    assert (found.code, found.since, [flag.code for flag in found.flags]) == (
        "met-criteria", MEASURED, ["not-signed-here"],
    )  # fmt: skip
    assert found.due.on == date(2027, 1, 15), "twelve months, as the criteria of the hood say"
    assert [(one.name, one.height) for one in found.approved] == [("working", "18 in")]
    assert [reason.code for reason in found.reasons] == ["earlier-record-passed"]
    assert (found.why_no_label.code, core.grants_label(found)) == ("no-label-not-signed-here", False)
    assert (found.survey, found.label_issue, found.in_use) == (None, None, True)


RESULTS = [
    # verdict, restriction                          status          why
    ("pass", "", "met-criteria"),
    ("restrict", "not for highly toxic materials", "restricted"),
    ("fail", "", "do-not-use"),
    ("no-verdict", "", "not-surveyed"),
]


@pytest.mark.parametrize(("verdict", "restriction", "code"), RESULTS)
def test_each_result_counts_as_it_says(judged, accepted, verdict, restriction, code):
    accepted(a_row(judged, verdict=verdict, restriction=restriction))
    found = status_of(judged)
    assert found.code == code
    assert bool(found.flag("not-signed-here")) == (verdict != "no-verdict")
    assert (found.restriction or {}).get("use", "") == restriction


def test_the_last_of_several_results_holds_and_due_follows_the_last_that_let_it_be_used(judged, accepted):
    accepted(a_row(judged, date(2025, 2, 1)), a_row(judged, date(2025, 9, 1), "fail"))
    found = status_of(judged)
    assert (found.code, found.due.on) == ("do-not-use", date(2026, 2, 1))
    assert [flag.code for flag in found.flags] == ["overdue", "not-signed-here"]


def test_a_result_without_a_height_lets_nobody_work(judged, accepted):
    accepted(a_row(judged, height=""))
    assert status_of(judged).code == "not-surveyed"


@pytest.mark.parametrize(
    ("what", "state", "code", "reason"),
    [
        ({"kind": "canopy"}, "", "not-surveyed", "earlier-record-of-canopy"),
        ({"kind": "filtered"}, "", "not-surveyed", "earlier-record-of-filtered"),
        ({"control": "two-state"}, "", "not-surveyed", "earlier-record-of-two-state"),
        ({"control": "two-state"}, "lower", "met-criteria", "earlier-record-passed"),
        ({}, "", "met-criteria", "earlier-record-passed"),
    ],
)
def test_no_record_lets_a_hood_be_used_of_which_a_list_cannot_say_enough(judged, accepted, what, state, code, reason):
    """It counts for when the hood is due all the same."""
    registered_as(judged, **what)
    accepted(a_row(judged, flow_state=state))
    found = status_of(judged)
    assert (found.code, [one.code for one in found.reasons]) == (code, [reason])
    assert found.due.on == date(2027, 1, 15)
    assert [one.flow_state for one in found.approved] == ([state] if code == "met-criteria" else [])


def test_a_failure_bars_a_filtered_hood_as_any_other(judged, accepted):
    registered_as(judged, kind="filtered")
    accepted(a_row(judged, verdict="fail"))
    assert status_of(judged).code == "do-not-use"


def test_an_opening_that_nobody_works_at_lets_nobody_use_the_hood(judged, accepted):
    judged.openings.update(use="set-back")
    accepted(a_row(judged))
    assert [one.code for one in status_of(judged).reasons] == ["earlier-record-approves-nothing"]


def test_a_result_from_before_the_hood_was_moved_is_of_another_place(judged, accepted, programme_manager):
    accepted(a_row(judged))
    HoodEvent.objects.create(hood=judged, kind="moved", on=date(2026, 3, 1), at=NOW, by=programme_manager)
    found = status_of(judged)
    assert (found.code, found.due) == ("not-surveyed", None)


def test_a_change_of_the_opening_ends_what_a_result_approves(judged, accepted, programme_manager):
    accepted(a_row(judged))
    HoodEvent.objects.create(
        hood=judged, kind="opening-changed", on=date(2026, 3, 1), at=NOW, by=programme_manager, opening=judged.openings.get()
    )
    assert status_of(judged).code == "not-surveyed"


def test_an_overdue_result_ends_use_as_the_criteria_say(hood, site, programme_manager):
    version = rows.criteria(site, programme_manager, due={"use_ends_days": "30"})
    rows.assign(hood, version, programme_manager)
    batch = brought(programme_manager, a_row(hood, date(2025, 2, 1)))
    earlier.accept_results(batch=batch, why="agreed", by=programme_manager, at=NOW)
    found = status_of(hood)
    assert (found.code, [reason.code for reason in found.reasons]) == ("do-not-use", ["survey-overdue"])


def test_what_is_signed_here_outweighs_every_earlier_grant_and_a_later_failure_bars(judged, accepted, version, technician):
    """A signed failure is lifted by no list; a failure in a list bars what was signed; the control: without a signature."""
    rows.survey(judged, version, technician, date(2026, 2, 1), "fail")
    batch = accepted(a_row(judged, date(2026, 3, 1)))
    assert [reason.code for reason in status_of(judged).reasons] == ["last-survey-failed"]
    assert status_of(judged).flag("not-signed-here") is None
    assert status_of(judged, date(2026, 1, 31)).code == "not-surveyed", "nothing was accepted yet by then"
    signed = rows.survey(judged, version, technician, date(2026, 2, 10), "pass")
    found = status_of(judged)
    assert (found.code, found.survey, found.due.on) == ("met-criteria", signed.pk, date(2027, 2, 10))
    earlier.strike_results(batch=batch, why="wrong file", by=judged.events.get().by, at=NOW)
    accepted(a_row(judged, date(2026, 3, 2), "fail"), at=NOW + timedelta(minutes=1))
    found = status_of(judged)
    assert (found.code, [reason.code for reason in found.reasons]) == ("do-not-use", ["earlier-record-failed"])


def test_a_posted_stop_stays_up_whatever_is_accepted(judged, accepted, technician):
    from surveys.actions.stops import post_stop

    post_stop(hood=judged, reason="glass-broken", by=technician, at=NOW)
    accepted(a_row(judged))
    assert status_of(judged).code == "do-not-use"


def test_acceptance_counts_from_its_day_until_it_is_withdrawn(judged, accepted, programme_manager):
    at = datetime(2026, 3, 1, 9, tzinfo=UTC)
    batch = accepted(a_row(judged), at=at)
    earlier.withdraw_acceptance(batch=batch, why="the meter was wrong", by=programme_manager, at=at + timedelta(days=10))
    days = {day: status_of(judged, date(2026, 3, day)).code for day in (1, 10, 11)} | {0: status_of(judged, date(2026, 2, 28)).code}
    assert days == {0: "not-surveyed", 1: "met-criteria", 10: "met-criteria", 11: "not-surveyed"}
    earlier.accept_results(batch=batch, why="it was another one", by=programme_manager, at=at + timedelta(days=12))
    assert status_of(judged, date(2026, 3, 13)).code == "met-criteria"
    assert [one.action for one in Entry.objects.filter(thing="earlierbatch").order_by("pk")] == [
        "earlier-results-brought-in", "earlier-results-accepted", "earlier-results-withdrawn", "earlier-results-accepted",
    ]  # fmt: skip


def test_a_struck_list_is_shown_with_no_hood_and_its_file_may_come_again(judged, accepted, programme_manager, signed_in):
    batch = accepted(a_row(judged))
    earlier.strike_results(batch=batch, why="of another site", by=programme_manager, at=NOW + timedelta(minutes=1))
    assert status_of(judged).code == "not-surveyed"
    client = signed_in(programme_manager)
    assert MARK not in said(client.get(f"/hoods/{judged.pk}/"))
    assert "Struck on 20 APR 2026" in said(client.get(f"/earlier/{batch.pk}/"))
    brought(programme_manager, a_row(judged), name="old again.csv")
    assert EarlierResult.objects.count() == 2
    for act in (earlier.accept_results, earlier.withdraw_acceptance, earlier.strike_results):
        with pytest.raises(earlier.IsStruck):
            act(batch=batch, why="again", by=programme_manager, at=NOW)


REFUSED = [
    (earlier.accept_results, earlier.CountsAlready),
    (earlier.withdraw_acceptance, earlier.CountsNot),
]


@pytest.mark.parametrize(("act", "refusal"), REFUSED)
def test_what_is_so_already_is_refused(judged, accepted, programme_manager, act, refusal):
    batch = accepted(a_row(judged))
    if act is earlier.withdraw_acceptance:
        act(batch=batch, why="once", by=programme_manager, at=NOW)
    with pytest.raises(refusal):
        act(batch=batch, why="again", by=programme_manager, at=NOW)


@pytest.mark.parametrize("act", [earlier.accept_results, earlier.strike_results])
def test_a_reason_is_needed(judged, programme_manager, act):
    batch = brought(programme_manager, a_row(judged))
    with pytest.raises(earlier.NoWhy):
        act(batch=batch, why=" ", by=programme_manager, at=NOW)
    assert not batch.changes.exists()


def test_a_hood_that_no_criteria_judge_keeps_its_list_from_counting(hood, version, programme_manager, signed_in):
    batch = brought(programme_manager, a_row(hood))
    refused = signed_in(programme_manager).post(f"/earlier/{batch.pk}/accept/", {"why": "agreed"})
    assert refused.status_code == 422
    assert "No criteria in force judge FH-0142: assign them first." in said(refused)
    assert not EarlierCounted.objects.exists()
    rows.assign(hood, version, programme_manager)
    assert signed_in(programme_manager).post(f"/earlier/{batch.pk}/accept/", {"why": "agreed"}).status_code == 302
    assert EarlierCounted.objects.get().version == version


def test_a_retired_hood_needs_no_criteria(hood, judged, make_hood, programme_manager):
    gone = make_hood(tag="FH-0009")
    batch = brought(programme_manager, a_row(judged), a_row(gone))
    with pytest.raises(earlier.JudgedByNothing):
        earlier.accept_results(batch=batch, why="agreed", by=programme_manager, at=NOW)
    HoodEvent.objects.create(hood=gone, kind="retired", on=date(2026, 3, 1), at=NOW, by=programme_manager)
    earlier.accept_results(batch=batch, why="agreed", by=programme_manager, at=NOW)
    assert EarlierCounted.objects.get(result__hood=gone).version is None
    assert (status_of(gone).code, status_of(judged).code) == ("retired", "met-criteria")


def test_many_hoods_of_an_accepted_list_take_the_same_queries(make_hood, version, programme_manager, django_assert_num_queries):
    hoods = [make_hood() for _ in range(30)]
    for hood in hoods:
        rows.assign(hood, version, programme_manager)
    given = [a_row(hood, day) for hood in hoods for day in (MEASURED, MEASURED - timedelta(days=300))]
    batch = brought(programme_manager, *given)
    earlier.accept_results(batch=batch, why="agreed", by=programme_manager, at=NOW)
    with django_assert_num_queries(6):  # no instrument, so no calibration is looked for
        found = queries.statuses(Hood.objects.all(), TODAY)
    assert {status.code for status in found.values()} == {"met-criteria"}
    assert all(status_of(hood) == found[hood.pk] for hood in hoods[:3])


def test_sites_keep_their_own_clock(judged, programme_manager):
    """Accepted at 23:30 in London's winter: the day it counts from is that of the site, here and east of it."""
    east = making.make_site("Far Institute", time_zone="Asia/Tokyo")
    keeper = making.make_person("Mara Quist", east, "programme-manager")
    room = making.make_room(making.make_building(east, "Shore House"))
    far = making.make_hood(room=room, by=keeper, tag="FH-0900")
    rows.assign(far, rows.criteria(east, keeper), keeper)
    late = datetime(2026, 2, 1, 23, 30, tzinfo=UTC)
    for hood, by in ((judged, programme_manager), (far, keeper)):
        earlier.accept_results(batch=brought(by, a_row(hood), at=late), why="agreed", by=by, at=late)
    days = (date(2026, 2, 1), date(2026, 2, 2))
    assert [queries.statuses(Hood.objects.all(), on)[judged.pk].code for on in days] == ["met-criteria", "met-criteria"]
    assert [queries.statuses(Hood.objects.all(), on)[far.pk].code for on in days] == ["not-surveyed", "met-criteria"]
