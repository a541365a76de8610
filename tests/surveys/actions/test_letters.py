"""In which words people are told, and invitations."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from hoods.actions.people import invite_person, renew_link
from surveys.actions.mails import letter_of
from surveys.actions.notices import send_waiting
from surveys.actions.stops import post_stop, withdraw_stop
from surveys.models import Notice, Stop
from tests import pages, surveying
from tests.surveying import SLOW, SURVEYED, entered
from tests.surveys.actions.telling import LATER, kinds

pytestmark = pytest.mark.django_db


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
    for stop, sign in (
        (first, "leave the sign where it hangs."),
        (second, "Take the sign down if it hangs on the hood. The"),
    ):
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
