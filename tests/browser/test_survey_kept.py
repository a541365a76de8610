"""What is kept of a survey on a tablet, and how it ends."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from surveys.models import Survey
from tests.browser.tablet import KEPT, TEN, Tablet
from tests.making import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)


# --- saving -----------------------------------------------------------------------------------------------------------


def test_a_finished_row_is_kept_and_the_questions_come_without_touching_what_is_typed(tablet: Tablet) -> None:
    tablet.draw()
    count = tablet.draft.revisions.count()
    tablet.type_in(["98", "101", "9", "97", "100"])
    tablet.page.keyboard.type("10")
    tablet.page.wait_for_function(f"() => Number(document.querySelector('[name=made_from]').value) > {count}")
    expect(tablet.point(1, 0)).to_have_value("10")
    expect(tablet.point(1, 0)).to_be_focused()
    tablet.keep()
    expect(tablet.page.locator("#grid-0f-questions")).to_contain_text("is a fifth of the other readings")
    expect(tablet.point(1, 0)).to_have_value("10")


def test_a_part_that_is_left_and_ten_seconds_of_rest_are_kept(tablet: Tablet) -> None:
    tablet.page.clock.install()
    tablet.page.reload()
    tablet.page.fill("#temperature", "21.5")
    expect(tablet.kept).to_have_text("Not kept yet: still being entered")
    with tablet.page.expect_response(lambda answer: answer.request.method == "POST"):
        tablet.page.locator("#notes").focus()
    expect(tablet.kept).to_have_text(KEPT)
    tablet.page.fill("#notes", "carboys")
    with tablet.page.expect_response(lambda answer: answer.request.method == "POST"):
        tablet.page.clock.fast_forward(10_500)
    expect(tablet.kept).to_have_text(KEPT)
    assert (tablet.content()["notes"], tablet.content()["conditions"]["temperature"]) == ("carboys", "21.5 °C")


ANSWERS = [  # how the network answers a save, and what the page says
    ("no connection", lambda route: route.abort(), "Not kept: no connection. It is tried again."),
    (
        "a captive portal",
        lambda route: route.fulfill(status=200, content_type="text/html", body="<p>Welcome</p>"),
        "Not kept: the answer was no receipt.",
    ),  # fmt: skip
    (
        "a proxy's error",
        lambda route: route.fulfill(status=502, content_type="text/html", body="bad gateway"),
        "Not kept: the answer was no receipt.",
    ),  # fmt: skip
    (
        "another receipt",
        lambda route: route.fulfill(
            status=200, content_type="application/json", body='{"id": "x", "revision": 9, "sha256": "y"}'
        ),
        "Not kept:",
    ),  # fmt: skip
    (
        "signed out",
        lambda route: route.fulfill(status=401, content_type="application/json", body='{"error": "x"}'),
        "Not kept: you are signed out.",
    ),  # fmt: skip
]


@pytest.mark.parametrize(("how", "answer", "said"), ANSWERS, ids=[how for how, _, _ in ANSWERS])
def test_nothing_is_shown_as_kept_without_its_receipt(
    tablet: Tablet, complaints, how: str, answer: Any, said: str
) -> None:
    tablet.page.route(
        "**/surveys/*/", lambda route: answer(route) if route.request.method == "POST" else route.continue_()
    )
    tablet.page.fill("#temperature", "21.5")
    tablet.page.get_by_role("button", name="Keep", exact=True).click()
    expect(tablet.kept).to_contain_text(said)
    expect(tablet.page.locator("#temperature")).to_have_value("21.5")
    assert not tablet.draft.revisions.exists()
    tablet.page.unroute("**/surveys/*/")
    expect(tablet.kept).to_have_text(KEPT, timeout=15_000)  # tried again by itself
    assert tablet.content()["conditions"]["temperature"] == "21.5 °C"
    complaints.clear()


def test_e18_a_lost_answer_and_a_double_tap_make_one_revision(tablet: Tablet, complaints) -> None:
    def lose(route: Any) -> None:
        route.fetch()  # the server keeps it
        route.abort()  # its answer never arrives

    tablet.page.fill("#temperature", "21.5")
    tablet.page.route("**/surveys/*/", lambda route: lose(route) if route.request.method == "POST" else route.continue_(), times=1)  # fmt: skip
    tablet.page.get_by_role("button", name="Keep", exact=True).click()
    expect(tablet.kept).to_contain_text("Not kept: no connection")
    expect(tablet.kept).to_have_text(KEPT, timeout=15_000)
    assert tablet.draft.revisions.count() == 1
    tablet.page.fill("#notes", "twice")
    tablet.page.get_by_role("button", name="Keep", exact=True).dblclick()
    expect(tablet.kept).to_have_text(KEPT)
    assert tablet.draft.revisions.count() == 2
    complaints.clear()


def test_two_tabs_lose_nothing_and_show_both(tablet: Tablet, context, complaints) -> None:
    other = context.new_page()
    other.goto(tablet.page.url)
    other.fill("#temperature", "19")
    other.get_by_role("button", name="Keep", exact=True).click()
    expect(other.locator("[data-kept-words]")).to_have_text(KEPT)
    tablet.page.fill("#temperature", "21.5")
    tablet.page.get_by_role("button", name="Keep", exact=True).click()
    expect(tablet.kept).to_contain_text("Not kept: This survey was changed from another page")
    complaints.clear()
    tablet.page.get_by_role("link", name="See both").click()
    expect(tablet.page.locator("table")).to_contain_text("21.5")
    expect(tablet.page.locator("table")).to_contain_text("19")
    tablet.page.get_by_role("button", name="Go on from mine").click()
    expect(tablet.page.locator("#temperature")).to_have_value("21.5")


# --- ends -------------------------------------------------------------------------------------------------------------


def test_stop_is_reached_at_any_moment_and_not_by_accident(tablet: Tablet, complaints) -> None:
    tablet.draw()
    tablet.page.keyboard.type("12")
    tablet.page.locator("summary", has_text="Stop").click()
    tablet.page.get_by_role("button", name="End it, post ‘Do not use’").click()
    expect(tablet.page.locator(".panel")).to_contain_text("Choose the reason first")
    assert not tablet.draft.hood.stops.exists()
    complaints.clear()  # the refusal itself
    tablet.page.get_by_label("Smoke came out").check()
    tablet.page.get_by_role("button", name="End it, post ‘Do not use’").click()
    tablet.page.wait_for_url("**/review/")
    assert tablet.draft.hood.stops.get().reason == "smoke-came-out"
    assert tablet.readings()[0][0] == "12"


def test_enter_in_the_stop_sheet_sends_nothing(tablet: Tablet) -> None:
    tablet.page.locator("summary", has_text="Stop").click()
    tablet.page.get_by_label("Smoke came out").check()
    tablet.page.keyboard.press("Enter")
    expect(tablet.page.get_by_role("button", name="End it, post ‘Do not use’")).to_be_visible()
    assert not tablet.draft.revisions.exists()


def test_a_stop_without_a_connection_says_that_it_is_not_posted(tablet: Tablet, complaints) -> None:
    tablet.page.route(
        "**/surveys/*/", lambda route: route.abort() if route.request.method == "POST" else route.continue_()
    )
    tablet.page.fill("#notes", "stays")
    tablet.page.locator("summary", has_text="Stop").click()
    tablet.page.get_by_label("No flow").check()
    tablet.page.get_by_role("button", name="End it, post ‘Do not use’").click()
    expect(tablet.page.locator("[data-stop-words]")).to_contain_text("Not posted: no connection")
    expect(tablet.page.locator("#notes")).to_have_value("stays")
    complaints.clear()


def test_e18_from_start_to_one_signature(tablet: Tablet) -> None:
    tablet.fill_in()
    tablet.draw()
    tablet.type_in(TEN)
    expect(tablet.page.locator("#t0f_monitor")).to_be_focused()
    tablet.page.keyboard.type("99")
    tablet.answer("a0f-smoke-at-opening", "yes")
    expect(tablet.page.locator("[data-next-words]")).to_have_text("Review and sign")
    expect(tablet.page.locator("[data-tick]:not([hidden])")).to_have_count(10)
    tablet.page.locator("[data-next]").click()
    tablet.page.wait_for_url("**/review/")
    tablet.page.get_by_label("I made these measurements").check()
    tablet.page.get_by_label("Your password").fill(PASSWORD)
    tablet.page.get_by_role("button", name="Sign and close").dblclick()
    expect(tablet.page.locator(".answer")).to_contain_text("Certificate of survey.")
    assert Survey.objects.get().verdict == "pass"


def test_enter_and_next_work_without_script(prepared, browser, live_server, technician, sign_in, settings) -> None:
    settings.SITE_URL = live_server.url
    context = browser.new_context(
        base_url=live_server.url, java_script_enabled=False, viewport={"width": 820, "height": 1180}
    )
    page = context.new_page()
    sign_in(page, technician, f"{reverse('surveys:start')}?hood={prepared.tag}")
    page.get_by_role("button", name="Start the survey").click()
    page.fill("#o0_height", "18")
    page.fill("#o0_width", "62")
    page.get_by_role("button", name="Draw the grid").click()
    page.fill("#r0f-0-0-0", "98")
    page.locator("#r0f-0-0-0").press("Enter")
    page.wait_for_load_state()
    expect(page.locator("#r0f-0-0-0")).to_have_value("98")
    expect(page.locator("[data-kept-words]")).to_have_text(KEPT)
    context.close()
