"""Steps come in their order (G2): a step sent out of its order is refused to everybody, and nothing is kept of it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from surveys.actions.drafts import start_draft
from surveys.actions.stops import post_stop
from surveys.models import Draft, LabelPutOn, Record, StopChange, Survey
from tests import surveying
from tests.making import PASSWORD
from tests.surveying import entered

pytestmark = pytest.mark.django_db
ROLES = ("technician", "lab_manager", "auditor", "programme_manager")


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def draft(hood, site, technician, programme_manager) -> Draft:
    surveying.assign(hood, surveying.make_version(site, programme_manager), programme_manager)
    return start_draft(hood=hood, by=technician, at=timezone.now() - timedelta(hours=1))


def signature(draft: Draft, revision: int, **changes: object) -> dict[str, object]:
    return {
        "revision": revision, "version": draft.version_id, "measured_myself": "on", "missing_confirmed": "on",
        "password": PASSWORD,
    } | changes  # fmt: skip


def sign_nothing(client: Client, draft: Draft, save) -> int:
    return client.post(reverse("surveys:sign", args=[draft.pk]), signature(draft, 0)).status_code


def sign_what_was_before(client: Client, draft: Draft, save) -> int:
    save()
    save(notes="changed since")
    return client.post(reverse("surveys:sign", args=[draft.pk]), signature(draft, 1)).status_code


def sign_by_another_version(client: Client, draft: Draft, save) -> int:
    save()
    wrong = signature(draft, 1, version=draft.version_id + 1)
    return client.post(reverse("surveys:sign", args=[draft.pk]), wrong).status_code


def sign_what_is_half_typed(client: Client, draft: Draft, save) -> int:
    save(traverses=[{"opening": "working", "state": "as-found", "unit": "ft/min", "readings": [["9", "1o1"]]}])
    return client.post(reverse("surveys:sign", args=[draft.pk]), signature(draft, 1)).status_code


def sign_without_the_password(client: Client, draft: Draft, save) -> int:
    save()
    return client.post(reverse("surveys:sign", args=[draft.pk]), signature(draft, 1, password="guess")).status_code


def put_a_label_on_before_signing(client: Client, draft: Draft, save) -> int:
    save()
    return client.post(reverse("surveys:label_put_on", args=[draft.pk]), {"issue": "1"}).status_code


def print_its_certificate_before_signing(client: Client, draft: Draft, save) -> int:
    save()
    return client.get(reverse("reports:certificate", args=[draft.pk])).status_code


OUT_OF_ORDER = (
    sign_nothing, sign_what_was_before, sign_by_another_version, sign_what_is_half_typed, sign_without_the_password,
    put_a_label_on_before_signing, print_its_certificate_before_signing,
)  # fmt: skip


@pytest.fixture
def save(draft, technician, instrument):
    return lambda **changes: surveying.save(draft, entered(instrument, **changes), technician, timezone.now())


@pytest.mark.parametrize("step", OUT_OF_ORDER, ids=lambda step: step.__name__)
@pytest.mark.parametrize("who", ROLES)
def test_g2_a_step_out_of_its_order_is_refused(request, draft, save, signed_in, who, step):
    status = step(signed_in(request.getfixturevalue(who)), draft, save)
    assert status in ((403, 404) if who != "technician" else (404, 409, 422))
    assert not Survey.objects.exists()
    assert not Record.objects.filter(kind="survey").exists()
    assert not LabelPutOn.objects.exists()


def test_g2_control_in_its_order_the_same_is_signed(draft, save, technician, signed_in):
    save()
    client = signed_in(technician)
    assert client.post(reverse("surveys:sign", args=[draft.pk]), signature(draft, 1)).status_code == 302
    survey = Survey.objects.get()
    assert survey.verdict == "pass"
    assert client.get(reverse("reports:certificate", args=[survey.pk])).status_code == 200
    assert client.post(reverse("surveys:label_put_on", args=[survey.pk]), {"issue": "1"}).status_code == 302
    assert LabelPutOn.objects.count() == 1


@pytest.mark.parametrize("who", ["technician", "lab_manager", "auditor"])
def test_g2_only_the_programme_manager_withdraws_a_stop(request, hood, technician, signed_in, who):
    stop = post_stop(hood=hood, reason="no-flow", by=technician, at=timezone.now())
    address = reverse("surveys:withdraw_stop", args=[stop.pk])
    told = {"why": "posted by mistake", f"withdraw-{stop.pk}-why": "posted by mistake"}
    assert signed_in(request.getfixturevalue(who)).post(address, told).status_code == 403
    assert not StopChange.objects.exists()
    manager = request.getfixturevalue("programme_manager")
    assert signed_in(manager).post(address, told).status_code == 302
    assert StopChange.objects.get().kind == "withdrawn"
