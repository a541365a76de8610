"""What tests of a year start from: hoods whose surveys are rows of known outcome."""

from __future__ import annotations

import pytest
import time_machine

from tests.reports.year.loading import NOW
from tests.surveys import rows


@pytest.fixture
def version(site, programme_manager):
    return rows.criteria(site, programme_manager)


@pytest.fixture
def ready(make_hood, version, programme_manager):
    def make(**fields):
        hood = make_hood(**fields)
        rows.assign(hood, version, programme_manager)
        return hood

    return make


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield
