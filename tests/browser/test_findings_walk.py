"""A failing hood opens a finding, its mending is arranged, and a later survey closes it: as people do it in a browser."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from surveys.actions.drafts import start_draft
from surveys.models import Finding, Survey
from tests import surveying
from tests.making import PASSWORD
from tests.surveying import GOOD, entered, grid

LOW = grid(["72", "73", "71", "72", "74", "71", "73", "72", "71", "71"])


@pytest.fixture
def hood(site, hood, programme_manager):
    surveying.assign(
        hood, surveying.make_version(site, programme_manager, name="Average and lowest"), programme_manager
    )
    return hood


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


def answer_line(page: Page) -> str:
    return " ".join(page.locator("p.answer").inner_text().split())


def measured(hood, readings, instrument, by) -> None:
    """What the tablet has kept: measured, and not signed."""
    at = timezone.now() - timedelta(minutes=9)
    draft = start_draft(hood=hood, by=by, at=at)
    surveying.save(draft, entered(instrument, readings), by, at + timedelta(minutes=8))


def sign_the_room(page: Page, room) -> None:
    """With the one signature for the finished surveys of the room."""
    page.goto(reverse("surveys:room", args=[room.pk]))
    page.get_by_role("link", name="Sign the finished ones").click()
    for tick in ("What is missing stays missing", "I made these measurements"):
        page.get_by_label(re.compile(tick)).check()
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Sign and close all that are ticked").click()
    expect(page.locator(".messages")).to_contain_text("Signed and kept: FH-0142 as record")


def test_a_failing_hood_opens_a_finding_it_is_arranged_and_a_later_survey_closes_it(
    page, context, site, hood, room, instrument, technician, programme_manager, sign_in
):
    measured(hood, LOW, instrument, technician)
    sign_in(page, technician)
    sign_the_room(page, room)
    assert Survey.objects.get().verdict == "fail"
    expect(page.locator("#h-findings + .scroll")).to_contain_text("Average face velocity 72 ft/min")

    page.context.clear_cookies()
    sign_in(page, programme_manager, to=reverse("surveys:finding_list"))
    assert answer_line(page) == "One finding waits: one for nobody yet."
    page.get_by_role("link", name="FH-0142").click()
    assert answer_line(page) == "Average face velocity 72 ft/min. Waits for nobody yet."
    expect(page.locator("#h-close + .flow")).to_contain_text("A survey closes this finding")
    page.get_by_label("Who sees to it").fill("Building Services")
    page.get_by_label("Order number").fill("W-2231")
    promised = site.today() + timedelta(days=9)
    page.get_by_label("Promised for").fill(promised.isoformat())
    page.get_by_label("What was heard or agreed").fill("The belt slips; one is ordered.")
    page.get_by_role("button", name="Keep what is arranged").click()
    expect(page.locator(".messages")).to_contain_text("Kept: this is what is arranged.")
    assert "Waits for Building Services, promised for" in answer_line(page)
    expect(page.locator(".log")).to_contain_text("The belt slips; one is ordered.")
    page.get_by_role("link", name="Findings", exact=True).click()
    assert answer_line(page) == "One finding waits: one for Building Services."
    page.get_by_role("link", name=re.compile("^nobody yet|^Building Services")).first.click()
    expect(page.locator("table.findings")).to_contain_text("order W-2231")

    measured(hood, GOOD, instrument, technician)
    page.context.clear_cookies()
    sign_in(page, technician)
    sign_the_room(page, room)
    finding = Finding.objects.get()
    assert list(finding.changes.values_list("kind", flat=True)) == ["arranged", "closed"]
    expect(page.locator("main")).not_to_contain_text("Open findings")
    page.goto(reverse("surveys:finding", args=[finding.pk]))
    assert "Closed on" in answer_line(page)
    page.get_by_role("link", name="Closed by a survey that met it").click()
    expect(page.locator("h1")).to_contain_text("Survey of FH-0142")
    page.goto(reverse("surveys:finding_list"))
    assert answer_line(page) == "Nothing waits to be mended."


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 834, 390])
def test_no_page_of_findings_is_wider_than_its_screen(
    browser, live_server, hood, room, instrument, technician, scheme, width, settings
):
    from tests.browser.institute import cookie_of

    settings.SITE_URL = live_server.url
    surveying.survey(hood, entered(instrument, LOW), technician, timezone.now() - timedelta(minutes=30))
    measured(hood, LOW, instrument, technician)
    made = browser.new_context(base_url=live_server.url, viewport={"width": width, "height": 900}, color_scheme=scheme)
    made.add_cookies([cookie_of(technician, live_server.url)])
    screen = made.new_page()
    for address in (
        reverse("surveys:finding_list"), reverse("surveys:finding", args=[Finding.objects.get().pk]),
        reverse("surveys:sign_room", args=[room.pk]), reverse("surveys:amend", args=[Survey.objects.get().pk]),
    ):  # fmt: skip
        screen.goto(address)
        over = screen.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        small = screen.eval_on_selector_all(
            ".choices a, .button, .tickbox",
            "all => all.filter(one => one.getBoundingClientRect().height < 44).map(one => one.textContent)",
        )
        assert (over, small) == (0, []), address
    made.close()
