"""The site's own rules as people write them: a version drafted, refused, compared, adopted; and a survey judged by it."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from surveys.models import CriteriaVersion, Survey
from tests.browser.steps import (
    add_anemometer,
    adopt_criteria,
    answer_line,
    answer_the_rest,
    begin,
    draw,
    first_part,
    press,
    register_hood,
    sign,
    type_in,
)
from tests.making import PASSWORD

READ = ["98", "101", "95", "97", "100", "103", "99", "103", "98", "102"]  # an average of 99.6


@pytest.fixture
def prepared(page, site, room, programme_manager, sign_in):
    """A hood, criteria in force and an anemometer."""
    sign_in(page, programme_manager)
    hood = register_hood(page, "FH-0142", room)
    adopt_criteria(page, hood)
    add_anemometer(page, site.today())
    return hood


def leave(page: Page) -> None:
    page.goto(reverse("account_logout"))
    press(page, "Sign out")


def survey(page: Page, hood) -> Survey:
    """One working opening of 62 by 18 in, an average of 99.6 ft/min, everything else as it should be; reviewed."""
    begin(page, hood.tag)
    first_part(page)
    draw(page, 0, "18", "62")
    type_in(page, READ)
    page.fill("#t0f_monitor", "99")
    answer_the_rest(page)
    expect(page.locator("[data-next-words]")).to_have_text("Review and sign")
    page.locator("[data-next]").click()
    page.wait_for_url("**/review/")
    sign(page)
    return Survey.objects.latest("record")


@pytest.mark.long
def test_a_version_is_written_compared_adopted_and_surveyed_under(
    prepared, page, programme_manager, technician, sign_in, complaints
):  # fmt: skip
    hood = prepared
    leave(page)
    sign_in(page, technician)
    assert survey(page, hood).verdict == "pass"
    leave(page)

    sign_in(page, programme_manager)
    page.goto(reverse("surveys:criteria_list"))
    page.get_by_role("link", name="General hoods").first.click()
    page.get_by_role("link", name="Start the next version").click()
    page.select_option("#id_origin", "in-force")
    page.fill("#id_why", "The committee asks for more.")
    press(page, "Start a draft")
    page.get_by_role("link", name="Change the draft").click()

    # a limit that nothing could meet is refused at its box; what else was entered stays
    page.locator("#id_limits-0-at_least").fill("105")
    page.locator("#id_limits-0-at_most").fill("90")
    page.locator("#id_due-months").fill("6")
    page.get_by_role("button", name="Keep the draft").first.click()
    expect(page.locator("p.answer")).to_contain_text("Nothing is kept yet: 1 box must be put right first.")
    expect(page.locator("#id_limits-0-at_least_error")).to_contain_text("is above at most 90 ft/min")
    expect(page.locator("#id_due-months")).to_have_value("6")
    page.get_by_role("link", name=re.compile("is above at most")).click()
    expect(page.locator("#id_limits-0-at_least")).to_be_in_viewport()
    complaints[:] = [said for said in complaints if "422" not in said]

    # rows are added, moved and taken out by buttons
    page.locator("#id_limits-0-at_most").fill("")
    press(page, "Add a limit")
    expect(page.locator("p.answer")).to_contain_text("Nothing is kept before you press")
    page.select_option("#id_limits-4-figure", "deviation-percent")
    page.locator("#id_limits-4-at_most").fill("20")
    page.select_option("#id_limits-4-unit", "%")
    page.select_option("#id_limits-4-consequence", "note")
    page.locator("#id_limits-4-source").fill("The committee, minute 14")
    press(page, "Move limit 5 up")
    expect(page.locator("#id_limits-3-source")).to_have_value("The committee, minute 14")
    press(page, "Remove limit 2")
    expect(page.locator("#id_limits-2-source")).to_have_value("The committee, minute 14")
    page.select_option("#id_limits-0-consequence", "fail")
    page.locator("#id_limits-0-restriction").fill("")
    page.get_by_role("button", name="Keep the draft").last.click()
    expect(page.locator("main")).to_contain_text("The draft is kept.")
    draft = CriteriaVersion.objects.get(adopted_at=None)
    assert [limit["figure"] for limit in draft.document["limits"]] == [
        "average",
        "average",
        "deviation-percent",
        "average",
    ]
    assert (draft.document["due"]["months"], draft.document["limits"][0]["at_least"]) == ("6", "105 ft/min")

    # compared before it is adopted: what differs, and which hood would end otherwise
    page.get_by_role("link", name=re.compile("Compare it")).click()
    assert "Of 1 hood, 1 would now end otherwise." in answer_line(page)
    main = page.locator("main")
    expect(main).to_contain_text("at least: from 80 ft/min to 105 ft/min")
    expect(main).to_contain_text("removed")
    expect(main).to_contain_text("Would end stricter")
    expect(main.locator("table", has_text="Would end stricter")).to_contain_text(hood.tag)
    page.get_by_role("link", name="Go on to adopting it").click()
    page.locator("#id_why").fill("The committee’s minute 14.")
    page.check("#id_compared")
    page.fill("#id_password", PASSWORD)
    press(page, "Sign and adopt")
    expect(main).to_contain_text("is adopted, word for word, as a record")
    draft.refresh_from_db()
    assert draft.record.attested["criteria"]["document"] == draft.document
    page.goto(reverse("surveys:hood", args=[hood.pk]))
    assert "Met criteria" in page.locator("main").inner_text(), "what was judged stays judged"
    leave(page)

    # the same readings again, judged by the new version
    sign_in(page, technician)
    found = survey(page, hood)
    assert (found.version, found.verdict) == (draft, "fail")
    assert Survey.objects.exclude(pk=found.pk).get().version.number == 1
    page.goto(reverse("surveys:hood", args=[hood.pk]))
    assert answer_line(page).startswith("Do not use")


def test_two_pages_of_one_draft_lose_nothing(prepared, page, context, programme_manager, complaints):
    """Two windows on one draft: the second is told, sees both, and keeps its own."""
    page.goto(reverse("surveys:criteria_set", args=[prepared.assignments.get().set_id]))
    page.get_by_role("link", name="Start the next version").click()
    page.fill("#id_why", "Once a year is too seldom.")
    press(page, "Start a draft")
    page.get_by_role("link", name="Change the draft").click()
    other = context.new_page()
    other.goto(page.url)
    other.locator("#id_due-months").fill("6")
    other.get_by_role("button", name="Keep the draft").first.click()
    expect(other.locator("main")).to_contain_text("The draft is kept.")
    page.locator("#id_limits-0-at_least").fill("85")
    page.get_by_role("button", name="Keep the draft").first.click()
    expect(page.locator("p.answer")).to_contain_text("changed from another page")
    expect(page.locator("main")).to_contain_text("from 6 to 12")
    expect(page.locator("#id_limits-0-at_least")).to_have_value("85")
    complaints[:] = [said for said in complaints if "409" not in said]
    page.locator("#id_due-months").fill("6")
    page.get_by_role("button", name="Keep mine in its place").first.click()
    expect(page.locator("main")).to_contain_text("The draft is kept.")
    kept = CriteriaVersion.objects.get(adopted_at=None).document
    assert (kept["due"]["months"], kept["limits"][0]["at_least"]) == ("6", "85 ft/min")
