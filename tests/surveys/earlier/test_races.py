"""The same list kept by two people at once, and accepted twice at once: one of each, and a sentence for the other."""

from __future__ import annotations

from datetime import timedelta
from functools import partial

import pytest

from surveys import earlier as planning
from surveys.actions import earlier
from surveys.models import EarlierBatch, EarlierChange, EarlierResult
from tests import making, surveying
from tests.racing import together
from tests.surveying import SURVEYED
from tests.surveys.earlier.counting import MEASURED, a_row, brought

pytestmark = pytest.mark.django_db(transaction=True)


def keep(site, said, seen, by):
    try:
        batch, _plan = earlier.bring_in_results(
            site=site, said=said, seen=seen, name="old.csv", sha256="0" * 64, by=by, at=SURVEYED
        )
    except earlier.NotAsSeen:
        return None
    return batch.pk


def race_to_keep(hood, by, *, guarded: bool, on=MEASURED):
    said = [a_row(hood, on)]
    seen = planning.plan(hood.site, said, hood.site.day_of(SURVEYED)).digest
    return together([partial(keep, hood.site, said, seen, by)] * 2, guarded=guarded)


def test_c1_a_list_kept_twice_at_once_is_kept_once(hood, programme_manager):
    found = race_to_keep(hood, programme_manager, guarded=True)
    assert {type(one) for one in found} == {int, type(None)}, found
    assert (EarlierBatch.objects.count(), EarlierResult.objects.count()) == (1, 1)


def test_c1_control_without_the_lock_it_is_kept_twice_or_somebody_sees_an_error(hood, programme_manager):
    for tries in range(1, 6):  # the two may still come one after the other
        found = race_to_keep(hood, programme_manager, guarded=False, on=MEASURED + timedelta(days=tries))
        seen = EarlierResult.objects.count() != tries or any(isinstance(one, RuntimeError) for one in found)
        if seen:
            break
    assert seen, found


def accept(batch, by):
    try:
        return earlier.accept_results(batch=batch, why="compared", by=by, at=SURVEYED).pk
    except earlier.CountsAlready:
        return None


def test_c1_a_list_accepted_twice_at_once_counts_once(hood, site, programme_manager):
    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager, at=making.AT)
    batch = brought(programme_manager, a_row(hood), at=SURVEYED)
    found = together([partial(accept, batch, programme_manager)] * 2)
    assert {type(one) for one in found} == {int, type(None)}, found
    assert EarlierChange.objects.count() == 1
