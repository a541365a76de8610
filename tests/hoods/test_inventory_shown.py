"""What a list of hoods would do, shown before it is kept: everything that it would do, on pages of a hundred."""

from __future__ import annotations

import pytest

from hoods import inventory, inventory_file
from hoods.forms import inventory_list as forms
from hoods.models import Hood
from tests.hoods.listed import NEW, comma, keep, problems, send, shown
from tests.surveys.words import said as told

pytestmark = pytest.mark.django_db

TWO_WAYS = {
    "sash": "combination", "opening 1 way": "frame", "opening 2 name": "left panel", "opening 2 use": "working",
    "opening 2 width": "18 in", "opening 2 height": "28 in", "opening 2 way": "left panel", "opening 1 cover": "fixed panel",
    "opening 1 cover left": "36 in",
}  # fmt: skip


def test_a_new_hood_is_shown_with_all_that_is_said_of_it(manager, site):
    page, _address = shown(manager, comma(NEW | TWO_WAYS))
    text = told(page)
    for each in (
        "South Range 031, left of the door", "order in the room: 2", "EF-9", "installed on 2021-03-04",
        "kind: general; control: constant-volume; sash: combination; glass: laminated; maker: Alder, sons; co",
        "monitor: velocity; set point: 0.5 m/s; alarm point: 80 ft/min", "working frame fixed panel", "36 in from the left",
        "working 62 in 457 mm at every survey", "left panel left panel working 18 in 28 in when it is needed",
    ):  # fmt: skip
        assert each in text, each


def test_what_a_list_leaves_out_is_shown_as_it_will_be_kept(manager, hood):
    """A new opening is measured at every survey unless the list says no: of a new hood, and of one that is there."""
    without = {name: text for name, text in NEW.items() if not name.endswith("every survey")}
    page, address = shown(manager, comma(without))
    assert page.content.decode().count("at every survey") == 2
    manager.post(address, {"seen": page.context["plan"].digest})
    assert [one.tested_every_survey for one in Hood.objects.get(tag="FH-0007").openings.all()] == [True, True]
    lower = {"opening 1 name": "low", "opening 1 use": "lower", "opening 1 width": "62 in", "opening 1 height": "9 in"}
    page, _address = shown(manager, comma({"tag": "FH-0142", **lower, "opening 1 way": ""}))
    ((one, _lost),) = page.context["changed"]
    assert [(each.column, each.after) for each in one.differences] == [
        ("opening 1 name", "low"), ("opening 1 every survey", True), ("opening 1 use", "lower"),
        ("opening 1 width", "62 in"), ("opening 1 height", "9 in"),
    ]  # fmt: skip


OTHERWISE = {
    "opening 2 use": "other", "opening 2 height": "11 in", "opening 2 width": "60 in", "opening 2 every survey": "yes",
    "position": "right", "order in the room": "3", "exhaust": "EF-8", "floor": "1", "hazards": "acids", "access": "bell",
    "room name": "Digesting", "building": "West Range", "room": "032", "installed on": "2021-03-05", "maker": "Birch",
    "monitor": "none", "powered": "yes", "uses forbidden": "none", "tag": "FH-0008", "opening 2 name": "low",
}  # fmt: skip


@pytest.mark.parametrize("column", OTHERWISE)
def test_what_is_kept_is_what_was_seen_whatever_of_it_would_be_otherwise(site, column):
    def digest(row: dict[str, str]) -> str:
        said = forms.check(inventory_file.read(comma(row))).said
        plan = inventory.plan(site, said, site.today())
        assert not plan.problems
        return plan.digest

    more = {"set point": "", "alarm point": ""} if column == "monitor" else {}
    row = NEW | {"hazards": "", "access": ""}
    assert digest(row) == digest(dict(row))
    assert digest(row) != digest(row | more | {column: OTHERWISE[column]})


def test_a_long_list_is_shown_whole_on_pages_of_a_hundred_hoods_and_a_hundred_places(manager, site):
    many = [NEW | {"tag": f"FH-{number:04}", "room": f"{number}", "room name": ""} for number in range(230)]
    page, address = shown(manager, comma(*many))
    tags, places = [], []
    for number in (1, 2, 3):
        response = manager.get(f"{address}?page={number}&places={number}")
        tags += [one.tag for one in response.context["added"]]
        places += list(response.context["places"])
        assert len(response.context["added"]) <= 100
        assert len(response.context["places"]) <= 100
        assert f"Page {number} of 3: hoods" in told(response)
    assert tags == [row["tag"] for row in many]
    assert [name for _kind, name, _what in places] == [
        "South Range", *(("South Range", row["room"]) for row in many), "EF-9",
    ]  # fmt: skip
    second = manager.get(f"{address}?page=2&places=3").content.decode()
    assert 'href="?places=3&amp;page=3"' in second, "each list is turned by itself"
    assert 'href="?page=2&amp;places=2"' in second
    assert response.context["plan"].digest == page.context["plan"].digest, "what is kept is all pages"


# --- a room, a monitor ---------------------------------------------------------------------------------------------------

OF_ROOM = {
    "room name": "Synthesis", "floor": "2", "department": "Chemistry", "answers for the room": "Asel Lund",
    "hazards": "acids", "access": "bell",
}  # fmt: skip


@pytest.mark.parametrize("column", OF_ROOM)
@pytest.mark.parametrize("where", [{}, {"building": "North Range", "room": "214"}], ids=["tag alone", "with its room"])
def test_i5_what_a_list_says_of_a_room_otherwise_is_refused_with_the_page_of_the_room(manager, hood, column, where):
    """A list with a tag and something of its room, too: it said that all is kept as it says, and changed nothing."""
    room = hood.placement().room
    for name in ("floor", "department", "responsible", "hazards", "access"):
        setattr(room, name, "")
    room.save()
    row = {"tag": "FH-0142", **where}
    ((number, name, told),) = problems(send(manager, comma(row | {column: "something else"})))
    assert (number, name) == (2, column)
    assert "on the page of the room, or leave this cell empty." in told
    page, _address = shown(manager, comma(row | {column: "Synthesis" if column == "room name" else ""}))
    assert page.context["plan"].left == 1, "the control: what the site has is left"


def test_a_list_with_no_more_of_monitors_than_that_there_is_none_is_taken(manager, make_hood):
    make_hood(tag="FH-1", monitor="none")
    bare = {name: text for name, text in NEW.items() if name not in ("set point", "alarm point")}
    keep(manager, comma(bare | {"tag": "FH-2", "monitor": "none"}))
    assert Hood.objects.get(tag="FH-2").monitor == "none"
    page, _address = shown(manager, comma({"tag": "FH-1", "monitor": "none"}, {"tag": "FH-2", "monitor": "none"}))
    assert page.context["plan"].left == 2


def test_of_a_hood_with_a_monitor_its_three_columns_come_together(manager, make_hood):
    make_hood(tag="FH-1", monitor="velocity", set_point="100 ft/min", alarm_point="80 ft/min")
    together = "The columns monitor, set point and alarm point come together: add those that are missing."
    rows = [{"tag": f"FH-{number}", "monitor": "velocity"} for number in (1, 2)]
    assert [one for one in problems(send(manager, comma(*rows))) if one[2] == together] == [(2, "monitor", together)]
    assert problems(send(manager, comma({"tag": "FH-1", "monitor": "none"}))) == [(2, "monitor", together)], (
        "its points"
    )
    assert problems(send(manager, comma({"tag": "FH-1", "set point": "90 fpm"}))) == [(2, "set point", together)]
    keep(manager, comma({"tag": "FH-1", "monitor": "none", "set point": "", "alarm point": ""}))
    assert Hood.objects.get().monitor == "none", "the control: with all three it is taken"


def test_the_address_of_a_list_that_is_kept_says_so(manager, site):
    page, address = shown(manager, comma(NEW))
    manager.post(address, {"seen": page.context["plan"].digest})
    again = manager.get(address, follow=True)
    assert (again.status_code, "The list is kept already." in told(again)) == (200, True)
    assert manager.get(address[:-5] + "none/").status_code == 404, "the control: one that never waited"
