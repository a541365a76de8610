"""Everybody, and three worlds: ours, another site, the room next door."""

from __future__ import annotations

import pytest

from hoods.models import Person
from tests import making
from tests.config.walking import MARK, NOBODY, SOMEBODY
from tests.config.world import World, make_world


@pytest.fixture
def everybody(request) -> dict[str, Person | None]:
    return {NOBODY: None, **{who: request.getfixturevalue(who) for who in SOMEBODY}}


@pytest.fixture
def ours(site, room, programme_manager, technician) -> World:
    return make_world(site, room, programme_manager, technician)


@pytest.fixture
def theirs(db) -> World:
    """Another institute. Everything there is named so that it is known wherever it turns up."""
    site = making.make_site(f"{MARK}Institute", office=f"{MARK}office")
    room = making.make_room(making.make_building(site, f"{MARK}Hall"), f"{MARK}9", name=f"{MARK}lab")
    keeper = making.make_person("Zeppelin Keeper", site, "programme-manager")
    return make_world(site, room, keeper, making.make_person("Zeppelina Hand", site, "technician"), MARK)


@pytest.fixture
def next_door(site, other_room, programme_manager) -> World:
    """The same institute, a room that the lab manager has no role in."""
    other_room.name = f"{MARK}lab"
    other_room.save()
    other = making.make_person("Zeppelina Hand", site, "lab-manager", other_room)
    return make_world(site, other_room, programme_manager, other, MARK)
