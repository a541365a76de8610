"""What tests of prints and files start from: criteria, an instrument, hoods that can be surveyed."""

from __future__ import annotations

import pytest

from tests import surveying
from tests.surveying import entered


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager, name="Average and lowest")


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def ready(make_hood, version, programme_manager):
    """Makes a hood that can be surveyed."""

    def make(tag, **fields):
        hood = make_hood(tag=tag, **fields)
        surveying.assign(hood, version, programme_manager)
        return hood

    return make


@pytest.fixture
def passed(ready, technician, instrument):
    return surveying.survey(ready("FH-0142"), entered(instrument), technician)


@pytest.fixture
def technicians(signed_in, technician):
    return signed_in(technician)
