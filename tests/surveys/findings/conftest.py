"""What pages of findings start from: a hood that failed, one with a note."""

from __future__ import annotations

import pytest
import time_machine

from surveys.models import Finding
from tests import surveying
from tests.surveying import entered
from tests.surveys.findings.looked_at import LOW, NOW


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def surveyed(make_hood, version, instrument, technician, programme_manager):
    """Makes a hood and surveys it: too slow unless it is said otherwise."""

    def make(tag, readings=LOW, light="yes", **where):
        hood = make_hood(tag=tag, **where)
        surveying.assign(hood, version, programme_manager)
        content = entered(instrument, readings)
        content["answers"][-1]["answer"] = light
        surveying.survey(hood, content, technician)
        return hood

    return make


@pytest.fixture
def failed(surveyed):
    return Finding.objects.get(hood=surveyed("FH-0142"))


@pytest.fixture
def note(surveyed):
    return Finding.objects.get(hood=surveyed("FH-0143", readings=None, light="no"))


@pytest.fixture
def see(signed_in, technician):
    client = signed_in(technician)
    return client.get
