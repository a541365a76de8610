"""A2, A3: what is of another site or room is not there, nor taken from a form."""

from __future__ import annotations

import pytest
from django.http import HttpResponse
from django.test import Client

from config.access import ACCESS
from hoods.models import Person
from tests import making, pages
from tests.config.walking import ADDRESSES, MARK, OF_NO_SITE, SOMEBODY, expected, starts
from tests.config.world import World

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
REFUSED_AS_IT_STANDS = {"reports:certificate": 404, "reports:canopy_sign": 403}  # this hood is no canopy


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
        if f"drawn_{name}" in values:  # it narrows the list that was drawn: another one would only be shown
            continue
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
