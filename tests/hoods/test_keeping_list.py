"""A long list of hoods while it is kept: how far it is, line by line; all of it or nothing, whoever leaves and whatever breaks."""

from __future__ import annotations

import threading

import pytest
from django.db import DatabaseError, connection
from django.urls import reverse

from hoods import actions
from hoods.models import Entry, Hood
from hoods.views.keeping_list import SHORT
from tests import making, pages
from tests.hoods.listed import NEW, comma, keep, rows, shown
from tests.surveys.words import plain

pytestmark = pytest.mark.django_db(transaction=True)

LONG = SHORT + 20
MANY = [NEW | {"tag": f"FH-{number:04}", "opening 2 name": "", "opening 2 use": "", "opening 2 width": "",
               "opening 2 height": "", "opening 2 every survey": ""} for number in range(LONG)]  # fmt: skip
KEPT = f"The list is kept: {LONG} hoods added, 0 changed, 0 left as they were."


def pressed(client, data: bytes):
    """What the press of a shown list is answered with, and the address of the list."""
    page, address = shown(client, data)
    return client.post(address, {"seen": page.context["plan"].digest}), address


def pieces(response):
    """What comes, piece by piece, as its reader reads it."""
    return (plain(piece.decode()) for piece in response)


def seen_by_another() -> int:
    """How many hoods somebody else sees at this moment."""
    found: list[int] = []

    def look() -> None:
        found.append(Hood.objects.count())
        connection.close()

    thread = threading.Thread(target=look)
    thread.start()
    thread.join(30)
    return found[0]


def test_i1_a_long_list_tells_how_far_it_is_and_is_kept_whole_at_its_end(manager, programme_manager):
    response, address = pressed(manager, comma(*MANY))
    assert (response.status_code, response.headers["X-Accel-Buffering"]) == (200, "no")
    assert "script-src" in response.headers["Content-Security-Policy"]
    assert not Hood.objects.exists(), "nothing is done before the first line is drawn"
    coming = pieces(response)
    assert "The last line says whether the list is kept." in next(coming)
    lines = [next(coming), next(coming), next(coming)]
    assert lines == [f"{number} of {LONG} hoods are written." for number in (0, SHORT, LONG)]
    assert seen_by_another() == 0, "all of it or nothing: nobody sees a part"
    assert next(coming).startswith(KEPT)
    assert seen_by_another() == LONG
    assert len(list(coming)) == 1, "the foot of the page"
    assert Entry.objects.filter(action="hood-registered", by=programme_manager).count() == LONG
    again = manager.post(address, {"seen": ""}, follow=True)
    assert "The list is kept already." in again.content.decode(), "pressed twice"


def test_the_page_of_a_long_list_is_whole_and_leads_on(manager):
    response, _address = pressed(manager, comma(*MANY))
    whole = b"".join(response.streaming_content).decode()
    assert whole.startswith("<!doctype html>")
    assert whole.rstrip().endswith("</html>")
    assert whole.count("<main") == whole.count("</main>") == 1
    assert "<script" not in whole.partition("</head>")[2], "it needs none"
    for view in ("hoods:inventory", "surveys:criteria_list", "reports:labels"):
        assert f'href="{reverse(view)}"' in whole.partition(KEPT)[2], view


def test_a_list_that_is_written_in_one_part_is_answered_when_it_is_kept(manager, site):
    assert keep(manager, comma(*MANY[:SHORT])).status_code == 302
    assert Hood.objects.count() == SHORT


def test_i13_whoever_leaves_in_the_middle_keeps_nothing_and_can_keep_it_again(manager, site):
    before = rows()
    response, address = pressed(manager, comma(*MANY))
    coming = pieces(response)
    assert f"{SHORT} of {LONG} hoods are written." in [next(coming), next(coming), next(coming)]
    response.close()
    assert not connection.in_atomic_block, "no lock is left behind"
    assert pages.changed(before, rows()) == []
    page = manager.get(address)
    assert len(list(pieces(manager.post(address, {"seen": page.context["plan"].digest})))) == 6, "the control"
    assert Hood.objects.count() == LONG


def test_i1_a_fault_of_the_database_in_a_later_part_keeps_nothing_and_is_said(manager, site, caplog):
    before = rows()
    response, address = pressed(manager, comma(*MANY))
    coming = pieces(response)
    assert "0 of" in [next(coming), next(coming)][1]

    def fails(execute, sql, params, many, context):
        if 'INSERT INTO "hoods_hood"' in sql and MANY[-1]["tag"] in str(params):
            raise DatabaseError("disk full")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(fails):
        told = list(coming)
    assert f"{SHORT} of {LONG} hoods are written." in told
    assert any(each.startswith("Nothing of the list is kept. Something went wrong here") for each in told)
    assert "hoods.csv" in caplog.text
    assert "disk full" in caplog.text
    assert pages.changed(before, rows()) == []
    page = manager.get(address)
    again = list(pieces(manager.post(address, {"seen": page.context["plan"].digest})))
    assert any(each.startswith(KEPT) for each in again), "the control: and then it is kept"


def test_what_changed_meanwhile_is_refused_before_it_begins_or_in_its_last_line(manager, site, programme_manager):
    page, address = shown(manager, comma(*MANY))
    seen = {"seen": page.context["plan"].digest}
    begun = manager.post(address, seen)
    room = making.make_room(making.make_building(site))
    actions.register_hood(
        site=site, tag=MANY[7]["tag"], room=room, on=making.ON, by=programme_manager, at=making.AT
    )  # fmt: skip
    before = rows()
    told = list(pieces(begun))
    assert any("Nothing of the list is kept. What the site has was changed since" in each for each in told)
    assert not any("are written" in each for each in told)
    assert manager.post(address, seen).status_code == 422, "it is said before anything is begun"
    assert pages.changed(before, rows()) == []


def test_two_presses_at_once_keep_a_long_list_once_and_neither_says_that_nothing_is_kept(manager, site):
    page, address = shown(manager, comma(*MANY))
    seen = {"seen": page.context["plan"].digest}
    first, second = manager.post(address, seen), manager.post(address, seen)
    assert any(each.startswith(KEPT) for each in pieces(first))
    told = list(pieces(second))
    assert any(each.startswith(f"This list changes nothing: all {LONG} hoods are kept as it says.") for each in told)
    assert Hood.objects.count() == LONG
