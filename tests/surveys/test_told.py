"""Who was told, as pages show it: on the hood, of a person, and all mails for the programme manager."""

from __future__ import annotations

from contextlib import nullcontext
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.core import mail
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hoods.actions.people import SignsInAlready, mend_address
from hoods.models import Entry, Person
from surveys.actions.notices import send_waiting
from surveys.actions.stops import post_stop
from surveys.models import Notice, Stop
from tests import mailing
from tests.surveys.conftest import NOW
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now", "lab_manager")


@pytest.fixture
def post(signed_in, technician, django_capture_on_commit_callbacks):
    """Posts a stop by its form, to the end of what waits for the commit."""
    client = signed_in(technician)

    def press(hood):
        with django_capture_on_commit_callbacks(execute=True):
            sent = {"stop-reason": "no-flow", "stop-words": "damper shut", "stop-sure": "on"}
            answer = client.post(f"/hoods/{hood.pk}/stops/", sent)
        return client.get(answer.url)

    return press


def test_the_page_of_a_hood_tells_who_was_told_and_when(post, hood_of):
    words = said(post(hood_of("met-criteria", "FH-0142")))
    assert "Posted on 30 MAR 2026, 10:12 by Ruth Okafor." in words
    assert "Told by mail: Asel Brandt, 30 MAR 2026, 10:12." in words
    assert "30 MAR 2026, 10:12 ‘Do not use’ posted. Asel Brandt, 30 MAR 2026, 10:12." in words
    assert [sent.to for sent in mail.outbox] == [["asel@skua.example"]]


@pytest.mark.parametrize(
    ("backend", "answer"),
    [(mailing.REFUSING, "550 5.1.1 <…>: no such mailbox"), (mailing.AWAY, "Connection refused")],
)
def test_p9_a_server_that_refuses_does_not_undo_the_stop_and_the_page_says_who_was_not_told(
    post, hood_of, settings, backend, answer
):
    """The press succeeded, since the stop is up; that a mail did not go out is said on the same page, in words."""
    settings.EMAIL_BACKEND = backend
    hood = hood_of("met-criteria", "FH-0142")
    page = post(hood)
    assert page.status_code == 200
    assert Stop.objects.up().get().hood == hood
    words = said(page)
    assert "Told by mail:" not in words
    assert (
        f"Asel Brandt has not been told by mail yet: tried on 30 MAR 2026, 10:12, and the mail server said “{answer}”. "
        "It is tried again."
    ) in words
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    send_waiting(at=NOW)
    assert "Told by mail: Asel Brandt" in said(post(hood))


def test_without_a_mail_server_the_page_says_so(post, hood_of, settings):
    settings.MAIL_IS_SET_UP = False
    words = said(post(hood_of("met-criteria")))
    assert "Asel Brandt has not been told by mail yet: no mail server is set up. The mail is kept." in words


def test_where_no_lab_manager_is_named_it_is_said_who_is_told_instead(post, hood_of, other_room, programme_manager):
    words = said(post(hood_of("met-criteria", room=other_room)))
    assert (
        "Told by mail: Henrik Sole, 30 MAR 2026, 10:12. Nobody was named as lab manager of the room, so the programme "
        "managers are told."
    ) in words


def test_a_stop_of_which_nobody_was_told_says_so(signed_in, technician, hood_of):
    hood = hood_of("do-not-use")  # posted by no action, as before there were notices
    assert "Nobody was told of it by mail." in said(signed_in(technician).get(f"/hoods/{hood.pk}/"))


def test_a_past_day_tells_who_had_been_told_by_then(post, signed_in, technician, hood_of, settings):
    """Posted on 30 MAR, sent on 2 APR only."""
    import time_machine

    settings.MAIL_IS_SET_UP = False
    hood = hood_of("met-criteria")
    post(hood)
    settings.MAIL_IS_SET_UP = True
    send_waiting(at=datetime(2026, 4, 2, 9, tzinfo=UTC))
    with time_machine.travel(datetime(2026, 4, 10, 9, tzinfo=UTC), tick=False):
        see = signed_in(technician).get
        assert "has not been told by mail yet" in said(see(f"/hoods/{hood.pk}/?on=2026-04-01"))
        assert "Told by mail: Asel Brandt, 2 APR 2026, 10:00." in said(see(f"/hoods/{hood.pk}/?on=2026-04-02"))
        assert "mail" not in said(see(f"/hoods/{hood.pk}/?on=2026-03-29"))


@pytest.mark.parametrize("number", [1, 5, 50])
def test_f1_the_same_queries_for_any_number_of_mails(signed_in, technician, hood_of, number):
    hood = hood_of("met-criteria")
    for minute in range(number):
        post_stop(hood=hood, reason="no-flow", words=str(minute), by=technician, at=NOW)
    client = signed_in(technician)
    client.get(f"/hoods/{hood.pk}/")
    with CaptureQueriesContext(connection) as asked:
        assert client.get(f"/hoods/{hood.pk}/").status_code == 200
    assert len(asked) <= 12, [query["sql"][:120] for query in asked]


# --- of a person --------------------------------------------------------------------------------------------------------


def invite(client, capture, **fields):
    sent = {"email": "tove@skua.example", "name": "Tove Lind", "initials": "TL", "role": "technician",
            "from_on": "2026-03-30"} | fields  # fmt: skip
    with capture(execute=True):
        return client.post("/people/invite/", sent)


def test_an_invitation_goes_out_and_the_link_is_handed_over_as_well(
    signed_in, programme_manager, django_capture_on_commit_callbacks
):
    client = signed_in(programme_manager)
    page = invite(client, django_capture_on_commit_callbacks)
    assert "/password/" in page.content.decode()
    assert "The person gets a mail with a link to set a password" in said(client.get("/people/invite/"))
    person = Notice.objects.get().to
    assert "Set your password: https://hoods.skua.example/password/" in mail.outbox[0].body
    assert "Told by mail: Tove Lind, 30 MAR 2026, 10:12." in said(client.get(f"/people/{person.pk}/"))


def test_without_a_mail_server_the_link_is_handed_over_as_before(
    signed_in, programme_manager, django_capture_on_commit_callbacks, settings
):
    settings.MAIL_IS_SET_UP = False
    client = signed_in(programme_manager)
    assert "No mail server is set up: you get a link to hand over" in said(client.get("/people/invite/"))
    page = invite(client, django_capture_on_commit_callbacks)
    assert first_line(page) == "Hand this link to Tove Lind, and to nobody else."
    assert "/password/" in page.content.decode()
    assert "Tove Lind has not been told by mail yet: no mail server is set up. The mail is kept." in said(page)


@pytest.mark.django_db(transaction=True)
def test_the_page_of_the_link_says_whether_the_mail_went_out(signed_in, programme_manager, settings):
    client, kept = signed_in(programme_manager), settings.EMAIL_BACKEND
    settings.EMAIL_BACKEND = mailing.AWAY
    page = invite(client, lambda execute: nullcontext())
    assert first_line(page) == "Hand this link to Tove Lind, and to nobody else."
    assert "Tove Lind has not been told by mail yet" in said(page)
    settings.EMAIL_BACKEND = kept
    page = invite(client, lambda execute: nullcontext(), email="ivar@skua.example", name="Ivar Holm", initials="IH")
    assert first_line(page) == "Ivar Holm was sent a mail with such a link, to ivar@skua.example."
    assert "If the mail does not arrive, hand this link to Ivar Holm, and to nobody else." in said(page)


def mend(client, capture, person, **fields):
    sent = {"email": "tove@skua.example", "name": "Tove Lind", "initials": "TL", "position": "", "employer": ""}
    with capture(execute=True):
        return client.post(f"/people/{person.pk}/change/", sent | fields, follow=True)


@pytest.mark.parametrize("backend", [mailing.REFUSING, None])
def test_a_mistyped_address_is_mended_and_the_invitation_goes_to_the_new_one(
    signed_in, programme_manager, django_capture_on_commit_callbacks, settings, backend
):
    client = signed_in(programme_manager)
    with_fault = settings.EMAIL_BACKEND
    settings.EMAIL_BACKEND = backend or with_fault
    page = invite(client, django_capture_on_commit_callbacks, email="asel@skua.exmaple")
    link = page.context["link"].removeprefix("https://hoods.skua.example")
    settings.EMAIL_BACKEND = with_fault
    person = Notice.objects.get().to
    assert 'value="asel@skua.exmaple"' in client.get(f"/people/{person.pk}/change/").content.decode()
    page = mend(client, django_capture_on_commit_callbacks, person)
    assert "The address is changed to tove@skua.example." in said(page)
    assert mail.outbox[-1].to == ["tove@skua.example"]
    assert "Set your password: https://hoods.skua.example/password/" in mail.outbox[-1].body
    entry = Entry.objects.of(person).get(action="address-mended")
    assert (entry.before, entry.after) == ({"email": "asel@skua.exmaple"}, {"email": "tove@skua.example"})
    send_waiting(at=datetime(2026, 4, 1, tzinfo=UTC))
    assert [sent.to for sent in mail.outbox].count(["asel@skua.exmaple"]) == (0 if backend else 1), "never again"
    assert "given up" not in first_line(client.get("/mails/"))
    assert b"new_password1" not in Client().get(link, follow=True).content, "the old link has ended"


def test_what_did_not_reach_the_old_address_goes_to_the_new_one_too(
    signed_in, programme_manager, django_capture_on_commit_callbacks, settings, hood_of, room, technician
):
    hood, client, kept = hood_of("met-criteria", "FH-0142"), signed_in(programme_manager), settings.EMAIL_BACKEND
    settings.EMAIL_BACKEND = mailing.AWAY
    invite(
        client, django_capture_on_commit_callbacks, email="tove@skua.exmaple", role="lab-manager", rooms=[room.pk]
    )
    with django_capture_on_commit_callbacks(execute=True):
        post_stop(hood=hood, reason="no-flow", by=technician, at=NOW)
    settings.EMAIL_BACKEND = kept
    mend(client, django_capture_on_commit_callbacks, Notice.objects.filter(kind="invited").get().to)
    assert sorted(sent.subject[:15] for sent in mail.outbox if sent.to == ["tove@skua.example"]) == [
        "Do not use: FH-", "Set your passwo"
    ]  # fmt: skip


def test_p9_the_address_of_who_has_a_password_is_nobodys_to_change(signed_in, programme_manager, technician):
    client = signed_in(programme_manager)
    assert 'name="email"' not in client.get(f"/people/{technician.pk}/change/").content.decode()
    client.post(f"/people/{technician.pk}/change/", {"email": "x@skua.example", "name": "Ruth Okafor", "initials": "RO"})
    technician.refresh_from_db()
    assert technician.email == "ruth@skua.example"
    with pytest.raises(SignsInAlready):
        mend_address(
            person=technician, site=technician.roles.get().site, email="x@skua.example", by=programme_manager, at=NOW
        )


def test_p9_an_address_that_somebody_has_is_refused_at_its_box(
    signed_in, programme_manager, technician, django_capture_on_commit_callbacks
):
    client = signed_in(programme_manager)
    invite(client, django_capture_on_commit_callbacks)
    person = Notice.objects.get().to
    page = mend(client, django_capture_on_commit_callbacks, person, email="Ruth@skua.example")
    assert (page.status_code, "Somebody has this address already" in said(page)) == (422, True)


# --- all mails ----------------------------------------------------------------------------------------------------------


def test_the_programme_manager_sees_every_mail_those_that_wait_first(
    post, signed_in, programme_manager, hood_of, settings
):
    client = signed_in(programme_manager)
    assert first_line(client.get("/mails/")) == "Nobody had to be told by mail yet."
    post(hood_of("met-criteria", "FH-0142"))
    assert first_line(client.get("/mails/")) == "Every mail has gone out."
    settings.EMAIL_BACKEND = mailing.AWAY
    post(hood_of("met-criteria", "FH-0143"))
    page = client.get("/mails/")
    assert first_line(page) == "One mail has not gone out yet."
    assert "‘Do not use’ posted, FH-0143, 30 MAR 2026, 10:12. Asel Brandt has not been told by mail yet" in said(page)
    assert "1 mail has not gone out yet." in said(client.get("/")), "home says that it waits"


@pytest.mark.parametrize(("leave", "why"), [
    (lambda person: Person.objects.filter(pk=person.pk).update(is_active=False), "the sign-in is disabled"),
    (lambda person: person.roles.update(until_on=NOW.date() - timedelta(days=2)), "no role at this site any more"),
])  # fmt: skip
def test_what_is_given_up_is_said_with_why_and_stays_on_home_for_thirty_days(
    post, signed_in, programme_manager, lab_manager, hood_of, settings, leave, why
):
    settings.EMAIL_BACKEND = mailing.REFUSING
    post(hood_of("met-criteria", "FH-0142"))
    client = signed_in(programme_manager)
    assert first_line(client.get("/mails/")) == "One mail has not gone out yet."
    leave(lab_manager)
    page = client.get("/mails/")
    assert first_line(page) == "No mail waits to go out. One mail was given up."
    assert f"Asel Brandt was not told by mail, and no mail will be sent: {why}." in said(page)
    assert f"given up: {why}" in said(page).partition("All mails")[2]
    assert "not yet" not in said(page)
    home = "1 mail of the last 30 days was given up"
    assert home in said(client.get("/"))
    assert send_waiting(at=NOW).number == 0
    with time_machine.travel(NOW + timedelta(days=31), tick=False):
        assert home not in said(signed_in(programme_manager).get("/"))


def test_a4_a8_mails_are_the_programme_managers_to_see(signed_in, technician, lab_manager, auditor, hood_of):
    for person in (technician, lab_manager, auditor):
        assert signed_in(person).get("/mails/").status_code == 403
    own, other = Notice.objects.visible_to(lab_manager), Notice.objects.visible_to(technician)
    assert (own.count(), other.count()) == (0, 0)


def test_a8_a_lab_manager_sees_notices_of_own_hoods_alone(post, lab_manager, programme_manager, hood_of, other_room):
    own, other = hood_of("met-criteria"), hood_of("met-criteria", room=other_room)
    post(own)
    post(other)
    assert {notice.hood for notice in Notice.objects.visible_to(lab_manager)} == {own}
    assert {notice.hood for notice in Notice.objects.visible_to(programme_manager)} == {own, other}
