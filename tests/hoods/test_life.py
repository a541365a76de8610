"""Moving a hood, and what becomes of it: dated events that are never rewritten."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction

from hoods import actions, queries
from hoods.actions.hood import DayBeforeLast, DayToCome, NotSo
from hoods.models import HoodEvent
from tests.hoods.registering import EARLIER, LATER, TODAY, last_entry

pytestmark = pytest.mark.django_db


# --- moving and the life of a hood -----------------------------------------------------------------------------------------


def test_a_move_adds_a_placement_and_an_event_and_leaves_the_past(registered, room, other_room, who):
    actions.move_hood(hood=registered, room=other_room, on=TODAY, why="new laboratory", **who)
    assert registered.placement(TODAY).room == other_room
    assert registered.placement(TODAY - timedelta(1)).room == room
    assert registered.events.last().kind == "moved"
    entry = last_entry(registered)
    assert (entry.action, entry.why) == ("hood-moved", "new laboratory")
    assert (entry.before["room"]["name"], entry.after["room"]["name"]) == (str(room), str(other_room))


def test_a_move_to_where_it_stands_is_none_and_within_the_room_it_is_one(registered, room, who):
    here = registered.placement()
    with pytest.raises(NotSo, match="stands there already"):
        actions.move_hood(
            hood=registered, room=room, exhaust=here.exhaust, position=here.position, on=TODAY, why="again", **who
        )
    actions.move_hood(hood=registered, room=room, position="at the other wall", on=TODAY, why="new bench", **who)
    assert registered.events.last().kind == "moved"


def test_a_place_put_right_is_no_move(registered, room, who):
    actions.shift_hood(hood=registered, position="first from the door", **who)
    assert registered.placement().position == "first from the door"
    assert registered.placement().room == room
    assert not registered.events.filter(kind="moved").exists()


LIVES = [
    # what was done              then                     refused with   why
    ([],                         "wake_hood",             NotSo,         "nothing to wake"),
    ([],                         "bring_back",            NotSo,         "nothing to bring back"),
    (["hibernate_hood"],         "hibernate_hood",        NotSo,         "hibernated already"),
    (["retire_hood"],            "hibernate_hood",        NotSo,         "retired for ever"),
    (["retire_hood"],            "retire_hood",           NotSo,         "retired for ever"),
    (["retire_hood"],            "take_out_of_service",   NotSo,         "retired for ever"),
    (["take_out_of_service"],    "take_out_of_service",   NotSo,         "out of service already"),
    (["hibernate_hood"],         "wake_hood",             None,          "woken"),
    (["hibernate_hood", "wake_hood"], "hibernate_hood",   None,          "hibernated again"),
    (["take_out_of_service"],    "bring_back",            None,          "brought back"),
    (["take_out_of_service", "bring_back"], "take_out_of_service", None, "out of service again"),
    (["hibernate_hood"],         "retire_hood",           None,          "retired while hibernated"),
]  # fmt: skip


@pytest.mark.parametrize(("done", "then", "refusal", "why"), LIVES, ids=[f"{life[1]}: {life[3]}" for life in LIVES])
def test_the_life_of_a_hood(registered, who, done, then, refusal, why):
    for name in done:
        getattr(actions, name)(hood=registered, on=TODAY, why="planned", **who)
    events = HoodEvent.objects.count()
    if refusal is None:
        getattr(actions, then)(hood=registered, on=TODAY, why="planned", **who)
        assert HoodEvent.objects.count() == events + 1
        assert last_entry(registered).why == "planned"
    else:
        with pytest.raises(refusal):
            getattr(actions, then)(hood=registered, on=TODAY, why="planned", **who)
        assert HoodEvent.objects.count() == events


@pytest.mark.parametrize("name", ["retire_hood", "hibernate_hood", "move_hood"])
def test_what_was_done_is_dated_by_a_day_that_has_come(registered, other_room, who, name):
    where = {"room": other_room} if name == "move_hood" else {}
    with pytest.raises(DayToCome):
        getattr(actions, name)(hood=registered, on=LATER, why="soon", **where, **who)
    with pytest.raises(DayBeforeLast, match="10 FEB 2026"):
        getattr(actions, name)(hood=registered, on=EARLIER - timedelta(1), why="long ago", **where, **who)


def test_an_outage_may_be_to_come_and_be_called_off(registered, who):
    actions.take_out_of_service(hood=registered, on=LATER, until_on=LATER + timedelta(3), why="fan", **who)
    assert queries.outage(registered, TODAY).until_on == LATER + timedelta(3)
    ended = actions.bring_back(hood=registered, on=TODAY, why="called off", **who)
    assert ended.on == LATER
    assert queries.outage(registered, TODAY) is None


def test_an_outage_past_its_planned_end_is_over(registered, who):
    actions.take_out_of_service(hood=registered, on=EARLIER, until_on=EARLIER + timedelta(3), why="fan", **who)
    with pytest.raises(NotSo):
        actions.bring_back(hood=registered, on=TODAY, why="late", **who)
    actions.take_out_of_service(hood=registered, on=TODAY, why="fan again", **who)


def test_an_outage_does_not_end_before_it_begins(registered, who):
    with pytest.raises(actions.Refused) as refused:
        actions.take_out_of_service(hood=registered, on=TODAY, until_on=EARLIER, why="fan", **who)
    assert refused.value.field == "until_on"
    actions.take_out_of_service(hood=registered, on=TODAY, why="fan", **who)
    with pytest.raises(DayBeforeLast):
        actions.bring_back(hood=registered, on=EARLIER, why="back", **who)


@pytest.mark.parametrize("table", ["hoodevent", "placement", "formername", "entry"])
def test_the_database_refuses_to_rewrite_history(registered, who, table):
    """A sealed row is refused; a hood, which is not sealed, can be changed by the same statement."""
    actions.change_hood(hood=registered, tag="FH-0151", **who)
    with connection.cursor() as cursor:
        cursor.execute("UPDATE hoods_hood SET id = id")
        for statement in (f"UPDATE hoods_{table} SET id = id", f"DELETE FROM hoods_{table}"):
            with pytest.raises(IntegrityError), transaction.atomic():
                cursor.execute(statement)
