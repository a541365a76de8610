"""Blank survey forms: what the page asks, in its order, at the registered sizes; who has them, and what is left out."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from hoods.models import HoodEvent
from reports.pdf.blank import Say
from reports.views.blank import blank_of
from surveys.actions.drafts import start_draft
from surveys.core.checks import CHECK
from surveys.models import Draft
from tests import making, surveying
from tests.reports.pdf import reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def version(site, programme_manager):
    surveying.make_instrument(site, programme_manager, name="A-07")
    return surveying.make_version(site, programme_manager, name="Laboratory hoods")


@pytest.fixture
def ready(hood, version, programme_manager):
    surveying.assign(hood, version, programme_manager)
    return hood


CLEARS = {"check": "smoke-inside-clears", "applies_to": "each", "consequence": "restrict", "restriction": "no powders"}


def asked(client: Client, view: str, pk: int, person, **query: str):
    client.force_login(person)
    return client.get(reverse(view, args=[pk]), query)


def printed(client: Client, hood, person) -> bytes:
    answer = asked(client, "reports:hood_blank", hood.pk, person)
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    return answer.content


def test_the_form_asks_what_the_survey_page_asks_in_its_order(client, ready, technician):
    said = reading.quick_text(printed(client, ready, technician))
    page = client.get(
        reverse("surveys:detail", args=[start_draft(hood=ready, by=technician, at=surveying.SURVEYED).pk])
    )
    headings = [
        unescape(name) for name in re.findall(r'<span class="no">\d+</span>([^<]+)</h2>', page.content.decode())
    ]
    numbered = [
        f"{number} {name if name != 'Verdict' else 'Another opening'}" for number, name in enumerate(headings, 1)
    ]  # where the page judges, paper has room for the opening that a failure asks for
    places = [said.find(name) for name in numbered]
    assert -1 not in places, [name for name, at in zip(numbered, places, strict=True) if at < 0]
    assert places == sorted(places)
    for code in ("smoke-at-opening", "sash-moves-and-stays", "light-works"):
        assert CHECK[code].question in said
    assert CHECK["outlets-work"].question not in said, "the criteria do not ask for it"


def test_the_form_asks_that_a_warning_stays_with_its_questions_and_what_is_signed_with_what_went_before(
    hood, technician, site, programme_manager
):
    document = surveying.CRITERIA | {"checks": [*surveying.CRITERIA["checks"], CLEARS]}
    surveying.assign(hood, surveying.make_version(site, programme_manager, document), programme_manager)
    parts = blank_of(hood, site.today(), technician).parts
    assert [part.name for part in parts if part.joined] == [parts[-1].name] == ["Sign"]
    (smoke,) = [part for part in parts if part.name.casefold().endswith("smoke")]
    assert isinstance(smoke.items[0], Say)
    assert smoke.items[0].text.startswith("Before you let out much smoke")
    assert [item.keep for item in smoke.items] == [True] * (len(smoke.items) - 1) + [False]


def test_a_check_has_a_box_for_each_of_its_answers_and_does_not_apply_only_where_it_may(client, ready, technician):
    said = reading.quick_text(printed(client, ready, technician))
    light = said[said.find(CHECK["light-works"].question) :]
    assert light.removeprefix(CHECK["light-works"].question).strip().startswith("Yes No Does not apply Not looked at")
    sash = said[said.find(CHECK["sash-moves-and-stays"].question) :]
    assert sash.removeprefix(CHECK["sash-moves-and-stays"].question).strip().startswith("Yes No Not looked at")


GRIDS = [  # width, height, columns and rows by the version's rule, why
    ("62 in", "18 in", (5, 2), "1 ft² and 13 in"),
    ("24 in", "12 in", (2, 1), "exactly two square feet"),
    ("1575 mm", "457 mm", (5, 2), "in millimetres"),
    ("62 in", "30 in", (5, 3), "higher"),
]


@pytest.mark.parametrize(("width", "height", "grid", "why"), GRIDS)
def test_the_grid_is_drawn_for_the_registered_size(
    client, room, version, programme_manager, technician, width, height, grid, why
):
    hood = making.make_hood(room=room, by=programme_manager, openings=(("working", "working", width, height),))
    surveying.assign(hood, version, programme_manager)
    pdf = printed(client, hood, technician)
    columns, rows = grid
    boxes = re.findall(rb"([\d.]+) [\d.]+ ([\d.]+) ([\d.]+) re S", pdf)
    points = [box for box in boxes if float(box[1]) > 20 * 72 / 25.4 and float(box[2]) > 8 * 72 / 25.4]
    assert len(points) == 3 * columns * rows, why  # as found, at another opening, and as left
    assert len({box[0] for box in points}) == columns


def test_there_is_room_for_one_more_opening_where_the_page_offers_it(client, room, version, programme_manager, technician):
    openings = (("working", "working", "62 in", "18 in"), ("lower", "lower", "62 in", "12 in"))
    hood = making.make_hood(room=room, by=programme_manager, openings=openings)
    hood.openings.filter(name="lower").update(tested_every_survey=False)
    surveying.assign(hood, version, programme_manager)
    said = reading.quick_text(printed(client, hood, technician))
    other = said[said.index("Another opening") : said.index("As left")]
    for words in (
        "Under 6 in", "the least useful height, no opening is approved.", "The hood also has: lower, 12 in",
        "Its name", "Its use", "Height measured", "Width measured", "Face velocity at the other opening, ft/min",
        "cells of at most 1 ft², no edge longer than 13 in", "Monitor shows there", CHECK["smoke-at-opening"].question,
    ):  # fmt: skip
        assert words in other, words
    assert "Which part is open" not in other
    assert CHECK["light-works"].question not in other, "what is asked of the hood is asked once"


def test_another_opening_of_a_sash_with_parts_says_which_part(client, room, version, programme_manager, technician):
    hood = making.make_hood(room=room, by=programme_manager, sash="horizontal", openings=())
    hood.openings.create(name="left", use="working", way="left panel", width="30 in", height="30 in")
    surveying.assign(hood, version, programme_manager)
    assert "Which part is open" in reading.quick_text(printed(client, hood, technician))


def test_the_code_leads_to_the_hood_on_each_paper(client, ready, technician, settings):
    settings.SITE_URL = "https://hoods.skua.example"
    for paper, size in (("A4", (210, 297)), ("Letter", (215.9, 279.4))):
        pdf = asked(client, "reports:hood_blank", ready.pk, technician, paper=paper).content
        assert reading.size(pdf) == pytest.approx(size, abs=0.1)
        found = reading.codes(reading.picture(pdf, 300))
        assert [text for text, _corner in found] == [f"HTTPS://HOODS.SKUA.EXAMPLE/H/{ready.code}"]
        assert f"Blank form, {ready.tag}, page 1 of " in reading.pages(pdf)[0]
        assert all(
            f"Blank form, {ready.tag}, page {number} of " in said for number, said in enumerate(reading.pages(pdf), 1)
        )


def test_no_survey_begins_by_printing_a_form(client, ready, technician):
    printed(client, ready, technician)
    assert Draft.objects.count() == 0


def test_the_forms_of_a_room_stand_in_walking_order_and_name_who_is_left_out(
    client, ready, room, version, programme_manager
):
    second = making.make_hood(room=room, by=programme_manager, tag="FH-0002")
    surveying.assign(second, version, programme_manager)
    without = making.make_hood(room=room, by=programme_manager, tag="FH-0003")
    answer = asked(client, "reports:room_blank", room.pk, programme_manager)
    assert answer.status_code == 200
    assert "No form for 1 hood" in answer.content.decode()
    assert f"No criteria are chosen for hood {without.tag}" in answer.content.decode()
    pdf = client.get(reverse("reports:room_blank", args=[room.pk]), {"without": ""})
    firsts = [re.search(r"Blank form, (\S+), page 1 of", said) for said in reading.pages(pdf.content)]
    assert [found[1] for found in firsts if found] == sorted([ready.tag, second.tag])


def test_a_retired_hood_has_no_form(client, ready, site, programme_manager):
    HoodEvent.objects.create(hood=ready, kind="retired", on=site.today(), at=making.AT, by=programme_manager)
    answer = asked(client, "reports:hood_blank", ready.pk, programme_manager)
    assert answer.status_code == 403
    assert f"Hood {ready.tag} is retired" in answer.content.decode()


def test_technicians_and_programme_managers_find_the_forms_on_the_pages_of_hood_and_room(
    client, ready, room, technician, auditor
):
    for view, pk, link in (
        ("surveys:hood", ready.pk, reverse("reports:hood_blank", args=[ready.pk])),
        ("surveys:room", room.pk, reverse("reports:room_blank", args=[room.pk])),
    ):
        assert f'href="{link}"' in asked(client, view, pk, technician).content.decode()
        assert f'href="{link}"' not in asked(client, view, pk, auditor).content.decode()
