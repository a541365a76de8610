"""A mail server that refuses loses nothing: kept, tried again, sent once."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.db import OperationalError, connection

from hoods.models import Person
from surveys.actions import notices
from surveys.actions.notices import send_waiting
from surveys.actions.stops import post_stop
from surveys.models import Notice, NoticeClaim, NoticeTry, Stop
from tests import mailing, making
from tests.racing import together
from tests.surveying import SURVEYED
from tests.surveys.actions.telling import LATER, manages

pytestmark = pytest.mark.django_db


# --- a mail server that refuses -----------------------------------------------------------------------------------------


def tries() -> list[tuple[bool, str]]:
    return list(NoticeTry.objects.order_by("pk").values_list("sent", "answer"))


def test_a_refused_mail_is_kept_with_the_answer_and_sent_by_the_command(hood, told, technician, after_commit, settings):
    settings.EMAIL_BACKEND = mailing.REFUSING
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert tries() == [(False, "550 5.1.1 <…>: no such mailbox")], "without the address"
    assert Stop.objects.up().exists()
    with pytest.raises(CommandError, match="1 not sent, and kept to be tried again: 550"):
        call_command("send_notices", stdout=StringIO())
    assert len(tries()) == 2

    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    said = StringIO()
    call_command("send_notices", stdout=said)
    call_command("send_notices", stdout=said)
    assert said.getvalue() == "1 sent.\n0 sent.\n"
    assert len(mail.outbox) == 1
    assert [sent for sent, _answer in tries()] == [False, False, True]
    assert not NoticeClaim.objects.exists()


def test_one_refused_mail_stops_no_other(hood, room, told, technician, after_commit, settings):
    settings.EMAIL_BACKEND = mailing.REFUSING
    manages(making.make_person("Berit Dahl"), room)
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert [sent.to for sent in mail.outbox] == [["berit@skua.example"]]
    assert sorted(sent for sent, _answer in tries()) == [False, True]


def test_a_server_that_is_away_is_asked_once_in_a_run_and_each_notice_says_so(
    hood, room, told, technician, after_commit, settings
):
    settings.EMAIL_BACKEND, mailing.Away.calls[:] = mailing.AWAY, []
    manages(making.make_person("Berit Dahl"), room)
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert len(mailing.Away.calls) == 1
    assert tries() == [(False, "Connection refused")] * 2


def test_a_mail_that_cannot_be_written_stops_no_other_and_not_the_act(
    hood, room, told, technician, after_commit, caplog
):
    manages(making.make_person("Berit Dahl"), room)
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
        hood.site.time_zone = "Nowhere/Land"
        hood.site.save()
    assert [sent for sent, _answer in tries()] == [False, False]
    assert "could not be sent" in caplog.text
    hood.site.time_zone = "Europe/London"
    hood.site.save()
    assert send_waiting(at=LATER).number == 2


def test_without_a_mail_server_everything_is_kept_and_the_command_says_so(
    hood, told, technician, after_commit, settings
):
    settings.MAIL_IS_SET_UP = False
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert (tries(), mail.outbox, Notice.objects.waiting(LATER.date()).count()) == ([], [], 1)
    with pytest.raises(CommandError, match="No mail server is set up"):
        call_command("send_notices")


def test_nobody_writes_to_somebody_who_was_disabled_meanwhile(hood, told, technician, settings):
    settings.MAIL_IS_SET_UP = False
    post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    settings.MAIL_IS_SET_UP = True
    Person.objects.filter(pk=told[0].pk).update(is_active=False)
    assert send_waiting(at=LATER).number == 0
    assert mail.outbox == []


def test_a_claim_of_a_sender_that_died_is_over_in_ten_minutes(hood, told, technician):
    post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    NoticeClaim.objects.create(notice=Notice.objects.get(), until=SURVEYED + notices.CLAIMED)
    assert send_waiting(at=SURVEYED + timedelta(minutes=9)).number == 0
    assert send_waiting(at=SURVEYED + timedelta(minutes=10)).number == 1


# --- beside the database ------------------------------------------------------------------------------------------------


@pytest.mark.django_db(transaction=True)
def test_no_transaction_is_open_and_no_connection_held_while_the_server_is_talked_to(hood, told, technician, settings):
    settings.EMAIL_BACKEND, mailing.Looking.seen[:] = mailing.LOOKING, []
    post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert mailing.Looking.seen == [(False, False)]
    assert tries() == [(True, "")]


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("table", ["surveys_noticeclaim", "surveys_noticetry", "hoods_placement"])
def test_d6_a_database_that_breaks_after_the_commit_undoes_no_act_and_loses_no_notice(hood, told, technician, table):
    """What is asked of a table once the stop is committed breaks: the press succeeds, and the mail goes out later."""
    committed = False

    def break_after(execute, sql, params, many, context):
        nonlocal committed
        committed = committed or "surveys_noticeclaim" in sql  # the first that is asked after it
        if committed and table in sql:
            raise OperationalError("the database gave up")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(break_after):
        stop = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert stop in Stop.objects.up()
    assert Notice.objects.waiting(LATER.date()).count() == 1
    assert send_waiting(at=SURVEYED + notices.CLAIMED).number == 1
    assert Notice.objects.waiting(LATER.date()).count() == 0


def send_all() -> int:
    return send_waiting(at=LATER).number


def claim_nothing(pk, at):
    """As a sender would be that asks what waits and claims nothing."""
    return (
        Notice.objects.waiting(LATER.date())
        .select_related("to", "site", "hood", "stop", "survey", "by")
        .filter(pk=pk)
        .first()
    )


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("guarded", [True, False])
def test_c6_two_senders_at_once_send_once(hood, told, technician, settings, tmp_path, monkeypatch, guarded):
    settings.MAIL_IS_SET_UP = False
    post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    settings.MAIL_IS_SET_UP, settings.EMAIL_BACKEND, settings.EMAIL_FILE_PATH = True, mailing.SLOW, str(tmp_path)
    if not guarded:
        monkeypatch.setattr(notices, "_claim", claim_nothing)
    done = together([send_all] * 4)
    sent = len(mailing.files(tmp_path))
    if guarded:
        assert (sorted(done), sent) == ([0, 0, 0, 1], 1)
    else:
        assert sent > 1, "what the claim prevents, happens"
    assert NoticeTry.objects.filter(sent=True).count() == 1
