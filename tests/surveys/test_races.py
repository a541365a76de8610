"""Many clients at once, each a process of its own: nothing lost, nothing twice, nobody sees an error (C1, C2)."""

from __future__ import annotations

import json
import random
import uuid
from datetime import timedelta
from functools import partial

import pytest
from django.db.models import Max, Min

from surveys.actions.drafts import Conflict, save_revision, start_draft
from surveys.actions.findings import close_finding
from surveys.actions.records import append_record
from surveys.actions.room_signing import Ticked, sign_surveys
from surveys.actions.signing import Seen, sign_survey
from surveys.models import Draft, Finding, FindingChange, Reading, Record, Revision, SetAside, Survey
from tests import surveying
from tests.racing import dealt, together
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db(transaction=True)
SIZES = [
    pytest.param(8, 4, 4, id="a few"),
    pytest.param(100, 8, 16, id="many", marks=[pytest.mark.long, pytest.mark.timeout(900)]),
]


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def ready(hood, version, programme_manager):
    surveying.assign(hood, version, programme_manager)
    return hood


def post_all(ids, hood, by, content):
    """One client: start and save each survey of its list, as a form that was sent again and again."""
    receipts = []
    for id in ids:
        draft = start_draft(hood=hood, by=by, at=SURVEYED, id=id)
        receipt = save_revision(
            draft=draft, content=content | {"notes": str(id)}, form_id=f"form-{id}", made_from=0, by=by, at=SURVEYED
        )
        receipts.append((id, receipt.revision, receipt.sha256))
    return receipts


def sign_all(ids, version, by):
    """One client: sign each survey of its list."""
    signed = []
    for id in ids:
        seen = Seen(1, version.pk)
        survey = sign_survey(draft=Draft(pk=id), seen=seen, by=by, at=SURVEYED + timedelta(minutes=20))
        signed.append((id, survey.record_id))
    return signed


def posted_by_many(ready, technician, instrument, ids, posts, clients, *, guarded=True):
    sent = ids * posts
    random.Random(4).shuffle(sent)
    content = entered(instrument)
    return together(
        [partial(post_all, hand, ready, technician, content) for hand in dealt(sent, clients)], guarded=guarded
    )


@pytest.mark.parametrize(("number", "posts", "clients"), SIZES)
def test_c1_each_survey_is_kept_and_signed_once(ready, technician, instrument, version, number, posts, clients):
    ids = [uuid.UUID(int=n + 1) for n in range(number)]
    results = posted_by_many(ready, technician, instrument, ids, posts, clients)
    assert [error for error in results if isinstance(error, Exception)] == []
    receipts = [receipt for result in results for receipt in result]
    assert len(receipts) == number * posts
    assert len(set(receipts)) == number, "the same content again has the same receipt"
    assert (Draft.objects.count(), Revision.objects.count(), SetAside.objects.count()) == (number, number, 0)

    sent = ids * posts
    random.Random(5).shuffle(sent)
    results = together([partial(sign_all, hand, version, technician) for hand in dealt(sent, clients)])
    assert [error for error in results if isinstance(error, Exception)] == []
    signed = [one for result in results for one in result]
    assert (len(signed), len(set(signed)), Survey.objects.count()) == (number * posts, number, number)
    assert Reading.objects.count() == number * 10
    numbers = Record.objects.aggregate(first=Min("number"), last=Max("number"))
    assert numbers == {"first": 1, "last": number + 1}, "without gaps, after the record of the criteria"
    assert set(Survey.objects.values_list("label_issue", flat=True)) == set(range(1, number + 1))


@pytest.mark.long
def test_c1_control_without_locks_the_same_posts_break(ready, technician, instrument):
    ids = [uuid.UUID(int=n + 1) for n in range(4)]
    results = posted_by_many(ready, technician, instrument, ids, 4, 4, guarded=False)
    assert [error for error in results if isinstance(error, Exception)] != []


def edit(draft, by, notes, content):
    """One editor: save from revision 1, and say what came of it."""
    try:
        receipt = save_revision(
            draft=draft, content=content | {"notes": notes}, form_id=f"form-{notes}", made_from=1, by=by, at=SURVEYED
        )
    except Conflict as conflict:
        theirs, mine = json.loads(conflict.last.content)["notes"], json.loads(conflict.set_aside.content)["notes"]
        return "conflict", theirs, mine
    return "kept", notes, receipt.revision


def two_editors(ready, technician, lab_manager, instrument, *, guarded=True):
    draft = start_draft(hood=ready, by=technician, at=SURVEYED)
    content = entered(instrument)
    surveying.save(draft, content, technician)
    people = ((technician, "one"), (lab_manager, "two"))
    return together([partial(edit, draft, by, notes, content) for by, notes in people], guarded=guarded)


@pytest.mark.parametrize("time", range(3))
def test_c2_of_two_editors_at_once_one_is_kept_and_the_other_told(ready, technician, lab_manager, instrument, time):
    results = two_editors(ready, technician, lab_manager, instrument)
    kept, told = sorted(results, key=lambda result: result[0], reverse=True)
    assert (kept[0], kept[2]) == ("kept", 2)
    assert told == ("conflict", kept[1], "two" if kept[1] == "one" else "one")
    notes = [json.loads(row.content)["notes"] for row in (Revision.objects.get(number=2), SetAside.objects.get())]
    assert sorted(notes) == ["one", "two"]


def test_c2_control_without_locks_one_of_the_two_is_lost(ready, technician, lab_manager, instrument):
    results = two_editors(ready, technician, lab_manager, instrument, guarded=False)
    assert any(isinstance(result, Exception) for result in results)
    assert Revision.objects.filter(number=2).count() + SetAside.objects.count() == 1


def append_some(count, at):
    return [append_record(kind="test", content={"n": str(n)}, at=at).number for n in range(count)]


def appended(count, at):
    from django.db import transaction

    numbers = []
    for _ in range(count):
        with transaction.atomic():
            numbers += append_some(1, at)
    return numbers


@pytest.mark.parametrize(("clients", "count"), [(4, 25), pytest.param(16, 50, marks=pytest.mark.long)])
def test_records_of_many_writers_have_no_gap_and_no_number_twice(db, clients, count):
    results = together([partial(appended, count, SURVEYED)] * clients)
    assert [error for error in results if isinstance(error, Exception)] == []
    assert sorted(number for result in results for number in result) == list(range(1, clients * count + 1))


# --- C8: two who approve the same at once -----------------------------------------------------------------------------


def sign_room(drafts, by):
    """One tab: sign both surveys with one signature."""
    chosen = [Ticked(draft.pk, Seen(1, draft.version_id)) for draft in drafts]
    at, room = SURVEYED + timedelta(minutes=20), drafts[0].hood.placement().room
    return [survey.record_id for survey in sign_surveys(room=room, chosen=chosen, by=by, at=at)]


@pytest.fixture
def two_drafts(make_hood, version, instrument, technician, programme_manager):
    made = []
    for tag in ("FH-1", "FH-2"):
        hood = make_hood(tag=tag)
        surveying.assign(hood, version, programme_manager)
        made.append(start_draft(hood=hood, by=technician, at=SURVEYED))
        surveying.save(made[-1], entered(instrument), technician)
    return made


def test_c8_a_room_signed_in_many_tabs_at_once_has_each_survey_once(two_drafts, version, technician):
    """Some name them in another order, and some sign one alone: they wait for each other and never cross."""
    orders = [two_drafts, two_drafts[::-1], two_drafts]
    clients = [partial(sign_room, order, technician) for order in orders]
    clients += [partial(sign_all, [two_drafts[1].pk], version, technician)]
    results = together(clients)
    assert [error for error in results if isinstance(error, Exception)] == []
    numbers = {draft.pk: Survey.objects.get(pk=draft.pk).record_id for draft in two_drafts}
    expected = [[numbers[draft.pk] for draft in order] for order in orders]
    assert results[:3] == expected
    assert (results[3], Survey.objects.count()) == ([(two_drafts[1].pk, numbers[two_drafts[1].pk])], 2)


@pytest.mark.long
def test_c8_control_without_locks_the_same_signatures_break(two_drafts, technician):
    results = together([partial(sign_room, two_drafts, technician)] * 4, guarded=False)
    assert [error for error in results if isinstance(error, Exception)] != []


def close(finding, by):
    close_finding(finding=finding, words="a new lamp", by=by, at=SURVEYED + timedelta(days=1))


def test_c8_a_finding_that_two_close_at_once_is_closed_once(ready, technician, programme_manager, instrument):
    content = entered(instrument)
    content["answers"][-1]["answer"] = "no"
    surveying.survey(ready, content, technician)
    finding = Finding.objects.get()
    results = together([partial(close, finding, by) for by in (technician, programme_manager, technician)])
    refused = [str(error) for error in results if isinstance(error, Exception)]
    assert len(refused) == 2
    assert all("FindingClosed" in error for error in refused), refused
    assert FindingChange.objects.count() == 1
