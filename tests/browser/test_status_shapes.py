"""E28: a status is told in grey and to a screen reader: each has a word, and a shape that no other one resembles."""

from __future__ import annotations

import io
from itertools import combinations

import pytest
from PIL import Image, ImageChops, ImageStat

from tests.browser import institute

WORDS = {"Met criteria", "Restricted", "Do not use", "Out of service", "Hibernated", "Not yet surveyed", "Retired"}
LEAST = 12  # of 255: the mean difference, in grey, of two shapes of 16 px


def in_grey(shape) -> Image.Image:
    """A shape as a black-and-white copy would show it, at the size of a list, and at the same whole pixel as any other."""
    shape.evaluate(
        "one => Object.assign(one.style, {position: 'fixed', left: '8px', top: '8px', zIndex: 9, background: 'white'})"
    )
    shot = shape.screenshot()
    shape.evaluate("one => one.removeAttribute('style')")
    return Image.open(io.BytesIO(shot)).convert("L").resize((16, 16))


def difference(one: Image.Image, other: Image.Image) -> float:
    return ImageStat.Stat(ImageChops.difference(one, other)).mean[0]


@pytest.fixture
def statuses(demo, page, live_server) -> dict:
    """The first of each status in the list of all hoods, retired ones too."""
    page.context.add_cookies([institute.cookie_of("auditor", live_server.url)])
    page.goto(f"{live_server.url}/hoods/?q=FH")
    found = {}
    for status in page.locator(".hoods .status").all():
        found.setdefault(status.inner_text().strip(), status)
    return found


def test_e28_statuses_differ_in_grey_and_are_heard_by_their_word(statuses):
    assert set(statuses) == WORDS
    shapes = {word: in_grey(status.locator("svg")) for word, status in statuses.items()}
    alike = {pair for pair in combinations(shapes, 2) if difference(shapes[pair[0]], shapes[pair[1]]) < LEAST}
    assert alike == set()
    assert {status.locator("xpath=..").aria_snapshot().count("img") for status in statuses.values()} == {0}


def test_e28_control_one_shape_for_two_statuses_is_seen(statuses, page):
    page.evaluate(
        """() => document.querySelectorAll('.hoods .status use').forEach(
            use => use.setAttribute('href', use.getAttribute('href').replace(/#.*/, '#met')))"""
    )
    met, idle = (in_grey(statuses[word].locator("svg")) for word in ("Hibernated", "Out of service"))
    assert difference(met, idle) < LEAST
