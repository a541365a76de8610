"""A list of hoods brought in: what it adds, changes and leaves; what is wrong, by row and column; all of it or nothing."""

from __future__ import annotations

import pytest
from django.urls import reverse

from hoods import actions
from hoods.models import Entry, Hood, Placement, Room
from surveys.models import Survey
from tests import making, pages
from tests.hoods.listed import NEW, comma, keep, problems, rows, send, shown

pytestmark = pytest.mark.django_db


# --- adding, changing, leaving ------------------------------------------------------------------------------------------


def test_a_row_adds_a_hood_with_its_place_and_openings(manager, site):
    page, address = shown(manager, comma(NEW))
    said = page.content.decode()
    assert "The list would add 1 hood, change 0 and leave 0 as they are." in said
    assert "Building South Range" in said
    assert "Room South Range 031" in said
    assert "Department: Chemistry" in said
    assert "Exhaust system EF-9" in said
    assert not Hood.objects.exists(), "shown, and not kept yet"
    assert manager.post(address, {"seen": page.context["plan"].digest}).url == reverse("hoods:inventory")
    hood = Hood.objects.get(tag="FH-0007")
    placement = hood.placement()
    assert (str(placement.room), placement.exhaust.name, placement.position, placement.order) == (
        "South Range 031", "EF-9", "left of the door", 2,
    )  # fmt: skip
    assert (hood.model, hood.serial, hood.set_point, hood.alarm_point) == ("1E5", "00123", "0.5 m/s", "80 ft/min")
    assert (hood.interior_width, hood.uses_forbidden) == ("1500 mm", 'No "digestion",\nnever.')
    assert [(one.name, one.use, one.height, one.tested_every_survey) for one in hood.openings.all()] == [
        ("working", "working", "457 mm", True), ("lower", "lower", "12 in", False),
    ]  # fmt: skip
    assert placement.room.department == "Chemistry"


def test_i12_what_a_list_brings_is_entered_now_by_who_kept_it_and_nothing_is_signed(manager, programme_manager, site):
    keep(manager, comma(NEW))
    hood = Hood.objects.get()
    assert [str(event.on) for event in hood.events.all()] == ["2021-03-04"]
    entries = list(Entry.objects.of(hood))
    assert [entry.action for entry in entries] == ["opening-added", "opening-added", "hood-registered"]
    for each in (*entries, *hood.events.all(), hood.placement()):
        assert site.day_of(each.at) == site.today(), "no moment is made up"
        assert each.by == programme_manager
        assert "hoods.csv" in each.why
    assert not Survey.objects.exists()


def test_a_list_registers_as_the_page_does(manager, site, room, programme_manager):
    """The same rows and entries as by `register_hood` alone."""
    keep(manager, comma(NEW))
    other = actions.register_hood(
        site=site, tag="FH-0008", room=Room.objects.get(number="031"), on=making.ON, by=programme_manager, at=making.AT,
        openings=[{"name": "working", "use": "working", "width": "62 in", "height": "18 in"}],
    )  # fmt: skip
    ours, theirs = (Entry.objects.of(hood).last() for hood in (Hood.objects.get(tag="FH-0007"), other))
    assert (ours.action, ours.after.keys()) == (theirs.action, theirs.after.keys())
    assert ours.after["site"] == theirs.after["site"]


def test_i2_the_same_file_again_changes_nothing_and_says_so(manager, site):
    keep(manager, comma(NEW))
    before = rows()
    page, address = shown(manager, comma(NEW))
    assert "This list changes nothing: its one hood is kept as it says." in page.content.decode()
    assert "Keep all of it" not in page.content.decode()
    manager.post(address, {"seen": page.context["plan"].digest})
    assert pages.changed(before, rows()) == []


def test_only_the_columns_of_the_list_are_looked_at(manager, hood):
    keep(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    hood.refresh_from_db()
    assert (hood.maker, hood.monitor, hood.openings.get().height) == ("Alder", "velocity", "18 in")
    entry = Entry.objects.of(hood).first()
    assert (entry.action, entry.before, entry.after) == ("hood-changed", {"maker": ""}, {"maker": "Alder"})


def test_a_changed_size_is_an_event_that_ends_its_approval(manager, hood):
    opening = {"opening 1 name": "working", "opening 1 height": "20 in"}
    page, address = shown(manager, comma({"tag": "FH-0142", **opening}))
    manager.post(address, {"seen": page.context["plan"].digest})
    assert [event.kind for event in hood.events.order_by("pk")] == ["installed", "opening-changed"]
    assert hood.openings.get().height == "20 in"
    assert Entry.objects.of(hood).first().after == {"height": "20 in", "opening": "working"}


def test_what_covers_an_opening_is_brought_in_and_goes_out_again(manager, hood):
    said = {"opening 1 name": "working", "opening 1 cover": "fixed panel", "opening 1 cover left": "36 in"}
    page, address = shown(manager, comma({"tag": "FH-0142", **said}))
    manager.post(address, {"seen": page.context["plan"].digest})
    assert hood.events.filter(kind="opening-changed").count() == 1, "its approval ends"
    opening = hood.openings.get()
    assert (opening.cover, opening.cover_left, opening.cover_width) == ("fixed panel", "36 in", "")
    again, _address = shown(manager, comma({"tag": "FH-0142", **said}))
    assert "This list changes nothing" in again.content.decode()


COVERED = [
    ({"opening 1 cover left": "36 in"}, "opening 1 cover", "Say what covers it, such as: fixed panel."),
    ({"opening 1 cover": "panel"}, "opening 1 cover left", "Write where it is"),
    ({"opening 1 cover": "panel", "opening 1 cover left": "62 in"}, "opening 1 cover left", "reaches over the side"),
    ({"opening 1 cover": "shelf", "opening 1 cover up": "17 in", "opening 1 cover height": "2 in"}, "opening 1 cover height", "reaches over the side"),
    ({"opening 1 cover": "panel", "opening 1 cover left": "36"}, "opening 1 cover left", "has no unit"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "column", "words"), COVERED)
def test_i3_a_cover_that_cannot_be_names_its_row_and_column(manager, hood, said, column, words):
    ((row, where, told),) = problems(send(manager, comma({"tag": "FH-0142", "opening 1 name": "working", **said})))
    assert (row, where) == (2, column)
    assert words in told
    assert hood.openings.get().cover == ""


def test_an_opening_is_added_and_none_is_taken_away(manager, hood):
    lower = {
        "opening 1 name": "lower", "opening 1 use": "lower", "opening 1 width": "62 in", "opening 1 height": "12 in",
    }  # fmt: skip
    keep(manager, comma({"tag": "FH-0142", **lower}))
    assert [(one.name, one.height) for one in hood.openings.all()] == [("working", "18 in"), ("lower", "12 in")]


def test_a_place_said_anew_keeps_the_earlier_placement(manager, hood):
    first = hood.placement()
    keep(manager, comma({"tag": "FH-0142", "position": "by the window", "exhaust": "EF-9"}))
    assert [(one.position, one.exhaust and one.exhaust.name) for one in hood.placements.order_by("pk")] == [
        ("", None), ("by the window", "EF-9"),
    ]  # fmt: skip
    assert Placement.objects.get(pk=first.pk).position == ""
    assert [event.kind for event in hood.events.all()] == ["installed"], "it has not moved"
