"""Numbers as typed, units, conversions, and the digits that are printed."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveys.core import units
from surveys.core.content import why_not_reading
from surveys.core.units import NotANumber, Quantity, decimals_allowed, number, quantity, shown

REFUSED = [  # text, code of the sentence, why
    ("1,5", "number-comma", "a comma keyboard: never 15, never 1.5 in silence"),
    ("1,500", "number-comma", "a thousands mark could as well be a decimal comma"),
    ("0.5.1", "number-plain", "two points"),
    ("--5", "number-plain", "two signs"),
    ("+5", "number-plain", "a plus sign is a slip"),
    ("1e2", "number-plain", "powers of ten"),
    ("0x1", "number-plain", "hexadecimal"),
    ("1_0", "number-plain", "digits parted as programs write them"),
    ("NaN", "number-plain", "not a number"),
    ("Infinity", "number-plain", "endless"),
    ("inf", "number-plain", "endless"),
    ("5.", "number-half", "half-typed"),
    (".5", "number-half", "a point without a digit before it is read as 5"),
    ("９８", "number-digits", "full-width digits"),
    ("٩٨", "number-digits", "Arabic digits"),
    ("\N{MINUS SIGN}5", "number-digits", "a typographic minus"),
    ("9\N{ZERO WIDTH SPACE}8", "number-digits", "a character that cannot be seen"),
    ("½", "number-digits", "a fraction in one character"),
    ("98 ", "number-plain", "a space behind"),
    ("9 8", "number-plain", "a space within"),
    ("98\n", "number-plain", "a line end behind"),
    ("", "number-plain", "nothing"),
    ("-", "number-plain", "a sign alone"),
    ("98 ft/min", "number-plain", "the unit stands beside the box"),
]


@pytest.mark.parametrize(("text", "code", "why"), REFUSED, ids=[repr(row[0]) for row in REFUSED])
def test_e1_e2_what_is_no_plain_number_is_refused_with_its_text(text, code, why):
    with pytest.raises(NotANumber) as refused:
        number(text)
    assert refused.value.message.code == code, why
    assert refused.value.message.values["text"] == text
    assert why_not_reading(text, "ft/min").code == code


@pytest.mark.parametrize(
    ("text", "value"),
    [("0", "0"), ("98", "98"), ("0.50", "1/2"), ("007", "7"), ("100.0", "100"), ("0.495", "99/200"), ("-8", "-8")],
)
def test_plain_numbers_are_exact(text, value):
    assert number(text) == Fraction(value)


@given(st.text(max_size=12))
def test_e2_whatever_is_accepted_is_ascii_digits_and_at_most_one_point(text):
    try:
        number(text)
    except NotANumber:
        return
    bare = text.removeprefix("-")
    assert bare.isascii()
    assert bare.replace(".", "", 1).isdigit()


def test_one_foot_per_minute_is_exactly_127_of_25000_metres_per_second():
    """The international foot is 0.3048 m (NIST SP 811, appendix B.8)."""
    assert units.factor("ft/min", "m/s") == Fraction(127, 25000)


@pytest.mark.parametrize(
    ("one", "to", "factor"),
    [
        ("in", "mm", "25.4"),
        ("ft", "in", "12"),
        ("ft**2", "m**2", "0.09290304"),
        ("ft**3/min", "m**3/h", "1.69901079552"),
        ("L/s", "m**3/h", "18/5"),
        ("m/s", "ft/min", "25000/127"),
    ],
)
def test_factors_are_exact_and_go_both_ways(one, to, factor):
    assert units.factor(one, to) == Fraction(factor)
    assert units.factor(to, one) == 1 / Fraction(factor)


def test_cfm_is_a_flow_here_although_pint_alone_reads_a_centifermi():
    assert quantity("100 cfm").unit == "ft**3/min"
    assert units.registry().Quantity(1, "cfm").check("[length]**3/[time]")
    assert pint.UnitRegistry().Quantity(1, "cfm").check("[length]")  # the control: what is guarded against


@pytest.mark.parametrize("unit", units.UNITS, ids=lambda unit: unit.code or "ratio")
def test_every_unit_is_known_by_its_words_and_converts_within_its_kind(unit):
    assert all(units.unit_code(word, unit.kind) == unit.code for word in (unit.code, *unit.words))
    for other in units.UNITS:
        if other.kind == unit.kind and unit.kind != "temperature":
            assert units.factor(unit.code, other.code) > 0


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("18", "length", "unit-missing"),
        ("18 ft/min", "length", "unit-wrong-kind"),
        ("18 furlong", "length", "unit-unknown"),
        ("18 In", "length", "unit-unknown"),
        ("18 in in", "length", "unit-unknown"),
        ("1,8 in", "length", "number-comma"),
        ("20", "percent", "unit-missing"),
        ("0.90 %", "ratio", "unit-wrong-kind"),
        ("in 18", "length", "number-plain"),
    ],
)
def test_quantities_that_are_refused(text, kind, code):
    with pytest.raises(NotANumber) as refused:
        quantity(text, kind)
    assert refused.value.message.code == code


def test_a_quantity_keeps_its_digits_as_they_were_typed():
    """E10: 0.50 stays 0.50."""
    assert str(quantity("0.50 m/s")) == "0.50 m/s"
    assert quantity("0.50 m/s").value == Fraction(1, 2)


ALLOWED = [  # resolution, unit of the reading, decimals
    ("1 ft/min", "ft/min", 0),
    ("0.1 ft/min", "ft/min", 1),
    ("5 ft/min", "ft/min", 0),
    ("0.5 ft/min", "ft/min", 1),
    ("0.01 m/s", "m/s", 2),
    ("0.05 m/s", "m/s", 2),
    ("0.001 m/s", "m/s", 3),
    ("1 ft/min", "m/s", 3),
    ("0.01 m/s", "ft/min", 0),
]


@pytest.mark.parametrize(("resolution", "unit", "places"), ALLOWED)
def test_e9_decimals_follow_the_resolution_of_the_instrument(resolution, unit, places):
    step = quantity(resolution)
    assert decimals_allowed(step, unit) == places
    as_fine, finer = f"1.{'5' * places}".rstrip("."), f"1.{'5' * (places + 1)}"
    assert why_not_reading(as_fine, unit, step) is None
    refused = why_not_reading(finer, unit, step)
    assert refused.code == "number-decimals"
    assert refused.values["text"] == finer
    assert why_not_reading(finer, unit) is None  # the control: without a resolution nothing is said


EDGES = [  # text, refused, why
    ("0", None, "zero is a reading"),
    ("-1", "number-negative", "one under zero"),
    ("-0", "number-negative", "a sign is a slip even before zero"),
    ("4000", None, "at the highest"),
    ("4001", "number-above-instrument", "one above the highest"),
    ("3999", None, "one under the highest"),
]


@pytest.mark.parametrize(("text", "code", "why"), EDGES)
def test_e5_negative_and_above_the_instrument_are_refused_with_the_limit_named(text, code, why):
    refused = why_not_reading(text, "ft/min", quantity("1 ft/min"), quantity("4000 ft/min"))
    assert (refused and refused.code) == code, why
    if code == "number-above-instrument":
        assert refused.values["highest"] == "4000 ft/min"


SHOWN = [  # value, unit, bounds, printed, why
    ("79.96", "ft/min", ("80",), "79.96", "rounded it would read 80 and contradict 'not met'"),
    ("80.04", "ft/min", ("80",), "80.04", "rounded it would read as at the limit"),
    ("80", "ft/min", ("80",), "80", "at the limit"),
    ("79.6", "ft/min", ("80",), "79.6", "as usual"),
    ("193/3", "ft/min", (), "64.3", "no limit: the usual digits"),
    ("239/3", "ft/min", ("80",), "79.7", "still under"),
    ("239999/3000", "ft/min", ("80",), "79.9997", "as many digits as it takes"),
    ("0.3996", "m/s", ("0.40",), "0.3996", "G14: 0.40 from 0.3996 would contradict its outcome"),
    ("0.39996", "m/s", ("0.40",), "0.39996", "more digits"),
    ("0.4004", "m/s", ("0.40",), "0.4004", "above the limit and shown so"),
    ("20.00001", "%", ("20",), "20.00001", "percent"),
    ("19.96", "%", ("20",), "19.96", "percent, under"),
    ("-10.04", "%", ("-10", "10"), "-10.04", "a signed figure"),
    ("0.8999", "", ("0.90", "1.20"), "0.8999", "a ratio"),
    ("0.9", "Pa", (), "0.9", "a small pressure is not shown as another"),
    ("9", "Pa", (), "9", "a whole one stays so"),
    ("24.9", "Pa", (), "25", "of many whole ones say enough"),
]


@pytest.mark.parametrize(("value", "unit", "bounds", "printed", "why"), SHOWN)
def test_g14_a_printed_figure_never_contradicts_its_outcome(value, unit, bounds, printed, why):
    found = shown(Fraction(value), unit, tuple(Fraction(bound) for bound in bounds))
    assert found == printed, why


@given(st.fractions(min_value=0, max_value=200, max_denominator=5000), st.integers(0, 2000))
def test_g14_the_printed_digits_lie_on_the_same_side_of_the_limit(value, tenths):
    bound = Fraction(tenths, 10)
    printed = number(shown(value, "ft/min", (bound,)))
    assert (printed > bound, printed < bound) == (value > bound, value < bound)


BOTH = [
    ("18 in", "18 in (457 mm)", "457.2 mm, rounded down"),
    ("457 mm", "457 mm (17.9 in)", "17.99 in, rounded down: nobody is told to set 18"),
    ("450 mm", "450 mm (17.7 in)", "17.716 in"),
    ("12.5 in", "12.5 in (317 mm)", "317.5 mm"),
    ("100 ft/min", "100 ft/min (0.51 m/s)", "0.508 m/s"),
    ("98 ft/min", "98 ft/min (0.50 m/s)", "0.498 m/s: as many digits as beside any other"),
    ("0.5 m/s", "0.5 m/s (98 ft/min)", "98.4 ft/min"),
]


@pytest.mark.parametrize(("text", "printed", "why"), BOTH)
def test_both_units_are_shown_and_heights_are_rounded_down(text, printed, why):
    assert units.both(text) == printed, why


@pytest.mark.parametrize(
    ("text", "down", "nearest"),
    [
        ("24 in", "24 in (609 mm)", "24 in (610 mm)"),
        ("18 in", "18 in (457 mm)", "18 in (457 mm)"),
        ("0.5 in", "0.5 in (12 mm)", "0.5 in (13 mm)"),
        ("610 mm", "610 mm (24 in)", "610 mm (24 in)"),
        ("609 mm", "609 mm (23.9 in)", "609 mm (24 in)"),
        ("2 ft", "2 ft (609 mm)", "2 ft (610 mm)"),
        ("100 ft/min", "100 ft/min (0.51 m/s)", "100 ft/min (0.51 m/s)"),
    ],
)
def test_a_length_that_lets_nobody_go_up_to_it_is_told_to_the_nearest(text, down, nearest):
    assert (units.both(text), units.both(text, nearest=True)) == (down, nearest)


@given(st.integers(1, 100_000))
def test_a_converted_height_is_never_above_the_one_measured(tenths):
    text = f"{Fraction(tenths, 10).__float__():.1f}"
    assert quantity(units.height_in(f"{text} in", "mm")).value <= Quantity(text, "in").to("mm")
    assert quantity(units.height_in(f"{text} mm", "in")).value <= Quantity(text, "mm").to("in")


def test_temperatures_convert_with_their_offset_and_have_no_factor():
    assert quantity("70 °F").to("°C") == Fraction(190, 9)
    assert quantity("21 °C").to("°F") == Fraction(349, 5)
    with pytest.raises(ValueError, match="cannot be converted"):
        units.factor("°C", "°F")
