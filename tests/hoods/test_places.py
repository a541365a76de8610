"""The pages of the site, its buildings, rooms and exhaust systems; and how a new site begins."""

from __future__ import annotations

import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from hoods import actions
from hoods.models import Building, Entry, ExhaustSystem, Person, Room, Site
from tests import making

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


def at(view: str, *args) -> str:
    return reverse(f"hoods:{view}", args=args)


def errors(response) -> dict[str, list[str]]:
    assert response.status_code == 422
    return {name: [str(error) for error in said] for name, said in response.context["form"].errors.items()}


SETTINGS = {
    "name": "Skua Institute", "time_zone": "Europe/London", "elevation": "120 m", "address": "Mill Lane",
    "office": "Safety office", "telephone": "4100", "emergency": "Step away.", "emergency_telephone": "4444",
    "speed_unit": "m/s", "length_unit": "mm", "temperature_unit": "degC", "height_from": "work-surface",
    "paper": "Letter", "printer_dpi": "203", "why": "moved house",
}  # fmt: skip


def test_the_settings_of_the_site_are_kept_with_their_entry(manager, site):
    assert manager.post(at("change_site"), SETTINGS).url == at("site")
    site.refresh_from_db()
    assert (site.elevation, site.height_from, site.printer_dpi) == ("120 m", "work-surface", 203)
    page = manager.get(at("site")).content.decode()
    assert "Site changed" in page
    assert "Reason: moved house" in page
    assert Entry.objects.of(site).first().after["speed_unit"] == "m/s"


@pytest.mark.parametrize(
    ("box", "typed", "said"),
    [
        ("time_zone", "Europe/Skua", "no time zone"),
        ("time_zone", "../../etc/passwd", "no time zone"),
        ("elevation", "high", "no number with a unit"),
        ("elevation", "120", "such as 120 m"),
        ("elevation", "6001 m", "more than 6000 m"),
        ("elevation", "-20001 ft", "more than 20000 ft"),
        ("name", "Skua\u200bInstitute", "cannot be seen"),
        ("paper", "A5", "not in the list"),
        ("printer_dpi", "150", "not in the list"),
        ("emergency", "<script>" * 12500, "at most 4000"),
        ("telephone", "41\x0000", "cannot be kept"),
    ],
)
def test_each_setting_that_is_refused_says_why_and_stays(manager, site, box, typed, said):
    response = manager.post(at("change_site"), SETTINGS | {box: typed})
    assert list(errors(response)) == [box]
    assert said in errors(response)[box][0]
    assert "<script>" not in response.content.decode()
    site.refresh_from_db()
    assert site.speed_unit == "ft/min"


@pytest.mark.parametrize("elevation", ["0 m", "-2 m", "-430.5 m", "6000 m", ""])
def test_a_site_may_lie_at_the_sea_or_below_it(manager, site, elevation):
    assert manager.post(at("change_site"), SETTINGS | {"elevation": elevation}).url == at("site")
    site.refresh_from_db()
    assert site.elevation == elevation


def test_a_building_a_room_and_an_exhaust_are_added_changed_and_shown(manager, site):
    manager.post(at("add_building"), {"name": "Mill House", "order": "2"})
    building = Building.objects.get(name="Mill House")
    room = {
        "building": building.pk,
        "number": "3.07",
        "name": "Analysis",
        "floor": "3",
        "order": "0",
        "hazards": "lasers",
    }
    manager.post(at("add_room"), room)
    manager.post(at("add_exhaust"), {"name": "EF-3", "words": "roof, east"})
    page = manager.get(at("site")).content.decode()
    for word in ("Mill House", "3.07", "Analysis", "EF-3", "roof, east"):
        assert word in page
    manager.post(at("change_building", building.pk), {"name": "Mill House", "order": "1"})
    manager.post(at("change_room", Room.objects.get().pk), room | {"responsible": "Asel Brandt"})
    manager.post(at("change_exhaust", ExhaustSystem.objects.get().pk), {"name": "EF-3", "words": "roof, west"})
    assert Room.objects.get().responsible == "Asel Brandt"
    assert set(Entry.objects.exclude(thing="person").values_list("action", flat=True)) == {
        "building-added", "room-added", "exhaust-added", "building-changed", "room-changed", "exhaust-changed",
    }  # fmt: skip
    assert "Room changed" in manager.get(at("change_room", Room.objects.get().pk)).content.decode()


def test_a_name_that_is_taken_is_said_at_the_name(manager, building, room):
    assert "name" in errors(manager.post(at("add_building"), {"name": building.name, "order": "0"}))
    taken = {"building": building.pk, "number": room.number, "order": "0"}
    assert "number" in errors(manager.post(at("add_room"), taken))


def test_a2_places_of_another_site_are_not_there(manager, hood_elsewhere):
    foreign = hood_elsewhere.placement().room
    exhaust = actions.add_exhaust(
        site=foreign.building.site, name="EF-9", by=hood_elsewhere.placement().by, at=making.AT
    )
    for view, thing in (("change_building", foreign.building), ("change_room", foreign), ("change_exhaust", exhaust)):
        assert manager.get(at(view, thing.pk)).status_code == 404
        assert manager.post(at(view, thing.pk), {"name": "mine", "order": "0"}).status_code == 404
    assert "building" in errors(
        manager.post(at("add_room"), {"building": foreign.building.pk, "number": "9", "order": "0"})
    )
    assert foreign.building.name not in manager.get(at("site")).content.decode()


PAGES = [
    ("change_site", False),
    ("add_building", False),
    ("change_building", True),
    ("add_room", False),
    ("add_exhaust", False),
]


@pytest.mark.parametrize("role", ["technician", "lab_manager", "auditor", "stranger"])
@pytest.mark.parametrize(("view", "takes_building"), PAGES)
def test_only_the_programme_manager_keeps_places(request, signed_in, building, role, view, takes_building):
    browser = signed_in(request.getfixturevalue(role))
    entries = Entry.objects.count()  # of signing in
    address = at(view, building.pk) if takes_building else at(view)
    assert browser.get(address).status_code == 403
    assert browser.post(address, SETTINGS | {"order": "0"}).status_code == 403
    assert Entry.objects.count() == entries


def test_the_site_page_asks_as_much_of_one_room_as_of_three(
    manager, site, building, room, django_assert_num_queries, django_assert_max_num_queries
):
    with django_assert_max_num_queries(12) as asked:
        manager.get(at("site"))
    making.make_room(building, "215")
    making.make_room(making.make_building(site, "Mill House"), "1")
    with django_assert_num_queries(len(asked.captured_queries)):
        manager.get(at("site"))


# --- a site begins ------------------------------------------------------------------------------------------------------------


def begin(*args: str) -> str:
    said = StringIO()
    call_command("add_site", *args, stdout=said)
    return said.getvalue()


def test_a_new_site_begins_by_a_command_that_prints_the_link(client, db):
    said = begin(
        "Skua Institute", "--zone", "Europe/London", "--manager", "Henrik@Skua.example", "--manager-name", "Henrik Sole"
    )
    site, person = Site.objects.get(), Person.objects.get()
    assert (site.time_zone, person.email, person.name) == ("Europe/London", "henrik@skua.example", "Henrik Sole")
    assert person.has_role(site, "programme-manager")
    link = re.search(r"https://hoods\.skua\.example(\S+)", said)[1]
    page = client.get(link, follow=True)
    assert page.status_code == 200
    password = {"new_password1": "grey heron 41", "new_password2": "grey heron 41"}
    assert client.post(page.redirect_chain[-1][0], password).status_code == 302
    assert (
        client.post(reverse("account_login"), {"login": person.email, "password": "grey heron 41"}).status_code == 302
    )
    assert client.get(at("people")).status_code == 200
    assert client.get(link, follow=True).context["validlink"] is False  # used once


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("Skua Institute", "--zone", "Europe/Skua", "--manager", "h@skua.example"), "not a time zone"),
        (("Skua Institute", "--zone", "Europe/London", "--manager", "nobody"), "no e-mail address"),
        (("Fell College", "--zone", "Europe/London", "--manager", "h@skua.example"), "name is here already"),
        ((" ", "--zone", "Europe/London", "--manager", "h@skua.example"), "A site has a name"),
    ],
)
def test_a_site_that_cannot_begin_says_why_and_leaves_nothing(elsewhere, args, said):
    with pytest.raises(CommandError, match=said):
        begin(*args)
    assert (Site.objects.count(), Person.objects.count()) == (1, 0)


ALIKE = [
    # view, what is there, what looks like it, the box, what is said
    ("add_room", "2.14A", "2.14a", "number", "has a room of this number already"),
    ("add_room", "2.14A", "２.14A", "number", "has a room of this number already"),
    ("add_building", "North Range", "NORTH  RANGE", "name", "A building of this name is here already"),
    ("add_exhaust", "EF-12", "ef-12", "name", "An exhaust system of this name is here already"),
]


@pytest.mark.parametrize(("view", "there", "alike", "box", "said"), ALIKE)
def test_a_name_that_looks_like_another_is_taken(manager, building, view, there, alike, box, said):
    given = {"building": building.pk, "number": "", "name": "", "order": "0"} | {box: there}
    made = manager.post(at(view), given)
    assert made.status_code == (422 if there == building.name else 302)
    assert said in errors(manager.post(at(view), given | {box: alike}))[box][0]
    assert manager.post(at(view), given | {box: f"{there}-2"}).status_code == 302


def test_a_room_can_be_written_in_other_capitals_but_not_like_its_neighbour(manager, building):
    one, other = making.make_room(building, "2.14a"), making.make_room(building, "2.15")
    given = {"building": building.pk, "name": "", "order": "0"}
    assert manager.post(at("change_room", one.pk), given | {"number": "2.14A"}).status_code == 302
    assert "has a room of this number already" in errors(manager.post(at("change_room", other.pk), given | {"number": "2.14a"}))["number"][0]


def test_the_same_number_in_another_building_is_another_room(manager, site, building):
    making.make_room(building, "2.14")
    other = making.make_building(site, "Mill House")
    assert manager.post(at("add_room"), {"building": other.pk, "number": "2.14", "name": "", "order": "0"}).status_code == 302
