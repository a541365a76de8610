"""Smoke on the survey page: before the traverse where the criteria say so, and whom to tell before much of it."""

from __future__ import annotations

import re
from copy import deepcopy

import pytest
from django.urls import reverse

from surveys.models import CriteriaVersion
from tests.filling import Surveyor
from tests.reports.pdf import reading
from tests.surveying import CRITERIA, GOOD, assign, make_instrument, make_version
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

MUCH = "tell whoever answers for the fire detection of this building"
INSIDE = {"check": "smoke-inside-clears", "applies_to": "each", "consequence": "restrict", "restriction": "no powders"}


@pytest.fixture
def begin(hood, site, technician, programme_manager, signed_in):
    """A survey by criteria with these rules and checks more."""

    def begin(*checks, **rules) -> Surveyor:
        document = deepcopy(CRITERIA) | rules
        document["checks"] = [*document["checks"], *checks]
        assign(hood, make_version(site, programme_manager, document), programme_manager)
        make_instrument(site, programme_manager)
        return Surveyor(signed_in(technician), hood)

    return begin


def parts(page: str) -> list[str]:
    found = re.findall(r'<section class="part" id="part-([a-z]+)-0"', page)
    steps = re.findall(r'<a href="#part-([a-z]+)-0" data-step', page)
    assert found == steps, "the list of steps and the page are in one order"
    return found


@pytest.mark.parametrize(("rules", "order"), [
    ({}, ["opening", "traverse", "monitor", "smoke"]),
    ({"smoke_first": False}, ["opening", "traverse", "monitor", "smoke"]),
    ({"smoke_first": True}, ["opening", "smoke", "traverse", "monitor"]),
])  # fmt: skip
def test_smoke_stands_before_the_traverse_where_the_criteria_say_so(begin, rules, order):
    page = begin(**rules).page
    assert parts(page) == order
    assert ("These criteria ask for smoke before the traverse" in page) == bool(rules.get("smoke_first"))


@pytest.mark.parametrize("first", [False, True])
def test_as_left_the_order_is_the_same(begin, first):
    surveyor = begin(smoke_first=first)
    surveyor.fill(o0_height="18", o0_width="62", adjusted="yes")
    surveyor.press("keep")
    smoke, grid = (surveyor.page.index(mark) for mark in ('id="a0l-smoke-at-opening-q"', 'id="grid-0l"'))
    assert (smoke < grid) == first
    surveyor.fill_grid("0f", GOOD)
    surveyor.fill(**{"a0f-smoke-at-opening": "yes"})
    surveyor.press("keep")
    left = re.findall(r'data-needed="([^"]*)"', surveyor.page[surveyor.page.index('id="part-left"') :])
    assert left.index("smoke at the opening") < left.index("as left, row 1, column 1") or not first


def test_the_order_changes_no_verdict_and_no_key_of_what_was_entered(begin):
    surveyor = begin(smoke_first=True)
    surveyor.fill(o0_height="18", o0_width="62", **{"a0f-smoke-at-opening": "no"})
    surveyor.press("keep")
    assert "Provisional: fail" in surveyor.page, "smoke alone is enough to fail, before a point is read"
    assert "smoke_first" not in surveyor.content()


def test_whoever_answers_for_fire_detection_is_told_before_much_smoke_as_found_and_as_left(begin):
    surveyor = begin(INSIDE)
    surveyor.fill(adjusted="yes")
    surveyor.press("keep")
    smoke = surveyor.page[surveyor.page.index('id="part-smoke-0"') : surveyor.page.index('id="part-verdict"')]
    left = surveyor.page[surveyor.page.index('id="part-left"') : surveyor.page.index('id="part-last"')]
    for part, box in ((smoke, "a0f-smoke-inside-clears"), (left, "a0l-smoke-inside-clears")):
        assert part.count(MUCH) == 1
        assert part.index(MUCH) < part.index(box), "it is said before it is asked"


def test_they_are_told_where_the_hood_as_a_whole_is_asked(begin):
    surveyor = begin(INSIDE | {"applies_to": "hood"})
    assert surveyor.page.count(MUCH) == 2, "as found and as left"


def test_a_wisp_at_the_edge_alone_needs_no_such_word(begin):
    """The control: the caution hangs on the smoke that is let out inside."""
    assert MUCH not in begin().page


def test_the_blank_form_says_the_same_in_the_same_order(begin, hood):
    surveyor = begin(INSIDE, smoke_first=True)
    words = reading.quick_text(surveyor.client.get(reverse("reports:hood_blank", args=[hood.pk])).content)
    assert words.count("Before you let out much smoke") == 3, "as found, at another opening, as left"
    assert words.count("whoever answers for the fire detection") == 3, "no page ends within the warning"
    assert words.index("6 Smoke") < words.index("7 Traverse")


def test_the_version_says_which_comes_first(begin, hood, programme_manager, signed_in):
    begin(smoke_first=True)
    page = said(
        signed_in(programme_manager).get(reverse("surveys:criteria_version", args=[CriteriaVersion.objects.last().pk]))
    )
    assert "at each opening smoke is looked at first" in page
