"""All hoods of one fan: found by its name, led to from the page of any of them."""

from __future__ import annotations

import pytest
from django.urls import reverse

from hoods.actions import place
from hoods.actions.hood import move_hood
from tests.surveys.conftest import NOW, TODAY
from tests.surveys.test_lists import tags
from tests.surveys.words import said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def fans(site):
    names = ("EF-1", "EF-10", "Roof fan A & B")
    return {name: place.add_exhaust(site=site, name=name, by=None, at=NOW) for name in names}


def hang(hood, fan, by):
    """Says which fan draws a hood, from the day on which it was installed."""
    stood = hood.placement()
    hood.placements.create(room=stood.room, exhaust=fan, from_on=stood.from_on, at=NOW, by=by)


@pytest.fixture
def hoods(hood_of, fans, programme_manager):
    """Two on EF-1, one on EF-10, one on a fan of several words, one on none."""
    on = {"FH-0201": "EF-1", "FH-0202": "EF-1", "FH-0203": "EF-10", "FH-0204": "Roof fan A & B", "FH-0205": None}
    made = {}
    for tag, name in on.items():
        made[tag] = hood_of("met-criteria", tag)
        if name:
            hang(made[tag], fans[name], programme_manager)
    return made


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("EF-1", ["FH-0201", "FH-0202"]),
        ("ef-10", ["FH-0203"]),
        ("EF-1 0202", ["FH-0202"]),
        ("EF-1 EF-10", []),
        ("Roof fan A & B", ["FH-0204"]),
        ("roof FAN a & b", ["FH-0204"]),
        ("Roof fan", []),
        ("EF-3", []),
    ],
)
def test_hoods_are_searched_by_the_name_of_their_exhaust_system(signed_in, technician, hoods, asked, found):
    page = signed_in(technician).get("/hoods/", {"q": asked})
    assert sorted(tags(page)) == found


def test_every_hood_is_listed_where_nothing_is_asked(signed_in, technician, hoods):
    assert sorted(tags(signed_in(technician).get("/hoods/", {"q": " "}))) == sorted(hoods)


def test_where_it_hangs_on_no_more_does_not_find_it(signed_in, technician, programme_manager, hoods, fans, other_room):
    client = signed_in(technician)
    move_hood(
        hood=hoods["FH-0201"], room=other_room, exhaust=fans["EF-10"], position="", on=TODAY, why="The bench was moved.", by=programme_manager,
        at=NOW,
    )  # fmt: skip
    assert sorted(tags(client.get("/hoods/", {"q": "EF-1"}))) == ["FH-0202"]
    assert sorted(tags(client.get("/hoods/", {"q": "EF-10"}))) == ["FH-0201", "FH-0203"]


def test_what_is_found_says_its_exhaust_system(signed_in, technician, hoods):
    words = said(signed_in(technician).get("/hoods/", {"q": "EF-10"}))
    assert "1 hood is found for “EF-10”." in words
    assert "exhaust EF-10" in words


@pytest.mark.parametrize("tag", ["FH-0201", "FH-0203", "FH-0204"])
def test_the_page_of_a_hood_leads_to_all_that_its_fan_draws(signed_in, technician, hoods, fans, tag):
    client, hood = signed_in(technician), hoods[tag]
    name = hood.placement().exhaust.name
    page = client.get(reverse("surveys:hood", args=[hood.pk])).content.decode()
    address = page.split(f">All hoods on {name.replace('&', '&amp;')}<")[0].rsplit('href="', 1)[1].rstrip('"')
    others = {one for one, other in hoods.items() if getattr(other.placement().exhaust, "name", None) == name}
    assert set(tags(client.get(address))) == others


def test_a_hood_on_no_exhaust_leads_nowhere(signed_in, technician, hoods):
    assert "All hoods on" not in said(signed_in(technician).get(reverse("surveys:hood", args=[hoods["FH-0205"].pk])))


def test_the_exhaust_systems_of_the_site_lead_to_their_hoods(signed_in, technician, hoods):
    page = signed_in(technician).get(reverse("hoods:site")).content.decode()
    assert 'href="/hoods/?q=EF-10"' in page
    assert 'href="/hoods/?q=Roof%20fan%20A%20%26%20B"' in page


def test_a8_a_lab_manager_finds_no_hood_of_another_room_by_its_fan(
    signed_in, lab_manager, programme_manager, hoods, hood_of, fans, other_room
):
    elsewhere = hood_of("met-criteria", "FH-0290", room=other_room)
    hang(elsewhere, fans["EF-1"], programme_manager)
    assert sorted(tags(signed_in(lab_manager).get("/hoods/", {"q": "EF-1"}))) == ["FH-0201", "FH-0202"]
