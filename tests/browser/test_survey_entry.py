"""The survey page on a tablet: typing, going on, saving, stopping; with the network as it is."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from surveys.models import Draft, Revision, Survey
from tests.making import PASSWORD
from tests.surveying import assign, make_instrument, make_version

pytestmark = pytest.mark.django_db(transaction=True)

expect.set_options(timeout=20_000)  # machines that run tests are slower than tablets
KEPT = re.compile(r"Kept at \d\d:\d\d")
TEN = ["98", "101", "95", "97", "100", "103", "99", "104", "96", "102"]


class Tablet:
    """A tablet with the survey of one hood open on it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.kept = page.locator("[data-kept-words]")

    def draw(self, height: str = "18", width: str = "62", index: int = 0) -> None:
        self.page.fill(f"#o{index}_height", height)
        self.page.fill(f"#o{index}_width", width)
        self.page.locator(f"#o{index}_width").press("Enter")
        expect(self.page.locator(f"#r{index}f-0-0-0")).to_be_focused()

    def point(self, row: int, column: int, place: str = "0f", repeat: int = 0) -> Any:
        return self.page.locator(f"#r{place}-{row}-{column}-{repeat}")

    def type_in(self, values: list[str]) -> None:
        for value in values:
            self.page.keyboard.type(value)
            self.page.keyboard.press("Enter")

    def keep(self) -> None:
        with self.page.expect_response(lambda answer: answer.request.method == "POST"):
            self.page.get_by_role("button", name="Keep", exact=True).click()
        expect(self.kept).to_have_text(KEPT)

    @property
    def draft(self) -> Draft:
        return Draft.objects.get(pk=re.search(r"/surveys/([0-9a-f-]{36})/", self.page.url)[1])  # type: ignore[index]

    def content(self) -> dict[str, Any]:
        return json.loads(Revision.objects.filter(draft=self.draft).order_by("-number").first().content)

    def readings(self) -> list[list[str | None]]:
        rows = self.content()["traverses"][0]["readings"]
        return [[cell["value"] if isinstance(cell, dict) else cell for cell in row] for row in rows]

    def answer(self, name: str, value: str) -> None:
        self.page.locator(f'label:has(input[name="{name}"][value="{value}"])').click()

    def fill_in(self) -> None:
        """Everything but opening, traverse, monitor and smoke."""
        for name, value in (("right_hood", "yes"), ("fit", "yes"), ("found_somebody", "no"), ("found_alarm", "no"), ("ahf-alarm-not-muted", "yes")):
            self.answer(name, value)
        for name, chosen in (("reason", "annual"), ("mode", "normal"), ("doors", "closed"), ("room_pressure", "into-the-room"), ("other_hoods", "closed")):  # fmt: skip
            self.page.select_option(f"#{name}", chosen)
        self.page.select_option("#instrument", index=1)
        for name, text in (("temperature", "21.5"), ("pressure", "1008"), ("found_sash", "18"), ("found_monitor", "98")):
            self.page.fill(f"#{name}", text)
        for name in ("ahn-sash-moves-and-stays", "ahn-light-works"):
            self.answer(name, "yes")
        for what in ("controls", "alarm", "stop", "sash", "told"):
            self.answer(f"last_{what}", "yes")
        self.answer("adjusted", "no")


@pytest.fixture
def prepared(hood, site, technician, programme_manager):
    """A hood with criteria and an instrument."""
    make_instrument(site, programme_manager, name="A-07")
    assign(hood, make_version(site, programme_manager, name="Laboratory hoods"), programme_manager)
    return hood


@pytest.fixture
def tablet(prepared, page, technician, sign_in) -> Tablet:
    sign_in(page, technician, f"{reverse('surveys:start')}?hood={prepared.tag}")
    page.get_by_role("button", name="Start the survey").click()
    page.wait_for_url(re.compile(r"/surveys/[0-9a-f-]{36}/"))
    return Tablet(page)


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
    expect(tablet.page.locator("#grid-0f-questions")).to_contain_text("about a tenth of the other readings")
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
    ("a captive portal", lambda route: route.fulfill(status=200, content_type="text/html", body="<p>Welcome</p>"), "Not kept: the answer was no receipt."),  # fmt: skip
    ("a proxy's error", lambda route: route.fulfill(status=502, content_type="text/html", body="bad gateway"), "Not kept: the answer was no receipt."),  # fmt: skip
    ("another receipt", lambda route: route.fulfill(status=200, content_type="application/json", body='{"id": "x", "revision": 9, "sha256": "y"}'), "Not kept:"),  # fmt: skip
    ("signed out", lambda route: route.fulfill(status=401, content_type="application/json", body='{"error": "x"}'), "Not kept: you are signed out."),  # fmt: skip
]


@pytest.mark.parametrize(("how", "answer", "said"), ANSWERS, ids=[how for how, _, _ in ANSWERS])
def test_nothing_is_shown_as_kept_without_its_receipt(tablet: Tablet, complaints, how: str, answer: Any, said: str) -> None:
    tablet.page.route("**/surveys/*/", lambda route: answer(route) if route.request.method == "POST" else route.continue_())
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
    tablet.page.route("**/surveys/*/", lambda route: route.abort() if route.request.method == "POST" else route.continue_())
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
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False, viewport={"width": 820, "height": 1180})
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
