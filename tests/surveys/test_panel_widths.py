"""A panel that is measured at several openings: page, label and record say how wide it may be open."""

from __future__ import annotations

import pytest
import time_machine
from django.urls import reverse

from hoods.actions.opening import add_opening
from reports.pdf.labels import label
from reports.queries.prints import labels_today
from surveys import queries
from surveys.history import history_of
from surveys.wording import title
from tests import surveying
from tests.making import AT, make_hood
from tests.reports.pdf import reading
from tests.surveying import CRITERIA, SURVEYED
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

ONE_POINT = CRITERIA | {"grid": {"largest_area": "99 ft**2", "longest_edge": "99 in"}, "checks": []}
HALF, OTHERS = "left panel only, to 15 in (381 mm) at most", "all other panels stay closed"
WIDE_BARRED = "opening ‘left wide’ not to be used"
CASES = {
    # openings: name, use, way, width, height, reading -> verdict, what is allowed, what is not, the title
    "the whole opening is only recorded": (
        [("left half open", "working", "left panel", "15 in", "30 in", "100"),
         ("left fully open", "full-open", "left panel", "30 in", "30 in", "41")],
        "pass", [HALF], [OTHERS], "Certificate of survey",
    ),
    "the wide one fails": (
        [("left wide", "working", "left panel", "30 in", "30 in", "41"),
         ("left half", "lower", "left panel", "15 in", "20 in", "100")],
        "restrict", [HALF], [OTHERS, WIDE_BARRED], "Certificate of survey, restricted: opening left wide not to be used",
    ),
    "the narrow one is as high": (
        [("left wide", "working", "left panel", "30 in", "30 in", "41"),
         ("left half", "lower", "left panel", "15 in", "30 in", "100")],
        "restrict", [HALF], [OTHERS, WIDE_BARRED], "Certificate of survey, restricted: opening left wide not to be used",
    ),
    "another name says no panel": (
        [("east", "working", "left panel", "30 in", "30 in", "41"),
         ("right", "working", "right panel", "30 in", "30 in", "100")],
        "restrict", ["right panel only"], ["left panel and all others stay closed"],
        "Certificate of survey, restricted: opening east not to be used",
    ),
    "several together": (
        [("all", "working", "panels", "60 in", "30 in", "100"), ("left", "working", "left panel", "30 in", "30 in", "100"),
         ("right", "working", "right panel", "30 in", "30 in", "100")],
        "pass", ["panels open together", "left panel open", "right panel open"], [], "Certificate of survey",
    ),
}  # fmt: skip


@pytest.fixture(autouse=True)
def _that_day():
    with time_machine.travel(SURVEYED):
        yield


@pytest.fixture
def surveyed(room, technician, programme_manager):
    """A hood of a horizontal sash with these openings, each read at one point, and its survey."""

    def make(openings):
        hood = make_hood(room=room, by=programme_manager, sash="horizontal", openings=())
        for name, use, way, width, height, _reading in openings:
            add_opening(hood=hood, name=name, use=use, way=way, width=width, height=height, by=programme_manager, at=AT)
        instrument = surveying.make_instrument(hood.site, programme_manager)
        surveying.assign(hood, surveying.make_version(hood.site, programme_manager, ONE_POINT), programme_manager)
        content = surveying.entered(
            instrument,
            openings=[
                {"name": name, "width": wide, "height": high} for name, _use, _way, wide, high, _text in openings
            ],
            traverses=[
                {"opening": name, "state": "as-found", "unit": "ft/min", "monitor": None, "readings": [[text]]}
                for name, *_size, text in openings
            ],
            answers=[],
        )
        return surveying.survey(hood, content, technician)

    return make


@pytest.mark.parametrize("case", CASES)
def test_label_page_and_record_say_how_far_a_panel_may_be_open(surveyed, signed_in, technician, case):
    openings, verdict, allowed, barred, called = CASES[case]
    survey = surveyed(openings)
    hood = survey.hood
    assert (survey.verdict, title(survey.verdict, survey.restriction)) == (verdict, called)
    [label] = labels_today([hood], SURVEYED.date())
    assert label.label.openings == (*allowed, *barred)
    client = signed_in(technician)
    page = said(client.get(reverse("surveys:detail", args=[survey.pk])))
    assert f"Approved: {'; '.join(allowed)}." in page
    if barred:
        told = "; ".join(barred)
        assert f". {told[0].upper()}{told[1:]}." in page, "a sentence of its own"
    for address in (reverse("surveys:hood", args=[hood.pk]), reverse("public_hood", args=[hood.code])):
        page = said(client.get(address)).replace("\u00a0", " ").lower()
        assert all(line in page for line in (*allowed, *barred)), address
        assert "no higher" not in page


def test_lists_and_the_page_of_a_hood_know_the_width(surveyed):
    survey = surveyed(CASES["the wide one fails"][0])
    [listed] = queries.status_of(survey.hood, SURVEYED.date()).approved
    [told] = history_of(survey.hood).facts.approved[survey.pk]
    assert [(one.width, one.of_several) for one in (listed, told)] == [("15 in", True)] * 2
    assert (listed.name, listed.height) == ("left half", "20 in")


def test_of_several_openings_the_lowest_average_of_those_that_may_be_used_is_told_with_its_opening(surveyed, signed_in, technician):
    size = ("30 in", "30 in")
    survey = surveyed([
        ("one", "working", "left panel", *size, "100"), ("two", "working", "centre panel", *size, "85"),
        ("three", "working", "right panel", *size, "41"),
    ])  # fmt: skip
    hood, client = survey.hood, signed_in(technician)
    assert survey.verdict == "restrict"
    [printed] = labels_today([hood], SURVEYED.date())
    assert (printed.label.average, printed.label.average_height) == ("85 ft/min (0.43 m/s)", "centre panel")
    assert printed.label.is_lowest
    assert "Lowest average velocity, at opening" in reading.text(label(printed.label, 300))
    public = said(client.get(reverse("public_hood", args=[hood.code])))
    assert "Lowest average 85 ft/min (0.43 m/s), at centre panel" in public
    page = said(client.get(reverse("surveys:hood", args=[hood.pk])))
    assert "At centre panel the average was 85 ft/min on 12 MAR 2026, the lowest of the openings that may be used." in page


def test_of_one_opening_its_average_is_told_and_not_that_of_one_that_failed(surveyed, signed_in, technician):
    size = ("30 in", "30 in")
    survey = surveyed([("one", "working", "left panel", *size, "41"), ("two", "working", "right panel", *size, "100")])
    hood, client = survey.hood, signed_in(technician)
    [printed] = labels_today([hood], SURVEYED.date())
    assert (printed.label.average_height, printed.label.is_lowest) == ("right panel", False)
    assert "Average 100 ft/min (0.51 m/s), at right panel" in said(client.get(reverse("public_hood", args=[hood.code])))
