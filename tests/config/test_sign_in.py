"""A14 and the rules of signing in: counted, led nowhere else, ended at once for whoever may no longer."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme

from config.sign_in import Adapter
from hoods.actions import people
from hoods.models import Entry, Person
from tests.making import PASSWORD, make_person

NEW = "slow brown ferry 9"


def try_sign_in(client: Client, person: Person, password: str = PASSWORD, **more):
    return client.post(reverse("account_login"), {"login": person.email, "password": password, **more})


def is_signed_in(client: Client) -> bool:
    return client.get(reverse("account_change_password")).status_code == 200


def test_somebody_signs_in_and_it_is_noted(technician):
    client = Client()
    assert try_sign_in(client, technician).status_code == 302
    assert is_signed_in(client)
    client.post(reverse("account_logout"))
    assert not is_signed_in(client)
    assert [entry.action for entry in Entry.objects.of(technician)] == ["signed-out", "signed-in"]


def test_the_letters_of_an_address_may_be_large(technician):
    client = Client()
    try_sign_in(client, technician, login=technician.email.upper())
    assert is_signed_in(client)


@pytest.mark.parametrize("name", ["account_signup", "account_email", "account_reset_password", "account_inactive"])
def test_nobody_signs_up_and_no_other_address_of_accounts_is_there(name: str):
    with pytest.raises(NoReverseMatch):
        reverse(name)


REFUSED = [
    # what is sent, status, what is said
    ({"login": "ruth@skua.example", "password": "black heron 14"}, 422, "Address and password do not belong together"),
    ({"login": "ruth", "password": "black heron 14"}, 422, "This is no e-mail address"),
    ({}, 422, "Nothing is written here: fill it in."),
]


@pytest.mark.parametrize(("sent", "status", "said"), REFUSED)
def test_p9_a_sign_in_that_is_refused_is_answered_as_refused(technician, sent, status, said):
    response = Client().post(reverse("account_login"), sent)
    assert response.status_code == status
    assert said in response.content.decode()


def test_p9_too_many_tries_are_answered_as_too_many(technician):
    answers = [try_sign_in(Client(), technician, "black heron 14").status_code for _ in range(6)]
    assert answers == [422, 422, 422, 422, 422, 429]


def test_p9_a_changed_password_that_is_refused_is_answered_as_refused(technician, signed_in):
    sent = {"oldpassword": "no", "password1": NEW, "password2": NEW}
    response = signed_in(technician).post(reverse("account_change_password"), sent)
    assert response.status_code == 422


WEAK = [
    # password, what is said, why
    ("ruth", "write at least 10 characters, such as four words in a row", "too short"),
    ("password1234", "one of those that are guessed first: write words that do not belong together", "among the usual ones"),
    ("18274619283746", "digits alone: write words, or letters among the digits", "digits alone"),
    ("ruth@skua.example", "too much like the name or the e-mail address: write one with nothing of them in it", "like the address"),
]


@pytest.mark.parametrize(("password", "said", "why"), WEAK, ids=[row[2] for row in WEAK])
def test_a_weak_password_is_refused_with_what_would_be_right(technician, signed_in, password, said, why):
    sent = {"oldpassword": PASSWORD, "password1": password, "password2": password}
    response = signed_in(technician).post(reverse("account_change_password"), sent)
    assert response.status_code == 422
    assert said in response.content.decode(), why
    technician.refresh_from_db()
    assert technician.check_password(PASSWORD)


def test_tries_are_counted_where_every_process_sees_them(settings):
    assert settings.CACHES["default"]["BACKEND"].endswith("DatabaseCache")
    assert settings.CACHES["visitors"]["BACKEND"].endswith("LocMemCache")


def test_a_wrong_password_and_nobody_get_the_same_answer(technician):
    wrong = try_sign_in(Client(), technician, "black heron 14").content.decode()
    nobody = Person(email="nobody@skua.example")
    absent = try_sign_in(Client(), nobody, "black heron 14").content.decode()
    assert plain(wrong, technician) == plain(absent, nobody)


def test_what_is_refused_at_signing_in_is_said_in_words_of_the_ledger(technician, signed_in):
    wrong = try_sign_in(Client(), technician, "black heron 14").content.decode()
    assert "Address and password do not belong together" in wrong
    empty = Client().post(reverse("account_login"), {"login": "ruth", "password": ""}).content.decode()
    assert "This is no e-mail address" in empty
    assert "Nothing is written here: fill it in." in empty
    changed = {"oldpassword": "no", "password1": NEW, "password2": NEW + "9"}
    page = signed_in(technician).post(reverse("account_change_password"), changed).content.decode()
    assert "This is not your password" in page
    assert "The two passwords differ" in page


def plain(page: str, person: Person) -> str:
    """A page without what differs each time: the address tried and the form's token."""
    lines = page.replace(person.email, "").splitlines()
    return "\n".join(line for line in lines if "csrfmiddlewaretoken" not in line)


def test_whoever_may_no_longer_sign_in_does_not(technician):
    technician.is_active = False
    technician.save()
    client = Client()
    response = try_sign_in(client, technician)
    assert response.url == reverse("account_login")
    assert not is_signed_in(client)


def test_the_sessions_of_whoever_may_no_longer_end_at_once(technician, signed_in):
    client = signed_in(technician)
    assert is_signed_in(client)
    technician.is_active = False
    technician.save()
    assert not is_signed_in(client)


def test_a_changed_password_ends_the_other_sessions(technician, signed_in):
    here, elsewhere = signed_in(technician), signed_in(technician)
    response = here.post(
        reverse("account_change_password"), {"oldpassword": PASSWORD, "password1": NEW, "password2": NEW}
    )
    assert response.status_code == 302
    assert (is_signed_in(here), is_signed_in(elsewhere)) == (True, False)
    assert Entry.objects.of(technician)[0].action == "password-changed"


# A14: an answer leads to a page of this site, or to none

ELSEWHERE = [
    "https://evil.example/", "http://evil.example", "//evil.example/", "///evil.example", "/\\evil.example",
    "\\\\evil.example", "https:evil.example", "javascript:alert(1)", "https://hoods.skua.example.evil.example/",
    "https://hoods.skua.example@evil.example/", "//evil.example\\@hoods.skua.example/", "\t//evil.example",
    "https://localhost/", "https://hoods.skua.example/", "data:text/html,hello", "evil.example",
]  # fmt: skip


@pytest.mark.parametrize("asked", ELSEWHERE)
def test_a14_nobody_is_led_elsewhere(technician, asked: str):
    response = try_sign_in(Client(), technician, next=asked)
    assert (response.status_code, response.headers["Location"]) == (302, "/")
    response = Client().get(reverse("account_login"), {"next": asked})
    assert (response.status_code, "Location" in response.headers) == (200, False)


def test_a14_somebody_is_led_to_where_they_were_going(technician):
    asked = reverse("account_change_password")
    response = Client().get(asked)
    assert response.headers["Location"] == f"{reverse('account_login')}?next={asked}"
    assert try_sign_in(Client(), technician, next=asked).headers["Location"] == asked


def test_a14_somebody_signed_in_is_not_led_elsewhere_either(technician, signed_in):
    response = signed_in(technician).get(reverse("account_login"), {"next": "//evil.example/"})
    assert response.headers["Location"] == "/"


def test_a14_an_address_with_two_strokes_leads_nowhere_else(technician, signed_in):
    client = Client()
    response = client.get("//evil.example/%2e%2e")
    assert "Location" not in response.headers or response.headers["Location"].startswith("/sign-in/")


def test_a14_control_the_usual_rule_would_lead_to_another_host(technician, monkeypatch):
    monkeypatch.setattr(
        Adapter, "is_safe_url", lambda self, url: url_has_allowed_host_and_scheme(url, {"evil.example"})
    )
    assert try_sign_in(Client(), technician, next="//evil.example/").headers["Location"] == "//evil.example/"


@pytest.mark.parametrize(
    "host", ["evil.example", "hoods.skua.example.evil.example", "hoods.skua.example:80@evil.example"]
)
def test_a14_another_host_is_refused(db, host: str):
    response = Client().get(reverse("account_login"), headers={"host": host})
    assert (response.status_code, "evil" in response.content.decode()) == (400, False)


def test_a14_a_host_named_by_a_proxy_that_nobody_set_up_is_not_believed(technician):
    response = Client().get("/password/", headers={"x-forwarded-host": "evil.example"})
    assert "evil" not in response.headers["Location"]


# A link that sets a password, once


@pytest.fixture
def link(programme_manager, site) -> tuple[Person, str]:
    invited = people.invite_person(
        site=site, email="ruth@skua.example", name="Ruth Okafor", initials="RO", role="technician",
        from_on=site.today(), by=programme_manager, at=timezone.now(),
    )  # fmt: skip
    return invited.person, invited.link


def follow(client: Client, path: str, password: str = NEW):
    page = client.get(path, follow=True)
    if not page.context["validlink"]:
        return None
    return client.post(page.request["PATH_INFO"], {"new_password1": password, "new_password2": password})


def test_a_link_sets_a_password_once(link):
    person, path = link
    assert follow(Client(), path).url == reverse("account_login")
    client = Client()
    try_sign_in(client, person, NEW)
    assert is_signed_in(client)
    assert follow(Client(), path) is None
    assert "password-set" in [entry.action for entry in Entry.objects.of(person)]


def test_a_weak_password_is_refused_in_words(link):
    page = follow(Client(), link[1], "ruth")
    assert page.status_code == 422
    assert "This password is too short: write at least 10 characters" in page.content.decode()
    assert follow(Client(), link[1]) is not None


def test_two_passwords_that_differ_are_refused_in_words(link):
    client = Client()
    path = client.get(link[1], follow=True).request["PATH_INFO"]
    page = client.post(path, {"new_password1": NEW, "new_password2": NEW + "9"}).content.decode()
    assert "The two passwords differ" in page
    assert "Nothing is written here: fill it in." in client.post(path, {}).content.decode()


def test_a_link_lives_three_days(link, time_machine):
    time_machine.move_to(timezone.now() + timedelta(days=3, minutes=1))
    assert follow(Client(), link[1]) is None


def test_control_a_link_still_lives_on_the_third_day(link, time_machine):
    time_machine.move_to(timezone.now() + timedelta(days=2, hours=23))
    assert follow(Client(), link[1]) is not None


def test_p9_a_dead_link_is_answered_as_gone(link):
    follow(Client(), link[1])
    assert Client().get(link[1], follow=True).status_code == 410


def test_a_link_of_whoever_may_no_longer_sign_in_is_dead(link):
    person, path = link
    person.is_active = False
    person.save()
    assert follow(Client(), path) is None


def test_a_link_is_of_one_person_alone(link):
    other = make_person("Tove Lind")
    named = people.one_time_path(other).split("/")[2]
    token = link[1].split("/")[3]
    assert follow(Client(), reverse("set_password", args=[named, token])) is None
