"""A hood that criteria judge, and a list of earlier results that counts for it."""

from __future__ import annotations

from datetime import datetime

import pytest

from hoods.models import Hood
from surveys.actions import earlier
from surveys.earlier import Said
from surveys.models import EarlierBatch
from tests.surveys import rows
from tests.surveys.earlier.counting import NOW, brought


@pytest.fixture
def version(site, programme_manager):
    return rows.criteria(site, programme_manager)


@pytest.fixture
def judged(hood, version, programme_manager) -> Hood:
    rows.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def accepted(judged, programme_manager):
    """Brings results in, each one row of a list, and lets the list count."""

    def accept(*given: Said, at: datetime = NOW) -> EarlierBatch:
        batch = brought(programme_manager, *given, at=at)
        earlier.accept_results(batch=batch, why="compared with three reports", by=programme_manager, at=at)
        return batch

    return accept
