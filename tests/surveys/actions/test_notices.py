"""Who is told by mail, of what, in which words; and that a mail server that refuses loses nothing."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from io import StringIO

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.db import OperationalError, connection, transaction
from django.urls import reverse
from django.utils import timezone

from hoods.actions.people import invite_person, renew_link
from hoods.models import Person, Role
from surveys.actions import notices
from surveys.actions.drafts import end_draft, start_draft
from surveys.actions.letters import letter_of
from surveys.actions.notices import send_waiting, to_be_told
from surveys.actions.stops import post_stop, withdraw_stop
from surveys.models import Notice, NoticeClaim, NoticeTry, Stop
from tests import mailing, making, pages, surveying
from tests.racing import together
from tests.surveying import SLOW, SURVEYED, entered

pytestmark = pytest.mark.django_db
LATER = SURVEYED + timedelta(hours=2)


@pytest.fixture
def after_commit(django_capture_on_commit_callbacks):
    """What is done inside is committed, and what waits for that is done."""
    return partial(django_capture_on_commit_callbacks, execute=True)


@pytest.fixture
def told(lab_manager, programme_manager):
    """The people who may have to be told."""
    return lab_manager, programme_manager


def manages(person: Person, room, **days) -> Role:
    """Makes somebody a lab manager of a room."""
    return Role.objects.create(
        person=person, site=room.building.site, role="lab-manager", room=room, **({"from_on": making.ON} | days)
    )


# --- who ----------------------------------------------------------------------------------------------------------------


def test_the_lab_managers_of_the_room_are_told_on_the_days_of_their_role(hood, told, other_room, room):
    day = hood.site.day_of(SURVEYED)
    for name, place, days in (
        ("Ended Long", room, {"until_on": day - timedelta(days=1)}),
        ("Comes Later", room, {"from_on": day + timedelta(days=1)}),
        ("Next Door", other_room, {}),
        ("Last Day", room, {"until_on": day}),
        ("First Day", room, {"from_on": day}),
    ):
        manages(making.make_person(name), place, **days)
    manages(making.make_person("Cannot Come", is_active=False), room)
    names = [(person.name, as_what) for person, as_what in to_be_told(hood, day)]
    assert names == [(name, "lab-manager") for name in ("Asel Brandt", "First Day", "Last Day")]


def test_without_a_lab_manager_the_programme_managers_are_told_and_it_is_said(
    make_hood, other_room, told, technician, after_commit
):
    hood = make_hood(tag="FH-0190", room=other_room)
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    notice = Notice.objects.get()
    assert (notice.to, notice.role) == (told[1], "programme-manager")
    assert "nobody is named as lab manager of North Range 118" in mail.outbox[0].body


def test_a_hood_that_was_moved_tells_the_manager_of_where_it_stands_that_day(hood, told, other_room, room):
    hood.placements.create(room=other_room, from_on=date(2026, 3, 1), at=SURVEYED, by=told[1])
    assert [person.name for person, _role in to_be_told(hood, date(2026, 2, 28))] == ["Asel Brandt"]
    assert [person.name for person, _role in to_be_told(hood, date(2026, 3, 1))] == ["Henrik Sole"]


# --- of what ------------------------------------------------------------------------------------------------------------


def kinds() -> list[str]:
    return list(Notice.objects.order_by("at", "pk").values_list("kind", flat=True))


def test_a_stop_is_told_once_when_posted_and_once_when_withdrawn(hood, told, technician):
    for _press in range(2):
        stop = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    for _press in range(2):
        withdraw_stop(stop=stop, why="It was the next hood.", by=told[1], at=LATER)
    assert kinds() == ["stop-posted", "stop-withdrawn"]


@pytest.mark.parametrize(
    ("readings", "told_of"),
    [
        (None, []),
        (SLOW, ["failed"]),
        (surveying.UNEVEN, ["restricted"]),
    ],
    ids=["pass", "fail", "restrict"],
)
def test_a_signed_survey_is_told_of_if_it_bars_or_restricts(ready, instrument, told, technician, readings, told_of):
    survey = surveying.survey(ready, entered(instrument, readings), technician)
    assert kinds() == told_of
    assert all(notice.survey == survey and notice.hood == ready for notice in Notice.objects.all())


def test_a_lifted_stop_is_told_of_once_for_all_that_one_survey_lifts(ready, instrument, told, technician, after_commit):
    for reason in ("no-flow", "glass-broken"):
        post_stop(hood=ready, reason=reason, by=technician, at=SURVEYED - timedelta(days=1))
    with after_commit():
        survey = surveying.survey(ready, entered(instrument), technician, sign_taken_down=True)
    assert kinds() == ["stop-posted", "stop-posted", "stop-lifted"]
    assert not Stop.objects.up().exists()
    assert Notice.objects.get(kind="stop-lifted").survey == survey
    (sent,) = mail.outbox
    assert sent.subject == "‘Do not use’ lifted: FH-0142, North Range 214"
    assert "It may be used within what its label says: sash at or below 18 in (457 mm) above the airfoil" in sent.body


def test_a_survey_that_is_ended_is_told_of_at_once_and_again_when_it_is_signed(ready, told, technician, instrument):
    draft = start_draft(hood=ready, by=technician, at=SURVEYED)
    receipt = surveying.save(draft, entered(instrument), technician)
    ended = end_draft(draft=draft, reason="glass-broken", words="Cracked.", by=technician, at=SURVEYED)
    assert kinds() == ["stop-posted"]
    assert ended.receipt.revision == receipt.revision + 1


def test_d6_what_is_not_done_is_not_told(hood, told, technician, after_commit):
    """The notice belongs to the transaction of the act: undone with it, and no mail goes out."""
    with after_commit(), transaction.atomic():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
        transaction.set_rollback(True)
    assert (Notice.objects.count(), Stop.objects.count(), mail.outbox) == (0, 0, [])


# --- in which words -----------------------------------------------------------------------------------------------------


def test_the_mail_of_a_stop_says_all_that_its_reader_needs(hood, told, technician, after_commit):
    with after_commit():
        post_stop(hood=hood, reason="glass-broken", words="Cracked from <side> to side.", by=technician, at=SURVEYED)
    (sent,) = mail.outbox
    assert (sent.subject, sent.to) == ("Do not use: FH-0142, North Range 214", ["asel@skua.example"])
    assert sent.extra_headers["Auto-Submitted"] == "auto-generated"
    for line in (
        "Do not use hood FH-0142 from now on.",
        "Where: North Range 214",
        "Why: Glass broken. Cracked from <side> to side.",
        "Since: 12 MAR 2026, 13:30 (Europe/London)",
        "Until: a survey meets the criteria and its surveyor takes the sign down",
        "Posted by: Ruth Okafor",
        "Now, at 12 MAR 2026, 13:30 (Europe/London): Do not use, posted on 12 MAR 2026: the glass is broken.",
        "Whom to call: Safety office, telephone 4100",
        f"The page of FH-0142: https://hoods.skua.example/hoods/{hood.pk}/",
        "You are told because you manage North Range 214.",
        "Meeting criteria does not guarantee containment.",
    ):
        assert line in sent.body.splitlines(), line
    ((markup, kind),) = sent.alternatives
    assert kind == "text/html"
    assert f'<a href="https://hoods.skua.example/hoods/{hood.pk}/">The page of FH-0142</a>' in markup
    assert "Cracked from &lt;side&gt; to side." in markup
    assert not {"<img", "<style", "style=", "<script", "<link"} & set(markup.split()), "nothing is fetched or drawn"
    assert "@" not in sent.body, "no address of anybody"


def test_the_mail_of_a_failed_survey_says_why_from_its_record(ready, instrument, told, technician, after_commit):
    with after_commit():
        surveying.survey(ready, entered(instrument, SLOW), technician)
    (sent,) = mail.outbox
    assert sent.subject == "Do not use: FH-0142, North Range 214"
    assert "Average face velocity 72 ft/min, from 80 ft/min to 120 ft/min: not met (fail)." in sent.body
    assert "Until: a survey meets the criteria" in sent.body.splitlines()
    assert "Surveyed by: Ruth Okafor" in sent.body.splitlines()


def test_a_mail_that_goes_out_late_does_not_say_what_has_ceased(hood, told, technician, after_commit, settings):
    settings.MAIL_IS_SET_UP = False
    stop = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    withdraw_stop(stop=stop, why="It was the next hood.", by=told[1], at=LATER)
    settings.MAIL_IS_SET_UP = True
    send_waiting(at=LATER + timedelta(days=1))
    posted, withdrawn = mail.outbox
    assert posted.subject == "‘Do not use’ was posted: FH-0142, North Range 214"
    assert "It is over by now." in posted.body
    assert "Now, at 13 MAR 2026, 15:30 (Europe/London): No survey has had a verdict yet." in posted.body
    assert withdrawn.subject == "‘Do not use’ withdrawn: FH-0142, North Range 214"
    assert "Why: It was the next hood." in withdrawn.body.splitlines()


def test_what_still_bars_the_hood_comes_first_in_the_subject(hood, told, technician):
    first, second = (
        post_stop(hood=hood, reason=reason, by=technician, at=SURVEYED) for reason in ("no-flow", "glass-broken")
    )
    withdraw_stop(stop=first, why="It was the next hood.", by=told[1], at=LATER)
    notice = Notice.objects.get(kind="stop-withdrawn")
    assert letter_of(notice, LATER).subject == "Still do not use: FH-0142, North Range 214"
    assert second in Stop.objects.up()


def test_the_sign_of_a_withdrawn_stop_comes_down_unless_something_else_bars_the_hood(hood, told, technician, signed_in):
    first, second = (
        post_stop(hood=hood, reason=reason, by=technician, at=SURVEYED) for reason in ("no-flow", "glass-broken")
    )
    client = signed_in(told[1])
    for stop, sign in ((first, "leave the sign where it hangs."), (second, "Take the sign down if it hangs on the hood. The")):
        address = reverse("surveys:withdraw_stop", args=[stop.pk])
        page = client.post(address, {f"withdraw-{stop.pk}-why": "It was the next hood."}, follow=True)
        assert f"{sign} " in " ".join(page.content.decode().split())
        notice = Notice.objects.get(kind="stop-withdrawn", stop=stop)
        assert sign in letter_of(notice, timezone.now()).to_do
    posted = letter_of(Notice.objects.get(kind="stop-posted", stop=first), timezone.now()).to_do
    assert posted.startswith("Leave its sash closed"), "of what is over nothing is said to hang"


def test_a_mail_is_in_the_language_of_its_reader(hood, told, technician, after_commit):
    told[0].language = "de"  # the ledger speaks English; months are Django's own
    told[0].save()
    with after_commit():
        post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert "12 MÄR 2026" in mail.outbox[0].body
    assert '<html lang="de">' in mail.outbox[0].alternatives[0][0]


# --- invitations --------------------------------------------------------------------------------------------------------


def invited(site, by, email="tove@skua.example", **how):
    asked = {"name": "Tove Lind", "initials": "TL", "role": "technician", "from_on": site.day_of(SURVEYED)} | how
    return invite_person(site=site, email=email, by=by, at=SURVEYED, **asked)


def test_an_invitation_goes_out_with_a_link_that_is_kept_nowhere(site, programme_manager, after_commit, client):
    with after_commit():
        made = invited(site, programme_manager)
    (sent,) = mail.outbox
    assert (sent.subject, sent.to) == ("Set your password: Hood Ledger, Skua Institute", ["tove@skua.example"])
    assert "Your role: Technician" in sent.body.splitlines()
    assert "Henrik Sole invited you." in sent.body
    (link,) = (line.removeprefix("Set your password: ") for line in sent.body.splitlines() if "/password/" in line)
    path = link.removeprefix("https://hoods.skua.example")
    assert 'name="new_password1"' in client.get(path, follow=True).content.decode(), "the link opens the page"
    token = path.rstrip("/").rpartition("/")[2]
    assert not [table for table, kept in pages.everything().items() if any(token in str(row) for row in kept)]
    assert made.link, "the page still hands a link over"


def test_whoever_signs_in_already_is_told_of_the_role_without_a_link(site, told, after_commit):
    with after_commit():
        invited(site, told[1], email=told[0].email, name=told[0].name)
    assert mail.outbox[0].subject == "You have a role: Hood Ledger, Skua Institute"
    assert "/password/" not in mail.outbox[0].body


def test_a_renewed_link_goes_out_too(site, told, after_commit):
    with after_commit():
        renew_link(person=told[0], by=told[1], at=SURVEYED, site=site)
    assert "/password/" in mail.outbox[0].body
    assert kinds() == ["link-made"]


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
    return Notice.objects.waiting(LATER.date()).select_related("to", "site", "hood", "stop", "survey", "by").filter(pk=pk).first()


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
