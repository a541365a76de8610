"""D6: earlier results, and what becomes of their list, are kept whole or not at all, whichever statement breaks."""

from __future__ import annotations

import pytest

from hoods.models import Entry
from surveys import earlier as planning
from surveys.actions import earlier
from surveys.models import EarlierBatch, EarlierChange, EarlierCounted, EarlierOpening, EarlierResult
from tests.breaking import broken_at_each_statement
from tests.surveys.earlier.counting import MEASURED, NOW, TODAY, a_row, brought

pytestmark = pytest.mark.django_db


def kept() -> list[int]:
    models = (EarlierBatch, EarlierResult, EarlierOpening, EarlierChange, EarlierCounted, Entry)
    return [model.objects.count() for model in models]


@pytest.fixture
def a_list(judged, programme_manager):
    said = [a_row(judged), a_row(judged, MEASURED.replace(year=2025))]
    seen = planning.plan(judged.site, said, TODAY).digest
    return {"site": judged.site, "said": said, "seen": seen, "name": "old.csv", "sha256": "0" * 64,
            "by": programme_manager, "at": NOW}  # fmt: skip


def test_d6_a_list_is_brought_in_whole_or_not_at_all(a_list):
    before = kept()
    assert broken_at_each_statement(lambda: earlier.bring_in_results(**a_list), kept) > 6
    assert [now - was for was, now in zip(before, kept(), strict=True)] == [1, 2, 2, 0, 0, 1]


def test_d6_control_without_its_transaction_a_part_of_a_list_stays(a_list):
    with pytest.raises(AssertionError, match="something stayed"):
        broken_at_each_statement(lambda: earlier.bring_in_results.__wrapped__(**a_list), kept)


ACTS = [  # act, whether the list counts before it, and how many changes and counted results it makes
    (earlier.accept_results, False, (1, 2)),
    (earlier.withdraw_acceptance, True, (1, 0)),
    (earlier.strike_results, True, (1, 0)),
]


EACH = pytest.mark.parametrize(("act", "counts", "made"), ACTS, ids=[act.__name__ for act, *_rest in ACTS])


@pytest.fixture
def what(a_list, counts):
    what = {"batch": brought(a_list["by"], *a_list["said"]), "why": "compared", "by": a_list["by"], "at": NOW}
    if counts:
        earlier.accept_results(**what)
    return what


@EACH
def test_d6_what_becomes_of_a_list_is_kept_with_its_entry_or_not_at_all(what, act, made):
    before = kept()
    assert broken_at_each_statement(lambda: act(**what), kept) > 3
    assert [now - was for was, now in zip(before, kept(), strict=True)] == [0, 0, 0, *made, 1]


@EACH
def test_d6_control_without_its_transaction_it_is_kept_without_its_entry(what, act, made):
    with pytest.raises(AssertionError, match="something stayed"):
        broken_at_each_statement(lambda: act.__wrapped__(**what), kept)
