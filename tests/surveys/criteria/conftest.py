"""What tests of the pages of criteria start from: a draft, one that is settled, one that is adopted."""

from __future__ import annotations

import pytest
from django.utils import timezone

from surveys.actions import criteria
from tests import making
from tests.surveys.criteria.sent import STARTER, undecided


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def today(site):
    return site.today()


@pytest.fixture
def draft(site, programme_manager):
    return criteria.start_set(site=site, name="General hoods", starter=STARTER, by=programme_manager, at=timezone.now())


@pytest.fixture
def settled(draft, programme_manager):
    return criteria.settle_checks(
        version=draft, costs=dict.fromkeys(undecided(draft), ("note", "")), by=programme_manager, at=timezone.now()
    )


@pytest.fixture
def adopted(settled, programme_manager, today):
    return criteria.adopt_version(
        version=settled,
        first_day=today,
        reason="compared with the local rules",
        by=programme_manager,
        at=timezone.now(),
    )


@pytest.fixture
def foreign(programme_manager):
    return criteria.start_set(
        site=making.make_site("Fell College"), name="Theirs", starter=STARTER, by=programme_manager, at=timezone.now()
    )


@pytest.fixture
def hood_elsewhere(foreign, programme_manager):
    room = making.make_room(making.make_building(foreign.set.site, "Old School"), "3")
    return making.make_hood(room=room, by=programme_manager, tag="X-1")
