"""Who is told by mail, of what, in which words; and that a mail server that refuses loses nothing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core import mail
from django.db import transaction

from surveys.actions.drafts import end_draft, start_draft
from surveys.actions.notices import to_be_told
from surveys.actions.stops import post_stop, withdraw_stop
from surveys.models import Notice, Stop
from tests import making, surveying
from tests.surveying import SLOW, SURVEYED, entered
from tests.surveys.actions.telling import LATER, kinds, manages

pytestmark = pytest.mark.django_db


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


# --- of what ----------------------------------------------------------------------------------------------------------


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
