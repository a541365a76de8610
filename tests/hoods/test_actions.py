"""Actions on the inventory: what they write, what they refuse, and that history is never rewritten."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import IntegrityError, OperationalError, connection, transaction

from hoods import actions, queries
from hoods.actions import keeping
from hoods.actions.hood import DayBeforeLast, DayToCome, NotSo, TagTaken
from hoods.actions.refusal import AnotherSite, UnknownChoice
from hoods.core.code import is_code
from hoods.models import Building, Entry, FormerName, Hood, HoodEvent, Opening, Placement, Room, Site
from tests import making

pytestmark = pytest.mark.django_db

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
TODAY = date(2026, 3, 12)
EARLIER, LATER = TODAY - timedelta(30), TODAY + timedelta(30)


@pytest.fixture
def who(programme_manager):
    return {"by": programme_manager, "at": AT}


@pytest.fixture
def registered(site, room, who):
    return actions.register_hood(
        site=site, tag="FH-0150", room=room, on=EARLIER, position="second from the door", kind="general",
        openings=[{"name": "working", "use": "working", "width": "62 in", "height": "18 in"}], **who,
    )  # fmt: skip


def last_entry(thing):
    return Entry.objects.of(thing).first()


# --- registering and changing -------------------------------------------------------------------------------------------


def test_registering_writes_hood_place_event_opening_and_entry(registered, room, programme_manager):
    assert is_code(registered.code)
    assert registered.placement().room == room
    assert [event.kind for event in registered.events.all()] == ["installed"]
    assert [(opening.name, opening.width, opening.height) for opening in registered.openings.all()] == [
        ("working", "62 in", "18 in")
    ]
    assert [entry.action for entry in Entry.objects.of(registered)] == ["opening-added", "hood-registered"]
    entry = Entry.objects.of(registered).last()
    assert (entry.by, entry.at, entry.after["tag"]) == (programme_manager, AT, "FH-0150")


@pytest.mark.parametrize("tag", ["FH-0150", "fh-0150"])
def test_a_tag_is_given_once_at_a_site_in_capitals_or_not(registered, site, room, who, tag):
    with pytest.raises(TagTaken) as refused:
        actions.register_hood(site=site, tag=tag, room=room, on=TODAY, **who)
    assert refused.value.field == "tag"
    assert Hood.objects.count() == 1


def test_the_database_too_gives_a_tag_once(registered, site):
    with pytest.raises(IntegrityError), transaction.atomic():
        Hood.objects.create(site=site, tag="FH-0150", code="AAAAAAAA")
    Hood.objects.create(site=making.make_site("Fell College"), tag="FH-0150", code="AAAAAAAA")  # elsewhere it is free


def test_what_a_constraint_refuses_at_the_same_moment_is_said_in_words(registered, site):
    """Two browsers at once: both saw the tag free, the database lets one through."""
    with pytest.raises(TagTaken):
        keeping.keep(Hood(site=site, tag="FH-0150", code="22222223"), TagTaken)
    assert Hood.objects.count() == 1  # and the transaction goes on


def test_a_replaced_tag_leads_to_the_hood_until_another_has_it(registered, site, room, who, programme_manager):
    actions.change_hood(hood=registered, tag="FH-0151", **who)
    assert [hood.tag for hood in queries.hoods_found(programme_manager, "FH-0150")] == ["FH-0151"]
    assert last_entry(registered).before == {"tag": "FH-0150"}
    assert last_entry(registered).after == {"tag": "FH-0151"}
    newer = actions.register_hood(site=site, tag="FH-0150", room=room, on=TODAY, **who)
    assert list(queries.hoods_found(programme_manager, "FH-0150")) == [newer]


class Dice:
    """A source of chance that falls as it is told."""

    def __init__(self, *codes: str):
        self.characters = iter("".join(code[:7] for code in codes))

    def choice(self, alphabet: str) -> str:
        return next(self.characters)


def test_a_replaced_code_is_kept_and_never_given_again(registered, who, monkeypatch):
    old = registered.code
    changed = actions.replace_code(hood=registered, why="label copied", **who)
    assert changed.code != old
    assert list(FormerName.objects.values_list("kind", "text", "hood")) == [("code", old, registered.pk)]
    dice = Dice(old, changed.code, "2222222")
    monkeypatch.setattr("secrets.SystemRandom", lambda: dice)
    assert actions.replace_code(hood=registered, why="again", **who).code.startswith("2222222")


def test_a_change_that_changes_nothing_writes_nothing(registered, who):
    entries = Entry.objects.count()
    actions.change_hood(hood=registered, kind="general", **who)
    assert Entry.objects.count() == entries


@pytest.mark.parametrize(
    ("what", "field"),
    [
        ({"kind": "biological-cabinet"}, "kind"),
        ({"sash": "sideways"}, "sash"),
        ({"verdict": "pass"}, ""),
        ({"code": "22222223"}, ""),
    ],
)
def test_a3_an_action_takes_nothing_that_it_does_not_know(registered, who, what, field):
    with pytest.raises(UnknownChoice) as refused:
        actions.change_hood(hood=registered, **what, **who)
    assert refused.value.field == field


def test_a2_a_room_or_exhaust_of_another_site_is_refused(registered, hood_elsewhere, site, room, who):
    foreign = hood_elsewhere.placement().room
    with pytest.raises(AnotherSite):
        actions.register_hood(site=site, tag="FH-9", room=foreign, on=TODAY, **who)
    with pytest.raises(AnotherSite):
        actions.move_hood(hood=registered, room=foreign, on=TODAY, **who)
    exhaust = actions.add_exhaust(site=hood_elsewhere.site, name="EF-9", **who)
    with pytest.raises(AnotherSite):
        actions.move_hood(hood=registered, room=room, exhaust=exhaust, on=TODAY, **who)


def counted() -> list[int]:
    return [model.objects.count() for model in (Hood, Placement, HoodEvent, Opening, Entry)]


def test_d6_registering_is_all_or_nothing(site, room, who):
    """The database fails at the first statement, at the second, and so on, until nothing fails."""
    what = {
        "site": site, "tag": "FH-7", "room": room, "on": TODAY,
        "openings": [{"name": "working", "use": "working", "width": "62 in", "height": "18 in"}],
    }  # fmt: skip
    for number in range(1, 60):
        left = number

        def failing(execute, sql, params, many, context):
            nonlocal left
            left -= 1
            if left == 0:
                raise OperationalError("disk I/O error")
            return execute(sql, params, many, context)

        try:
            with transaction.atomic(), connection.execute_wrapper(failing):
                actions.register_hood(**what, **who)
        except OperationalError:
            assert counted() == [0, 0, 0, 0, 0], f"something stayed when statement {number} failed"
        else:
            assert number > 8
            break
    assert counted() == [1, 1, 1, 1, 2]


# --- moving and the life of a hood -----------------------------------------------------------------------------------------


def test_a_move_adds_a_placement_and_an_event_and_leaves_the_past(registered, room, other_room, who):
    actions.move_hood(hood=registered, room=other_room, on=TODAY, why="new laboratory", **who)
    assert registered.placement(TODAY).room == other_room
    assert registered.placement(TODAY - timedelta(1)).room == room
    assert registered.events.last().kind == "moved"
    entry = last_entry(registered)
    assert (entry.action, entry.why) == ("hood-moved", "new laboratory")
    assert (entry.before["room"]["name"], entry.after["room"]["name"]) == (str(room), str(other_room))


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


# --- openings -----------------------------------------------------------------------------------------------------------------


def test_a_changed_size_is_an_event_that_names_the_opening(registered, who):
    opening = registered.openings.get()
    actions.change_opening(opening=opening, height="16 in", why="stop moved", **who)
    event = registered.events.last()
    assert (event.kind, event.opening, event.on) == ("opening-changed", opening, TODAY)
    assert last_entry(registered).before == {"height": "18 in"}


def test_a_changed_name_ends_no_approval(registered, who):
    actions.change_opening(opening=registered.openings.get(), name="front", **who)
    assert not registered.events.filter(kind="opening-changed").exists()


def test_an_opening_has_a_name_once_at_its_hood(registered, hood, who):
    with pytest.raises(actions.Refused) as refused:
        actions.add_opening(hood=registered, name="working", use="lower", width="62 in", height="9 in", **who)
    assert refused.value.field == "name"
    with pytest.raises(IntegrityError), transaction.atomic():
        Opening.objects.create(hood=registered, name="working")
    assert hood.openings.filter(name="working").exists()  # another hood has one of this name


# --- places ------------------------------------------------------------------------------------------------------------------


def test_names_are_given_once_where_they_are_read(site, building, room, who):
    actions.add_exhaust(site=site, name="EF-1", **who)
    for act, what, field in (
        (actions.add_building, {"site": site, "name": building.name}, "name"),
        (actions.add_room, {"building": building, "number": room.number}, "number"),
        (actions.add_exhaust, {"site": site, "name": "EF-1"}, "name"),
        (actions.add_site, {"name": site.name}, "name"),
    ):
        with pytest.raises(actions.Refused) as refused:
            act(**what, **who)
        assert refused.value.field == field


def test_the_database_too_gives_these_names_once(site, building, room):
    for make in (
        lambda: Site.objects.create(name=site.name),
        lambda: Building.objects.create(site=site, name=building.name),
        lambda: Room.objects.create(building=building, number=room.number),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            make()


@pytest.mark.parametrize(
    ("what", "field"),
    [({"time_zone": "Europe/Skua"}, "time_zone"), ({"paper": "A5"}, "paper"), ({"printer_dpi": 150}, "printer_dpi")],
)
def test_settings_of_a_site_are_of_their_lists(site, who, what, field):
    with pytest.raises(actions.Refused) as refused:
        actions.change_site(site=site, **what, **who)
    assert refused.value.field == field


def test_a_room_stays_in_its_site(room, hood_elsewhere, who):
    with pytest.raises(AnotherSite):
        actions.change_room(room=room, building=hood_elsewhere.placement().room.building, **who)


def test_every_action_asks_who_and_when():
    """Keyword-only, with `by` and `at`: so that nothing changes without an entry that can name them."""
    import inspect

    for name in actions.__all__:
        if name in ("Refused",):
            continue
        parameters = inspect.signature(getattr(actions, name)).parameters
        assert {"by", "at"} <= set(parameters), name
        assert all(parameter.kind is not parameter.POSITIONAL_OR_KEYWORD for parameter in parameters.values()), name
