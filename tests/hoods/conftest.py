"""Another site with its own hood and people, for what must never reach over."""

from __future__ import annotations

import pytest

from hoods import actions
from hoods.models import Hood, Person, Site
from tests import making
from tests.hoods.registering import AT, EARLIER


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


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def today(site):
    return site.today()


@pytest.fixture
def who(programme_manager):
    return {"by": programme_manager, "at": AT}


@pytest.fixture
def registered(site, room, who):
    return actions.register_hood(
        site=site, tag="FH-0150", room=room, on=EARLIER, position="second from the door", kind="general",
        openings=[{"name": "working", "use": "working", "width": "62 in", "height": "18 in"}], **who,
    )  # fmt: skip
