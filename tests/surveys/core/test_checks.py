"""CHECKS: the order of the form, what is for which hood, and what may be answered 'does not apply'."""

from __future__ import annotations

import pytest

from surveys.core.checks import CHECK, CHECKS, checks_for
from surveys.core.facts import HoodFacts

VERTICAL = [
    "alarm-not-muted", "air-drawn-in", "glazing-whole", "sash-moves-and-stays", "sash-one-hand", "counterweight-sound",
    "stop-and-mark-in-place", "airfoil-and-slots-clear", "baffles-set", "storage-clear", "light-works", "outlets-work",
    "cupboard-vented", "monitor-works", "alarm-works", "smoke-at-opening", "smoke-inside-clears",
]  # fmt: skip
OF_AIRFLOW = {
    "alarm-not-muted",
    "air-drawn-in",
    "monitor-works",
    "alarm-works",
    "smoke-at-opening",
    "smoke-inside-clears",
    "wash-down-works",
    "auxiliary-air-off",
    "auxiliary-air-on",
}
ALWAYS = {"air-drawn-in", "glazing-whole", "sash-moves-and-stays", "smoke-at-opening", "smoke-inside-clears", "panels-in-tracks"}


def test_a_vertical_sash_is_looked_at_in_this_order():
    assert [check.code for check in checks_for(HoodFacts())] == VERTICAL


OF_A_KIND = [
    # hood                                     what it is looked at for beside a vertical sash         why
    (HoodFacts(kind="perchloric-acid"),        ["wash-down-works", "no-organics", "residue-tested"],  "seen working, no organics, residue before duct work"),
    (HoodFacts(kind="radioisotope"),           ["radiation-office-told"],                              "the radiation office is told"),
    (HoodFacts(kind="filtered"),               ["filter-type-fits", "filter-in-date", "materials-approved", "no-breakthrough"], "the filter is what protects"),
    (HoodFacts(kind="auxiliary-air"),          ["auxiliary-air-off", "auxiliary-air-on"],              "off for readings, on for smoke"),
    (HoodFacts(kind="canopy"),                 [],                                                     "nothing of its own"),
    (HoodFacts(sash="horizontal"),             ["panels-in-tracks"],                                   "panels run in tracks"),
    (HoodFacts(sash="combination"),            ["panels-in-tracks"],                                   "so do those of a combination"),
    (HoodFacts(powered=True),                  ["sash-stops-at-obstruction", "sash-released-by-hand", "sash-stays-without-power"], "a motor moves it"),
    (HoodFacts(sash="none", powered=True),     [],                                                     "no sash to be moved"),
]  # fmt: skip


@pytest.mark.parametrize(("hood", "own", "why"), OF_A_KIND, ids=[case[-1] for case in OF_A_KIND])
def test_what_only_some_hoods_are_looked_at_for(hood, own, why):
    looked_at = [check.code for check in checks_for(hood)]
    assert [code for code in looked_at if code not in VERTICAL] == own
    for check in checks_for(hood):
        if check.code in own and not check.only_sometimes:
            assert not check.may_be_not_applicable(hood), "what a kind of hood is looked at for always applies to it"


def test_a_residue_test_is_asked_of_perchloric_acid_hoods_and_may_not_apply():
    """It is made before work on the duct: at most surveys nothing of the kind is about to be done."""
    hood = HoodFacts(kind="perchloric-acid")
    assert [check.code for check in checks_for(hood) if check.only_sometimes] == ["residue-tested"]
    assert CHECK["residue-tested"].may_be_not_applicable(hood)
    assert not CHECK["no-organics"].may_be_not_applicable(hood), "the control: organics never belong there"


def test_a_hood_without_a_sash_is_not_asked_about_one():
    codes = {check.code for check in checks_for(HoodFacts(sash="none"))}
    assert not codes & {"glazing-whole", "sash-moves-and-stays", "sash-one-hand", "counterweight-sound"}


def test_checks_of_airflow_and_checks_that_always_apply():
    assert {check.code for check in CHECKS if check.airflow} == OF_AIRFLOW
    assert {check.code for check in CHECKS if check.never_not_applicable} == ALWAYS
    for check in CHECKS:
        if check.code in ALWAYS:
            assert not check.may_be_not_applicable(HoodFacts(monitor="none"))


ALARMS = [  # monitor, alarm point, whether its alarm may not apply, why
    ("alarm-only", "", False, "an alarm is all that it is"),
    ("flow", "600 ft**3/min", False, "its alarm point is on the register"),
    ("velocity", "", True, "it may have none"),
    ("none", "", True, "there is no monitor"),
]


@pytest.mark.parametrize(("monitor", "point", "may", "why"), ALARMS)
def test_an_alarm_that_is_known_always_applies(monitor, point, may, why):
    hood = HoodFacts(monitor=monitor, alarm_point=point)
    assert CHECK["alarm-works"].may_be_not_applicable(hood) == may, why


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.code)
def test_every_check_asks_a_question_and_has_a_noun_phrase_for_prints(check):
    assert check.question.endswith("?")
    assert len(check.short) <= 30
    assert not check.short.endswith((".", "?"))
    assert check.where in ("found", "sash", "inside", "monitor", "smoke")


def test_parts_of_the_form_stand_together():
    parts = [check.where for check in CHECKS]
    assert [part for i, part in enumerate(parts) if i == 0 or parts[i - 1] != part] == [
        "found",
        "sash",
        "inside",
        "monitor",
        "smoke",
    ]
