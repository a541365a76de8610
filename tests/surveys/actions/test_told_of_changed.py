"""Who hears that a hood was changed and lost what a survey had approved: at once, once, and nobody of what lost nothing."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core import mail
from django.db import transaction

from hoods import actions, inventory
from hoods.inventory_said import Said
from surveys import queries
from surveys.actions.mails import letter_of
from surveys.actions.notices import send_waiting
from surveys.core.cautions import caution
from surveys.models import Notice, NoticeHood
from tests import mailing, making, surveying
from tests.surveying import SURVEYED, entered
from tests.surveys.actions.telling import LATER, kinds, manages

pytestmark = pytest.mark.django_db


@pytest.fixture
def approved(ready, instrument, technician, told):
    """A hood that its survey of the same day lets be used, with people to be told."""
    surveying.survey(ready, entered(instrument), technician)
    assert queries.status_of(ready, SURVEYED.date()).in_use
    return ready


CHANGES = [
    ({"kind": "canopy"}, "Kind of hood changed", "The kind of this hood was changed since it was measured"),
    ({"control": "variable-volume"}, "Volume control changed", "The volume control of this hood was changed"),
    ({"sash": "horizontal"}, "Sash changed", "The sash of this hood was changed"),
    ({"powered": True}, "Sash changed", "The sash of this hood was changed"),
]


@pytest.mark.parametrize(("what", "named", "said"), CHANGES, ids=[next(iter(row[0])) for row in CHANGES])
def test_a_changed_hood_is_told_of_at_once_with_what_to_do(approved, told, after_commit, what, named, said):
    with after_commit():
        actions.change_hood(hood=approved, by=told[1], at=LATER, why="rebuilt by the workshop", **what)
    assert kinds() == ["approval-ended"]
    (sent,) = mail.outbox
    assert (sent.subject, sent.to) == (
        "Not to be used before a survey: FH-0142, North Range 214",
        ["asel@skua.example"],
    )
    lines = sent.body.splitlines()
    approved.refresh_from_db()
    for line in (
        "Changed in the ledger, and not to be used until surveyed as it is now: FH-0142, North Range 214.",
        f"What changed: {named}",
        "Why: rebuilt by the workshop",
        "Since: 12 MAR 2026, 15:30 (Europe/London)",
        "Changed by: Henrik Sole",
        f"What to do: {caution('left-shut', approved.sash)} Have its label taken off.",
        "You are told because you manage North Range 214.",
        f"The page of FH-0142: https://hoods.skua.example/hoods/{approved.pk}/",
    ):
        assert line in lines, line
    assert any(said in line for line in lines)


@pytest.mark.parametrize("what", [{"maker": "Alder"}, {"monitor": "none"}, {"tag": "FH-0199"}, {"kind": "general"}])
def test_what_ends_no_approval_is_not_told(approved, told, what):
    actions.change_hood(hood=approved, by=told[1], at=LATER, **what)
    assert kinds() == []
    assert queries.status_of(approved, SURVEYED.date()).in_use


def test_a_hood_that_was_never_approved_tells_nobody(hood, told):
    actions.change_hood(hood=hood, kind="canopy", by=told[1], at=LATER)
    assert kinds() == []


def test_changed_back_it_is_told_of_no_more(approved, told):
    for kind in ("canopy", "general"):
        actions.change_hood(hood=approved, kind=kind, by=told[1], at=LATER + timedelta(minutes=len(kind)))
    assert kinds() == ["approval-ended"]
    assert queries.status_of(approved, SURVEYED.date()).code == "not-surveyed", "and stays so"


def test_a_changed_opening_is_told_of_too(approved, told, after_commit):
    with after_commit():
        actions.change_opening(opening=approved.openings.get(), height="20 in", by=told[1], at=LATER)
    assert kinds() == ["approval-ended"]
    assert "What changed: Opening changed" in mail.outbox[0].body


def test_a_lower_opening_that_changes_under_a_higher_one_is_not_told(ready_with_lower, instrument, technician, told):
    surveying.survey(ready_with_lower, surveying.with_lower(instrument, surveying.GOOD), technician)
    before = queries.status_of(ready_with_lower, SURVEYED.date())
    assert [opening.name for opening in before.approved] == ["working", "lower"]
    actions.change_opening(opening=ready_with_lower.openings.get(name="lower"), height="10 in", by=told[1], at=LATER)
    assert queries.status_of(ready_with_lower, SURVEYED.date()).in_use
    assert kinds() == []


def test_a_late_mail_says_how_the_hood_stands_by_then(approved, told, technician, instrument):
    actions.change_hood(hood=approved, kind="high-performance", by=told[1], at=LATER)
    surveying.survey(approved, entered(instrument), technician, at=LATER + timedelta(hours=1))
    letter = letter_of(Notice.objects.get(), LATER + timedelta(hours=3))
    assert letter.subject == "Changed: FH-0142, North Range 214"
    assert "It may be used again by now." in letter.opening
    assert "label taken off" not in letter.to_do


def test_what_is_not_kept_is_not_told(approved, told, after_commit):
    with after_commit(), transaction.atomic():
        actions.change_hood(hood=approved, kind="canopy", by=told[1], at=LATER)
        transaction.set_rollback(True)
    assert (kinds(), mail.outbox) == ([], [])


def test_a_mail_server_that_is_away_keeps_no_change_from_being_made(approved, told, after_commit, settings):
    settings.EMAIL_BACKEND = mailing.AWAY
    with after_commit():
        actions.change_hood(hood=approved, kind="canopy", by=told[1], at=LATER)
    assert (queries.status_of(approved, SURVEYED.date()).code, mail.outbox) == ("not-surveyed", [])
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    assert send_waiting(at=LATER + timedelta(minutes=1)).number == 1
    assert len(mail.outbox) == 1


@pytest.fixture
def three(make_hood, version, instrument, technician, programme_manager, room, other_room, told):
    """Three approved hoods: two in the lab manager's room, one in a room without a lab manager."""
    hoods = [make_hood(tag=f"FH-020{place}", room=where) for place, where in enumerate((room, room, other_room))]
    for place, hood in enumerate(hoods):
        surveying.assign(hood, version, programme_manager)
        surveying.survey(hood, entered(instrument), technician, at=SURVEYED + timedelta(minutes=30 * place))
    return hoods


def bring_in(site, by, rows: list[Said]) -> None:
    seen = inventory.plan(site, rows, site.day_of(LATER)).digest
    actions.keep_list(site=site, said=rows, seen=seen, by=by, at=LATER, why="From the list hoods.csv.")


def row(number: int, tag: str, **what: str) -> Said:
    return Said(number, tag, hood=what)


def test_a_list_that_changes_many_hoods_sends_one_mail_to_each_person(site, three, told, after_commit):
    with after_commit():
        bring_in(site, told[1], [row(place, hood.tag, sash="none") for place, hood in enumerate(three, start=2)])
    assert kinds() == ["approval-ended", "approval-ended"]
    by_person = {sent.to[0]: sent for sent in mail.outbox}
    of_two, of_one = by_person["asel@skua.example"], by_person["henrik@skua.example"]
    assert of_two.subject == "Not to be used before a survey: 2 hoods"
    for hood in three[:2]:
        assert f"{hood.tag}, North Range 214: The sash of this hood was changed since it was measured" in of_two.body
    assert three[2].tag not in of_two.body
    assert "None of them may be used." in of_two.body
    assert (
        f"The page of North Range 214: https://hoods.skua.example/rooms/{three[0].placement().room_id}/" in of_two.body
    )
    assert of_one.subject == "Not to be used before a survey: FH-0202, North Range 118"
    assert "nobody is named as lab manager of North Range 118" in of_one.body
    assert NoticeHood.objects.count() == 2, "of one hood the notice itself says which"


def test_the_page_of_each_hood_says_who_was_told(site, three, told, after_commit, signed_in):
    with after_commit():
        bring_in(site, told[1], [row(place, hood.tag, kind="other") for place, hood in enumerate(three, start=2)])
    client = signed_in(told[1])
    for hood in three:
        assert "Approval ended by a change" in client.get(f"/hoods/{hood.pk}/").content.decode()


def test_only_the_hoods_that_lost_something_are_named(site, three, told, make_hood, after_commit):
    never = make_hood(tag="FH-0209", room=three[0].placement().room)
    rows = [row(2, three[0].tag, kind="other"), row(3, three[1].tag, maker="Alder"), row(4, never.tag, kind="other")]
    with after_commit():
        bring_in(site, told[1], rows)
    (sent,) = mail.outbox
    assert sent.subject == f"Not to be used before a survey: {three[0].tag}, North Range 214"


def test_a_mail_about_many_hoods_goes_to_a_mended_address_with_all_of_them(site, three, told, after_commit, settings):
    settings.EMAIL_BACKEND = mailing.AWAY
    typo = making.make_person("Berit Dahl")
    typo.set_unusable_password()
    typo.save()
    manages(typo, three[0].placement().room)
    with after_commit():
        bring_in(site, told[1], [row(place, hood.tag, kind="other") for place, hood in enumerate(three[:2], start=2)])
    with after_commit():
        actions.people.mend_address(person=typo, site=site, email="berit.dahl@skua.example", by=told[1], at=LATER)
    anew = Notice.objects.get(address="berit.dahl@skua.example", kind="approval-ended")
    assert set(anew.hoods) == set(three[:2])
    assert anew.event is not None
