"""The survey's pages as they are drawn: large enough for gloves, sound for every reader, at every size, light and dark."""

from __future__ import annotations

import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from surveys.models import SetAside
from tests.browser.tablet import TEN, Tablet
from tests.making import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)

SIZES = {"phone": (390, 844), "upright": (820, 1180), "across": (1180, 820), "desktop": (1440, 900)}
SMALL = """() => {
  const small = [];
  for (const box of document.querySelectorAll("main a[href], main button, main input:not([type=hidden]), main select, main textarea, main summary, aside a[href], aside button, aside input, aside textarea, aside summary")) {
    if (!box.getClientRects().length || box.closest(".sr, .skip") || box.classList.contains("sr")) continue;
    const target = box.matches("input[type=radio], input[type=checkbox]") ? box.closest("label") ?? box : box;
    const { width, height } = target.getBoundingClientRect();
    if (height < 47.5 || width < 47.5) small.push(`${target.tagName} ${target.id || target.textContent.trim().slice(0, 40)} ${width.toFixed(0)}x${height.toFixed(0)}`);
  }
  return small;
}"""
HIDDEN = """() => {
  const bar = document.querySelector(".bar")?.getBoundingClientRect();
  const box = document.activeElement.getBoundingClientRect();
  return bar ? box.bottom > bar.top + 1 && box.top < bar.bottom : false;
}"""


def audit(page: Any) -> list[str]:
    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
    return [f"{one['id']}: {[node['target'] for node in one['nodes']][:3]}" for one in found.response["violations"]]


def wide(page: Any) -> bool:
    """Whether the page scrolls sideways."""
    return page.evaluate("() => document.documentElement.scrollWidth > document.documentElement.clientWidth + 1")


def look_at(page: Any, schemes: tuple[str, ...] = ("light", "dark")) -> None:
    for name, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        assert not wide(page), name
        assert page.evaluate(SMALL) == [], name
        for scheme in schemes if name in ("phone", "across") else ("light",):
            page.emulate_media(color_scheme=scheme)
            assert audit(page) == [], (name, scheme)
    page.emulate_media(color_scheme="light")


@pytest.mark.long
def test_e27_the_survey_page_is_sound_at_every_size(tablet: Tablet) -> None:  # noqa: F811
    tablet.fill_in()
    tablet.draw()
    tablet.type_in(["98", "101", "9", "97", "100", "1,5"])
    tablet.answer("adjusted", "yes")
    tablet.keep()
    expect(tablet.page.locator("#grid-0f-questions .question").first).to_be_visible()
    for summary in tablet.page.locator("main summary").all():
        if summary.is_visible():
            summary.click()
    look_at(tablet.page)
    tablet.page.locator(".halt summary").click()
    tablet.page.set_viewport_size({"width": 390, "height": 844})
    assert tablet.page.evaluate(SMALL) == []
    assert audit(tablet.page) == []


LINES = """() => [...document.querySelectorAll(".live .outcome")].filter(one => /so far within/.test(one.textContent)).map(one => {
  const words = document.createRange(); words.selectNodeContents(one.lastChild);
  return new Set([...words.getClientRects()].map(rect => Math.round(rect.top))).size;
})"""


def test_what_a_limit_says_so_far_stands_on_one_line_beside_the_grid(tablet: Tablet) -> None:  # noqa: F811
    tablet.fill_in()
    tablet.draw()
    tablet.type_in(["98", "101", "99"])
    expect(tablet.page.locator(".live .outcome", has_text="so far within").first).to_be_visible()
    for name, (width, height) in SIZES.items():
        tablet.page.set_viewport_size({"width": width, "height": height})
        lines = tablet.page.evaluate(LINES)
        assert lines == [1] * len(lines), name
        assert lines, name
    tablet.page.evaluate("""() => {
      const narrow = new CSSStyleSheet(); narrow.replaceSync(".live td[data-says-now] { min-width: 0; max-width: 4rem; }");
      document.adoptedStyleSheets = [narrow];
    }""")
    assert max(tablet.page.evaluate(LINES)) > 1, "the control: a column too narrow is seen"


@pytest.mark.long
def test_e27_review_signed_and_set_aside_pages_are_sound_at_every_size(tablet: Tablet) -> None:  # noqa: F811
    tablet.fill_in()
    tablet.draw()
    tablet.type_in(TEN)
    tablet.keep()
    draft = tablet.draft
    last = draft.revisions.order_by("-number").first()
    aside = SetAside.objects.create(
        draft=draft, content=last.content.replace("21.5", "19"), sha256="x", form_id="f", made_from=0, at=last.at, by=last.by
    )
    tablet.page.goto(reverse("surveys:set_aside", args=[draft.pk, aside.pk]))
    look_at(tablet.page)
    tablet.page.goto(reverse("surveys:start"))
    look_at(tablet.page)
    tablet.page.goto(reverse("surveys:review", args=[draft.pk]))
    look_at(tablet.page)
    for tick in tablet.page.locator("main input[type=checkbox]").all():
        tick.check()
    tablet.page.get_by_label("Your password").fill(PASSWORD)
    tablet.page.get_by_role("button", name="Sign and close").click()
    expect(tablet.page.locator("#h-record")).to_be_visible()
    look_at(tablet.page)


def test_e27_a_small_button_is_seen(tablet: Tablet) -> None:  # noqa: F811
    """The control of the measure that the pages above are held to."""
    assert tablet.page.evaluate(SMALL) == []
    tablet.page.evaluate("() => { document.querySelector('[name=do][value=keep]').style.minHeight = '20px'; document.querySelector('[name=do][value=keep]').style.height = '20px'; }")  # noqa: E501
    assert [small for small in tablet.page.evaluate(SMALL) if "Keep" in small]


def test_the_box_that_has_the_focus_is_never_under_the_bar(tablet: Tablet) -> None:  # noqa: F811
    tablet.draw("30")
    for width, height in SIZES.values():
        tablet.page.set_viewport_size({"width": width, "height": height})
        tablet.page.locator("#o0_height").focus()
        for _step in range(24):
            tablet.page.keyboard.press("Tab")
            assert not tablet.page.evaluate(HIDDEN), tablet.page.evaluate("() => document.activeElement.id")


def test_e28_what_is_said_by_colour_is_said_by_word_and_shape_too(tablet: Tablet) -> None:  # noqa: F811
    tablet.draw()
    tablet.type_in([*TEN[:9], "60"])
    shapes = {}
    for line in tablet.page.locator("#grid-0f [data-says-now]").all():
        words = line.inner_text().strip()
        shapes[words] = line.locator("use").get_attribute("href").partition("#")[2]
    assert shapes == {"provisional: met": "tick", "provisional: not met": "cross"}
    for cell in tablet.page.locator(".cell[class*=slow], .cell[class*=fast]").all():
        assert re.fullmatch(r"[+−]\d+ %", cell.locator("[data-off]").inner_text())
