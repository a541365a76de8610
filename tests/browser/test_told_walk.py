"""A fail that mails its manager: measured and signed by the surveyor, read by the lab manager in the mail, and followed to the hood."""

from __future__ import annotations

import re

import pytest
from django.core import mail
from django.core.management import call_command
from django.urls import reverse
from playwright.sync_api import expect

from surveys.actions.assignment import assign_criteria
from surveys.models import Notice
from tests import mailing, making, surveying
from tests.browser.steps import SLOW, answer_line, answer_the_rest, begin, draw, first_part, sign, type_in
from tests.making import PASSWORD


@pytest.fixture
def prepared(site, room, programme_manager, lab_manager):
    """A hood that is judged by criteria in force, an instrument, and a lab manager of its room."""
    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0142")
    version = surveying.make_version(site, programme_manager)
    assign_criteria(
        hoods=[hood], set=version.set, from_on=making.ON, why="agreed", by=programme_manager, at=making.AT
    )  # fmt: skip
    surveying.make_instrument(site, programme_manager, name="A-07", lowest="20 ft/min")
    return hood


def fail_by_measuring(page, hood) -> None:
    """A whole survey whose average is too low, signed."""
    begin(page, hood.tag)
    first_part(page)
    draw(page, 0, "18", "62")
    type_in(page, SLOW)
    page.fill("#t0f_monitor", "66")
    answer_the_rest(page)
    expect(page.locator("[data-next-words]")).to_have_text("Review and sign")
    page.locator("[data-next]").click()
    page.wait_for_url("**/review/")
    sign(page)


def test_a_fail_mails_its_manager_who_finds_the_hood_by_the_mail(
    prepared, page, context, browser, technician, lab_manager, sign_in, live_server, settings
):  # fmt: skip
    hood = prepared
    sign_in(page, technician)
    fail_by_measuring(page, hood)
    (sent,) = mail.outbox
    assert (sent.to, sent.subject) == ([lab_manager.email], "Do not use: FH-0142, North Range 214")
    assert "not met (fail)" in sent.body

    page.goto(reverse("surveys:hood", args=[hood.pk]))
    expect(page.locator("main")).to_contain_text("Told by mail: Asel Brandt")
    assert answer_line(page).startswith("Do not use since")

    (address,) = re.findall(r"The page of FH-0142: (\S+)", sent.body)
    desk = browser.new_context(viewport={"width": 1280, "height": 900}, locale="en-GB")
    theirs = desk.new_page()
    theirs.set_content(sent.alternatives[0][0])  # the mail as it is read
    expect(theirs.locator("h1")).to_have_text("Do not use hood FH-0142: its survey did not meet the criteria.")
    with theirs.expect_navigation():
        theirs.get_by_role("link", name="The page of FH-0142").click()
    assert "/sign-in/" in theirs.url, "a mail opens nothing to whoever holds it"
    theirs.get_by_label("Email").fill(lab_manager.email)
    theirs.get_by_label("Password").fill(PASSWORD)
    theirs.get_by_role("button", name="Sign in").click()
    theirs.wait_for_url(address)
    assert answer_line(theirs).startswith("Do not use since")
    theirs.goto(f"{live_server.url}/")
    assert "One must not be used." in answer_line(theirs)
    expect(theirs.locator("main")).to_contain_text("Report (PDF)")
    desk.close()


def test_a_server_that_is_away_loses_nothing_and_the_programme_manager_sees_it(
    prepared, page, technician, programme_manager, sign_in, settings
):  # fmt: skip
    settings.EMAIL_BACKEND = mailing.AWAY
    hood = prepared
    sign_in(page, technician)
    page.goto(reverse("surveys:hood", args=[hood.pk]))
    page.locator("details.halt summary").click()
    page.locator("select[name=stop-reason]").select_option("glass-broken")
    page.locator("input[name=stop-sure]").check()
    page.get_by_role("button", name="Post now").click()
    expect(page.locator("main")).to_contain_text("Asel Brandt has not been told by mail yet")
    expect(page.locator("main")).to_contain_text("“Connection refused”")
    assert hood.stops.up().exists()

    page.goto(reverse("account_logout"))
    page.get_by_role("button", name="Sign out").click()
    sign_in(page, programme_manager)
    page.get_by_role("listitem").filter(has_text="1 mail has not gone out yet.").get_by_role("link").click()
    assert answer_line(page) == "One mail has not gone out yet."
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    call_command("send_notices")
    page.reload()
    assert answer_line(page) == "Every mail has gone out."
    assert [sent.to for sent in mail.outbox] == [[Notice.objects.get().address]]
