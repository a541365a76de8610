"""Actions on the inventory: what they write, what they refuse, and that history is never rewritten."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, transaction

from hoods import actions, queries
from hoods.actions import keeping
from hoods.actions.hood import TagTaken
from hoods.actions.refusal import AnotherSite, UnknownChoice
from hoods.actions.registering import NewHood
from hoods.core.code import is_code
from hoods.models import Building, Entry, FormerName, Hood, HoodEvent, Opening, Placement, Room, Site
from tests import making
from tests.breaking import broken_at_each_statement
from tests.hoods.registering import AT, TODAY, last_entry

pytestmark = pytest.mark.django_db


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


def registering(site, room, who):
    opening = {"name": "working", "use": "working", "width": "62 in", "height": "18 in"}
    return {"site": site, "new": [NewHood("FH-7", room, TODAY, openings=[opening])], **who}


def test_d6_registering_is_all_or_nothing(site, room, who):
    """The database fails at the first statement, at the second, and so on, until nothing fails."""
    what = registering(site, room, who)
    assert broken_at_each_statement(lambda: actions.register_hoods(**what), counted) > 8
    assert counted() == [1, 1, 1, 1, 2]


def test_d6_control_without_its_transaction_a_part_of_a_hood_stays(site, room, who):
    what = registering(site, room, who)
    with pytest.raises(AssertionError, match="something stayed"):
        broken_at_each_statement(lambda: actions.register_hoods.__wrapped__(**what), counted)


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
