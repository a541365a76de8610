"""CHECKS: the order of the form, what is for which hood, and what may be answered 'does not apply'."""

from __future__ import annotations

import pytest

from surveys.core.checks import CHECKS, checks_for
from surveys.core.facts import HoodFacts

VERTICAL = [
    "air-drawn-in", "glazing-whole", "sash-moves-and-stays", "sash-one-hand", "counterweight-sound",
    "stop-and-mark-in-place", "airfoil-and-slots-clear", "baffles-set", "storage-clear", "light-works", "outlets-work",
    "monitor-works", "alarm-works", "smoke-at-opening", "smoke-inside-clears",
]  # fmt: skip
OF_AIRFLOW = {
    "air-drawn-in",
    "monitor-works",
    "alarm-works",
    "smoke-at-opening",
    "smoke-inside-clears",
    "wash-down-works",
}
ALWAYS = {"air-drawn-in", "glazing-whole", "sash-moves-and-stays", "smoke-at-opening", "smoke-inside-clears"}


def test_a_vertical_sash_is_looked_at_in_this_order():
    assert [check.code for check in checks_for(HoodFacts())] == VERTICAL


def test_a_wash_down_is_looked_at_in_perchloric_acid_hoods_alone():
    codes = [check.code for check in checks_for(HoodFacts(kind="perchloric-acid"))]
    assert codes == [*VERTICAL[:11], "wash-down-works", *VERTICAL[11:]]


def test_a_hood_without_a_sash_is_not_asked_about_one():
    codes = {check.code for check in checks_for(HoodFacts(sash="none"))}
    assert not codes & {"glazing-whole", "sash-moves-and-stays", "sash-one-hand", "counterweight-sound"}


def test_checks_of_airflow_and_checks_that_always_apply():
    assert {check.code for check in CHECKS if check.airflow} == OF_AIRFLOW
    assert {check.code for check in CHECKS if check.never_not_applicable} == ALWAYS
    for check in CHECKS:
        if check.code in ALWAYS:
            assert not check.may_be_not_applicable(HoodFacts(monitor="none"))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.code)
def test_every_check_asks_a_question_and_has_a_noun_phrase_for_prints(check):
    assert check.question.endswith("?")
    assert len(check.short) <= 30
    assert not check.short.endswith((".", "?"))
    assert check.where in ("sash", "inside", "monitor", "smoke")


def test_parts_of_the_form_stand_together():
    parts = [check.where for check in CHECKS]
    assert [part for i, part in enumerate(parts) if i == 0 or parts[i - 1] != part] == [
        "sash",
        "inside",
        "monitor",
        "smoke",
    ]
