"""Measures of the inventory are read by the grammar and the units that judging knows."""

from __future__ import annotations

import pytest

from hoods.core import quantity
from hoods.core.quantity import FLOW, LENGTH, PERCENT, PRESSURE, SPEED
from surveys.core import units

CASES = [
    # text             kinds             kept           why
    ("18 in",          (LENGTH,),        "18 in",       "as it is kept"),
    ("457mm",          (LENGTH,),        "457 mm",      "without a space"),
    ("18 IN",          (LENGTH,),        "18 in",       "in capitals"),
    ("457 MM",         (LENGTH,),        "457 mm",      "millimetres in capitals"),
    ("100 FPM",        (SPEED,),         "100 ft/min",  "another word in capitals"),
    ("0.50  m",        (LENGTH,),        "0.50 m",      "digits as typed"),
    ("100 fpm",        (SPEED,),         "100 ft/min",  "another word for the unit"),
    ("0.5 m/s",        (SPEED,),         "0.5 m/s",     "metric"),
    ("800 cfm",        (FLOW,),          "800 ft**3/min", "never a centi-fermi"),
    ("3 %",            (PERCENT,),       "3 %",         "percent"),
    ("3%",             (PERCENT,),       "3 %",         "percent without a space"),
    ("25 Pa",          (SPEED, PRESSURE), "25 Pa",      "one of several kinds"),
]  # fmt: skip
REFUSED = [
    ("18",        (LENGTH,), "unit-missing"),
    ("18 yd",     (LENGTH,), "unit-unknown"),
    ("18 In",     (LENGTH,), "unit-unknown"),
    ("25 pA",     (PRESSURE,), "unit-unknown"),
    ("18 in in",  (LENGTH,), "number"),
    ("100 in",    (SPEED,),  "unit-wrong-kind"),
    ("1,5 m",     (LENGTH,), "number"),
    ("1.5.2 m",   (LENGTH,), "number"),
    (".5 m",      (LENGTH,), "number"),
    ("5. m",      (LENGTH,), "number"),
    ("1e3 mm",    (LENGTH,), "number"),
    ("NaN m",     (LENGTH,), "number"),
    ("१८ in",     (LENGTH,), "number"),
    ("1 0 in",    (LENGTH,), "number"),
    ("",          (LENGTH,), "number"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kinds", "kept", "why"), CASES, ids=[case[3] for case in CASES])
def test_a_measure_is_kept_as_typed_with_the_code_of_its_unit(text, kinds, kept, why):
    assert str(quantity.read(text, *kinds)) == kept


@pytest.mark.parametrize(("text", "kinds", "reason"), REFUSED, ids=[repr(case[0]) for case in REFUSED])
def test_what_is_no_measure_is_refused_and_never_repaired(text, kinds, reason):
    with pytest.raises(quantity.NotAMeasure) as refused:
        quantity.read(text, *kinds)
    assert refused.value.reason == reason


@pytest.mark.parametrize("kind", quantity.UNITS)
def test_units_and_their_words_are_those_of_judging(kind):
    of_judging = {unit.code: unit.words for unit in units.UNITS if unit.kind == kind}
    assert quantity.UNITS[kind] == of_judging


@pytest.mark.parametrize(("text", "kinds", "kept", "why"), CASES, ids=[case[3] for case in CASES])
def test_what_is_kept_is_read_alike_where_it_is_judged(text, kinds, kept, why):
    measure, judged = quantity.read(text, *kinds), units.quantity(kept)
    assert (judged.text, judged.unit) == (measure.digits, measure.unit)


@pytest.mark.parametrize(("text", "above"), [("0 in", False), ("0.00 in", False), ("-1 in", False), ("0.01 in", True)])
def test_above_zero(text, above):
    assert quantity.read(text, LENGTH).is_above_zero is above


def test_capitals_make_no_unit_another():
    for inventory in (True, False):
        words: dict[str, set[str]] = {}
        for code, others in (
            [each for kind in quantity.UNITS.values() for each in kind.items()]
            if inventory
            else [(unit.code, unit.words) for unit in units.UNITS]
        ):
            for word in (code, *others):
                words.setdefault(word.upper(), set()).add(code)
        assert not {word: codes for word, codes in words.items() if len(codes) > 1}


@pytest.mark.parametrize(
    ("speed", "unlikely"),
    [
        ("0.98 ft/min", True), ("9.9 ft/min", True), ("10 ft/min", False), ("98 ft/min", False), ("500 ft/min", False),
        ("501 ft/min", True), ("9800 ft/min", True), ("0.05 m/s", True), ("0.06 m/s", False), ("98 m/s", True),
        ("800 ft**3/min", False), ("", False),
    ],
)  # fmt: skip
def test_a_velocity_that_is_likelier_a_slip(speed, unlikely):
    assert quantity.is_unlikely(speed) is unlikely
