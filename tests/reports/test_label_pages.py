"""Labels of a room or a building in walking order, on rolls and sheets; who has none and why; the outline test."""

from __future__ import annotations

import io
import re
from datetime import date, datetime, timedelta

import pypdf
import pytest
import time_machine
from django.urls import reverse

from hoods.actions import hood as hoods
from surveys.actions.stops import post_stop
from surveys.models import LabelCopy
from tests import making, surveying
from tests.reports.pdf import reading
from tests.surveying import SLOW, SURVEYED, entered

pytestmark = pytest.mark.django_db
NOW = SURVEYED + timedelta(hours=2)
LABELS = "/labels/"


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def surveyed(make_hood, version, programme_manager, technician, instrument):
    """Makes a hood at a place in the walk of its room and surveys it once."""

    def make(tag, readings=None, at=SURVEYED, order=0, **fields):
        hood = make_hood(tag=tag, **fields)
        surveying.assign(hood, version, programme_manager)
        hoods.shift_hood(hood=hood, order=order, by=programme_manager, at=at)
        return surveying.survey(hood, entered(instrument, readings), technician, at)

    return make


@pytest.fixture
def technicians(signed_in, technician):
    return signed_in(technician)


@pytest.fixture
def three(surveyed):
    """Three hoods whose walk is not the order of their tags."""
    return [surveyed(tag, order=order) for tag, order in (("FH-0143", 1), ("FH-0141", 2), ("FH-0142", 3))]


def said(response) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def tags(response) -> list[str]:
    """The tags of a print, in its order."""
    assert response.status_code == 200, said(response)
    assert response["Content-Type"] == "application/pdf"
    return re.findall(
        r"FH-\d{4}", " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(response.content)).pages)
    )


def ticked(response) -> list[str]:
    return re.findall(r'value="(\d+)"[^>]* checked', response.content.decode())


def chosen(surveys, sheet="100x50", **more):
    return {"hoods": [survey.hood_id for survey in surveys], "sheet": sheet, "start": "1"} | more


ROLLS = {"100x50": (100, 50), "4x2in": (101.6, 50.8)}


@pytest.mark.parametrize("sheet", ROLLS)
def test_a_roll_has_one_label_a_page_of_its_size_in_walking_order(technicians, three, room, sheet):
    response = technicians.post(f"{LABELS}?room={room.pk}", chosen(reversed(three), sheet))
    assert tags(response) == ["FH-0143", "FH-0141", "FH-0142"]
    assert len(reading.pages(response.content)) == 3
    for page in pypdf.PdfReader(io.BytesIO(response.content)).pages:
        size = float(page.mediabox.width) / reading.MM, float(page.mediabox.height) / reading.MM
        assert size == pytest.approx(ROLLS[sheet], abs=0.1)
    assert sorted(LabelCopy.objects.values_list("survey", "sheet")) == sorted((survey.pk, sheet) for survey in three)


@pytest.mark.parametrize("sheet", ROLLS)
def test_l7_the_codes_of_a_roll_lead_to_their_hoods(technicians, three, sheet):
    made = technicians.post(LABELS, chosen(three, sheet)).content
    for page, survey in enumerate(three):
        [(address, _corner)] = reading.codes(reading.picture(made, 300, page))
        assert address.endswith(f"/H/{survey.hood.code}/{survey.label_issue}")


def test_printing_goes_on_from_a_chosen_hood(technicians, three):
    response = technicians.post(LABELS, chosen(three, begin=three[1].hood_id))
    assert tags(response) == ["FH-0141", "FH-0142"]
    assert set(LabelCopy.objects.values_list("survey", flat=True)) == {three[1].pk, three[2].pk}


@pytest.mark.parametrize(
    ("changed", "words"),
    [({"start": "2"}, "A roll has one label a page: write 1."), ({"begin": "77810"}, "is not in the list"),
     ({"sheet": "a4-2x5", "start": "11"}, "places 1 to 10")],
)  # fmt: skip
def test_what_cannot_be_printed_so_is_refused_in_a_sentence(technicians, three, changed, words):
    response = technicians.post(LABELS, chosen(three) | changed)
    assert response.status_code == 422
    assert words in said(response)
    assert not LabelCopy.objects.exists()


def test_to_begin_with_a_hood_that_is_not_ticked_is_refused(technicians, three):
    response = technicians.post(LABELS, chosen(three[:2], begin=three[2].hood_id))
    assert response.status_code == 422
    assert "This hood is not ticked: tick it above, or begin with one that is." in said(response)


def test_the_page_of_a_room_has_its_hoods_alone_all_ticked(technicians, surveyed, three, room, other_room):
    surveyed("FH-0190", room=other_room)
    page = technicians.get(LABELS, {"room": room.pk})
    assert re.findall(r"FH-\d{4}, North Range 214, issue 1", said(page))[:3] == [
        f"{tag}, North Range 214, issue 1" for tag in ("FH-0143", "FH-0141", "FH-0142")
    ]
    assert "FH-0190" not in said(page)
    assert ticked(page) == [str(survey.hood_id) for survey in three]
    assert "Room 214, North Range" in said(page)


def test_the_page_of_a_building_has_the_hoods_of_its_rooms(technicians, surveyed, site, three, building, other_room):
    surveyed("FH-0190", room=other_room)
    surveyed("FH-0300", room=making.make_room(making.make_building(site, "Mill House"), "7"))
    page = said(technicians.get(LABELS, {"building": building.pk}))
    assert "4 hoods have a label today." in page
    assert "FH-0300" not in page


def test_a_hood_without_a_label_is_named_with_the_reason(technicians, surveyed, make_hood, technician, room):
    surveyed("FH-0141")
    surveyed("FH-0142", SLOW)
    make_hood(tag="FH-0143")
    post_stop(hood=surveyed("FH-0144").hood, reason="glass-broken", by=technician, at=NOW)
    page = said(technicians.get(LABELS, {"room": room.pk}))
    assert "1 hood has a label today. 3 have none : they are named below with the reason." in page
    for words in (
        "FH-0142 North Range 214 Do not use The survey of 12 MAR 2026 found that the criteria are not met.",
        "FH-0143 North Range 214 Not yet surveyed No survey has had a verdict yet.",
        "FH-0144 North Range 214 Do not use Do not use, posted on 12 MAR 2026: the glass is broken.",
    ):
        assert words in page


def test_hoods_come_a_hundred_on_a_page_in_walking_order(technicians, surveyed, make_hood, room):
    for number in range(100):
        make_hood(tag=f"FH-{5000 + number}")
    last = surveyed("FH-0142", order=9)
    first, second = technicians.get(LABELS), technicians.get(LABELS, {"room": room.pk, "page": "2"})
    assert "No hood on this page has a label to print today." in said(first)
    assert "Page 1 of 2: hoods 1 to 100 of 101" in said(first)
    assert "1 hood on this page has a label today." in said(second)
    assert ticked(second) == [str(last.hood_id)]
    assert f'href="?room={room.pk}&amp;page=1"' in second.content.decode()
    assert "Page 2 of 2" in said(technicians.get(LABELS, {"page": "99"})), "past the end: the last page"
    assert tags(technicians.post(LABELS + "?page=2", chosen([last]))) == ["FH-0142"]


def test_a_hood_stopped_since_the_page_was_opened_is_named_and_nothing_is_printed(technicians, three, technician):
    post_stop(hood=three[0].hood, reason="glass-broken", by=technician, at=NOW)
    response = technicians.post(LABELS, chosen(three))
    assert response.status_code == 403
    assert "FH-0143" in said(response)
    assert not LabelCopy.objects.exists()


def test_a2_rooms_of_others_are_not_there(technicians, db):
    theirs = making.make_room(making.make_building(making.make_site("Far Institute"), "Shore House"))
    for asked in ({"room": theirs.pk}, {"building": theirs.building_id}, {"room": "x"}):
        assert technicians.get(LABELS, asked).status_code == 404
        assert (
            technicians.post(f"{LABELS}?{'&'.join(f'{key}={value}' for key, value in asked.items())}").status_code
            == 404
        )


# --- the outline test ---


def test_the_outline_test_of_each_paper_uses_no_label_up(technicians, three, site):
    site.printer_dpi = 203
    site.save()
    page = technicians.get(LABELS).content.decode()
    addresses = re.findall(rf'href="({reverse("reports:label_outline")}\?sheet=[^"]+)"', page)
    assert len(addresses) == 4
    for address in addresses:
        response = technicians.get(address)
        assert "203 dots an inch" in reading.text(response.content)
    assert not LabelCopy.objects.exists()
    assert "Does the paper fit?" in said(technicians.get(LABELS))
    assert "on a roll it takes one blank label" in said(technicians.get(LABELS))


def test_an_outline_of_no_paper_is_not_there(technicians, three):
    assert technicians.get(reverse("reports:label_outline"), {"sheet": "napkin"}).status_code == 404


def test_only_who_prints_labels_has_the_outline(signed_in, auditor, lab_manager, programme_manager):
    for person, status in ((auditor, 403), (lab_manager, 403), (programme_manager, 200)):
        assert signed_in(person).get(reverse("reports:label_outline")).status_code == status


# --- what stands on the label ---

DUE = [
    # surveyed on,          due as printed,   why
    (date(2028, 2, 29), "2029 FEB 28", "29 February has no next year"),
    (date(2027, 12, 31), "2028 DEC 31", "a year's end"),
    (date(2027, 2, 28), "2028 FEB 28", "the day, not the month's end"),
    (date(2027, 3, 12), "2028 MAR 12", "any day"),
]


@pytest.mark.parametrize(("on", "due", "why"), DUE)
def test_l17_the_due_day_is_on_the_label(surveyed, signed_in, technician, on, due, why):
    at = datetime(on.year, on.month, on.day, 10, tzinfo=SURVEYED.tzinfo)
    with time_machine.travel(at + timedelta(hours=1), tick=False):
        survey = surveyed("FH-0142", at=at)
        made = signed_in(technician).post(LABELS, chosen([survey])).content
    assert f"Due {due}" in re.sub(r"\s+", " ", reading.text(made)) or due in reading.text(made)
    assert f"{on.year} {due.split()[1] if on.day != 29 else 'FEB'} {on.day}, RO" in reading.text(made), why
    printed = {ink.text: ink for ink in reading.inks(made)}
    heading = printed["Due"]
    assert abs(printed[due].left - heading.left) < 0.5, why
    assert heading.bottom < printed[due].top + 0.5
