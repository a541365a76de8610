"""Soft questions on the page: never of a refused reading, and never answered for a value that is gone."""

from __future__ import annotations

import re

import pytest

from tests.surveys.measuring import fill_in

pytestmark = pytest.mark.django_db

ROWS = [["98", "101", "95", "97", "100"], ["103", "99", "103", "98", "102"]]


@pytest.mark.parametrize("typed", ["6.3", "-5", "601", "1,5"])
def test_a_reading_that_is_refused_is_told_and_not_asked_about(begin, instrument, typed) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument, [ROWS[0], [typed, *ROWS[1][1:]]])
    surveyor.press("next")
    assert "One entry has an error." in surveyor.page
    assert 'class="question"' not in surveyor.page
    surveyor.fill(**{"r0f-1-0-0": "9"})
    surveyor.press("next")
    assert 'class="question"' in surveyor.page, "the control: one that stands is asked about"


def test_a_zero_is_asked_about_as_zero(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument, [ROWS[0], ["0", *ROWS[1][1:]]])
    surveyor.press("next")
    assert "A reading of zero is far below the other readings (99 ft/min). Is it right?" in surveyor.page
    assert "a fifth of the other" not in surveyor.page


def test_an_example_beside_a_refused_reading_fits_the_instrument(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument, [ROWS[0], ["9e1", *ROWS[1][1:]]])
    surveyor.press("next")
    assert "at most one point, such as 98." in surveyor.page
    assert "0.45" not in surveyor.page


@pytest.mark.parametrize(("answer", "now"), [("doubted", "97"), ("stays", "97"), ("doubted", "9"), ("stays", "")])
def test_no_answer_is_kept_for_a_value_that_is_gone(begin, instrument, answer, now) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument, [ROWS[0], ["590", *ROWS[1][1:]]])
    surveyor.press("next")
    button = re.search(rf'value="({answer}:reading-ten-times[^"]+)"', surveyor.page)
    assert button is not None
    surveyor.fill(**{"r0f-1-0-0": now})  # overwritten, and not kept before the answer was pressed
    surveyor.press(button[1])
    assert "What was asked about was changed meanwhile" in surveyor.page
    assert surveyor.content()["questions"] == []
    held = surveyor.content()["traverses"][0]["readings"][1][0]
    assert held is None if not now else (held["value"], held["struck"]) == (now, None)


def test_an_answer_that_is_pressed_twice_is_kept_once_and_strikes_once(begin, instrument) -> None:  # noqa: F811
    surveyor = begin()
    fill_in(surveyor, instrument, [ROWS[0], ["590", *ROWS[1][1:]]])
    surveyor.press("next")
    button = re.search(r'value="(doubted:reading-ten-times[^"]+)"', surveyor.page)
    assert button is not None
    surveyor.press(button[1])
    surveyor.fill(**{"r0f-1-0-1": "97"})
    surveyor.press(button[1])
    held = surveyor.content()["traverses"][0]["readings"][1][0]
    assert [(one["value"], bool(one["struck"])) for one in held] == [("590", True), ("97", False)]
    assert len(surveyor.content()["questions"]) == 1
