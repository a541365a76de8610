"""A1 to A5: who may do what is one table, held at every address; what is another's stays unseen and unchanged."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from config.access import ACCESS, ANY, PUBLIC, ROLES
from hoods.models import Person, Role
from tests import making, pages
from tests.config.test_headers import why_not_headers
from tests.config.world import Address, World, addresses, make_world

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
SOMEBODY = ("technician", "lab_manager", "auditor", "programme_manager", "stranger")
NOBODY = "nobody"
ADDRESSES = addresses()
OF_NO_SITE = {"password": "names a person by a link", "criteria/starters": "the same for every site"}


# A1: the table and the addresses are the same list, and every address holds to it


def unlisted() -> set[str]:
    return {address.view for address in ADDRESSES} ^ set(ACCESS)


def test_a1_every_address_has_its_row_and_every_row_its_address():
    assert unlisted() == set()


def test_a1_control_an_address_or_a_row_too_many_is_seen(monkeypatch):
    monkeypatch.delitem(ACCESS, "hoods:people")
    monkeypatch.setitem(ACCESS, "hoods:people_of_old", {"GET": PUBLIC})
    assert unlisted() == {"hoods:people", "hoods:people_of_old"}


def test_a1_a_row_names_only_roles_that_there_are():
    named = set().union(*(roles for row in ACCESS.values() for roles in row.values()))
    assert named <= {*ROLES, *PUBLIC, *ANY}
    assert {method for row in ACCESS.values() for method in row} <= {"GET", "POST"}


def expected(address: Address, who: str, method: str) -> str:
    row = ACCESS.get(address.view)
    if row is None:
        return "refused"
    roles = row.get("GET" if method == "HEAD" else method)
    if roles is None:
        return "not so"
    if roles & PUBLIC:
        return "let in"
    if who == NOBODY:
        return "sent to sign in"
    return "let in" if roles & ANY or who.replace("_", "-") in roles else "refused"


def met(response: HttpResponse) -> str:
    if response.status_code in (403, 405):
        return {403: "refused", 405: "not so"}[response.status_code]
    to_sign_in = response.headers.get("Location", "").startswith(f"{reverse('account_login')}?next=")
    return "sent to sign in" if to_sign_in else "let in"


def signed_in_as(person: Person | None) -> Client:
    client = Client(raise_request_exception=False)
    if person is not None:
        client.force_login(person)
    return client


def walk(address: Address, people: dict[str, Person | None]) -> list[tuple[str, str, str, str]]:
    """Every person and method at an address of nothing: what was met and is otherwise expected."""
    wrong = []
    for who, person in people.items():
        client = signed_in_as(person)
        for method in METHODS:
            if address.view == "account_logout":
                client = signed_in_as(person)
            found = met(client.generic(method, address.nowhere()))
            if found != expected(address, who, method):
                wrong.append((who, method, found, expected(address, who, method)))
    return wrong


@pytest.fixture
def everybody(request) -> dict[str, Person | None]:
    return {NOBODY: None, **{who: request.getfixturevalue(who) for who in SOMEBODY}}


@pytest.mark.parametrize("address", ADDRESSES, ids=lambda address: address.view)
def test_a1_every_address_lets_in_whom_the_table_names_and_nobody_else(everybody, address: Address):
    assert walk(address, everybody) == []


def test_a1_control_an_address_that_the_table_lacks_is_refused_to_all(everybody, monkeypatch):
    address = next(address for address in ADDRESSES if address.view == "hoods:people")
    monkeypatch.delitem(ACCESS, "hoods:people")
    assert walk(address, everybody) == []
    assert {expected(address, who, "GET") for who in everybody} == {"refused"}


def test_a1_control_a_gate_left_open_is_seen(everybody, monkeypatch, settings):
    settings.MIDDLEWARE = [name for name in settings.MIDDLEWARE if name != "config.middleware.Access"]
    address = next(address for address in ADDRESSES if address.view == "hoods:people")
    found = {(who, method) for who, method, found, _ in walk(address, everybody) if found == "let in"}
    assert {("technician", "GET"), ("auditor", "POST")} <= found


def test_a1_a_role_that_has_ended_or_not_begun_lets_nobody_in(site, technician, signed_in):
    role = technician.roles.get()
    for from_on, until_on in [(-10, -1), (1, None)]:
        role.from_on = site.today() + timedelta(days=from_on)
        role.until_on = until_on and site.today() + timedelta(days=until_on)
        role.save()
        assert signed_in(technician).get(reverse("surveys:room_list")).status_code == 403
    role.from_on = role.until_on = site.today()
    role.save()
    assert signed_in(technician).get(reverse("surveys:room_list")).status_code == 200


def test_a1_roles_add_up(site, technician, signed_in):
    asked = reverse("hoods:people")
    assert signed_in(technician).get(asked).status_code == 403
    Role.objects.create(person=technician, site=site, role="programme-manager", from_on=site.today())
    assert signed_in(technician).get(asked).status_code == 200


def test_a1_a_role_at_one_site_counts_for_nothing_at_another(site, technician, signed_in):
    elsewhere = making.make_site("Fell Institute")
    Role.objects.create(person=technician, site=elsewhere, role="programme-manager", from_on=site.today())
    client = signed_in(technician)
    client.post(reverse("choose_site"), {"site": site.pk})
    assert client.get(reverse("hoods:people")).status_code == 403
    client.post(reverse("choose_site"), {"site": elsewhere.pk})
    assert client.get(reverse("hoods:people")).status_code == 200
    client.post(reverse("choose_site"), {"site": "987654321"})
    assert client.get(reverse("hoods:people")).status_code == 200


# A4: what the roles may do, said as rules on the whole table


def may(role: str, method: str = "POST") -> set[str]:
    return {view for view, row in ACCESS.items() if role in row.get(method, ())}


def test_a4_an_auditor_sends_nothing():
    assert may("auditor") == set()


def test_a4_a_lab_manager_sends_stops_alone():
    assert may("lab-manager") == {"surveys:post_stop", "surveys:hang_sign"}


def test_a4_a_technician_keeps_no_criteria_no_people_and_no_inventory_but_openings():
    assert {view for view in may("technician") if view.startswith("hoods:")} == {"hoods:add_opening"}
    kept = ("criteria", "version", "starter", "settle", "instrument", "calibration", "withdraw")
    assert [view for view in may("technician") if any(word in view for word in kept)] == []


def test_a4_people_are_seen_by_the_programme_manager_alone():
    of_people = {address.view for address in ADDRESSES if address.kind in ("people", "roles")}
    assert {role for view in of_people for roles in ACCESS[view].values() for role in roles} == {"programme-manager"}


def test_a4_nobody_but_who_surveys_signs():
    assert ACCESS["surveys:sign"]["POST"] == frozenset({"technician"})


def test_what_needs_no_sign_in_is_the_page_behind_a_label_and_signing_in():
    public = {view for view, row in ACCESS.items() for roles in row.values() if roles & PUBLIC}
    assert public == {"account_login", "set_password", "public_hood", "public_label"}


# A2: what is another's


MARK = "Zeppelin "


@pytest.fixture
def ours(site, room, programme_manager, technician) -> World:
    return make_world(site, room, programme_manager, technician)


@pytest.fixture
def theirs(db) -> World:
    """Another institute. Everything there is named so that it is known wherever it turns up."""
    site = making.make_site(f"{MARK}Institute", office=f"{MARK}office")
    room = making.make_room(making.make_building(site, f"{MARK}Hall"), f"{MARK}9", name=f"{MARK}lab")
    keeper = making.make_person("Zeppelin Keeper", site, "programme-manager")
    return make_world(site, room, keeper, making.make_person("Zeppelina Hand", site, "technician"), MARK)


@pytest.fixture
def next_door(site, other_room, programme_manager) -> World:
    """The same institute, a room that the lab manager has no role in."""
    other_room.name = f"{MARK}lab"
    other_room.save()
    other = making.make_person("Zeppelina Hand", site, "lab-manager", other_room)
    return make_world(site, other_room, programme_manager, other, MARK)


OF_SOMETHING = [address for address in ADDRESSES if address.parts and address.kind not in OF_NO_SITE]
BEHIND_SIGN_IN = [address for address in OF_SOMETHING if not address.view.startswith("public_")]
# Shared by the whole site, so that a lab manager sees them
OF_THE_SITE = {"criteria", "criteria/sets", "instruments", "exhausts"}


def test_a2_every_address_of_something_is_known_here(ours):
    assert {address.kind for address in OF_SOMETHING} <= set(ours.things)


@pytest.mark.parametrize("who", SOMEBODY)
def test_a2_what_is_of_another_site_is_not_there(request, ours, theirs, signed_in, who: str):
    client = signed_in(request.getfixturevalue(who))
    before = pages.everything()
    for address in BEHIND_SIGN_IN:
        for path in theirs.paths(address):
            for method in ACCESS[address.view]:
                assert client.generic(method, path).status_code in (403, 404), (method, path)
    assert pages.changed(before, pages.everything()) == []


def test_a2_what_is_of_another_room_is_not_there_for_a_lab_manager(lab_manager, ours, next_door, signed_in):
    client = signed_in(lab_manager)
    before = pages.everything()
    for address in BEHIND_SIGN_IN:
        if address.kind not in (*OF_THE_SITE, "buildings"):
            for path in next_door.paths(address):
                for method in ACCESS[address.view]:
                    assert client.generic(method, path).status_code in (403, 404), (method, path)
    assert pages.changed(before, pages.everything()) == []


# A survey that is not signed has no certificate, for anybody
REFUSED_AS_IT_STANDS = {"reports:certificate": 404}


def test_a2_control_what_is_their_own_is_there(programme_manager, ours, signed_in):
    client = signed_in(programme_manager)
    asked = [address for address in BEHIND_SIGN_IN if expected(address, "programme_manager", "GET") == "let in"]
    found = {
        path: (client.get(path).status_code, REFUSED_AS_IT_STANDS.get(address.view))
        for address in asked
        for path in ours.paths(address)
    }
    assert len(found) > 20
    assert {path: status for path, (status, refused) in found.items() if status not in (200, 302, refused)} == {}


@pytest.mark.parametrize("who", SOMEBODY)
def test_a2_no_page_names_what_is_of_another_site(request, ours, theirs, signed_in, who: str):
    client = signed_in(request.getfixturevalue(who))
    told = [address for address, response in pages.crawl(client, *starts(ours, who)) if names(response, MARK)]
    assert told == []


def test_a2_no_page_names_to_a_lab_manager_what_is_of_another_room(lab_manager, ours, next_door, signed_in):
    client = signed_in(lab_manager)
    told = [address for address, response in pages.crawl(client, *starts(ours, "lab_manager"))
            if names(response, f"{MARK}FH") or names(response, f"{MARK}lab")]  # fmt: skip
    assert told == []


def test_a2_control_a_page_that_names_it_is_seen(theirs, signed_in):
    keeper = Person.objects.get(name="Zeppelin Keeper")
    told = [address for address, response in pages.crawl(signed_in(keeper)) if names(response, MARK)]
    assert len(told) > 10


def names(response: HttpResponse, word: str) -> bool:
    return word.encode() in pages.body(response)


def starts(world: World, who: str) -> list[str]:
    """Home, and every address of the world that somebody may open."""
    asked = [address for address in ADDRESSES if address.kind not in OF_NO_SITE]
    return [
        "/",
        *(path for address in asked if expected(address, who, "GET") == "let in" for path in world.paths(address)),
    ]


# A3 and A2 in forms: what was not asked for, and what is another's, is not taken


SENT_TOO = {
    **dict.fromkeys(("verdict", "outcome", "signed_by", "adopted_by", "by", "site", "person", "record", "standing"), "77810"),
    **dict.fromkeys(("criteria", "version", "label_issue", "number", "sha256", "content", "last_login", "id", "pk"), "77810"),
    **dict.fromkeys(("is_active", "is_staff", "is_superuser", "password", "added_at", "starter", "action"), "77810"),
    **dict.fromkeys(("signed_at", "adopted_at", "at", "done_on", "due_on", "until_at"), "1987-07-08"),
}  # fmt: skip
FOREIGN = {"room": "rooms", "rooms": "rooms", "building": "buildings", "exhaust": "exhausts", "hood": "hoods",
           "hoods": "hoods", "set": "criteria/sets", "instrument": "instruments", "opening": "openings"}  # fmt: skip


def forms_of(client: Client, world: World, who: str) -> list[tuple[str, pages.Form]]:
    """Every form of the world's own addresses that keeps something, as it would be sent untouched."""
    found = []
    for address in ADDRESSES:
        if address.kind in OF_NO_SITE or address.view.startswith("account_"):
            continue
        if {expected(address, who, "GET"), expected(address, who, "POST")} == {"let in"}:
            path = world.paths(address)[-1]
            response = client.get(path)
            if response.status_code == 200:
                found += [
                    (path, form) for form in pages.page(response).forms if form.method == "POST" and form.action == path
                ]
    return found


FILLED = {"why": "as agreed", "reason": "as agreed", "password": making.PASSWORD, "name": "Ada Lund", "initials": "AL",
          "email": "ada@skua.example", "number": "31", "tag": "FH-0931", "width": "60 in", "height": "18 in",
          "certificate": "C-1", "laboratory": "Bench", "serial": "S-9", "resolution": "1 ft/min"}  # fmt: skip


def filled(form: pages.Form) -> dict[str, list[str]]:
    """What a form would send, its empty boxes filled with something plain."""
    values = {name: list(sent) for name, sent in form.values.items()}
    for name, sent in values.items():
        if sent == [""] and form.choices.get(name):
            values[name] = [choice for choice in form.choices[name] if choice][:1] or [""]
        elif sent == [""]:
            values[name] = [FILLED.get(name, "")]
    return values


def test_a3_fields_that_were_not_asked_for_are_not_taken(programme_manager, ours, signed_in):
    client = signed_in(programme_manager)
    kept = 0
    for path, form in forms_of(client, ours, "programme_manager"):
        extra = {
            name: value for name, value in SENT_TOO.items() if name not in form.values and name not in form.choices
        }
        kept += client.post(path, {**filled(form), **extra}).status_code == 302
        assert "77810" not in str(pages.everything()), path
        assert "1987-07-08" not in str(pages.everything()), path
    assert kept > 8, "hardly any form was kept, so little was tried"


def test_a2_what_is_of_another_site_is_not_taken_from_a_form(programme_manager, ours, theirs, signed_in):
    client = signed_in(programme_manager)
    tried = 0
    for path, form in forms_of(client, ours, "programme_manager"):
        for name in form.choices.keys() & FOREIGN.keys():
            tried += 1
            before = pages.everything()
            response = client.post(path, {**filled(form), name: [str(theirs.things[FOREIGN[name]].pk)]})
            assert (response.status_code, pages.changed(before, pages.everything())) == (422, []), (path, name)
    assert tried > 3


# A5: an auditor reads


@pytest.mark.long
def test_a5_whatever_an_auditor_opens_or_sends_nothing_changes(auditor, ours, signed_in):
    client = signed_in(auditor)
    before = pages.everything()
    opened = [address for address, response in pages.crawl(client, *starts(ours, "auditor"))]
    assert len(opened) > 20
    for address in ADDRESSES:
        if address.kind not in OF_NO_SITE and not address.view.startswith(("account_", "choose_")):
            for path in ours.paths(address):
                for method in METHODS:
                    client.generic(method, path)
    assert pages.changed(before, pages.everything()) == []


def test_a5_control_a_technician_who_posts_a_stop_changes_something(technician, ours, signed_in):
    before = pages.everything()
    hood = ours.things["hoods"]
    signed_in(technician).post(
        reverse("surveys:post_stop", args=[hood.pk]), {"stop-reason": "no-flow", "stop-sure": "on"}
    )
    assert {"surveys_stop", "hoods_entry"} <= set(pages.changed(before, pages.everything()))


def test_a5_pages_that_are_read_change_nothing_for_anybody(programme_manager, technician, ours, signed_in):
    for who, person in {"programme_manager": programme_manager, "technician": technician}.items():
        client = signed_in(person)
        before = pages.everything()
        for address in ADDRESSES:
            if expected(address, who, "HEAD") == "let in" and address.kind not in OF_NO_SITE:
                for path in ours.paths(address):
                    client.head(path)
        assert pages.changed(before, pages.everything()) == [], who


# A15: no page holds a script or a style of its own


@pytest.mark.parametrize("who", SOMEBODY)
def test_a15_no_page_holds_code_of_its_own(request, ours, signed_in, who: str):
    client = signed_in(request.getfixturevalue(who))
    for address, response in pages.crawl(client, *starts(ours, who)):
        assert response.status_code in (200, 302, 403, 404), address
        if pages.is_page(response):
            assert pages.page(response).breaches == [], address


def test_a15_every_answer_of_a_walk_carries_the_headers_prints_too(technician, ours):
    kinds = set()
    for address, response in pages.crawl(signed_in_as(technician), *starts(ours, "technician"), secure=True):
        assert why_not_headers(response) == [], address
        kinds.add(response.headers.get("Content-Type", "").split(";")[0])
    assert {"text/html", "application/pdf"} <= kinds


OWN_CODE: list[str] = [
    "<p style='color: red'>", "<style>p {}</style>", "<script>1</script>", "<p onclick='1'>", "<a href='javascript:1'>",
    "<img src='data:image/png;base64,'>",
]  # fmt: skip


@pytest.mark.parametrize("html", OWN_CODE)
def test_a15_control_code_in_a_page_is_seen(html: str):
    assert len(pages.Page(html, "/").breaches) == 1
