"""The survey page on a tablet: typing, going on, saving, stopping; with the network as it is."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.tablet import TEN, Tablet

pytestmark = pytest.mark.django_db(transaction=True)

expect.set_options(timeout=20_000)  # machines that run tests are slower than tablets


# --- typing -----------------------------------------------------------------------------------------------------------


def test_e15_values_typed_without_a_pause_stand_each_in_its_own_point_with_few_keys(tablet: Tablet) -> None:
    tablet.draw("30", "62")  # five columns, three rows
    values = [str(80 + number) for number in range(15)]
    keys = 0
    for value in values:
        tablet.page.keyboard.type(value, delay=0)
        tablet.page.keyboard.press("Enter")
        keys += len(value) + 1
    shown = [tablet.point(r, c).input_value() for r in range(3) for c in range(5)]
    assert shown == values
    tablet.keep()
    assert [cell for row in tablet.readings() for cell in row] == values
    assert keys <= 1.15 * sum(len(value) + 1 for value in values)
    moments = [cell["at"] for row in tablet.content()["traverses"][0]["readings"] for cell in row]
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", moment) for moment in moments)


def test_e15_next_goes_on_to_the_next_point_and_tells_which(tablet: Tablet) -> None:
    tablet.draw()
    for number, value in enumerate(TEN[:4]):
        tablet.page.keyboard.type(value)
        expect(tablet.page.locator("[data-next-words]")).to_have_text(f"Next: row 1, column {number + 2}")
        tablet.page.locator("[data-next]").tap()
        expect(tablet.point(0, number + 1)).to_be_focused()
        expect(tablet.page.locator(".cell.here input[data-point]")).to_have_id(f"r0f-0-{number + 1}-0")


WRONG = ["1,5", "0.5.1", "1e2", "٣٤", "½", "98.5", "--5"]


def test_e1_e2_what_is_no_reading_is_marked_told_and_kept_as_typed(tablet: Tablet) -> None:
    tablet.page.select_option("#instrument", index=1)
    tablet.draw()
    tablet.type_in(["98", *WRONG])
    for number, typed in enumerate(WRONG, 1):
        box = tablet.point(number // 5, number % 5)
        expect(box).to_have_value(typed)
        expect(box).to_have_attribute("aria-invalid", "true")
    expect(tablet.page.locator("[data-heading]").first).to_have_text("So far, from 1 of 10 points, ft/min")
    tablet.keep()
    assert [cell for row in tablet.readings() for cell in row][:8] == ["98", *WRONG]
    expect(tablet.page.locator("#grid-0f-problems li")).to_have_count(len(WRONG))
    expect(tablet.page.locator("#grid-0f-problems")).to_contain_text("“1,5” has a comma")


def test_e4_wheel_arrows_and_swipes_change_no_number(tablet: Tablet) -> None:
    tablet.page.fill("#temperature", "21.5")
    tablet.draw()
    tablet.type_in(["98"])
    for box in ("#temperature", "#o0_height", "#r0f-0-0-0"):
        target = tablet.page.locator(box)
        before = target.input_value()
        target.focus()
        target.hover()
        for turn in (120, -240):
            tablet.page.mouse.wheel(0, turn)
        for key in ("ArrowUp", "ArrowDown", "PageUp", "PageDown"):
            tablet.page.keyboard.press(key)
        assert target.input_value() == before
    assert tablet.page.locator("input[type=number]").count() == 0
    # The control: the same keys do change a box of the type that is never used.
    tablet.page.evaluate("document.querySelector('#temperature').type = 'number'")
    tablet.page.locator("#temperature").focus()
    tablet.page.keyboard.press("ArrowUp")
    assert tablet.page.locator("#temperature").input_value() != "21.5"


def test_undo_brings_back_what_was_typed_over_and_cleared(tablet: Tablet) -> None:
    tablet.draw()
    tablet.type_in(["98", "101"])
    tablet.point(0, 0).fill("9")
    tablet.point(0, 1).fill("")
    tablet.point(0, 2).focus()
    undo = tablet.page.locator("[data-undo]")
    expect(undo).to_have_text("Undo: row 1, column 2")
    undo.click()
    expect(tablet.point(0, 1)).to_have_value("101")
    undo.click()
    expect(tablet.point(0, 0)).to_have_value("98")
    tablet.keep()
    assert tablet.readings()[0][:2] == ["98", "101"]


# --- live figures -----------------------------------------------------------------------------------------------------


def test_live_figures_say_so_far_then_provisional_and_never_a_verdict(tablet: Tablet) -> None:
    tablet.draw()
    tablet.type_in(TEN[:9])
    block = tablet.page.locator("#grid-0f")
    expect(block.locator("[data-figure=average]")).to_have_text("99.2")
    expect(block.locator("caption", has_text="provisional")).to_be_visible()
    says = block.locator("[data-says-now]")
    expect(says.nth(0)).to_have_text("so far within")
    expect(says.nth(1)).to_have_text("so far within")
    expect(block.locator("[data-missing]")).to_have_text("One point is missing. No limit is met yet.")
    tablet.point(1, 4).fill("60")
    expect(block.locator("[data-figure=average]")).to_have_text("95.3")
    expect(says.nth(0)).to_have_text("provisional: met")
    expect(says.nth(1)).to_have_text("provisional: not met")
    expect(tablet.page.locator("#r0f-1-4-0-o")).to_have_text("−37 %")
    expect(tablet.page.locator(".cell.slow-2 input[data-point]")).to_have_id("r0f-1-4-0")


def test_e5_a_reading_above_the_instrument_is_told_at_once_and_counts_nowhere(tablet: Tablet) -> None:
    tablet.page.select_option("#instrument", index=1)
    tablet.keep()
    tablet.page.reload()
    tablet.draw()
    tablet.type_in([*TEN[:9], "7000"])
    cell = tablet.page.locator("#r0f-1-4-0-o")
    expect(cell).to_contain_text("above ")
    expect(tablet.point(1, 4)).to_have_attribute("aria-invalid", "true")
    expect(tablet.page.locator("#grid-0f [data-figure=average]")).to_have_text("99.2")
    tablet.point(1, 4).fill("100")
    expect(cell).not_to_contain_text("above ")


def test_a_low_average_shows_its_usual_causes_and_both_ways_on(tablet: Tablet) -> None:
    tablet.draw()
    causes = tablet.page.locator("[data-causes]").first
    expect(causes).to_be_hidden()
    tablet.type_in(["70", "74", "73", "71", "68", "72", "75", "76", "73", "68"])
    expect(causes).to_be_visible()
    expect(causes).to_contain_text("this traverse stays as found, the next is as left")
    expect(causes).to_contain_text("never under 6 in")
    expect(tablet.page.locator("#part-left .as-left")).to_be_hidden()
    tablet.answer("adjusted", "yes")
    expect(tablet.page.locator("#r0l-0-0-0")).to_be_visible()
