"""What a preview starts from: hoods that were surveyed, and a draft."""

from __future__ import annotations

from copy import deepcopy

import pytest

from surveys.actions import criteria
from tests import surveying
from tests.surveying import CRITERIA, SURVEYED, entered


@pytest.fixture(autouse=True)
def today():
    import time_machine

    with time_machine.travel("2026-03-30T09:12:00Z", tick=False):
        yield


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager, name="General hoods")


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def surveyed(make_hood, version, instrument, technician, programme_manager):
    """A hood that was surveyed with these readings."""

    def make(tag, readings, *, judged_by=version, at=SURVEYED, **changes):
        hood = make_hood(tag=tag)
        surveying.assign(hood, judged_by, programme_manager)
        surveying.survey(hood, entered(instrument, readings, **changes), technician, at)
        return hood

    return make


@pytest.fixture
def draft_of(version, programme_manager):
    """A draft of the set with other rules."""

    def make(**changes):
        draft = criteria.start_version(set=version.set, by=programme_manager, at=SURVEYED)
        return criteria.change_draft(
            version=draft, document=deepcopy(CRITERIA) | changes, by=programme_manager, at=SURVEYED
        )

    return make
