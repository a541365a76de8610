"""Another site with its own hood and people, for what must never reach over."""

from __future__ import annotations

import pytest

from hoods.models import Hood, Person, Site
from tests import making


@pytest.fixture
def elsewhere(db: None) -> Site:
    return making.make_site("Fell College")


@pytest.fixture
def manager_elsewhere(elsewhere: Site) -> Person:
    return making.make_person("Signe Dahl", elsewhere, "programme-manager")


@pytest.fixture
def hood_elsewhere(elsewhere: Site, manager_elsewhere: Person) -> Hood:
    room = making.make_room(making.make_building(elsewhere, "Old School"), "3")
    return making.make_hood(room=room, by=manager_elsewhere, tag="X-1")
