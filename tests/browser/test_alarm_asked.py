"""What the alarm did is asked where it was forced, in boxes and answers that a glove can hit."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.tablet import Tablet
from tests.browser.test_survey_look import wide
from tests.surveying import CRITERIA, assign, make_instrument, make_version

pytestmark = pytest.mark.django_db(transaction=True)

HIGH = """part => [...part.querySelectorAll("input:not([type=hidden]):not([type=radio]), select, .answers label")]
  .filter(one => one.getClientRects().length).map(one => Math.round(one.getBoundingClientRect().height))"""


@pytest.fixture
def forced(hood, site, technician, programme_manager, page, sign_in) -> Tablet:
    """A survey by criteria that ask for the alarm and for the seconds that it takes."""
    checks = [*CRITERIA["checks"], {"check": "alarm-works", "applies_to": "hood", "consequence": "note"}]
    seconds = {"figure": "alarm-seconds", "at_most": "10 s", "applies_to": "hood", "consequence": "note"}
    document = CRITERIA | {"checks": checks, "limits": [*CRITERIA["limits"], seconds]}
    make_instrument(site, programme_manager, name="A-07")
    assign(hood, make_version(site, programme_manager, document, name="Alarms"), programme_manager)
    sign_in(page, technician, f"{reverse('surveys:start')}?hood={hood.tag}")
    page.get_by_role("button", name="Start the survey").click()
    page.wait_for_url(re.compile(r"/surveys/[0-9a-f-]{36}/"))
    return Tablet(page)


def test_an_alarm_that_is_not_there_is_asked_nothing_more_and_waits_for_nothing(forced):
    page = forced.page
    asked = page.locator("#part-monitor-0 .alarm-forced")
    expect(asked).to_be_visible()
    page.fill("#t0f_monitor", "99")
    tick = page.locator('a[href="#part-monitor-0"] [data-tick]')
    expect(tick).to_be_hidden()
    forced.answer("ahf-alarm-works", "not-applicable")
    expect(asked).to_be_hidden()
    expect(tick).to_be_visible()
    forced.answer("ahf-alarm-works", "yes")
    expect(asked).to_be_visible()
    expect(tick).to_be_hidden()
    page.select_option("#alarmf_forced", "sash-raised")
    page.fill("#alarmf_after", "4")
    for what in ("sound", "light"):
        forced.answer(f"alarmf_{what}", "yes")
    expect(tick).to_be_visible()
    forced.keep()
    assert forced.content()["alarms"] == [
        {"state": "as-found", "forced": "sash-raised", "trip": None, "after": "4 s", "sound": "yes", "light": "yes"}
    ]


def test_its_boxes_and_answers_are_large_enough_for_a_glove_and_no_page_is_too_wide(forced):
    page = forced.page
    for width, height in ((390, 844), (834, 1112), (1112, 834)):
        page.set_viewport_size({"width": width, "height": height})
        for part in ("#part-monitor-0", "#part-checks"):
            assert min(page.locator(part).evaluate(HIGH)) >= 48, (part, width)
        assert not wide(page), width
