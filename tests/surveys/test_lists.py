"""Lists of rooms and hoods, what is due, finding a hood; and that a status is a word and a shape everywhere."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.actions.hood import change_hood, replace_code
from hoods.models import Hood, Room
from surveys import queries
from tests import making
from tests.surveys import rows
from tests.surveys.conftest import NOW, TODAY
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")


@pytest.fixture
def hoods(hood_of):
    return [
        hood_of(status, f"FH-0{number}")
        for number, status in enumerate(("met-criteria", "restricted", "do-not-use", "overdue", "retired"), start=142)
    ]


@pytest.fixture
def see(signed_in, technician):
    client = signed_in(technician)
    return client.get


def tags(response) -> list[str]:
    body = response.content.decode().split("<tbody", 1)
    return re.findall(r'<span class="tag">(FH-\d+)</span></a>', body[1]) if len(body) > 1 else []


def test_rooms_tell_each_hood_with_its_status(see, hoods):
    words = said(see("/rooms/"))
    assert "3 of 4 hoods may be used today, each within what its label says. One must not be used." in words
    assert "FH-0142 Met criteria 18 in (457 mm)" in words
    assert "FH-0143 Restricted 12 in (304 mm)" in words
    assert "FH-0144 Do not use" in words
    assert "FH-0146" not in words


def test_a_building_tells_its_rooms(see, hoods, building):
    assert "FH-0142 Met criteria" in said(see(f"/buildings/{building.pk}/"))


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("FH-0143", ["FH-0143"]),
        ("0143", ["FH-0143"]),
        ("fh-014", ["FH-0142", "FH-0143", "FH-0144", "FH-0145", "FH-0146"]),
        ("214", ["FH-0142", "FH-0143", "FH-0144", "FH-0145", "FH-0146"]),
        ("north 0143", ["FH-0143"]),
        ("118", []),
        ("%", []),
        ("'; DROP TABLE", []),
    ],
)
def test_hoods_are_searched_by_tag_and_room(see, hoods, asked, found):
    assert tags(see("/hoods/", {"q": asked})) == found


def test_a_programme_manager_is_led_to_the_inventory_and_to_registering(signed_in, programme_manager, see, hoods):
    page = signed_in(programme_manager).get("/hoods/").content.decode()
    assert 'href="/inventory/"' in page
    assert "Register a hood" in page
    assert "Register a hood" not in see("/hoods/").content.decode()


def test_what_is_found_says_how_many_are_retired(see, hood_of):
    for tag, status in (("FH-0501", "met-criteria"), ("FH-0502", "retired")):
        hood_of(status, tag)
    assert "2 hoods are found for “FH-050”. One of them is retired." in said(see("/hoods/", {"q": "FH-050"}))


def test_hoods_are_searched_by_code_and_by_what_they_were_called(see, hoods, programme_manager):
    change_hood(hood=hoods[0], tag="FH-0199", by=programme_manager, at=NOW)
    assert tags(see("/hoods/", {"q": "FH-0142"})) == ["FH-0199"]
    assert tags(see("/hoods/", {"q": hoods[1].code.lower()})) == ["FH-0143"]


@pytest.fixture
def named(hood_of, other_room):
    """FH-0142 in the room of Asel Brandt, FH-0190 in that of Owen Castellan."""
    other_room.responsible = "Owen Castellan"
    other_room.save()
    hood = hood_of("met-criteria", "FH-0142", serial="4001-B")
    Room.objects.filter(number="214").update(responsible="Asel Brandt")
    return hood, hood_of("failed", "FH-0190", room=other_room, serial="4002-C")


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("4001-b", ["FH-0142"]),
        ("400", ["FH-0142", "FH-0190"]),
        ("brandt", ["FH-0142"]),
        ("Owen Castellan", ["FH-0190"]),
        ("castellan 4001", []),
        ("synthesis", ["FH-0142"]),
    ],
)
def test_hoods_are_searched_by_serial_number_and_by_who_answers_for_the_room(see, named, asked, found):
    assert sorted(tags(see("/hoods/", {"q": asked}))) == found


def test_what_is_found_says_why(see, named):
    assert "North Range 118, Owen Castellan, serial 4002-C" in said(see("/hoods/", {"q": "castellan"}))


def test_a_room_where_a_hood_once_stood_does_not_find_it(see, named, other_room, programme_manager):
    named[1].placements.create(room=named[0].placements.get().room, from_on=TODAY, at=NOW, by=programme_manager)
    assert tags(see("/hoods/", {"q": "castellan"})) == []
    assert sorted(tags(see("/hoods/", {"q": "brandt"}))) == ["FH-0142", "FH-0190"]


@pytest.mark.parametrize("asked", ["4002-C", "castellan", "118", "analysis", "FH-0190", "owen"])
def test_a8_a_lab_manager_finds_nothing_of_other_rooms_by_any_of_it_in_counts_too(signed_in, lab_manager, named, asked):
    client = signed_in(lab_manager)
    page = client.get("/hoods/", {"q": asked})
    assert tags(page) == []
    assert first_line(page) == f"0 hoods are found for “{asked}”."
    assert all(
        f"{name} 0" in said(page) for name in ("All", "May be used", "Do not use", "Overdue", "Not yet surveyed")
    )
    assert client.get("/find/", {"q": asked}).url.startswith("/hoods/?q=")


@pytest.mark.parametrize(
    ("show", "found"),
    [
        ("", ["FH-0142", "FH-0143", "FH-0144", "FH-0145"]),
        ("usable", ["FH-0142", "FH-0143", "FH-0145"]),
        ("stopped", ["FH-0144"]),
        ("overdue", ["FH-0145"]),
        ("unsurveyed", []),
        ("retired", ["FH-0146"]),
        ("something", ["FH-0142", "FH-0143", "FH-0144", "FH-0145"]),
    ],
)
def test_a_list_is_narrowed_by_status(see, hoods, show, found):
    assert tags(see("/hoods/", {"show": show})) == found


@pytest.fixture
def many(make_hood, hood_of):
    """A hundred and one hoods, none surveyed, and one that is retired."""
    retired = hood_of("retired")
    return [retired, *(make_hood() for _ in range(101))]


PAGES = [
    # what the address says, the hoods shown, what is said of them, why
    ("", 100, "Page 1 of 2: hoods 1 to 100 of 101", "the first page"),
    ("page=2", 1, "Page 2 of 2: hoods 101 to 101 of 101", "the rest"),
    ("page=9", 1, "Page 2 of 2: hoods 101 to 101 of 101", "past the end: the last page"),
    ("page=99999999999999999999", 1, "Page 2 of 2", "far past it"),
    ("page=0", 1, "Page 2 of 2", "no page has the number 0"),
    ("page=-1", 1, "Page 2 of 2", "nor a lower one"),
    ("page=two", 100, "Page 1 of 2", "a word is no number"),
    ("page=1.5", 100, "Page 1 of 2", "half a page"),
    ("page=%00", 100, "Page 1 of 2", "nothing that can be read"),
    ("page=&page=2", 1, "Page 2 of 2", "the last one said"),
]


@pytest.mark.parametrize(("asked", "shown", "told", "why"), PAGES, ids=[why for *_case, why in PAGES])
@pytest.mark.parametrize("address", ["/hoods/", "/due/"])
def test_a_long_list_has_pages(see, many, address, asked, shown, told, why):
    page = see(f"{address}?{asked}")
    assert (page.status_code, len(tags(page))) == (200, shown), why
    assert told in said(page), why


def test_pages_hold_every_hood_once_in_walking_order(see, many):
    both = [*tags(see("/hoods/")), *tags(see("/hoods/?page=2"))]
    assert both == [hood.tag for hood in many[1:]]
    assert [*tags(see("/due/")), *tags(see("/due/?page=2"))] == both, (
        "none is surveyed: they are due as they are walked"
    )


@pytest.mark.parametrize("show", ["", "unsurveyed"])
def test_pages_keep_what_the_list_is_narrowed_to(see, many, show):
    page = see("/hoods/", {"q": "FH", "show": show})
    address = f"?q=FH&amp;show={show}&amp;page=2" if show else "?q=FH&amp;page=2"
    assert f'rel="next" href="{address}"' in page.content.decode()
    assert ("of 101" if show else "of 102") in said(page), "what is looked for is found retired, too"


def test_counts_of_many_pages_are_of_the_hoods_that_are_judged(see, many):
    """On one page of many only its own hoods are judged; narrowed by status, all are and all are counted."""
    assert (
        first_line(see("/hoods/"))
        == "0 of the 100 hoods on this page may be used today, each within what its label says."
    )
    assert "All 101 May be used Do not use Overdue Not yet surveyed Retired" in said(see("/hoods/"))
    assert "All 101 May be used 0 Do not use 0 Overdue 0 Not yet surveyed 101" in said(see("/hoods/?show=unsurveyed"))
    assert first_line(see("/hoods/?show=retired")) == "1 hood is retired."


def test_a8_a_lab_managers_lists_search_and_counts_are_of_own_rooms(signed_in, lab_manager, hoods, hood_of, other_room):
    other = hood_of("failed", "FH-0190", room=other_room)
    client = signed_in(lab_manager)
    for address in ("/rooms/", "/hoods/", "/hoods/?q=FH", "/due/", f"/hoods/?q={other.code}"):
        assert "FH-0190" not in said(client.get(address)), address
    assert first_line(client.get("/hoods/")).startswith("3 of 4 hoods")
    assert "Do not use 1" in said(client.get("/hoods/"))
    assert client.get("/find/", {"q": "FH-0190"}).url == "/hoods/?q=FH-0190"


def test_what_is_due_comes_in_order(see, hoods, hood_of, in_force, technician, make_hood):
    hood_of("not-surveyed", "FH-0150")
    rows.survey(make_hood(tag="FH-0151"), in_force, technician, date(2025, 4, 2))
    page = see("/due/")
    assert tags(page) == ["FH-0150", "FH-0145", "FH-0151", "FH-0142", "FH-0143", "FH-0144"]
    assert first_line(page) == "One survey is overdue. One hood waits for a survey before use."
    assert "/surveys/start/?hood=FH-0145" in page.content.decode()


def test_what_is_due_tells_the_words_of_a_restriction_and_a_label_that_is_missing(see, hood_of):
    hood_of("restricted", "FH-0104")
    hood_of("unlabelled", "FH-0105")
    page = said(see("/due/"))
    assert "Restricted to 12 in (304 mm) Not for highly toxic materials" in page
    assert "Restricted no valid label" in page
    assert "FH-0105" not in said(see("/hoods/?show=usable"))
    assert "Restricted no valid label" in said(see("/rooms/"))


def test_t10_due_today_is_not_overdue_until_the_sites_midnight(signed_in, technician, make_hood, in_force):
    import time_machine

    rows.survey(make_hood(), in_force, technician, date(2025, 4, 19))
    for moment, answer in (
        (datetime(2026, 4, 19, 22, 59, 59, tzinfo=UTC), "Nothing is overdue."),
        (datetime(2026, 4, 19, 23, 0, 1, tzinfo=UTC), "One survey is overdue."),
    ):
        with time_machine.travel(moment, tick=False):
            assert first_line(signed_in(technician).get("/due/")) == answer


def test_a_typed_tag_or_code_finds_its_hood(see, hoods, programme_manager):
    here = f"/hoods/{hoods[0].pk}/"
    old = hoods[0].code
    assert [
        see("/find/", {"q": asked}).url for asked in ("FH-0142", " fh-0142 ", old.lower(), f"{old[:4]}-{old[4:]}")
    ] == [here] * 4
    replace_code(hood=hoods[0], by=programme_manager, at=NOW, why="label lost")
    change_hood(hood=hoods[0], tag="FH-0199", by=programme_manager, at=NOW)
    assert [see("/find/", {"q": asked}).url for asked in ("FH-0142", old)] == [here, here]
    assert see("/find/", {"q": "nothing"}).url == "/hoods/?q=nothing"


def test_a_mistyped_code_is_said_so(signed_in, technician, hoods):
    code = hoods[0].code
    wrong = code[:-1] + ("2" if code[-1] != "2" else "3")
    page = signed_in(technician).get("/find/", {"q": wrong}, follow=True)
    assert f"“{wrong}” has a wrong character: compare it with the label, letter by letter." in said(page)


def test_another_sites_hoods_are_not_listed(see, hoods, make_hood):
    far = making.make_room(making.make_building(making.make_site("Far Institute"), "Shore House"))
    make_hood(tag="FH-0777", room=far)
    for address in ("/rooms/", "/hoods/", "/due/", "/hoods/?q=FH-0777"):
        assert "FH-0777" not in tags(see(address))


@pytest.mark.parametrize("address", ["/rooms/", "/hoods/", "/due/"])
@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_the_same_queries_for_any_number_of_hoods(see, hood_of, address, number):
    kinds = ("met-criteria", "restricted", "do-not-use", "overdue", "out-of-service")
    for at in range(number):
        hood_of(kinds[at % len(kinds)])
    see(address)
    with CaptureQueriesContext(connection) as judging:
        queries.statuses(Hood.objects.all(), TODAY)
    with CaptureQueriesContext(connection) as asked:
        assert see(address).status_code == 200
    assert len(asked) - len(judging) == (4 if address == "/hoods/" else 5), [query["sql"][:90] for query in asked]
    assert len(asked) <= 12
