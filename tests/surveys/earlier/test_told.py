"""Who hears that a list of earlier results counts, or counts no longer: one mail to a person, however long the list."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pytest
from django.core import mail
from django.db import transaction
from django.urls import reverse

from surveys.actions import earlier
from surveys.actions.letters_of_many import NAMED
from surveys.actions.mails import letter_of
from surveys.actions.notices import send_waiting
from surveys.models import EarlierChange, Notice, NoticeHood
from tests import mailing
from tests.surveys import rows
from tests.surveys.earlier.counting import NOW, a_row, brought, status_of
from tests.surveys.words import said

pytestmark = pytest.mark.django_db


@pytest.fixture
def after_commit(django_capture_on_commit_callbacks):
    return partial(django_capture_on_commit_callbacks, execute=True)


@pytest.fixture
def listed(judged, lab_manager, programme_manager):
    """A list of one hood, in the lab manager's room."""
    return brought(programme_manager, a_row(judged))


@pytest.fixture
def decide(programme_manager, after_commit):
    def act(act, batch, at=NOW, why="compared with three reports"):
        with after_commit():
            return act(batch=batch, why=why, by=programme_manager, at=at)

    return act


def kinds() -> list[str]:
    return list(Notice.objects.order_by("at", "pk").values_list("kind", flat=True))


def test_an_accepted_list_is_told_of_at_once(decide, listed, judged):
    decide(earlier.accept_results, listed)
    (sent,) = mail.outbox
    assert sent.to == ["asel@skua.example"]
    assert sent.subject == "Earlier results count: FH-0142, North Range 214"
    lines = sent.body.splitlines()
    for line in (
        "Results from earlier records, not signed here, count from now on: FH-0142, North Range 214.",
        "List: old.csv",
        "Why: compared with three reports",
        "Since: 20 APR 2026, 10:00 (Europe/London)",
        "Accepted by: Henrik Sole",
        f"The page of FH-0142: https://hoods.skua.example/hoods/{judged.pk}/",
        "You are told because you manage North Range 214.",
        "Meeting criteria does not guarantee containment.",
    ):
        assert line in lines, line
    assert (
        "From earlier records, not signed here. It may be used within what its label says: sash at or below 18 in"
        in sent.body
    )
    assert "This ledger has printed no label for it." in sent.body


@pytest.mark.parametrize(
    ("act", "by"), [(earlier.withdraw_acceptance, "Withdrawn by"), (earlier.strike_results, "Struck by")]
)
def test_a_list_that_counts_no_longer_is_told_of_at_once(decide, listed, judged, act, by):
    decide(earlier.accept_results, listed)
    mail.outbox.clear()
    decide(act, listed, at=NOW + timedelta(hours=1), why="two rows were swapped")
    (sent,) = mail.outbox
    assert sent.subject == "Earlier results count no longer: FH-0142, North Range 214"
    assert "Why: two rows were swapped" in sent.body.splitlines()
    assert f"{by}: Henrik Sole" in sent.body.splitlines()
    assert "Leave its sash closed and tell everybody who works there." in sent.body
    assert "may be used" not in sent.body


def test_a_list_that_never_counted_is_struck_without_a_mail(decide, listed):
    decide(earlier.strike_results, listed)
    assert (kinds(), mail.outbox) == ([], [])


def test_what_a_list_changes_nothing_for_is_not_told(decide, listed, judged, version, technician):
    """What is signed here outweighs it; the control is the list before anything was signed."""
    rows.survey(judged, version, technician, date(2026, 2, 10), "pass")
    decide(earlier.accept_results, listed)
    assert kinds() == []


def test_a_list_that_bars_a_hood_says_so(decide, judged, lab_manager, programme_manager):
    decide(earlier.accept_results, brought(programme_manager, a_row(judged, verdict="fail")))
    (sent,) = mail.outbox
    assert "the criteria were not met: from earlier records, not signed here" in sent.body
    assert "Leave its sash closed" in sent.body


def test_an_act_that_is_undone_tells_nobody(listed, programme_manager, after_commit):
    with after_commit(), transaction.atomic():
        earlier.accept_results(batch=listed, why="agreed", by=programme_manager, at=NOW)
        transaction.set_rollback(True)
    assert (kinds(), mail.outbox, EarlierChange.objects.count()) == ([], [], 0)


def test_a_mail_server_that_is_away_keeps_no_list_from_counting(decide, listed, judged, settings):
    settings.EMAIL_BACKEND = mailing.AWAY
    decide(earlier.accept_results, listed)
    assert (status_of(judged).code, mail.outbox) == ("met-criteria", [])
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    assert send_waiting(at=NOW + timedelta(minutes=1)).number == 1
    (sent,) = mail.outbox
    assert sent.subject.startswith("Earlier results count:")


def test_a_late_mail_says_what_has_become_of_it(decide, listed, judged, settings):
    settings.MAIL_IS_SET_UP = False
    decide(earlier.accept_results, listed)
    decide(earlier.withdraw_acceptance, listed, at=NOW + timedelta(hours=1))
    accepted, withdrawn = Notice.objects.order_by("at")
    assert "they count no longer by now" in letter_of(accepted, NOW + timedelta(hours=2)).opening
    decide(earlier.accept_results, listed, at=NOW + timedelta(hours=3))
    assert "they are accepted again by now" in letter_of(withdrawn, NOW + timedelta(hours=4)).opening
    assert "count from now on" in letter_of(accepted, NOW + timedelta(hours=4)).opening


@pytest.fixture
def many(make_hood, version, programme_manager, lab_manager, room, other_room):
    """A list of more hoods than a mail names, all but one in the lab manager's room."""
    hoods = [make_hood(tag=f"FH-1{place:03}", room=room) for place in range(NAMED + 2)]
    hoods.append(make_hood(tag="FH-2000", room=other_room))
    for hood in hoods:
        rows.assign(hood, version, programme_manager)
    verdicts = {hoods[NAMED + 1].tag: "fail"}
    given = [replace(a_row(hood, verdict=verdicts.get(hood.tag, "pass")), row=row) for row, hood in enumerate(hoods, 2)]
    return hoods, brought(programme_manager, *given)


def test_a_long_list_sends_one_mail_to_each_person_with_their_rooms(decide, many, django_assert_max_num_queries):
    hoods, batch = many
    with django_assert_max_num_queries(80):
        decide(earlier.accept_results, batch)
    of_many, of_one = sorted(mail.outbox, key=lambda sent: sent.to)
    assert (of_many.to, of_one.to) == (["asel@skua.example"], ["henrik@skua.example"])
    number = len(hoods) - 1
    assert of_many.subject == f"Earlier results count: {number} hoods"
    assert "1 of them must not be used, the others may be within what their labels say." in of_many.body
    named = [line.split(",")[0] for line in of_many.body.splitlines() if line.startswith("FH-")]
    assert len(named) == NAMED
    assert named[0] == hoods[NAMED + 1].tag, "what must not be used comes first"
    assert f"More: {number - NAMED} more hoods: see the ledger" in of_many.body.splitlines()
    assert "FH-2000" not in of_many.body
    assert of_one.subject == "Earlier results count: FH-2000, North Range 118"
    assert NoticeHood.objects.count() == number


def test_the_hoods_page_and_the_list_of_mails_tell_who_was_told(decide, many, signed_in, programme_manager):
    hoods, batch = many
    decide(earlier.accept_results, batch)
    client = signed_in(programme_manager)
    for hood in (hoods[0], hoods[-1]):
        assert "Earlier results count" in client.get(reverse("surveys:hood", args=[hood.pk])).content.decode()
    listed = said(client.get(reverse("surveys:notice_list")))
    assert f"Earlier results count, {len(hoods) - 1} hoods" in listed
    assert "Earlier results count, FH-2000" in listed


def test_what_was_told_of_many_hoods_is_no_invitation(decide, many, signed_in, programme_manager, lab_manager):
    decide(earlier.accept_results, many[1])
    page = signed_in(programme_manager).get(reverse("hoods:person", args=[lab_manager.pk])).content.decode()
    assert "Earlier results count" not in page
