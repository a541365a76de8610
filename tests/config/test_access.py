"""A1 to A5: who may do what is one table, held at every address; what is another's stays unseen and unchanged."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from config.access import ACCESS, ANY, PUBLIC, ROLES
from hoods.models import Role
from tests import making
from tests.config.walking import ADDRESSES, expected, walk
from tests.config.world import Address

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
