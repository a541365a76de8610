"""People: invited with a link that works once, given roles by dated rows, disabled; by programme managers alone."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from hoods import actions
from hoods.models import Entry, Person, Role
from tests import making

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def today(site):
    return site.today()


@pytest.fixture
def invitation(today):
    return {
        "email": "Tove@Skua.example", "name": "Tove Lind", "initials": "TL", "position": "Technician", "employer": "",
        "role": "technician", "from_on": today, "until_on": "",
    }  # fmt: skip


def at(view: str, *args) -> str:
    return reverse(f"hoods:{view}", args=args)


def errors(response) -> dict[str, list[str]]:
    assert response.status_code == 422
    return {name: [str(error) for error in said] for name, said in response.context["form"].errors.items()}


# --- inviting ------------------------------------------------------------------------------------------------------------------


def test_an_invited_person_sets_a_password_by_the_link_and_has_the_role(manager, invitation, client, site):
    page = manager.post(at("invite"), invitation)
    person = Person.objects.get(email="tove@skua.example")
    link = page.context["link"]
    assert link.startswith("https://hoods.skua.example/password/")
    assert link in page.content.decode()
    assert "no-store" in page["Cache-Control"]
    form = client.get(link.removeprefix("https://hoods.skua.example"), follow=True)
    client.post(form.redirect_chain[-1][0], {"new_password1": "quiet otter 7", "new_password2": "quiet otter 7"})
    assert (
        client.post(reverse("account_login"), {"login": person.email, "password": "quiet otter 7"}).status_code == 302
    )
    assert client.get(at("inventory")).status_code == 200
    assert Person.objects.get(pk=person.pk).roles_at(site) == {"technician"}


def test_the_link_is_shown_once_and_kept_nowhere(manager, invitation):
    link = manager.post(at("invite"), invitation).context["link"]
    person = Person.objects.get(email="tove@skua.example")
    token = link.rstrip("/").rpartition("/")[2]
    assert token not in manager.get(at("person", person.pk)).content.decode()
    assert not any(token in str(entry.after) + entry.why for entry in Entry.objects.all())
    assert not any("password" in (entry.after or {}) for entry in Entry.objects.all())


WRONG = [
    ("email", "tove", "no e-mail address"),
    ("email", "tove@skua.example\x00", "no e-mail address"),
    ("email", "tove@tärn.example", "plain letters"),
    ("email", "", "Nothing is written"),
    ("name", "T" * 121, "at most 120"),
    ("initials", "TLTLTLTLT", "at most 8"),
    ("role", "wizard", "not in the list"),
    ("role", "lab-manager", None),
    ("from_on", "2001-01-01", "in the past"),
    ("until_on", "2001-01-01", "before the first"),
]


@pytest.mark.parametrize(("box", "typed", "said"), WRONG, ids=[f"{case[0]} {case[1][:10]!r}" for case in WRONG])
def test_each_refusal_is_a_sentence_at_its_box_and_nobody_is_added(manager, invitation, box, typed, said):
    people = Person.objects.count()
    found = errors(manager.post(at("invite"), invitation | {box: typed}))
    if said is None:  # a lab manager without a room: the box that lacks something is another
        assert list(found) == ["rooms"]
    else:
        assert said in " ".join(found[box])
    assert Person.objects.count() == people


def test_somebody_who_signs_in_already_gets_the_role_and_no_link(manager, invitation, technician):
    """Nobody takes over a sign-in by inviting its owner."""
    known = invitation | {"email": technician.email, "role": "auditor"}
    refused = manager.post(at("invite"), known | {"name": "Somebody Else"})
    assert "another name has this address" in errors(refused)["email"][0]
    assert not technician.roles.filter(role="auditor").exists()
    response = manager.post(at("invite"), known | {"name": "ruth okafor"})
    assert response.status_code == 302
    assert "link" not in (response.context or {})
    technician.refresh_from_db()
    assert technician.name == "Ruth Okafor"
    assert technician.roles.filter(role="auditor").exists()


def test_the_same_role_twice_is_refused_at_the_role(manager, invitation, technician):
    assert "has this role" in errors(manager.post(at("invite"), invitation | {"email": technician.email, "name": technician.name}))["role"][0]


def test_a_lab_manager_has_the_rooms_that_are_chosen(manager, invitation, room, other_room, hood_elsewhere):
    manager.post(at("invite"), invitation | {"role": "lab-manager", "rooms": [room.pk, other_room.pk]})
    person = Person.objects.get(email="tove@skua.example")
    assert {role.room for role in person.roles.all()} == {room, other_room}
    foreign = hood_elsewhere.placement().room
    other = invitation | {"email": "nils@skua.example", "role": "lab-manager", "rooms": [foreign.pk]}
    assert list(errors(manager.post(at("invite"), other))) == ["rooms"]  # A2
    assert not Person.objects.filter(email="nils@skua.example").exists()


# --- roles -----------------------------------------------------------------------------------------------------------------------


def test_a_role_ends_with_its_last_day_and_its_past_stays(manager, technician, site, today):
    role = technician.roles.get()
    manager.post(at("end_role", role.pk), {"until_on": today - timedelta(1), "why": "left"})
    role.refresh_from_db()
    assert (role.until_on, role.in_effect(today), role.in_effect(making.ON)) == (today - timedelta(1), False, True)
    assert Person.objects.get(pk=technician.pk).roles_at(site) == frozenset()
    page = manager.get(at("person", technician.pk)).content.decode()
    assert "Role ended" in page
    assert "Reason: left" in page


def test_a_role_cannot_end_before_yesterday(manager, technician, today):
    found = errors(manager.post(at("end_role", technician.roles.get().pk), {"until_on": today - timedelta(2)}))
    assert "nor before yesterday" in found["until_on"][0]


def test_the_last_programme_manager_cannot_leave(manager, programme_manager, technician, site, today):
    role = programme_manager.roles.get()
    assert "Nobody else manages" in errors(manager.post(at("end_role", role.pk), {"until_on": today}))["__all__"][0]
    manager.post(at("give_role", technician.pk), {"role": "programme-manager", "from_on": today})
    assert manager.post(at("end_role", role.pk), {"until_on": today}).status_code == 302


@pytest.mark.parametrize(
    "fields",
    [
        {"role": "lab-manager"},
        {"role": "technician", "room": True},
        {"role": "auditor", "until_on": making.ON - timedelta(1)},
    ],
    ids=["lab manager without a room", "technician with a room", "ends before it begins"],
)
def test_the_database_too_refuses_roles_that_cannot_be(site, room, technician, fields):
    fields = fields | ({"room": room} if "room" in fields else {})
    with pytest.raises(IntegrityError), transaction.atomic():
        Role.objects.create(person=technician, site=site, from_on=making.ON, **fields)
    Role.objects.create(person=technician, site=site, from_on=making.ON, role="lab-manager", room=room)


# --- sign-ins ----------------------------------------------------------------------------------------------------------------------


def test_a_disabled_person_is_signed_out_at_once_and_can_be_enabled(manager, technician, signed_in):
    browser = signed_in(technician)
    assert browser.get(at("inventory")).status_code == 200
    manager.post(at("disable_person", technician.pk), {"why": "lost tablet"})
    assert browser.get(at("inventory")).status_code == 302
    assert not browser.login(email=technician.email, password=making.PASSWORD)
    manager.post(at("enable_person", technician.pk), {"why": "found"})
    assert (
        browser.post(reverse("account_login"), {"login": technician.email, "password": making.PASSWORD}).status_code
        == 302
    )


def test_nobody_disables_themself_or_the_last_manager(manager, programme_manager):
    assert "your own" in errors(manager.post(at("disable_person", programme_manager.pk), {"why": "x"}))["__all__"][0]


def test_a_new_link_is_made_with_a_reason_and_an_entry(manager, technician):
    assert list(errors(manager.post(at("renew_link", technician.pk), {"why": ""}))) == ["why"]
    page = manager.post(at("renew_link", technician.pk), {"why": "password forgotten"})
    assert "/password/" in page.context["link"]
    assert Entry.objects.of(technician).first().why == "password forgotten"


def test_somebody_with_a_role_elsewhere_is_not_one_managers_to_take_over(manager, technician, elsewhere):
    Role.objects.create(person=technician, site=elsewhere, role="auditor", from_on=making.ON)
    for view in ("renew_link", "disable_person"):
        assert (
            "sites that you do not manage" in errors(manager.post(at(view, technician.pk), {"why": "x"}))["__all__"][0]
        )
    technician.refresh_from_db()
    assert technician.is_active


def test_changing_a_name_leaves_an_entry(manager, technician):
    manager.post(at("change_person", technician.pk), {"name": "Ruth Okafor-Lind", "initials": "RO"})
    assert Entry.objects.of(technician).first().before == {"name": "Ruth Okafor"}


# --- who may -----------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", ["technician", "lab_manager", "auditor", "stranger"])
def test_a4_nobody_else_sees_or_changes_people(request, signed_in, role, programme_manager, invitation):
    browser = signed_in(request.getfixturevalue(role))
    own = programme_manager.roles.get().pk
    entries = Entry.objects.count()
    views = [("people",), ("invite",), ("person", programme_manager.pk), ("renew_link", programme_manager.pk),
             ("give_role", programme_manager.pk), ("disable_person", programme_manager.pk), ("end_role", own)]  # fmt: skip
    for view, *args in views:
        assert browser.get(at(view, *args)).status_code == 403
        assert browser.post(at(view, *args), invitation | {"why": "x"}).status_code in (403, 405)
    assert Entry.objects.count() == entries


def test_a2_people_of_another_site_are_not_there(manager, manager_elsewhere):
    views = ("person", "change_person", "renew_link", "give_role", "disable_person", "enable_person")
    assert [manager.get(at(view, manager_elsewhere.pk)).status_code for view in views] == [404] * 6
    assert manager.get(at("end_role", manager_elsewhere.roles.get().pk)).status_code == 404
    assert manager_elsewhere.email not in manager.get(at("people")).content.decode()


def test_the_list_asks_as_much_of_one_person_as_of_three(
    manager, site, django_assert_num_queries, django_assert_max_num_queries
):
    with django_assert_max_num_queries(12) as asked:
        manager.get(at("people"))
    making.make_person("Tove Lind", site, "technician")
    making.make_person("Nils Berg", site, "auditor")
    with django_assert_num_queries(len(asked.captured_queries)):
        assert len(manager.get(at("people")).context["people"]) == 3


def test_the_action_gives_no_link_to_take_over_a_sign_in(technician, programme_manager, site, today):
    from django.utils import timezone

    invited = actions.invite_person(
        site=site, email="RUTH@skua.example", name="Ruth Okafor", initials="x", role="auditor", from_on=today,
        by=programme_manager, at=timezone.now(),
    )  # fmt: skip
    assert (invited.person, invited.link) == (technician, None)
