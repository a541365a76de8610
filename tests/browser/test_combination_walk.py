"""A combination hood surveyed as people do it: the frame fails, the panel passes, and every page says panels only."""

from __future__ import annotations

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from surveys.models import Survey
from tests import surveying
from tests.browser import institute
from tests.browser.test_walk import (
    answer_line,
    answer_the_rest,
    begin,
    draw,
    first_part,
    label_printed,
    printed,
    scanned,
    sign,
    type_in,
    words_of,
)
from tests.making import make_hood
from tests.stories import STORIES

SLOW = ["70", "72", "74", "71", "73", "69", "71", "75", "70", "76"]
GOOD = ["90", "92", "91", "93", "89", "94"]
LINES = ("left panel open, frame down", "panels only, frame down", "opening ‘frame raised’ not to be used")


@pytest.mark.long
def test_a_combination_hood_with_one_mode_failing(
    page, room, technician, lab_manager, programme_manager, sign_in, browser, live_server
):  # fmt: skip
    openings = (("frame raised", "working", "60 in", "18 in"), ("left", "working", "24 in", "30 in"))
    hood = make_hood(
        room=room, by=programme_manager, tag="FH-0310", sash="combination", control="bypass", openings=openings
    )
    for name, way in (("frame raised", "frame"), ("left", "left panel")):
        hood.openings.filter(name=name).update(way=way)
    criteria = STORIES["combination-panels-only"]["input"]["criteria"]
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager, criteria), programme_manager)
    surveying.make_instrument(hood.site, programme_manager)

    sign_in(page, technician)
    begin(page, hood.tag)
    first_part(page)
    expect(page.locator("#part-opening-0")).to_contain_text("frame raised to 18 in (457 mm), panels closed")
    expect(page.locator("#part-opening-1")).to_contain_text("left panel open, frame down")
    expect(page.get_by_role("img", name="Front of the hood: where opening ‘left’ stands").first).to_be_visible()
    draw(page, 0, "18", "60")
    type_in(page, SLOW)
    expect(page.locator("#grid-0f [data-figure=average]")).to_have_text("72.1")
    page.fill("#t0f_monitor", "72")
    draw(page, 1, "30", "24")
    type_in(page, GOOD)
    expect(page.locator("#grid-1f [data-figure=average]")).to_have_text("91.5")
    page.fill("#t1f_monitor", "91")
    answer_the_rest(page)
    expect(page.locator("[data-next-words]")).to_have_text("Review and sign")
    page.locator("[data-next]").click()
    page.wait_for_url("**/review/")
    assert "restricted: opening frame raised not to be used" in answer_line(page)
    for line in LINES:
        expect(page.locator("main")).to_contain_text(line[:1].upper() + line[1:])
    sign(page)

    survey = Survey.objects.get()
    assert (survey.verdict, survey.restriction) == ("restrict", {"not_openings": ["frame raised"]})
    label, certificate = label_printed(page), words_of(printed(page, "Certificate (PDF)"))
    for line in LINES:
        assert line in words_of(label)
        assert line.replace(" ", "") in certificate.replace(" ", "")
    assert "at or below" not in words_of(label)

    phone = browser.new_context(viewport={"width": 390, "height": 844}, locale="en-GB")
    stranger = phone.new_page()
    stranger.goto(scanned(label))
    for line in LINES:
        assert line in answer_line(stranger)
    assert stranger.evaluate("document.documentElement.scrollWidth") <= 390
    phone.close()
    page.context.clear_cookies()
    page.context.add_cookies([institute.cookie_of(lab_manager, live_server.url)])
    page.goto(reverse("surveys:room", args=[room.pk]))
    row = " ".join(page.locator("table.hoods tr", has_text="FH-0310").inner_text().split())
    for line in LINES:
        assert line in answer_line(page)
        assert line in row
    page.goto(reverse("surveys:hood", args=[hood.pk]))
    for line in LINES:
        assert line in answer_line(page)
    expect(page.locator(".fronts li")).to_have_count(2)
