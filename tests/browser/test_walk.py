"""The main job from nothing, as people do it: a hood is added, surveyed, signed, labelled and scanned; another is stopped."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from surveys.models import Survey
from tests.browser import institute
from tests.browser.steps import (
    GOOD,
    SLOW,
    add_anemometer,
    adopt_criteria,
    answer,
    answer_line,
    answer_the_rest,
    begin,
    draw,
    first_part,
    label_printed,
    press,
    printed,
    register_hood,
    scanned,
    sign,
    type_in,
    words_of,
)


@pytest.fixture
def strangers_page(browser, live_server):
    """The telephone of somebody who has not signed in."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, locale="en-GB")
    yield context.new_page()
    context.close()


@pytest.fixture
def prepared(page, site, room, programme_manager, sign_in):
    """What the programme manager does before the first survey, from nothing."""
    sign_in(page, programme_manager)
    hood = register_hood(page, "FH-0142", room)
    adopt_criteria(page, hood)
    add_anemometer(page, site.today())
    page.goto(reverse("account_logout"))
    press(page, "Sign out")
    return hood


def test_a_hood_from_its_registration_to_the_label_that_is_scanned(
    prepared, page, technician, lab_manager, room, sign_in, strangers_page, live_server
):  # fmt: skip
    hood = prepared
    sign_in(page, technician)
    assert "Next: FH-0142" in answer_line(page)
    begin(page, "fh-0142")
    first_part(page)
    draw(page, 0, "18", "62")
    type_in(page, SLOW)
    live = page.locator("#grid-0f")
    expect(live.locator("[data-figure=average]")).to_have_text("64.2")
    for number, said in enumerate(
        ("provisional: not met", "provisional: met", "provisional: not met", "provisional: met")
    ):
        expect(live.locator("[data-says-now]").nth(number)).to_have_text(said)
    page.fill("#t0f_monitor", "66")

    page.get_by_role("button", name=re.compile("lower", re.IGNORECASE)).first.click()
    expect(page.locator("#o1_height")).to_be_visible()
    draw(page, 1, "12", "62")
    type_in(page, GOOD)
    expect(page.locator("#grid-1f [data-figure=average]")).to_have_text("99")
    page.fill("#t1f_monitor", "99")
    answer_the_rest(page)
    expect(page.locator("[data-next-words]")).to_have_text("Review and sign")
    page.locator("[data-next]").click()
    page.wait_for_url("**/review/")
    assert "Certificate of survey, restricted: sash no higher than 12 in" in answer_line(page)
    sign(page, "Stop and mark moved to 12 in")

    survey = Survey.objects.get()
    assert (survey.verdict, survey.restriction, survey.label_issue) == ("restrict", {"largest_opening": "12 in"}, 1)
    label, certificate = label_printed(page), printed(page, "Certificate (PDF)")
    for word in ("RESTRICTED", "12 in (304 mm)", "FH-0142", hood.code):
        assert word in words_of(label)
    assert "restricted: sash no higher than 12 in" in words_of(certificate)
    assert survey.record.sha256[:16] in words_of(certificate).replace(" ", "")
    page.get_by_label("Number of the label put on").fill("1")
    press(page, "The label is on the hood")
    expect(page.locator("#put-on")).to_contain_text("Label number 1 put on")

    address = scanned(label)
    assert address == f"{live_server.url.upper()}/H/{hood.code}/1"
    answered = strangers_page.goto(address)
    assert answered.status == 200
    assert "Restricted: sash at or below 12 in (304 mm)" in answer_line(strangers_page)
    assert "no longer valid" not in strangers_page.locator("main").inner_text()
    assert technician.name not in strangers_page.content()

    page.context.clear_cookies()
    page.context.add_cookies([institute.cookie_of(lab_manager, live_server.url)])
    page.goto(reverse("surveys:room", args=[room.pk]))
    assert "with the sash at or below 12 in (304 mm)" in answer_line(page)
    assert "Restricted" in page.locator("table.hoods tr", has_text="FH-0142").inner_text()


def test_a_hood_without_flow_is_stopped_at_once_and_signed_later(
    prepared, page, technician, sign_in, strangers_page, live_server
):  # fmt: skip
    hood = prepared
    sign_in(page, technician)
    begin(page, hood.tag)
    answer(page, "right_hood")
    page.locator("details.halt summary").click()
    press(page, "End it, post ‘Do not use’")  # not by accident: a reason first
    expect(page.locator("[data-stop-words]")).to_have_text("Choose the reason first; then press once more.")
    page.get_by_label("No flow").check()
    page.get_by_label("What you saw, in a sentence").fill("The fan stands still.")
    assert not hood.stops.exists()
    press(page, "End it, post ‘Do not use’")
    page.wait_for_url("**/review/")
    assert hood.stops.up().get().reason == "no-flow"  # before anybody signs

    strangers_page.goto(f"{live_server.url}{reverse('public_hood', args=[hood.code])}")
    assert "Do not use this hood." in answer_line(strangers_page)
    sign(page)
    survey = Survey.objects.get()
    assert (survey.verdict, survey.label_issue) == ("fail", None)
    expect(page.locator("h1")).to_contain_text("Survey of FH-0142")
    assert page.get_by_role("button", name="Label (PDF)").count() == 0
    report, sign_paper = printed(page, "Survey report (PDF)"), printed(page, "‘Do not use’ sign (PDF)")
    assert "Survey report: criteria not met" in words_of(report)
    for word in ("DO NOT USE", "FH-0142", "The fan stands still."):
        assert word in words_of(sign_paper)
    assert scanned(sign_paper) == f"{live_server.url.upper()}/H/{hood.code}"
    (token,) = (cookie["value"] for cookie in page.context.cookies() if cookie["name"] == "csrftoken")
    answered = page.request.post(reverse("reports:label", args=[hood.pk]), headers={"X-CSRFToken": token})
    assert answered.status == 403
    assert "no label to print" in answered.text()  # refused by the status, not for want of a token
    page.get_by_role("link", name="To the hood").click()
    assert answer_line(page).startswith("Do not use since")
    strangers_page.goto(scanned(sign_paper))
    assert "Do not use this hood." in answer_line(strangers_page)
