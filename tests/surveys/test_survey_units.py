"""Every box of the survey page that has a unit: typed with it or without, no sentence and no box says the unit twice."""

from __future__ import annotations

import re

import pytest

from surveys.core.units import UNIT, UNITS
from tests.surveys.beside import beginner, on_hood
from tests.surveys.words import plain

pytestmark = pytest.mark.django_db

#: Hoods that have every such box between them.
HOODS = {
    "filtered": {"kind": "filtered", "monitor": "velocity", "alarm_point": "80 ft/min"},
    "variable volume": {"control": "variable-volume", "monitor": "flow"},
    "gauge of pressure": {"monitor": "pressure", "set_point": "60 Pa"},
}


@pytest.fixture
def begin(room, site, technician, programme_manager, signed_in):
    return beginner(room, site, technician, programme_manager, signed_in)


def with_unit(surveyor) -> dict[str, str]:
    """The boxes of the page that have a unit, each with its code; readings have the unit of their traverse."""
    boxes = surveyor.form.boxes
    return {
        name.removesuffix("_unit"): unit
        for name, unit in boxes.items()
        if name.endswith("_unit") and name.removesuffix("_unit") in boxes and not re.fullmatch(r"t\d+[fl]_unit", name)
    }


def doubled(page: str) -> list[str]:
    """Units that stand twice in a row in the words of a page."""
    words = plain(page)
    shown = sorted({word for one in UNITS for word in (one.shown, one.code) if word})
    return [word for word in shown if re.search(rf"(?<![\w/]){re.escape(word)} {re.escape(word)}(?![\w/*])", words)]


TYPED = [
    # typed           why
    ("5 {unit}",      "with its unit"),
    ("5",             "without it"),
    ("-5 {unit}",     "below zero"),
    ("1,5 {unit}",    "a comma"),
    ("1 500 {unit}",  "thousands apart"),
    ("9999999 {unit}", "beyond every range"),
    ("9999999",       "beyond every range, without it"),
    ("{unit} 5",      "the unit first"),
    ("x {unit}",      "no number"),
    ("5{unit}",       "no gap"),
    ("5  {unit} ",    "blanks around"),
    ("5 furlong",     "no unit of this list"),
    ("5 %",           "a unit of another kind"),
]  # fmt: skip


@pytest.mark.parametrize("hood", HOODS.values(), ids=HOODS)
@pytest.mark.parametrize(("typed", "why"), TYPED, ids=[why for _, why in TYPED])
def test_no_box_of_the_survey_page_says_its_unit_twice_however_it_is_typed(begin, hood, typed, why):
    surveyor = begin(hood, filled=False)
    units = with_unit(surveyor)
    assert {
        "temperature",
        "pressure",
        "elevation",
        "found_sash",
        "o0_width",
        "o0_height",
        "mn-light",
        "mf-noise",
    } <= set(units)
    for press, expect in (("keep", 302), ("another", 422)):
        boxes = {name: unit for name, unit in units.items() if name.startswith("another") == (press == "another")}
        surveyor.fill(**{name: typed.format(unit=UNIT[unit].shown) for name, unit in boxes.items()})
        surveyor.press(press, expect=expect)
        assert doubled(surveyor.page) == [], why
        told = {name: f"{surveyor.form.boxes[name]} {surveyor.form.boxes[f'{name}_unit']}" for name in boxes}
        for name, unit in boxes.items():
            text = typed.format(unit=UNIT[unit].shown)
            kept = (told[name], told[name].replace(unit, UNIT[unit].shown), surveyor.form.boxes[name])
            assert " ".join(text.split()) in [" ".join(one.split()) for one in kept], f"{name}: kept as typed"
    review = surveyor.client.post(surveyor.address, surveyor.form.boxes | {"do": "review"})
    assert doubled(surveyor.client.get(review["Location"]).content.decode()) == [], why


def test_the_control_a_unit_that_was_typed_twice_is_seen(begin):
    surveyor = begin(HOODS["filtered"], filled=False)
    surveyor.fill(temperature="5 °C °C", o0_width="5 in in")
    surveyor.press("keep")
    assert doubled(surveyor.page) == ["in", "°C"]


PRESSURES = [
    # limit           typed             chosen     kept              said                     why
    ("249.08891 Pa",  "1",              "inH2O",   "1 inH2O",        None,                    "at the limit, exactly, in the other unit"),
    ("249.0889 Pa",   "1",              "inH2O",   "1 inH2O",        "not met (fail)",        "over it by a hundred thousandth"),
    ("1 inH2O",       "249.08891",      "Pa",      "249.08891 Pa",   None,                    "at the limit, the other way about"),
    ("1 inH2O",       "249.08892",      "Pa",      "249.08892 Pa",   "not met (fail)",        "over it"),
    ("1 inH2O",       "249 Pa",         "inH2O",   "249 Pa",         None,                    "typed with its unit, which counts"),
    ("1 inH2O",       "0.25 kPa",       "inH2O",   "0.25 kPa",       "not met (fail)",        "in a third unit"),
    ("1 inH2O",       "250 mmHg",       "inH2O",   "250 mmHg",       "“mmHg” is no unit that is used here. Write one of Pa, hPa, kPa, inHg, inH2O.", "a unit that is not known"),
    ("1 inH2O",       "250Pa",          "inH2O",   "250Pa inH2O",    "“250Pa” has no gap between the number and its unit. Write it with one, such as 250 Pa.", "no gap"),
    ("1 inH2O",       "60 dBA",         "inH2O",   "60 dBA",         "60 dBA is in the wrong kind of unit. Write it in one of Pa, hPa, kPa, inHg, inH2O.", "of another kind"),
    ("1 inH2O",       "-3",             "Pa",      "-3 Pa",          "-3 Pa is negative. A reading is zero or more: write it without the sign.", "below zero"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("limit", "typed", "chosen", "kept", "sentence", "why"), PRESSURES, ids=[row[-1] for row in PRESSURES]
)
def test_the_pressure_of_a_filter_is_in_the_unit_of_its_gauge(begin, limit, typed, chosen, kept, sentence, why):
    surveyor = begin({"kind": "filtered", "monitor": "none"}, [on_hood("filter-pressure", None, limit, "fail")])
    assert '<select class="input short" id="mf-filter-pressure-u" name="mf-filter-pressure_unit"' in surveyor.page
    surveyor.fill(**{"mf-filter-pressure": typed, "mf-filter-pressure_unit": chosen})
    surveyor.press("keep")
    assert surveyor.content()["of_hood"] == [{"figure": "filter-pressure", "state": "as-found", "value": kept}], why
    words = plain(surveyor.page)
    at_fault = "not met (fail)" in words or "Pressure across the filter: not measured" in words
    assert (sentence in words) if sentence else not at_fault, why


def test_a_unit_that_was_chosen_is_chosen_when_the_page_is_opened_again(begin):
    surveyor = begin({"kind": "filtered", "monitor": "none"})
    surveyor.fill(**{"mf-filter-pressure": "0.8", "mf-filter-pressure_unit": "kPa"})
    surveyor.press("keep")
    surveyor.open()
    assert surveyor.form.boxes["mf-filter-pressure_unit"] == "kPa"
    surveyor.fill(**{"mf-filter-pressure": "300 Pa"})
    surveyor.press("keep")
    assert (surveyor.form.boxes["mf-filter-pressure"], surveyor.form.boxes["mf-filter-pressure_unit"]) == ("300", "Pa")
