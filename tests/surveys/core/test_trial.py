"""Where to measure next at an unchanged flow: a table, worked by hand, and laws."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoods.core.cover import Cover
from surveys.core.facts import HoodFacts
from surveys.core.trial import trial_height, why_not
from surveys.core.units import NotANumber, quantity
from surveys.wording import sentence

LEAST = quantity("6 in", "length")
CASES = [
    # height    average       unit      limit          tried      why
    ("18 in",   "64",         "ft/min", "80 ft/min",   "14 in",   "18 × 64 ÷ 80 = 14.4, down to half an inch"),
    ("18 in",   "66",         "ft/min", "80 ft/min",   "14.5 in", "18 × 66 ÷ 80 = 14.85"),
    ("18 in",   "79.9",       "ft/min", "80 ft/min",   "17.5 in", "a hair under"),
    ("457 mm",  "0.32",       "m/s",    "0.4 m/s",     "365 mm",  "457 × 0.32 ÷ 0.4 = 365.6, down to a millimetre"),
    ("18 in",   "0.32512",    "m/s",    "80 ft/min",   "14 in",   "0.32512 m/s is 64 ft/min"),
    ("18 in",   "80",         "ft/min", "80 ft/min",   None,      "met as it is"),
    ("18 in",   "100",        "ft/min", "80 ft/min",   None,      "over it"),
    ("18 in",   "20",         "ft/min", "80 ft/min",   None,      "4.5 in is under the least useful height"),
    ("18 in",   "0",          "ft/min", "80 ft/min",   None,      "no air at all"),
    ("18.25 in", "80",        "ft/min", "80 ft/min",   None,      "met as it is, between two steps"),
    ("18 in",   "27",         "ft/min", "80 ft/min",   "6 in",    "18 × 27 ÷ 80 = 6.075: just the least useful height"),
    ("45.7 cm", "0.32",       "m/s",    "0.4 m/s",     "36.56 cm", "45.7 × 0.32 ÷ 0.4, down to a hundredth of another unit"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("height", "average", "unit", "limit", "tried", "why"), CASES, ids=[case[-1] for case in CASES]
)
def test_the_height_to_try(height, average, unit, limit, tried, why):
    assert trial_height(height, Fraction(average), unit, quantity(limit, "speed"), LEAST) == tried


LOW = [  # average, least useful height, height to try of one at 18 in, why
    ("0.1", "0 in", None, "18 × 0.1 ÷ 80 = 0.02: down to nothing"),
    ("4.5", "0.5 in", "1 in", "18 × 4.5 ÷ 80 = 1.01"),
]


@pytest.mark.parametrize(("average", "least", "tried", "why"), LOW, ids=[row[-1] for row in LOW])
def test_however_low_a_site_lets_a_sash_be_used_none_is_closed(average, least, tried, why):
    limit = quantity("80 ft/min", "speed")
    assert trial_height("18 in", Fraction(average), "ft/min", limit, quantity(least, "length")) == tried


def test_a_height_that_is_no_length_is_refused():
    with pytest.raises(NotANumber):
        trial_height("18 s", Fraction(64), "ft/min", quantity("80 ft/min", "speed"), LEAST)


REFUSED = [
    # hood                                       state        cover         why not                     why
    (HoodFacts(),                                None,        None,         None,                       "one vertical sash on constant volume"),
    (HoodFacts(control="bypass"),                None,        None,         "no-trial-bypass",          "the bypass takes a part of the flow"),
    (HoodFacts(control="bypass"),                "maximum",   None,         "no-trial-bypass",          "at any flow"),
    (HoodFacts(control="two-state"),             "higher",    None,         "no-trial-two-state",       "two flows"),
    (HoodFacts(control="variable-volume"),       None,        None,         "no-trial-variable-volume", "its control follows the sash"),
    (HoodFacts(control="variable-volume"),       "controlled", None,        "no-trial-variable-volume", "as it says itself"),
    (HoodFacts(control="variable-volume"),       "maximum",   None,         None,                       "confirmed at maximum flow"),
    (HoodFacts(sash="horizontal"),               None,        None,         "no-trial-sash",            "panels"),
    (HoodFacts(sash="combination"),              None,        None,         "no-trial-sash",            "panels and a frame"),
    (HoodFacts(sash="none"),                     None,        None,         "no-trial-sash",            "no sash to lower"),
    (HoodFacts(sash="horizontal", control="variable-volume"), "maximum", None, "no-trial-sash",         "panels, at maximum flow too"),
    (HoodFacts(kind="auxiliary-air"),            None,        None,         "no-trial-auxiliary-air",   "air from elsewhere"),
    (HoodFacts(),                                None,        Cover("shelf", up="6 in", height="2 in"), "no-trial-covered", "its area does not follow its height"),
]  # fmt: skip


@pytest.mark.parametrize(("hood", "state", "cover", "refused", "why"), REFUSED, ids=[case[-1] for case in REFUSED])
def test_it_is_worked_out_only_where_the_flow_stays_as_it_is_and_else_says_why_not(hood, state, cover, refused, why):
    found = why_not(hood, {"flow_state": state}, cover)
    assert (found.code if found else None) == refused, why
    assert found is None or "No height to try is worked out" in sentence(found)


@given(st.integers(40, 400), st.integers(1, 1600), st.integers(400, 1600), st.sampled_from(["in", "mm"]))
def test_e8_law_at_the_height_to_try_the_same_flow_meets_the_limit_and_one_step_higher_it_does_not(
    height, average, limit, unit
):
    """Heights in tenths of an inch or in mm, velocities in tenths of ft/min; a fraction says what the same flow gives."""
    high = Fraction(height, 10) if unit == "in" else Fraction(height)
    step, mean, wanted = {"in": Fraction(1, 2), "mm": Fraction(1)}[unit], Fraction(average, 10), Fraction(limit, 10)
    written = f"{height // 10}.{height % 10} in" if unit == "in" else f"{height} mm"
    tried = trial_height(written, mean, "ft/min", quantity(f"{limit // 10}.{limit % 10} ft/min", "speed"), LEAST)
    least = LEAST.to(unit)
    best = high * mean / wanted
    if tried is None:
        assert mean >= wanted or best - best % step < least or best - best % step >= high
        return
    found = quantity(tried, "length").to(unit)
    assert least <= found < high
    assert mean * high / found >= wanted > mean * high / (found + step)


@given(st.integers(12, 40), st.integers(10, 160), st.integers(40, 160))
def test_e13_law_the_height_to_try_is_the_same_in_either_unit_of_velocity(height, average, limit):
    """x ft/min is x * 0.00508 m/s exactly."""
    metric = Fraction(average * 508, 100_000)
    wanted = quantity(f"0.{limit * 508:05d} m/s", "speed")  # up to 160 ft/min, less than 1 m/s
    imperial = quantity(f"{limit} ft/min", "speed")
    one = trial_height(f"{height} in", Fraction(average), "ft/min", imperial, LEAST)
    assert one == trial_height(f"{height} in", metric, "m/s", wanted, LEAST)
    assert one == trial_height(f"{height} in", metric, "m/s", imperial, LEAST)
