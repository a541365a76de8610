"""An opening that something covers in part, from the register to its label: told, drawn, measured in its free part alone."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from hoods.actions.opening import add_opening, change_opening
from hoods.actions.refusal import Refused
from hoods.models import Hood
from surveys import queries
from surveys.actions.labels import record_label_copies
from tests import surveying
from tests.filling import Surveyor
from tests.making import AT
from tests.reports.downloaded import NOW, text
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db
#: 60 in wide, 18 in high: 5 columns, 2 rows; from 36 in on nothing but the panel, so that 3 of 5 columns are points.
FREE = "Covered in part: fixed panel, 36 in from the left side. Free area 4.5 ft² of 7.5 ft²"
LATER = NOW + timedelta(minutes=1)
READ = [["98", "101", "95"], ["99", "103", "98"]]  # sum 594, average 99; flow 99 × 4.5 = 445.5 ft³/min


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def covered(ready) -> Hood:
    hood = ready("FH-0150", kind="floor-mounted", openings=(("working", "working", "60 in", "18 in"),))
    hood.openings.update(cover="fixed panel", cover_left="36 in")
    return hood


@pytest.fixture
def surveyor(covered, instrument, technicians) -> Surveyor:
    made = Surveyor(technicians, covered)
    made.fill(reason="annual", instrument=str(instrument.pk), right_hood="yes", fit="yes")
    made.fill(o0_height="18", o0_height_unit="in", o0_width="60", o0_width_unit="in")
    made.press("keep")
    return made


@pytest.fixture
def signed(surveyor):
    for r, row in enumerate(READ):
        surveyor.fill(**{f"r0f-{r}-{c}-0": reading for c, reading in enumerate(row)})
    surveyor.fill(
        **{"a0f-smoke-at-opening": "yes", "ahn-sash-moves-and-stays": "yes", "ahn-light-works": "yes", "adjusted": "no"}
    )
    surveyor.press("keep")
    surveyor.answer_doubts()
    surveyor.sign(missing_confirmed="on")
    return surveyor.survey


def test_the_survey_page_draws_a_box_for_each_free_point_alone(surveyor):
    assert FREE in said_of(surveyor)
    boxes = {name for name in surveyor.form.names if name.startswith("r0f-") and name.endswith("-0")}
    assert boxes == {f"r0f-{r}-{c}-0" for r in range(2) for c in range(3)}
    assert surveyor.page.count("data-covered") == 2 * 4, "two columns of two rows, as found and as left"
    assert "So far, from 0 of 6 points" in said_of(surveyor)


def said_of(surveyor):
    return said(surveyor.client.get(surveyor.address))


def test_a_narrower_opening_is_not_covered_any_more(surveyor):
    surveyor.fill(o0_width="36")
    surveyor.press("keep")
    assert "data-covered" not in surveyor.page


def test_it_is_signed_shown_printed_and_labelled_with_what_covers_it(signed, covered, technicians):
    assert (signed.verdict, signed.label_issue) == ("pass", 1)
    only = signed.record.attested["judged"]["sets"]["as-left"]["openings"][0]
    assert only["free_area"]["exact"] == "9/2"
    assert only["figures"]["flow"]["exact"] == "891/2"
    page = technicians.get(reverse("surveys:detail", args=[signed.pk]))
    assert FREE in said(page)
    assert page.content.decode().count('class="n covered"') == 4
    assert page.content.decode().count('class="front small"') == 1, "and drawn as seen from the front"
    certificate = text(technicians.get(reverse("reports:certificate", args=[signed.pk])))
    assert "Covered in part: fixed panel, 36 in from the left side." in certificate
    assert "sash at or below 18 in (457 mm) above the airfoil, with fixed panel in place" in certificate
    label = text(technicians.post(reverse("reports:label", args=[covered.pk])))
    assert "with fixed panel in place" in label
    for address in (reverse("surveys:hood", args=[covered.pk]), reverse("public_hood", args=[covered.code])):
        page = technicians.get(address)
        assert "sash at or below 18 in (457 mm) above the airfoil, with fixed panel in place" in first_line(page)
        assert 'class="cover"' in page.content.decode(), "drawn as seen from the front"


def test_the_blank_form_asks_for_no_reading_behind_it(covered, technicians):
    blank = text(technicians.get(reverse("reports:hood_blank", args=[covered.pk])))
    assert "Free area 4.5 ft² of 7.5 ft²" in blank
    assert "Hatched: covered, no point." in blank


def test_a_change_of_what_covers_it_ends_its_approval_and_other_words_do_not(signed, covered, programme_manager):
    opening = covered.openings.get()
    change_opening(opening=opening, by=programme_manager, at=LATER, cover="closed panel")
    assert today(covered).code == "met-criteria"
    change_opening(opening=opening, by=programme_manager, at=LATER, cover_left="30 in")
    assert today(covered).code == "not-surveyed"
    assert covered.events.filter(kind="opening-changed").count() == 1


def today(hood):
    return queries.status_of(hood, hood.site.today())


REFUSED = [
    ({"cover_left": "36 in"}, "cover", "Say what covers it, such as: fixed panel."),
    ({"cover": "panel"}, "cover_left", "Write where it is"),
    ({"cover": "panel", "cover_left": "60 in"}, "cover_left", "This reaches over the side of the opening"),
    ({"cover": "panel", "cover_up": "0 in"}, "cover_left", "This would cover the whole opening"),
    ({"cover": "panel", "cover_width": "0 in"}, "cover_width", "This is zero"),
    ({"cover": "panel", "cover_up": "-1 in"}, "cover_up", "This is below zero"),
]


@pytest.mark.parametrize(("given", "field", "words"), REFUSED)
def test_what_cannot_be_is_refused_at_its_box_and_by_the_action(
    ready, programme_manager, signed_in, given, field, words
):
    hood = ready("FH-0151", openings=())
    client, address = signed_in(programme_manager), reverse("hoods:add_opening", args=[hood.pk])
    what = {"name": "working", "use": "working", "width": "60 in", "height": "18 in"}
    answer = client.post(address, what | given)
    assert answer.status_code == 422
    assert words in str(answer.context["form"].errors[field])
    with pytest.raises(Refused) as refused:
        add_opening(hood=hood, by=programme_manager, at=AT, **what, **given)
    assert (refused.value.field, words in str(refused.value)) == (field, True)
    assert not hood.openings.exists()


def test_it_is_kept_by_the_page_and_shown_there(ready, programme_manager, signed_in):
    hood = ready("FH-0152", openings=())
    client = signed_in(programme_manager)
    what = {
        "name": "working",
        "use": "working",
        "width": "60 in",
        "height": "40 in",
        "cover": "shelf",
        "cover_up": "20 in",
        "cover_height": "2 in",
    }
    assert client.post(reverse("hoods:add_opening", args=[hood.pk]), what).status_code == 302
    page = client.get(reverse("hoods:hood_inventory", args=[hood.pk]))
    assert "shelf, 20 in from the lower edge, 2 in high" in said(page)


def test_a_hood_whose_label_was_printed_before_keeps_its_words(signed, covered, technician):
    """The label says what was attested, whatever the register calls it today."""
    record_label_copies(surveys=[signed], sheet="single", by=technician, at=NOW)
    covered.openings.update(cover="another name")
    assert [one.cover for one in today(covered).approved] == ["fixed panel"]


def test_a_two_state_hood_says_in_which_state_it_was_tested(ready, instrument, technician, technicians):
    hood = ready("FH-0153", control="two-state")
    unsaid = surveying.survey(hood, surveying.entered(instrument), technician)
    assert unsaid.verdict == "no-verdict"
    content = surveying.entered(instrument) | {"conditions": {"flow_state": "higher"}}
    signed = surveying.survey(hood, content, technician, at=surveying.SURVEYED.replace(hour=14))
    assert signed.verdict == "pass"
    for address in (reverse("surveys:hood", args=[hood.pk]), reverse("public_hood", args=[hood.code])):
        said = "sash at or below 18 in (457 mm) above the airfoil; tested at its higher flow, not approved at its lower"
        assert said in first_line(technicians.get(address))
    assert "tested at its higher flow" in text(technicians.post(reverse("reports:label", args=[hood.pk])))
    certificate = text(technicians.get(reverse("reports:certificate", args=[signed.pk])))
    assert "tested at its higher flow" in certificate
    assert "state tested: higher flow" in certificate
