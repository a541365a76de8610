"""One signature for the finished surveys of a room: what is listed, what is asked, and what is refused."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from surveys.actions.drafts import save_revision, start_draft
from surveys.actions.signing import Seen, sign_survey
from surveys.actions.stops import post_stop
from surveys.models import Survey
from tests import surveying
from tests.making import PASSWORD
from tests.surveying import LOWER, SURVEYED, entered, with_lower
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.django_db
NOW = SURVEYED + timedelta(minutes=30)


@pytest.fixture(autouse=True)
def _today():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def measured(make_hood, version, technician, programme_manager):
    """Makes a hood with a survey that is not signed."""

    def make(tag, content, by=technician, **fields):
        hood = make_hood(tag=tag, **fields)
        surveying.assign(hood, version, programme_manager)
        draft = start_draft(hood=hood, by=technician, at=SURVEYED)
        if content is not None:
            surveying.save(draft, content, by)
        return draft

    return make


WHOLE = {
    "conditions": {
        "right_hood": "yes", "fit": "yes", "mode": "normal", "doors": "closed", "room_pressure": "into-the-room",
        "other_hoods": "closed", "temperature": "21 degC", "pressure": "1008 hPa",
    },
    "found": {"sash": "18 in", "somebody": "no", "alarm": "no", "monitor": "98 ft/min"},
    "last": {"controls": "yes", "alarm": "yes", "stop": "yes", "sash": "yes", "told": "yes"},
}  # fmt: skip


def whole(content):
    """Everything that the page asks for, so that nothing is missing."""
    for traverse in content["traverses"]:
        traverse["monitor"] = "99 ft/min"
    muted = {"check": "alarm-not-muted", "state": "as-found", "answer": "yes"}
    return content | WHOLE | {"answers": [*content["answers"], muted]}


@pytest.fixture
def client(signed_in, technician):
    return signed_in(technician)


@pytest.fixture
def address(room):
    return reverse("surveys:sign_room", args=[room.pk])


def sent(*drafts, revision=1, leave_out=(), **boxes):
    made = {"draft": [str(draft.pk) for draft in drafts], "measured_myself": "on", "password": PASSWORD}
    for draft in drafts:
        made |= {f"{draft.pk}-revision": revision, f"{draft.pk}-version": draft.version_id}
        made |= {} if draft in leave_out else {f"{draft.pk}-chosen": "on"}
        made |= {f"{draft.pk}-{name}": value for name, value in boxes.items()}
    return made


def test_each_ready_survey_is_listed_with_its_verdict_and_what_it_asks(client, address, measured, instrument, room):
    measured("FH-1", whole(entered(instrument)))
    measured("FH-2", whole(with_lower(instrument)), openings=LOWER)
    page = client.get(address)
    assert first_line(page) == "Two surveys of this room are ready to be signed."
    words = said(page)
    assert "FH-1 Certificate of survey All that the criteria ask was tested and met." in words
    assert "Certificate of survey, restricted: sash no higher than 12 in" in words
    assert words.count("Stop and mark moved to 12 in (304 mm)") == 1
    assert "What is missing stays missing" not in words
    assert f'href="{address}"' in client.get(reverse("surveys:room", args=[room.pk])).content.decode()
    assert f'href="{address}"' in client.get("/").content.decode()


def test_those_that_are_not_ready_are_listed_with_why(client, address, measured, instrument, programme_manager):
    measured("FH-1", None)
    measured("FH-2", entered(instrument, reason=None))
    measured("FH-3", entered(instrument), by=programme_manager)
    page = client.get(address)
    assert first_line(page) == "No survey of this room is ready to be signed; three are not ready."
    words = said(page)
    for why in (
        "Nothing is kept in it yet.",
        "The reason for the survey is missing.",
        "Somebody else kept a part of it",
    ):
        assert why in words
    assert "Your password" not in words


def test_a_room_without_any_says_so(client, address):
    assert first_line(client.get(address)) == "No survey of this room is ready to be signed."


def test_one_password_signs_all_that_are_ticked_each_as_a_record(client, address, measured, instrument, room):
    first, second = (
        measured("FH-1", whole(entered(instrument))),
        measured("FH-2", whole(with_lower(instrument)), openings=LOWER),
    )
    answer = client.post(address, sent(first, second, stop_moved="on"))
    assert (answer.status_code, answer["Location"]) == (302, reverse("surveys:room", args=[room.pk]))
    surveys = Survey.objects.order_by("record")
    assert [(one.hood.tag, one.verdict, one.label_issue) for one in surveys] == [
        ("FH-1", "pass", 1),
        ("FH-2", "restrict", 1),
    ]
    told = ", ".join(f"{one.hood.tag} as record {one.record_id}" for one in surveys)
    assert f"Signed and kept: {told}." in said(client.get(answer["Location"]))


def test_without_the_stop_moved_the_restricted_one_gives_no_label(client, address, measured, instrument):
    draft = measured("FH-2", whole(with_lower(instrument)), openings=LOWER)
    client.post(address, sent(draft))
    assert Survey.objects.get().label_issue is None


def test_one_that_is_left_out_is_not_signed(client, address, measured, instrument):
    first, second = measured("FH-1", whole(entered(instrument))), measured("FH-2", whole(entered(instrument)))
    assert client.post(address, sent(first, second, leave_out=[second])).status_code == 302
    assert [one.hood.tag for one in Survey.objects.all()] == ["FH-1"]


def test_a_stop_is_lifted_where_its_sign_is_taken_down(client, address, measured, instrument, technician):
    draft = measured("FH-1", whole(entered(instrument)))
    post_stop(hood=draft.hood, reason="no-flow", by=technician, at=SURVEYED - timedelta(days=1))
    assert "The ‘Do not use’ sign is taken down" in said(client.get(address))
    client.post(address, sent(draft, sign_taken_down="on"))
    assert not draft.hood.stops.up().exists()


def test_c8_sent_twice_each_survey_is_signed_once(client, address, measured, instrument):
    drafts = [measured("FH-1", whole(entered(instrument))), measured("FH-2", whole(entered(instrument)))]
    first, second = (client.post(address, sent(*drafts)) for _ in range(2))
    assert (first.status_code, second.status_code, Survey.objects.count()) == (302, 302, 2)


def test_c8_two_tabs_one_alone_and_one_of_the_room(client, address, measured, instrument, technician):
    first, second = measured("FH-1", whole(entered(instrument))), measured("FH-2", whole(entered(instrument)))
    alone = sign_survey(draft=first, seen=Seen(1, first.version_id), by=technician, at=NOW)
    assert client.post(address, sent(first, second)).status_code == 302
    assert (Survey.objects.count(), Survey.objects.get(pk=first.pk).record_id) == (2, alone.record_id)


# --- refused: nothing of it is signed ---------------------------------------------------------------------------------


def test_g1_what_was_changed_since_it_was_seen_is_named_and_none_is_signed(
    client, address, measured, instrument, technician
):
    first, second = measured("FH-1", whole(entered(instrument))), measured("FH-2", whole(entered(instrument)))
    save_revision(
        draft=second, content=entered(instrument) | WHOLE | {"notes": "later"}, form_id="other", made_from=1, by=technician, at=NOW,
    )  # fmt: skip
    answer = client.post(address, sent(first, second))
    assert answer.status_code == 409
    assert "FH-2: This survey was changed since you saw it." in said(answer)
    assert "None of them is signed." in said(answer)
    assert Survey.objects.count() == 0
    assert f'name="{second.pk}-revision" value="2"' in answer.content.decode(), "what is shown now can be signed now"


def test_g11_a_wrong_password_or_no_tick_signs_nothing(client, address, measured, instrument):
    draft = measured("FH-1", whole(entered(instrument)))
    for wrong in ({"password": "not mine"}, {"measured_myself": ""}):
        answer = client.post(address, sent(draft) | wrong)
        assert (answer.status_code, "Nothing is signed yet: see what is marked." in said(answer)) == (422, True)
    assert Survey.objects.count() == 0


def test_what_is_missing_is_confirmed_for_each(client, address, measured, instrument):
    draft = measured("FH-1", entered(instrument))
    assert "What is missing stays missing" in said(client.get(address))
    answer = client.post(address, sent(draft))
    assert (answer.status_code, "Confirm that these stay missing" in said(answer)) == (422, True)
    assert client.post(address, sent(draft, missing_confirmed="on")).status_code == 302


def test_p9_nothing_ticked_is_an_error(client, address, measured, instrument):
    draft = measured("FH-1", whole(entered(instrument)))
    for nothing in (sent(draft, leave_out=[draft]), sent()):
        answer = client.post(address, nothing)
        assert (answer.status_code, "Nothing is chosen: tick the surveys that you sign." in said(answer)) == (422, True)


def test_g1_what_somebody_else_kept_cannot_be_slipped_in(client, address, measured, instrument, programme_manager):
    theirs = measured("FH-9", whole(entered(instrument)), by=programme_manager)
    answer = client.post(address, sent(theirs))
    assert (answer.status_code, "FH-9: Somebody else kept a part of it" in said(answer)) == (422, True)
    assert Survey.objects.count() == 0


def test_the_signature_of_a_room_is_for_its_own_hoods(client, address, measured, instrument, other_room):
    here, there = measured("FH-1", whole(entered(instrument))), measured("FH-3", whole(entered(instrument)), room=other_room)
    answer = client.post(address, sent(here, there))
    assert (answer.status_code, "FH-3: It does not stand in this room" in said(answer)) == (422, True)
    assert Survey.objects.count() == 0
    assert client.post(reverse("surveys:sign_room", args=[other_room.pk]), sent(there)).status_code == 302


@pytest.mark.parametrize("draft", ["x", "00000000-0000-0000-0000-000000000007"])
def test_a_survey_that_is_not_there_is_not_signed(client, address, draft):
    assert client.post(address, {"draft": draft, "measured_myself": "on", "password": PASSWORD}).status_code == 404


def test_a2_nobody_signs_where_they_do_not_survey(address, signed_in, programme_manager, auditor, lab_manager):
    for person in (programme_manager, auditor, lab_manager):
        assert signed_in(person).post(address).status_code == 403
