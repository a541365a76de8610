"""What tests of a year start from: hoods whose surveys are rows of known outcome."""

from __future__ import annotations

import pytest

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
