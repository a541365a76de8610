"""What is wrong with a list is said at its row and column, and nothing of it is kept."""

from __future__ import annotations

import pytest
from django.core.cache import cache
from django.urls import reverse

from hoods import actions
from hoods.models import Hood
from tests import making, pages
from tests.hoods.listed import NEW, comma, keep, problems, rows, send, shown

pytestmark = pytest.mark.django_db


# --- refusals, each at its row and column -------------------------------------------------------------------------------

WRONG = [
    # what a row says otherwise, column, what is said
    ({"opening 1 height": "18"}, "opening 1 height", "has no unit"),
    ({"opening 1 height": "0,5 m"}, "opening 1 height", "at most one point"),
    ({"opening 1 height": "18 fpm"}, "opening 1 height", "unit of another kind"),
    ({"opening 1 height": "18 furlong"}, "opening 1 height", "not used here"),
    ({"opening 1 use": "open"}, "opening 1 use", "not one of these: working, lower"),
    ({"opening 1 way": "left"}, "opening 1 way", "opens in one way: leave this cell empty"),
    ({"sash": "horizontal", "opening 1 way": "up"}, "opening 1 way", "not one of these: "),
    (
        {"sash": "combination", "opening 2 way": "frame"},
        "opening 1 way",
        "must never be open together: write one of frame",
    ),
    ({"sash": "horizontal", "opening 1 way": "left panel"}, "opening 2 way", "Nothing says which part of the sash this opening is: write one of left panel"),
    ({"opening 2 name": "Working"}, "opening 2 name", "Opening 1 has this name already"),
    ({"opening 2 height": "20 in"}, "opening 2 height", "would be higher (20 in)"),
    ({"opening 2 use": "full-open"}, "opening 2 height", "would be lower (12 in) than the working one"),
    ({"sash": "none", "powered": "yes"}, "powered", "A hood without a sash has none for a motor to move"),
    ({"opening 1 name": ""}, "opening 1 name", "Nothing is written here"),
    ({"opening 1 every survey": "maybe"}, "opening 1 every survey", "neither yes nor no"),
    ({"installed on": "03/04/2026"}, "installed on", "such as 2027-03-12"),
    ({"installed on": "2026-02-31"}, "installed on", "This is no day"),
    ({"installed on": "2027-02-29"}, "installed on", "This is no day"),
    ({"installed on": "0026-03-04"}, "installed on", "The year 26 cannot be meant"),
    ({"installed on": "2149-01-01"}, "installed on", "still to come"),
    ({"installed on": ""}, "installed on", "No day is written here"),
    ({"kind": ""}, "kind", "write one of general"),
    ({"kind": "canopi"}, "kind", "not one of these: general"),
    ({"kind": "biological cabinet"}, "kind", "A biological cabinet is not kept here"),
    ({"kind": "clean-bench"}, "kind", "clean bench"),
    ({"set point": "800 cfm"}, "set point", "unit of another kind"),
    ({"monitor": "none", "alarm point": ""}, "set point", "without a monitor"),
    ({"powered": "2"}, "powered", "neither yes nor no"),
    ({"tag": ""}, "tag", "Nothing is written here"),
    ({"tag": "x" * 41}, "tag", "at most 40"),
    ({"tag": "FH-\u200b1"}, "tag", "cannot be seen"),
    ({"room": ""}, "room", "Nothing is written here"),
    ({"building": "north range"}, "building", "looks like “North Range”"),
    ({"order in the room": "first"}, "order in the room", "no whole number"),
    ({"tag": "fh-0142"}, "tag", "looks like FH-0142"),
    ({"tag": "FH 0142"}, "tag", "looks like FH-0142"),
    ({"tag": "FH-0001"}, "tag", "former tag of FH-0142"),
    ({"tag": "FH-0142", "room": "118", "building": "North Range"}, "room", "a list moves no hood"),
    ({"building": "North Range", "room": "214", "room name": "Digestion"}, "room name", "The site has “Synthesis”"),
]


@pytest.mark.parametrize(("otherwise", "column", "said"), WRONG, ids=[f"{one[1]} {one[2]}" for one in WRONG])
def test_i5_i6_a_problem_names_row_column_and_what_would_be_right(
    manager, hood, programme_manager, otherwise, column, said
):
    actions.change_hood(hood=hood, tag="FH-0001", by=programme_manager, at=making.AT)
    actions.change_hood(hood=hood, tag="FH-0142", by=programme_manager, at=making.AT)
    before = rows()
    good = NEW | {"tag": "FH-0006"}
    found = problems(send(manager, comma(good, NEW | otherwise)))
    assert [each[:2] for each in found if said in each[2]] == [(3, column)], found
    assert pages.changed(before, rows()) == []


def test_the_rows_around_a_problem_are_right(manager, hood):
    """The control of the refusals: the same file without what is wrong is taken."""
    keep(manager, comma(NEW | {"tag": "FH-0006"}, NEW))
    assert Hood.objects.count() == 3


def test_i1_one_bad_row_among_many_keeps_nothing(manager, site):
    many = [NEW | {"tag": f"FH-{number:04}"} for number in range(1, 101)]
    many[55] = many[55] | {"opening 1 width": "62 inchs"}  # row 57 of the file
    before = rows()
    found = problems(send(manager, comma(*many)))
    assert [each[:2] for each in found] == [(57, "opening 1 width")]
    assert "“62 inchs” has a unit that is not used here: write one of in, ft, mm, cm, m" in found[0][2]
    assert pages.changed(before, rows()) == []
    many[55] = many[54] | {"tag": "FH-0056"}
    keep(manager, comma(*many))
    assert Hood.objects.count() == 100


def test_i1_a_fault_of_the_database_in_the_middle_keeps_nothing(manager, programme_manager, site):
    """The second part of a list cannot be written: the first is not kept either."""
    from django.db import DatabaseError, connection

    data = comma(*[NEW | {"tag": f"FH-{number:04}"} for number in range(1, 20)])
    page, address = shown(manager, data)
    before = rows()

    def fails(execute, sql, params, many, context):
        if 'INSERT INTO "hoods_entry"' in sql and "hood-registered" in str(params):
            raise DatabaseError("disk full")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(fails), pytest.raises(DatabaseError):
        manager.post(address, {"seen": page.context["plan"].digest})
    assert pages.changed(before, rows()) == []
    assert manager.post(address, {"seen": page.context["plan"].digest}).status_code == 302, "and then it is kept"
    assert Hood.objects.count() == 19


def test_columns_that_a_new_hood_needs_are_named_once(manager, site):
    found = problems(send(manager, comma({"tag": "FH-1", "maker": "A"}, {"tag": "FH-2", "maker": "B"})))
    assert (2, "kind") in [each[:2] for each in found]
    assert {each[0] for each in found} == {2}


def test_an_unknown_heading_is_refused_with_what_may_be_meant(manager, site):
    found = problems(send(manager, comma({"tag": "FH-1", "flor": "2"})))
    assert found == [
        (1, "flor", "This is no column of the list. If “floor” is meant, write that; otherwise take it out.")
    ]
    assert problems(send(manager, b"tag,maker,maker\nFH-1,a,b\n"))[0][:2] == (1, "maker")


def test_points_of_a_monitor_that_a_list_leaves_as_they_are_may_stay(manager, make_hood):
    """Kept before the rule was: a list that says the same changes nothing, and one that says otherwise is refused."""
    make_hood(tag="FH-1", monitor="flow", set_point="100 ft/min", alarm_point="")
    said = {"tag": "FH-1", "monitor": "flow", "set point": "100 ft/min", "alarm point": "", "maker": "Alder"}
    keep(manager, comma(said))
    assert Hood.objects.get().maker == "Alder"
    assert problems(send(manager, comma(said | {"set point": "90 ft/min"})))[0][:2] == (2, "set point")


def test_a_combination_sash_is_brought_in_with_its_ways(manager, site):
    frame = {"sash": "combination", "opening 1 way": "frame", "opening 2 way": "frame"}
    keep(manager, comma(NEW | frame))
    assert [one.way for one in Hood.objects.get().openings.all()] == ["frame", "frame"]
    page, _address = shown(manager, pages.body(manager.get(reverse("reports:inventory"))))
    assert page.context["plan"].left == 1


OTHER_SASH = [
    # of a hood that is kept with one opening: its name, what the row says beside its tag, column of the problem, why
    ("working", {"sash": "combination"}, "sash", "the list names no opening"),
    ("working", {"sash": "horizontal"}, "sash", "of either sash with parts"),
    ("working", {"sash": "horizontal", "opening 1 name": "working", "opening 1 way": ""}, "opening 1 way", "it names it"),
    ("working", {"sash": "combination", "opening 1 name": "working", "opening 1 height": "18 in"}, "opening 1 way", "without"),
    ("frame", {"sash": "horizontal"}, "sash", "a part that this sash has not"),
    ("working", {"sash": "combination", "opening 1 name": "working", "opening 1 way": "frame"}, "", "its way beside it"),
    ("frame", {"sash": "combination"}, "", "its name says its part"),
    ("working", {"sash": "none"}, "", "nothing is moved"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "what", "column", "why"), OTHER_SASH)
def test_a_sash_with_parts_is_not_given_to_a_hood_whose_openings_say_none(
    manager, room, programme_manager, name, what, column, why
):
    made = making.make_hood(room=room, by=programme_manager, tag="FH-0117", openings=((name, "working", "62 in", "18 in"),))
    data = comma({"tag": "FH-0117"} | what)
    if not column:
        keep(manager, data)
        assert Hood.objects.get(pk=made.pk).sash == what["sash"], why
        return
    found = problems(send(manager, data))
    assert [one[:2] for one in found] == [(2, column)], why
    assert "Nothing says which part of" in found[0][2]
    assert Hood.objects.get(pk=made.pk).sash == "vertical"


def test_what_was_kept_without_a_part_stays_while_its_sash_does(manager, room, programme_manager):
    making.make_hood(room=room, by=programme_manager, tag="FH-0117", sash="combination", maker="Alder")
    said = {"tag": "FH-0117", "sash": "combination", "opening 1 name": "working", "opening 1 way": ""}
    page, _address = shown(manager, comma(said))
    assert page.context["plan"].left == 1
    keep(manager, comma(said | {"maker": "Birch"}))
    assert Hood.objects.get().maker == "Birch"
    found = problems(send(manager, comma(said | {"sash": "horizontal"})))
    assert [one[:2] for one in found] == [(2, "opening 1 way")], "of another sash it is another part"


def test_a_retired_hood_stays_as_it_is(manager, hood, programme_manager):
    actions.retire_hood(hood=hood, on=making.ON, why="gone", by=programme_manager, at=making.AT)
    assert problems(send(manager, comma({"tag": "FH-0142", "maker": "Alder"})))[0][:2] == (2, "tag")


def test_what_changed_meanwhile_is_shown_anew_and_nothing_is_kept(manager, hood, programme_manager):
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    actions.change_hood(hood=hood, maker="Birch", by=programme_manager, at=making.AT)
    before = rows()
    response = manager.post(address, {"seen": page.context["plan"].digest})
    assert response.status_code == 409
    assert "nothing is kept: look at it again" in response.content.decode()
    assert "Birch" in response.content.decode()
    assert pages.changed(before, rows()) == []
    assert manager.post(address, {"seen": response.context["plan"].digest}).status_code == 302
    hood.refresh_from_db()
    assert hood.maker == "Alder"


def test_two_presses_at_once_keep_it_once_and_neither_says_that_nothing_is_kept(manager, hood):
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    _other, same = shown(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    assert manager.post(address, {"seen": page.context["plan"].digest}).status_code == 302
    second = manager.post(same, {"seen": page.context["plan"].digest}, follow=True)
    assert "This list changes nothing: its one hood is kept as it says." in second.content.decode()


def test_a_file_waits_for_who_sent_it_alone_and_only_until_it_is_kept(manager, site, hood, signed_in):
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Alder"}))
    other = signed_in(making.make_person("Dag Storm", site, "programme-manager"))
    assert other.get(address).status_code == 404
    assert other.post(address, {"seen": page.context["plan"].digest}).status_code == 404
    assert manager.post(address, {"seen": page.context["plan"].digest}).status_code == 302, "the control"
    assert "The list is kept already." in manager.get(address, follow=True).content.decode()
    assert other.get(address).status_code == 404
    again = manager.post(address, {"seen": page.context["plan"].digest}, follow=True)
    assert "The list is kept already." in again.content.decode(), "pressed twice"
    page, address = shown(manager, comma({"tag": "FH-0142", "maker": "Birch"}))
    cache.clear()
    assert manager.get(address).status_code == 404, "it waits an hour, not for ever"
