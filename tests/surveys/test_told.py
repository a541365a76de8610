"""Who was told, as pages show it: on the hood, of a person, and all mails for the programme manager."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.core import mail
from django.db import connection
from django.test.utils import CaptureQueriesContext

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
    assert "Hand this link to Tove Lind, and to nobody else." in said(page)
    assert "/password/" in page.content.decode()
    person = Notice.objects.get().to
    assert "Set your password: https://hoods.skua.example/password/" in mail.outbox[0].body
    assert "Told by mail: Tove Lind, 30 MAR 2026, 10:12." in said(client.get(f"/people/{person.pk}/"))


def test_without_a_mail_server_the_link_is_handed_over_as_before(
    signed_in, programme_manager, django_capture_on_commit_callbacks, settings
):
    settings.MAIL_IS_SET_UP = False
    page = invite(signed_in(programme_manager), django_capture_on_commit_callbacks)
    assert "/password/" in page.content.decode()
    assert "Tove Lind has not been told by mail yet: no mail server is set up. The mail is kept." in said(page)


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
