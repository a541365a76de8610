"""Numbers rounded half to even, roots too, and the digits that are written of them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveys.core import rounding

ROUNDED = [  # value, places, rounded, why
    ("79.5", 0, "80", "half to even: 80 is even"),
    ("80.5", 0, "80", "half to even: down"),
    ("120.5", 0, "120", "half to even: down"),
    ("0.125", 2, "0.12", "half to even in decimals"),
    ("0.135", 2, "0.14", "half to even in decimals: up"),
    ("-10.5", 0, "-10", "below zero"),
    ("79.4999", 0, "79", "under half"),
]


@pytest.mark.parametrize(("value", "places", "rounded", "why"), ROUNDED)
def test_rounding_is_half_to_even(value, places, rounded, why):
    """ASTM E29 names the rounding method; half to even is its rule."""
    assert rounding.rounded(Fraction(value), places) == Fraction(rounded), why


@pytest.mark.parametrize(("root", "places", "rounded"), [("2.5", 0, "2"), ("3.5", 0, "4"), ("0.125", 2, "0.12")])
def test_a_root_halfway_is_rounded_to_even_too(root, places, rounded):
    assert rounding.rounded_root(Fraction(root) ** 2, places) == Fraction(rounded)


@given(st.fractions(min_value=0, max_value=10**6, max_denominator=10**6), st.integers(0, 6))
def test_a_rounded_root_is_the_nearest(square, places):
    found, step = rounding.rounded_root(square, places), Fraction(1, 10**places)
    assert max(found - step / 2, 0) ** 2 <= square <= (found + step / 2) ** 2


@pytest.mark.parametrize(
    ("value", "printed"),
    [("193/3", "64.3333333333"), ("526/5", "105.2"), ("0", "0"), ("1/3000", "0.000333333333333"), ("100", "100"),
     ("123456789012345", "123456789012000"), ("-8", "-8")],
)  # fmt: skip
def test_twelve_significant_digits(value, printed):
    assert rounding.digits_of(Fraction(value)) == printed
