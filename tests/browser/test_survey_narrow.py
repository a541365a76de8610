"""No page of a survey scrolls sideways, at 320 px either (WCAG 1.4.10); no question stands over readings that are gone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.tablet import TEN, Tablet
from tests.browser.test_survey_look import wide
from tests.surveying import CRITERIA, assign, make_version

pytestmark = pytest.mark.django_db(transaction=True)

SIZES = {"narrow": (320, 568), "phone": (390, 844), "upright": (834, 1112), "across": (1112, 834)}
FRAMED = """() => [...document.querySelectorAll(".opening, .scroll")]
  .some(frame => frame.clientWidth > 0 && frame.scrollWidth > frame.clientWidth + 1)"""


def held_in(page: Any) -> None:
    for name, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        assert not wide(page), name


def test_no_page_of_a_survey_scrolls_sideways(tablet: Tablet, hood, site, programme_manager, context, sign_in) -> None:  # noqa: F811
    page = tablet.page
    tablet.fill_in()
    tablet.draw()
    for number, value in enumerate([*TEN[:5], "590", "1,5", *TEN[7:9]]):
        tablet.point(number // 5, number % 5).fill(value)
    page.fill("#t0f_monitor", "99")
    tablet.answer("a0f-smoke-at-opening", "yes")
    page.fill("#notes", "A note without any space: " + "x" * 120)
    tablet.keep()
    expect(page.locator("#grid-0f-questions .question").first).to_be_visible()
    held_in(page)
    page.goto(reverse("surveys:review", args=[tablet.draft.pk]))
    expect(page.locator("#h-entered")).to_be_visible()
    held_in(page)
    page.evaluate("document.querySelector('.kv.wrapped dd').style.width = '60rem'")
    assert wide(page), "the control: what is too wide is seen"


def test_a_grid_of_many_columns_scrolls_in_its_own_frame(tablet: Tablet) -> None:  # noqa: F811
    tablet.draw("18", "150")
    tablet.page.set_viewport_size({"width": 320, "height": 568})
    assert not wide(tablet.page)
    assert tablet.page.evaluate(FRAMED)
    assert tablet.point(0, 0).bounding_box()["width"] >= 40, "three digits stand in a point"


CUT = """cell => { const [off, told] = [cell.querySelector(".off"), cell.querySelector("[data-off]").getBoundingClientRect()];
  const box = cell.getBoundingClientRect();
  return off.scrollWidth > off.clientWidth + 1 || told.left < box.left || told.right > box.right || told.top < box.top || told.bottom > box.bottom; }"""


def test_why_a_reading_is_refused_stands_whole_in_a_narrow_point(tablet: Tablet) -> None:  # noqa: F811
    tablet.draw("18", "84")
    tablet.point(0, 1).fill("1,5")
    cell = tablet.page.locator("#grid-0f .cell.wrong")
    expect(cell.locator("[data-off]")).to_contain_text("such as 98")
    for name, (width, height) in SIZES.items():
        tablet.page.set_viewport_size({"width": width, "height": height})
        assert not cell.evaluate(CUT), name
    tablet.page.set_viewport_size({"width": 320, "height": 568})
    cell.locator(".off").evaluate("off => { off.style.whiteSpace = 'nowrap'; off.style.fontSize = '1.25rem'; }")
    assert cell.evaluate(CUT), "the control: what is cut is seen"


def test_every_check_answered_at_length_stays_on_the_review(tablet: Tablet, hood, site, programme_manager) -> None:  # noqa: F811
    every = ("monitor-works", "alarm-works", "smoke-inside-clears", "stop-and-mark-in-place", "storage-clear")
    checks = [{"check": check, "applies_to": "hood", "consequence": "note"} for check in every]
    version = make_version(
        site, programme_manager, CRITERIA | {"checks": [*CRITERIA["checks"], *checks]}, name="Every check"
    )
    assign(hood, version, programme_manager)
    page = tablet.page
    page.goto(f"{reverse('surveys:start')}?hood={hood.tag}")
    page.get_by_role("button", name="Start the survey").click()
    page.get_by_role("button", name="Start another survey of it").click()
    page.wait_for_url(re.compile(r"/surveys/[0-9a-f-]{36}/"))
    tablet.draw()
    for check in every:
        page.locator(
            f'label:has(input[name="ah{"f" if check in ("monitor-works", "alarm-works", "smoke-inside-clears") else "n"}-{check}"][value="yes"])'
        ).click()
    tablet.keep()
    page.goto(reverse("surveys:review", args=[tablet.draft.pk]))
    page.set_viewport_size({"width": 834, "height": 1112})
    assert not wide(page)
    assert page.locator(".kv.wrapped dd").count() > len(every)
    assert page.evaluate(
        "() => [...document.querySelectorAll('.kv.wrapped dd')].every(one => one.getBoundingClientRect().right <= innerWidth)"
    )


def test_the_page_of_a_person_does_not_scroll_sideways(page, programme_manager, technician, sign_in) -> None:
    sign_in(page, programme_manager, reverse("hoods:person", args=[programme_manager.pk]))
    for person in (programme_manager, technician):
        page.goto(reverse("hoods:person", args=[person.pk]))
        held_in(page)
    page.goto(reverse("hoods:person", args=[programme_manager.pk]))
    page.set_viewport_size({"width": 320, "height": 568})
    page.evaluate("for (const frame of document.querySelectorAll('.scroll')) frame.style.position = 'static'")
    assert wide(page), "the control: words for readers alone, placed outside their frame"


def test_a_question_waits_as_soon_as_its_readings_change_and_is_asked_again_once_they_are_kept(tablet: Tablet) -> None:  # noqa: F811
    tablet.fill_in()
    tablet.draw()
    for number, value in enumerate(["98"] * 5 + ["103", "590", "97", "100", "102"]):
        tablet.point(number // 5, number % 5).fill(value)
    tablet.keep()
    asked = tablet.page.locator("#grid-0f-questions .question")
    alike, far = asked.filter(has_text="readings in a row are alike"), asked.filter(has_text="five times")
    expect(alike.get_by_role("button").first).to_be_enabled()
    tablet.point(0, 2).fill("97")
    expect(alike).to_contain_text("Changed since")
    expect(alike.locator("button").first).to_be_disabled()
    expect(alike.get_by_role("button")).to_have_count(0)
    expect(far.get_by_role("button").first).to_be_enabled()  # nothing of it changed
    tablet.point(0, 2).fill("98")
    expect(alike.get_by_role("button").first).to_be_enabled()  # what was asked about stands again
    tablet.point(0, 2).fill("97")
    tablet.point(1, 1).fill("99")
    expect(tablet.page.locator(".cell.asked")).to_have_count(0)
    tablet.keep()
    expect(asked).to_have_count(0)


def test_the_lowest_and_highest_show_the_digits_that_were_typed(tablet: Tablet, site, programme_manager) -> None:  # noqa: F811
    instrument = site.instruments.get(name="A-07")
    instrument.resolution, instrument.lowest, instrument.highest = "0.01 m/s", "0.1 m/s", "3 m/s"
    instrument.save()
    tablet.fill_in()
    tablet.draw()
    for number, value in enumerate(["0.50", "0.52", "0.55", "0.54", "0.60", "0.53"]):
        tablet.point(number // 5, number % 5).fill(value)
    figure = tablet.page.locator("#grid-0f [data-figure=lowest]"), tablet.page.locator("#grid-0f [data-figure=highest]")
    expect(figure[0]).to_have_text("0.50")
    expect(figure[1]).to_have_text("0.60")
