"""The same paper begun by two people at once, or by a double tap: one survey (C1)."""

from __future__ import annotations

from functools import partial

import pytest

from surveys.actions.transcribing import start_transcription
from surveys.models import Draft, Transcription
from tests import surveying
from tests.racing import together
from tests.surveying import SURVEYED
from tests.surveys.actions.test_transcribing import DAY

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def ready(hood, site, programme_manager):
    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager)
    return hood


def begin(hood, by, name):
    return start_transcription(hood=hood, measured_on=DAY, measured_by=name, by=by, at=SURVEYED).pk


def race(hood, by, *, guarded: bool):
    return together([partial(begin, hood, by, name) for name in ("Lena Orth", "L. Orth")], guarded=guarded)


def test_c1_the_same_paper_begun_twice_at_once_is_one_survey(ready, technician):
    found = race(ready, technician, guarded=True)
    assert found == [Draft.objects.get().pk] * 2
    assert Transcription.objects.count() == 1


def test_c1_control_without_the_lock_it_is_two_or_somebody_sees_an_error(ready, technician):
    found = race(ready, technician, guarded=False)
    assert Draft.objects.count() != 1 or any(isinstance(one, RuntimeError) for one in found), found
