"""How a survey ends: stopped, left, signed once, and never unseen."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from surveys.models import Survey
from tests.making import PASSWORD
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db


# --- ends -------------------------------------------------------------------------------------------------------------


def test_stopping_needs_a_reason_and_then_ends_and_posts_at_once(begin) -> None:
    surveyor = begin()
    surveyor.fill(notes="not kept before", stop_words="cracked across")
    surveyor.press("stop", expect=422)
    assert "Choose the reason first" in surveyor.page
    assert surveyor.form.boxes["stop_words"] == "cracked across"
    assert not surveyor.draft.hood.stops.exists()
    surveyor.fill(stop_reason="glass-broken")
    surveyor.press("stop")
    stop = surveyor.draft.hood.stops.get()
    assert (stop.reason, stop.words, stop.draft) == ("glass-broken", "cracked across", surveyor.draft)
    assert (surveyor.content()["ended_early"]["reason"], surveyor.content()["notes"]) == (
        "glass-broken",
        "not kept before",
    )
    surveyor.open()
    sign(surveyor)
    assert Survey.objects.get().verdict == "fail"


def test_what_cannot_be_kept_never_hinders_a_stop(begin) -> None:
    surveyor = begin()
    surveyor.fill(notes="x" * 100_000, stop_reason="no-flow")
    surveyor.press("stop")
    assert surveyor.draft.hood.stops.get().reason == "no-flow"
    stale = surveyor.form.boxes | {
        "notes": "stale",
        "made_from": "0",
        "form_id": "other",
        "stop_reason": "smoke-came-out",
    }
    answer = surveyor.client.post(surveyor.address, stale | {"do": "stop"})
    assert answer.status_code == 302
    assert set(surveyor.draft.hood.stops.values_list("reason", flat=True)) == {"no-flow", "smoke-came-out"}
    assert surveyor.draft.set_aside.count() == 1


def test_who_cannot_go_on_ends_without_a_verdict_and_posts_nothing(begin, instrument) -> None:
    surveyor = begin()
    surveyor.fill(reason="annual", instrument=str(instrument.pk), leave_reason="called-away")
    surveyor.press("leave")
    assert not surveyor.draft.hood.stops.exists()
    sign(surveyor, missing_confirmed="on")
    assert Survey.objects.get().verdict == "no-verdict"


def test_an_earlier_stop_asks_whether_its_sign_is_down(begin, instrument, technician) -> None:
    from django.utils import timezone

    from surveys.actions.stops import post_stop

    surveyor = begin()
    post_stop(
        hood=surveyor.draft.hood,
        reason="no-flow",
        by=technician,
        at=surveyor.draft.started_at - timezone.timedelta(hours=1),
    )
    assert "is posted on this hood" in surveyor.open()
    fill_in(surveyor, instrument)
    surveyor.press("review")
    assert "sign is taken down" in surveyor.client.get(surveyor.landed).content.decode()
    sign(surveyor, sign_taken_down="on")
    assert not surveyor.draft.hood.stops.up().exists()


def test_a_sign_left_up_is_said_after_signing_and_can_be_confirmed_as_taken_down(begin, instrument, technician) -> None:
    from django.utils import timezone

    from surveys.actions.stops import post_stop

    surveyor = begin()
    post_stop(
        hood=surveyor.draft.hood,
        reason="no-flow",
        by=technician,
        at=surveyor.draft.started_at - timezone.timedelta(hours=1),
    )
    fill_in(surveyor, instrument)
    sign(surveyor)
    page = surveyor.open()
    assert "Still posted" in page
    assert "The label is on the hood" not in page, "no label holds while it is posted"
    taken_down = reverse("surveys:sign_taken_down", args=[surveyor.draft.pk])
    assert surveyor.client.get(taken_down).status_code == 405
    assert surveyor.client.post(taken_down).status_code == 302
    page = surveyor.open()
    assert "Still posted" not in page
    assert "The label is on the hood" in page


# --- signing ----------------------------------------------------------------------------------------------------------


def test_e18_signing_twice_makes_one_record(begin, instrument) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    surveyor.press("review")
    seen = {"revision": surveyor.draft.revisions.count(), "version": surveyor.draft.version_id}
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    for _time in range(2):
        answer = surveyor.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD})
        assert answer.status_code == 302
    assert Survey.objects.count() == 1


REFUSED = [
    ({"password": "wrong"}, 422, "This is not your password"),
    ({"password": ""}, 422, "Your password stands for your signature"),
    ({"measured_myself": ""}, 422, "only who measured can sign"),
    ({"revision": "1"}, 409, "changed since you saw it"),
    ({"version": "0"}, 409, "changed since you saw it"),
]


@pytest.mark.parametrize(("sent", "status", "said"), REFUSED, ids=[str(sent) for sent, _, _ in REFUSED])
def test_nothing_is_signed_unseen_or_by_another_hand(begin, instrument, sent: Any, status: int, said: str) -> None:
    surveyor = begin()
    fill_in(surveyor, instrument)
    answer = sign(surveyor, expect=status, **sent)
    assert said in answer.content.decode()
    assert not Survey.objects.exists()
