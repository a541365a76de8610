"""A9: wrong passwords as a signature are counted like those at signing in, on every form that is signed."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from surveys.actions.criteria import start_set
from surveys.actions.drafts import start_draft
from surveys.models import Survey
from tests import surveying
from tests.making import PASSWORD
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db
TOO_MANY = "There were too many tries with a wrong password: wait five minutes, then sign."
NOW = SURVEYED + timedelta(hours=1)


@pytest.fixture
def draft(hood, site, programme_manager, technician):
    version = surveying.make_version(site, programme_manager)
    surveying.assign(hood, version, programme_manager)
    draft = start_draft(hood=hood, by=technician, at=SURVEYED)
    surveying.save(draft, entered(surveying.make_instrument(site, programme_manager)), technician)
    return draft


def sign(client, draft, password: str):
    sent = {
        "revision": 1,
        "version": draft.version_id,
        "measured_myself": "on",
        "missing_confirmed": "on",
        "password": password,
    }
    return client.post(reverse("surveys:sign", args=[draft.pk]), sent)


def test_a9_the_sixth_signature_is_refused_even_with_the_password(draft, technician, signed_in):
    client = signed_in(technician)
    with time_machine.travel(NOW, tick=False) as clock:
        for _ in range(5):
            refused = sign(client, draft, "black heron 14")
            assert refused.status_code == 422
            assert "This is not your password. Nothing is signed." in refused.content.decode()
        refused = sign(client, draft, PASSWORD)
        assert refused.status_code == 422
        assert TOO_MANY in refused.content.decode()
        assert not Survey.objects.exists()
        clock.shift(timedelta(minutes=5, seconds=1))
        answer = sign(client, draft, PASSWORD)
        assert answer.status_code == 302, answer.context["refused"] + str(answer.context["review"].form.errors)
    assert Survey.objects.count() == 1


def test_a9_control_the_fifth_is_not(draft, technician, signed_in):
    client = signed_in(technician)
    with time_machine.travel(NOW, tick=False):
        for _ in range(4):
            sign(client, draft, "black heron 14")
        answer = sign(client, draft, PASSWORD)
        assert answer.status_code == 302, answer.context["refused"] + str(answer.context["review"].form.errors)


def test_a9_the_tries_of_one_person_hold_up_nobody_else(draft, technician, programme_manager, signed_in, site):
    client = signed_in(technician)
    version = start_set(site=site, name="Another set", starter=surveying.STARTER, by=programme_manager, at=SURVEYED)
    address = reverse("surveys:adopt_version", args=[version.pk])
    with time_machine.travel(NOW, tick=False):
        for _ in range(6):
            sign(client, draft, "black heron 14")
        keeper = signed_in(programme_manager)
        said = keeper.post(address, {"password": PASSWORD}).content.decode()
        assert TOO_MANY not in said
        for _ in range(5):
            assert (
                "This is not your password: type it again."
                in keeper.post(address, {"password": "black heron"}).content.decode()
            )
        assert TOO_MANY in keeper.post(address, {"password": PASSWORD}).content.decode()
