"""Earlier results that count for status and due once a programme manager accepted their list; and where they are shown."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from hoods.models import Entry, Hood, HoodEvent
from hoods.models.people import LAB_MANAGER
from surveys import earlier as planning
from surveys import queries
from surveys.actions import earlier
from surveys.core import status as core
from surveys.core.status import Status
from surveys.earlier import Said, SaidOpening
from surveys.models import EarlierBatch, EarlierCounted, EarlierResult
from tests import making, surveying
from tests.pages import body
from tests.reports.pdf import reading
from tests.surveys import rows
from tests.surveys.words import first_line, said

TODAY = date(2026, 4, 20)
NOW = datetime(2026, 4, 20, 9, tzinfo=UTC)
MEASURED = date(2026, 1, 15)
MARK = "From earlier records, not signed here"


@pytest.fixture(autouse=True)
def _on_that_day():
    import time_machine

    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def version(site, programme_manager):
    return rows.criteria(site, programme_manager)


@pytest.fixture
def judged(hood, version, programme_manager) -> Hood:
    rows.assign(hood, version, programme_manager)
    return hood


def a_row(hood: Hood, on: date = MEASURED, verdict: str = "pass", *, height: str = "18 in", **what: str) -> Said:
    opening = hood.openings.first()
    openings = (SaidOpening(1, opening.name, height, what.pop("average", "98 ft/min"), "", what.pop("points", "")),)
    return Said(2, hood.tag, on, verdict, openings=openings, **what)


def brought(by, *given: Said, name: str = "old.csv", at: datetime = NOW) -> EarlierBatch:
    site = Hood.objects.get(tag=given[0].tag).site
    plan = planning.plan(site, given, site.day_of(at))
    assert plan.problems == []
    return earlier.bring_in_results(
        site=site, said=given, seen=plan.digest, name=name, sha256="0" * 64, by=by, at=at
    )[0]  # fmt: skip


@pytest.fixture
def accepted(judged, programme_manager):
    """Brings results in, each one row of a list, and lets the list count."""

    def accept(*given: Said, at: datetime = NOW) -> EarlierBatch:
        batch = brought(programme_manager, *given, at=at)
        earlier.accept_results(batch=batch, why="compared with three reports", by=programme_manager, at=at)
        return batch

    return accept


def status_of(hood: Hood, on: date = TODAY) -> Status:
    """The status by the lists' loading, which the hood's own page agrees with."""
    found = queries.status_of(hood, on)
    assert core.status(queries.history(hood, on).facts, on) == found
    return found


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


def test_no_record_lets_anybody_work_under_a_canopy(judged, accepted):
    Hood.objects.filter(pk=judged.pk).update(kind="canopy")
    accepted(a_row(judged))
    assert status_of(judged).code == "not-surveyed"


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


# --- where it is shown --------------------------------------------------------------------------------------------------


@pytest.fixture
def see(signed_in, programme_manager) -> Client:
    return signed_in(programme_manager)


def test_the_hoods_page_says_what_was_not_signed_here(judged, accepted, see):
    accepted(a_row(judged, points="98 101 95 / 103 99 92 ft/min"), a_row(judged, date(2025, 2, 1), "fail", average="61 ft/min"))
    page = see.get(f"/hoods/{judged.pk}/")
    assert first_line(page).startswith("Met its criteria by earlier records, not signed here: sash at or below 18 in (457 mm)")
    words = said(page)
    assert "This ledger has printed no label for it. Go by the label on the hood; where it has none, do not use it" in words
    assert "was accepted as counting on 20 APR 2026 by Henrik Sole: compared with three reports" in words
    assert "No label and no certificate is printed: the result is from earlier records, not signed here." in words
    assert words.count(MARK) >= 2, "beside the status and above the results"
    assert "98 101 95 / 103 99 92 ft/min" in words
    assert "certificate.pdf" not in page.content.decode()
    assert "print-label" not in page.content.decode()


def test_every_list_marks_it(judged, accepted, see, room, signed_in, lab_manager):
    accepted(a_row(judged))
    for path in ("/hoods/", "/rooms/", f"/rooms/{room.pk}/", "/due/"):
        assert MARK in said(see.get(path)), path
    assert MARK in said(signed_in(lab_manager).get("/"))
    assert LAB_MANAGER in lab_manager.roles_at(room.building.site)
    assert "FH-0142: from earlier records, not signed here; the label on it decides." in said(see.get(f"/rooms/{room.pk}/"))


def test_the_public_page_marks_it_and_names_nobody(judged, accepted):
    accepted(a_row(judged, measured_by="Lena Orth", judged_by="rules of 2021"))
    words = said(Client().get(f"/H/{judged.code}"))
    assert "Met its criteria on 15 JAN 2026 by earlier records, not signed here, with the sash at or below 18 in" in words
    assert "15 JAN 2026: met (from earlier records, not signed here)" in words
    assert "Judged by rules of 2021" in words
    assert "Lena Orth" not in words


def test_no_label_and_no_certificate_comes_of_it(judged, accepted, see, technician, signed_in, make_hood):
    """Neither alone nor among many; the control: a hood whose survey was signed has its label."""
    accepted(a_row(judged))
    refused = signed_in(technician).post(f"/hoods/{judged.pk}/label.pdf")
    assert refused.status_code == 403
    assert "No label and no certificate is printed: the result is from earlier records, not signed here." in said(refused)
    front = reading.quick_text(body(see.get("/certificates.pdf")))
    assert "FH-0142" in front
    assert "from earlier records, not signed here" in front
    signed, keeper = make_hood(tag="FH-0150"), judged.events.get().by
    surveying.assign(signed, surveying.make_version(judged.site, keeper), keeper)
    surveying.survey(signed, surveying.entered(surveying.make_instrument(judged.site, keeper)), technician)
    labels = see.get("/labels/")
    assert [one.hood.tag for one in labels.context["found"]] == ["FH-0150"]
    assert [(one.hood.tag, one.why.code) for one in labels.context["without"]] == [
        ("FH-0142", "no-label-not-signed-here")
    ]


def test_the_years_trend_and_files_never_count_it_as_surveyed(judged, accepted, see, version, technician, make_hood, programme_manager):
    signed = make_hood(tag="FH-0150")
    rows.assign(signed, version, programme_manager)
    rows.survey(signed, version, technician, MEASURED)
    accepted(a_row(judged))
    page = see.get("/year/")
    assert first_line(page).startswith("1 of 2 hoods in service are surveyed within their interval today (50.0 %).")
    assert "One more is in date by earlier records, not signed here, and not counted as surveyed." in first_line(page)
    assert page.context["year"].counts.service.by_earlier == 1
    assert len(page.context["year"].counts.surveys) == 1
    hoods = body(see.get("/year/table.csv?table=hoods")).decode("utf-8-sig")
    (line,) = [one for one in hoods.splitlines() if "FH-0142" in one]
    assert "by-earlier-records" in line
    assert "not-signed-here" in line
    surveys = body(see.get("/year/table.csv?table=surveys")).decode("utf-8-sig")
    assert ("FH-0150" in surveys, "FH-0142" in surveys) == (True, False)
    printed = reading.quick_text(body(see.get("/year/report.pdf")))
    assert "1 of 2 hoods in service were within their survey interval" in printed
    assert "1 more was in date by earlier records, not signed here: it is not counted as surveyed." in printed
    assert "in date by earlier records, not signed here" in printed


def test_the_averages_over_the_years_mark_it(judged, accepted, see, version, technician):
    accepted(a_row(judged, date(2025, 2, 1), average="0.5 m/s"))
    rows.survey(judged, version, technician, date(2026, 2, 1), average="97")
    page = said(see.get(f"/hoods/{judged.pk}/"))
    assert "from earlier records, not signed here" in page[page.index("Over the years") :]
    drawing = see.get(f"/hoods/{judged.pk}/trend.svg").content.decode()
    assert "earlier records, not signed here" in drawing
    assert "0.5 m/s" in drawing
    printed = reading.quick_text(body(see.get(f"/hoods/{judged.pk}/trend.pdf")))
    assert "from earlier records, not signed here" in printed


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
    assert surveying.CRITERIA["due"]["months"] == "12"
