"""A survey in the making: who may be surveyed, what is kept of each save, and what happens to a save that comes late."""

from __future__ import annotations

import json
import uuid
from datetime import UTC, date, datetime, timedelta

import pytest

from hoods.actions import hood as hoods
from hoods.actions.refusal import Refused
from hoods.models import Entry, Placement
from surveys.actions.drafts import Conflict, NotToBeSurveyed, SignedAlready, end_draft, save_revision, start_draft
from surveys.core.document import parse
from surveys.core.messages import WrongShape
from surveys.core.record import canonical, sha256_hex
from surveys.models import Draft, Revision, SetAside, Stop
from tests import surveying
from tests.making import AT, ON, make_hood
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db


# --- start ---


def test_a_draft_pins_the_version_in_force_on_the_sites_day(ready, version, technician):
    draft = start_draft(hood=ready, by=technician, at=SURVEYED)
    assert (draft.version, draft.done_on, draft.started_by) == (version, date(2026, 3, 12), technician)
    assert Entry.objects.of(draft).get().action == "survey-started"


def test_a_later_version_judges_later_drafts_alone(ready, version, technician, programme_manager):
    from surveys.actions.criteria import adopt_version, start_version

    before = start_draft(hood=ready, by=technician, at=SURVEYED)
    new = start_version(set=version.set, by=programme_manager, at=SURVEYED)
    new = adopt_version(
        version=new, first_day=date(2026, 3, 13), reason="new", by=programme_manager, at=SURVEYED + timedelta(hours=1)
    )
    assert start_draft(hood=ready, by=technician, at=SURVEYED + timedelta(hours=2)).version == version
    assert start_draft(hood=ready, by=technician, at=SURVEYED + timedelta(days=1)).version == new
    before.refresh_from_db()
    assert before.version == version


@pytest.mark.parametrize(
    ("zone", "at", "day"),
    [
        ("Europe/London", datetime(2026, 12, 31, 23, 30, tzinfo=UTC), date(2026, 12, 31)),
        ("America/New_York", datetime(2027, 1, 1, 4, 30, tzinfo=UTC), date(2026, 12, 31)),
        ("Pacific/Auckland", datetime(2026, 12, 31, 10, 30, tzinfo=UTC), date(2026, 12, 31)),
        ("Pacific/Auckland", datetime(2026, 12, 31, 11, 30, tzinfo=UTC), date(2027, 1, 1)),
    ],
)
def test_t1_the_day_is_the_sites(ready, technician, zone, at, day):
    ready.site.time_zone = zone
    ready.site.save()
    assert start_draft(hood=ready, by=technician, at=at).done_on == day


def test_without_criteria_the_refusal_says_who_does_what(hood, technician):
    with pytest.raises(NotToBeSurveyed, match="No criteria are chosen for hood FH-0142: the programme manager assigns"):
        start_draft(hood=hood, by=technician, at=SURVEYED)
    assert not Draft.objects.exists()


def test_a_set_that_begins_to_judge_tomorrow_judges_nothing_today(hood, version, technician, programme_manager):
    surveying.assign(hood, version, programme_manager, from_on=date(2026, 3, 13), at=SURVEYED)
    with pytest.raises(NotToBeSurveyed, match="No criteria are chosen"):
        start_draft(hood=hood, by=technician, at=SURVEYED)
    assert start_draft(hood=hood, by=technician, at=SURVEYED + timedelta(days=1)).version == version


def test_a_set_without_a_version_in_force_is_named(ready, technician, site, programme_manager):
    from surveys.models import Assignment, CriteriaSet

    empty = CriteriaSet.objects.create(site=site, name="Radioisotope hoods")
    Assignment.objects.create(hood=ready, set=empty, from_on=ON, at=AT, by=programme_manager)
    with pytest.raises(NotToBeSurveyed, match="No version of the criteria 'Radioisotope hoods' is in force today"):
        start_draft(hood=ready, by=technician, at=SURVEYED)


@pytest.mark.parametrize(
    ("what", "words"), [("retire_hood", "is retired"), ("hibernate_hood", "wakes it on its page first")]
)
def test_a_retired_or_hibernated_hood_is_not_surveyed(ready, technician, programme_manager, what, words):
    how = {"hood": ready, "on": ON + timedelta(days=2), "by": programme_manager, "why": "laboratory closed"}
    getattr(hoods, what)(at=AT + timedelta(days=2), **how)
    with pytest.raises(NotToBeSurveyed, match=words):
        start_draft(hood=ready, by=technician, at=SURVEYED)


def test_a_woken_hood_is_surveyed(ready, technician, programme_manager):
    how = {"hood": ready, "by": programme_manager, "why": "laboratory closed"}
    hoods.hibernate_hood(on=ON + timedelta(days=2), at=AT + timedelta(days=2), **how)
    hoods.wake_hood(on=ON + timedelta(days=9), at=AT + timedelta(days=9), **how)
    assert start_draft(hood=ready, by=technician, at=SURVEYED).hood == ready


def test_t7_a_hood_is_not_surveyed_before_it_was_there(room, programme_manager, technician, version):
    later = make_hood(room=room, by=programme_manager, on=date(2026, 6, 1))
    surveying.assign(later, version, programme_manager)
    with pytest.raises(NotToBeSurveyed, match="was not there yet on 2026-03-12"):
        start_draft(hood=later, by=technician, at=SURVEYED)
    Placement.objects.create(hood=later, room=room, from_on=ON, at=AT, by=programme_manager)
    with pytest.raises(NotToBeSurveyed, match="was installed on 2026-06-01"):
        start_draft(hood=later, by=technician, at=SURVEYED)


def test_the_same_form_starts_one_survey(ready, technician):
    made = uuid.uuid4()
    drafts = {start_draft(hood=ready, by=technician, at=SURVEYED, id=made) for _ in range(3)}
    assert [draft.pk for draft in drafts] == [made]


# --- save ---


def test_a_save_is_kept_word_for_word_with_its_receipt(draft, technician, instrument):
    content = entered(instrument)
    receipt = surveying.save(draft, content, technician)
    revision = Revision.objects.get()
    assert revision.content == canonical(parse(content).as_dict()).decode()
    assert (receipt.id, receipt.revision, receipt.sha256) == (draft.pk, 1, sha256_hex(revision.content.encode()))
    assert receipt.as_dict()["revision"] == 1


def test_half_typed_text_is_kept_as_it_is(draft, technician):
    content = entered(
        None, [["9", "1o1", "..", " 97", "１００"], ["-", "1.", "1e2", "NaN", None]], notes="slot baffle ½ open"
    )
    surveying.save(draft, content, technician)
    kept = json.loads(Revision.objects.get().content)
    assert kept["traverses"][0]["readings"] == content["traverses"][0]["readings"]
    assert kept["notes"] == "slot baffle ½ open"


@pytest.mark.parametrize(
    "content",
    [{"hood": {"kind": "general"}}, {"labelled": ["working"]}, {"openings": "working"}, {"adjusted": 1},
     '{"adjusted": false, "adjusted": true}', '{"notes": 1.5}', "[]", "{"],
)  # fmt: skip
def test_only_a_wrong_shape_is_refused_and_nothing_is_stored(draft, technician, content):
    with pytest.raises(WrongShape):
        surveying.save(draft, content, technician)
    assert not Revision.objects.exists()
    assert not SetAside.objects.exists()


def _send(draft, by, notes, form_id, made_from):
    return save_revision(
        draft=draft, content=entered(notes=notes), form_id=form_id, made_from=made_from, by=by, at=SURVEYED
    )


def test_saves_of_one_form_follow_one_another(draft, technician):
    for number in range(1, 4):
        assert _send(draft, technician, f"note {number}", "one", number - 1).revision == number


def test_the_same_content_again_gets_the_same_receipt(draft, technician):
    first = _send(draft, technician, "a", "one", 0)
    assert _send(draft, technician, "a", "one", 0) == first
    assert _send(draft, technician, "a", "two", 0) == first  # another tab with the very same content
    assert Revision.objects.count() == 1


def test_after_a_lost_receipt_the_form_goes_on(draft, technician):
    _send(draft, technician, "a", "one", 0)  # its receipt never came
    assert _send(draft, technician, "a and b", "one", 0).revision == 2
    assert _send(draft, technician, "a", "one", 0).revision == 3  # taken back, receipt lost again
    assert json.loads(Revision.objects.last().content)["notes"] == "a"


def test_an_old_save_sent_again_after_others_followed_is_kept_once(draft, technician):
    first = _send(draft, technician, "a", "one", 0)
    _send(draft, technician, "b", "one", 1)
    assert _send(draft, technician, "a", "one", 0) == first
    assert Revision.objects.count() == 2


def test_c2_the_second_of_two_editors_is_told_and_loses_nothing(draft, technician, lab_manager):
    _send(draft, technician, "start", "one", 0)
    _send(draft, technician, "theirs", "one", 1)
    with pytest.raises(Conflict) as conflict:
        _send(draft, lab_manager, "mine", "two", 1)
    assert json.loads(conflict.value.last.content)["notes"] == "theirs"
    assert json.loads(conflict.value.set_aside.content)["notes"] == "mine"
    assert not conflict.value.signed
    aside = SetAside.objects.get()
    assert (aside.made_from, aside.form_id, aside.by) == (1, "two", lab_manager)
    assert Revision.objects.count() == 2


def test_c2_the_same_late_save_again_is_set_aside_once(draft, technician):
    _send(draft, technician, "theirs", "one", 0)
    for _ in range(3):
        with pytest.raises(Conflict):
            _send(draft, technician, "mine", "two", 0)
    assert SetAside.objects.count() == 1


@pytest.mark.parametrize("made_from", [2, 17])
def test_a_save_made_from_a_revision_to_come_is_set_aside(draft, technician, made_from):
    _send(draft, technician, "a", "one", 0)
    with pytest.raises(Conflict):
        _send(draft, technician, "b", "two", made_from)


def test_who_goes_on_from_mine_after_a_conflict_is_accepted(draft, technician):
    _send(draft, technician, "theirs", "one", 0)
    with pytest.raises(Conflict) as conflict:
        _send(draft, technician, "mine", "two", 0)
    mine = json.loads(conflict.value.set_aside.content)
    receipt = save_revision(
        draft=draft, content=mine, form_id="three", made_from=conflict.value.last.number, by=technician, at=SURVEYED
    )
    assert receipt.revision == 2


def test_a_save_to_a_signed_survey_is_set_aside(draft, technician, instrument):
    content = entered(instrument)
    surveying.save(draft, content, technician, form_id="one")
    surveying.sign(draft, technician)
    for notes in ("too late", None):
        with pytest.raises(Conflict) as conflict:
            save_revision(
                draft=draft, content=content | {"notes": notes}, form_id="one", made_from=1, by=technician, at=SURVEYED
            )
        assert conflict.value.signed
        assert "signed before" in conflict.value.args[0]
    assert Revision.objects.count() == 1


# --- end ---


@pytest.mark.parametrize("reason", ["no-flow", "smoke-came-out", "glass-broken", "sash-does-not-stay", "other-danger"])
def test_ending_for_a_danger_posts_its_stop_at_once(draft, technician, reason):
    ended = end_draft(draft=draft, reason=reason, words="fan silent", by=technician, at=SURVEYED)
    stop = Stop.objects.up().get()
    assert (stop, stop.hood, stop.draft, stop.reason, stop.words) == (
        ended.stop,
        draft.hood,
        draft,
        reason,
        "fan silent",
    )
    assert json.loads(Revision.objects.get().content)["ended_early"] == {"reason": reason, "words": "fan silent"}


@pytest.mark.parametrize("reason", ["called-away", "instrument-failed", "access-withdrawn", "in-use", "not-cleared"])
def test_leaving_posts_no_stop(draft, technician, reason):
    assert end_draft(draft=draft, reason=reason, by=technician, at=SURVEYED).stop is None
    assert not Stop.objects.exists()


def test_an_end_keeps_what_was_entered_and_is_pressed_once(draft, technician, instrument):
    surveying.save(draft, entered(instrument), technician)
    first = end_draft(draft=draft, reason="no-flow", by=technician, at=SURVEYED)
    again = end_draft(draft=draft, reason="no-flow", by=technician, at=SURVEYED + timedelta(seconds=90))
    assert again == first
    kept = json.loads(Revision.objects.last().content)
    assert kept["traverses"][0]["readings"] == surveying.GOOD
    assert (Revision.objects.count(), Stop.objects.count()) == (2, 1)


def test_leaving_can_still_become_a_danger_but_not_the_other_way(draft, technician):
    end_draft(draft=draft, reason="called-away", by=technician, at=SURVEYED)
    end_draft(draft=draft, reason="smoke-came-out", by=technician, at=SURVEYED)
    end_draft(draft=draft, reason="in-use", by=technician, at=SURVEYED)
    assert json.loads(Revision.objects.last().content)["ended_early"] == {"reason": "smoke-came-out"}
    assert Stop.objects.up().count() == 1


def test_an_unknown_end_and_a_signed_survey_are_refused(draft, technician, instrument):
    with pytest.raises(Refused, match="choose a reason"):
        end_draft(draft=draft, reason="tired", by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician)
    surveying.sign(draft, technician)
    with pytest.raises(SignedAlready):
        end_draft(draft=draft, reason="no-flow", by=technician, at=SURVEYED)
    assert not Stop.objects.exists()


def test_visible_to_who_sees_the_hood(draft, technician, lab_manager, stranger, other_room, make_hood):
    assert Draft.objects.visible_to(technician).get() == draft
    assert Draft.objects.visible_to(lab_manager).get() == draft
    assert not Draft.objects.visible_to(stranger).exists()
