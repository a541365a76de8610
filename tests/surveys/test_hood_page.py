"""The page of a hood: may I use it, up to where, for what, until when? And posting 'do not use' on it."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from hoods.models import Entry
from surveys import queries
from surveys.core.history import Approved
from surveys.history import Figure, Told, history_of
from surveys.models import Stop
from tests import making
from tests.surveys import rows
from tests.surveys.conftest import STATUSES, TODAY
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def page(signed_in, technician):
    client = signed_in(technician)
    return lambda hood: client.get(f"/hoods/{hood.pk}/")


ANSWERS = {
    "met-criteria": "Met its criteria: sash at or below 18 in (457 mm) above the airfoil. Next survey due 12 MAR 2027.",
    "overdue": "Met its criteria: sash at or below 18 in (457 mm) above the airfoil. Overdue: its survey was due by "
    "20 MAR 2026. The criteria let it be used until 19 APR 2026, then not.",
    "restricted": "Restricted: sash at or below 12 in (304 mm) above the airfoil, and not for highly toxic materials. "
    "Next survey due 12 MAR 2027.",
    "do-not-use": "Do not use since 30 MAR 2026, until a survey lifts it.",
    "failed": "Do not use since 12 MAR 2026, until a survey lifts it.",
    "out-of-service": "Do not use. Out of service since 20 MAR 2026.",
    "hibernated": "Do not use. Hibernated since 20 MAR 2026: it is woken and surveyed before anybody works at it.",
    "not-surveyed": "Not yet surveyed: do not use until commissioned.",
    "retired": "Do not use. Retired since 20 MAR 2026; its records stay.",
}


@pytest.mark.parametrize("status", STATUSES)
def test_the_first_line_answers(page, hood_of, status):
    assert first_line(page(hood_of(status))) == ANSWERS[status]


def test_heights_are_from_the_work_surface_where_the_site_measures_so(page, hood_of, site):
    site.height_from = "work-surface"
    site.save()
    assert "18 in (457 mm) above the work surface" in first_line(page(hood_of("met-criteria")))


def test_a_hood_without_a_valid_label_says_so_first(page, hood_of):
    response = page(hood_of("unlabelled"))
    answer = "Do not use it yet."
    assert first_line(response) == answer
    assert f"{answer} It has no valid label: the stop and its mark were not confirmed at 12 in (304 mm)." in said(response)
    assert "It has no valid label" not in said(page(hood_of("restricted")))


@pytest.mark.parametrize("status", ["do-not-use", "failed", "out-of-service", "hibernated", "not-surveyed", "retired"])
def test_no_page_offers_a_label_where_the_status_grants_none(page, hood_of, status):
    hood = hood_of(status)
    assert f"/hoods/{hood.pk}/label.pdf" not in page(hood).content.decode()


def test_what_is_forbidden_and_restricted_is_told(page, hood_of):
    words = said(page(hood_of("restricted", uses_forbidden="No radioactive material")))
    for told in (
        "Sash above 12 in (304 mm) restricted since 12 MAR 2026",
        "Not for highly toxic materials restricted since 12 MAR 2026",
        "No radioactive material forbidden here by the site",
        "No hot perchloric acid not this kind of hood",
        "This page never allows more than its label.",
    ):
        assert told in words


def test_what_was_seen_stands_right_after_the_reason_posted(page, hood_of):
    words = said(page(hood_of("do-not-use")))
    assert "No flow. damper shut Posted on 30 MAR 2026, 10:12 by Ruth Okafor." in words


def test_the_front_is_drawn_to_the_highest_opening(page, hood_of):
    """A sash restricted to 12 in of 18 in is drawn lower than one that may be at 18 in; so it is for the public."""
    edges = {}
    for status in ("met-criteria", "restricted"):
        hood = hood_of(status)
        for told in (page(hood), Client().get(f"/H/{hood.code}")):
            found = re.search(r'<path class="edge" d="M14 (\d+)H254"', told.content.decode())
            edges.setdefault(status, []).append(int(found[1]))
    assert edges == {"met-criteria": [50, 50], "restricted": [117, 117]}


def test_an_instrument_in_doubt_is_named_with_the_day_and_what_to_do(page, hood_of, technician):
    hood = hood_of("met-criteria")
    assert "are in doubt" not in said(page(hood))
    rows.out_of_tolerance(hood.surveys.get().instrument, technician, date(2026, 3, 20))
    assert (
        "The readings of 12 MAR 2026 are in doubt: the calibration of 20 MAR 2026 found their instrument, A-07 (1), out "
        "of tolerance. Survey this hood again with an instrument whose calibration covers the day."
    ) in said(page(hood))


def test_the_history_tells_each_survey_with_its_figures(page, hood_of, in_force, technician):
    hood = hood_of("failed")
    rows.survey(hood, in_force, technician, date(2025, 3, 1), average="98.44", approved=("working",))
    words = said(page(hood))
    assert "12 MAR 2026 annual, RO fail 41 fail 41" in words.replace(".0", "")
    assert "18 in (457 mm)" in words
    assert "General hoods, version 1" in words


@pytest.mark.parametrize(("adjusted", "found_at"), [(False, "centre"), (True, "left")])
def test_as_found_and_as_left_are_of_one_opening_where_nothing_was_adjusted(adjusted, found_at):
    """The left panel was measured first, the centre one is approved; adjusted, as found tells what was first read."""
    averages = {("as-found", "left"): "62.2", ("as-found", "centre"): "98.2"} | ({("as-left", "centre"): "99"} if adjusted else {})
    told = Told(
        survey=None, approved=(Approved("centre", "15 in"),), lowest={},
        averages={of: Figure(value, "ft/min") for of, value in averages.items()},
    )  # fmt: skip
    assert (told.found_at, told.main) == (found_at, "centre")
    assert told.average_found == Figure(averages["as-found", found_at], "ft/min")


def test_a_survey_without_verdict_is_told_and_changes_nothing(page, hood_of, in_force, technician):
    hood = hood_of("met-criteria")
    rows.survey(hood, in_force, technician, date(2026, 3, 20), "no-verdict")
    words = said(page(hood))
    assert "The survey of 20 MAR 2026 ended without a verdict: it changes nothing here." in words
    assert first_line(page(hood)) == ANSWERS["met-criteria"]


def test_an_open_draft_and_the_log_are_told(page, hood_of, in_force, technician):
    hood = hood_of("met-criteria")
    rows.draft(hood, in_force, technician, TODAY)
    Entry.objects.add(by=technician, at=making.AT, action="opening-added", what=hood, why="asked for by the lab")
    words = said(page(hood))
    assert "A survey was started on 30 MAR 2026, 11:00 by Ruth Okafor and is not signed." in words
    assert "6 JAN 2025, 09:00 Opening added (Ruth Okafor). Reason: asked for by the lab" in words


def test_the_page_asks_core_alone_for_its_status(page, hood_of):
    """What the page reads whole gives the same status as what lists read in part."""
    for status in STATUSES:
        hood = hood_of(status)
        from surveys.core import status as core

        assert core.status(history_of(hood).facts, TODAY) == queries.status_of(hood, TODAY)


def test_a2_a8_hoods_of_other_rooms_and_sites_are_not_found(signed_in, lab_manager, make_hood, other_room):
    own, other = make_hood(), make_hood(room=other_room)
    client = signed_in(lab_manager)
    assert [client.get(f"/hoods/{hood.pk}/").status_code for hood in (own, other)] == [200, 404]
    far = making.make_room(making.make_building(making.make_site("Far Institute"), "Shore House"))
    assert client.get(f"/hoods/{make_hood(room=far).pk}/").status_code == 404


@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_the_same_queries_for_any_number_of_surveys(page, hood_of, in_force, technician, number):
    hood = hood_of("restricted")
    for at in range(number):
        rows.survey(hood, in_force, technician, date(2025, 1 + at // 28, 1 + at % 28), hour=8)
    page(hood)
    with CaptureQueriesContext(connection) as asked:
        assert page(hood).status_code == 200
    assert len(asked) == 12, [query["sql"][:120] for query in asked]


# --- posting 'do not use' ---------------------------------------------------------------------------------------------


def post(client, hood, **fields):
    return client.post(
        reverse("surveys:post_stop", args=[hood.pk]), {f"stop-{key}": value for key, value in fields.items()}
    )


def test_a_stop_needs_a_reason_and_a_second_deliberate_act(signed_in, technician, hood_of):
    hood, client = hood_of("met-criteria"), signed_in(technician)
    refused = post(client, hood, words="damper shut")
    assert refused.status_code == 422
    assert "Choose the reason why the hood must not be used." in said(refused)
    assert "Tick that the hood must not be used: nothing is posted without it." in said(refused)
    assert "damper shut" in refused.content.decode()
    long = post(client, hood, reason="no-flow", sure="on", words="x" * 5000)
    assert "This text has 5000 characters, and at most 500 are kept: shorten it." in said(long)
    assert Stop.objects.count() == 0
    assert post(client, hood, reason="no-flow", sure="on", words="damper shut").status_code == 302
    assert queries.status_of(hood, TODAY).code == "do-not-use"


def test_a_posted_stop_its_sign_and_its_withdrawal(signed_in, technician, programme_manager, hood_of):
    hood, client = hood_of("met-criteria"), signed_in(technician)
    told = post(client, hood, reason="glass-broken", sure="on")
    assert "Hang the sign on the sash and say so here." in said(client.get(told.url))
    assert "Nobody has said yet that the sign hangs." in said(client.get(told.url))
    stop = Stop.objects.get()
    client.post(reverse("surveys:hang_sign", args=[stop.pk]))
    assert "The sign hangs, as said on 30 MAR 2026, 10:12." in said(client.get(told.url))

    manager = signed_in(programme_manager)
    withdraw = reverse("surveys:withdraw_stop", args=[stop.pk])
    refused = manager.post(withdraw, {f"withdraw-{stop.pk}-why": " "})
    assert "Write why this was posted by mistake: the reason is kept." in said(refused)
    assert queries.status_of(hood, TODAY).code == "do-not-use"
    taken = manager.post(withdraw, {f"withdraw-{stop.pk}-why": "It was the next hood."}, follow=True)
    assert "Withdrawn. Take the sign down" in said(taken)
    again = manager.post(withdraw, {f"withdraw-{stop.pk}-why": "It was the next hood."}, follow=True)
    assert "was withdrawn before. Nothing is changed." in said(again)
    assert queries.status_of(hood, TODAY).code == "met-criteria"
    assert "Withdrawn as posted by mistake on 30 MAR 2026, 10:12." in said(client.get(told.url))


def test_who_may_post_and_withdraw(signed_in, technician, lab_manager, auditor, programme_manager, hood_of, other_room):
    hood, elsewhere = hood_of("met-criteria"), hood_of("met-criteria", room=other_room)
    people = (technician, lab_manager, auditor, programme_manager)
    asked = {"reason": "no-flow", "sure": "on"}
    assert [post(signed_in(person), hood, **asked).status_code for person in people] == [302, 302, 403, 403]
    assert post(signed_in(lab_manager), elsewhere, **asked).status_code == 404
    withdraw = reverse("surveys:withdraw_stop", args=[Stop.objects.first().pk])
    assert [signed_in(person).post(withdraw).status_code for person in people] == [403, 403, 403, 422]


@pytest.mark.parametrize(("sash", "told"), [("horizontal", "24 in (609 mm) 24 in (609 mm)"), ("none", "24 in (610 mm) 24 in (610 mm)")])
def test_the_size_of_an_opening_is_told_in_one_way(page, room, programme_manager, sash, told):
    """As what is approved there is told: down to the millimetre where a sash opens to it, to the nearest where none does."""
    way = "left panel" if sash == "horizontal" else ""
    hood = making.make_hood(room=room, by=programme_manager, sash=sash, way=way, openings=(("left", "working", "24 in", "24 in"),))
    assert told in said(page(hood))
