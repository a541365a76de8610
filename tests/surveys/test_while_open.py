"""What happens to a hood and to the clock while a survey is open: nothing lost, nothing twice, said in words."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest
import time_machine
from django.db import transaction
from django.db.models import ProtectedError
from django.urls import reverse

from hoods.actions import hood as hoods
from hoods.actions import people
from surveys.actions.drafts import start_draft
from surveys.models import Draft, Revision, Survey
from tests import making, surveying
from tests.making import PASSWORD
from tests.surveying import SURVEYED, entered
from tests.surveys.words import said

NOW = SURVEYED + timedelta(hours=1)


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager, name="Average and lowest")


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def draft(hood, version, instrument, programme_manager, technician):
    surveying.assign(hood, version, programme_manager)
    draft = start_draft(hood=hood, by=technician, at=SURVEYED)
    surveying.save(draft, entered(instrument), technician)
    return draft


def page(client, name, draft):
    return client.get(reverse(f"surveys:{name}", args=[draft.pk]))


def sign(client, draft):
    sent = {
        "revision": 1,
        "version": draft.version_id,
        "measured_myself": "on",
        "missing_confirmed": "on",
        "password": PASSWORD,
    }
    return client.post(reverse("surveys:sign", args=[draft.pk]), sent)


ENDS = [
    ("retire_hood", "Hood FH-0142 was retired on 12 MAR 2026."),
    ("hibernate_hood", "Hood FH-0142 has been hibernated since 12 MAR 2026."),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("end", "words"), ENDS)
def test_c7_a_hood_that_ends_while_its_survey_is_open_is_said_and_nothing_is_lost(
    draft, technician, programme_manager, signed_in, end, words
):
    client = signed_in(technician)
    with time_machine.travel(NOW, tick=False):
        assert words not in said(page(client, "review", draft))
        getattr(hoods, end)(hood=draft.hood, on=NOW.date(), why="old", by=programme_manager, at=NOW)
        for name in ("detail", "review"):
            text = said(page(client, name, draft))
            assert words in text
            assert "It makes the hood no more usable, and no label is printed." in text
        assert "97" in said(page(client, "review", draft))
        assert Revision.objects.filter(draft=draft).count() == 1
        assert sign(client, draft).status_code == 302
        assert words in said(page(client, "detail", draft))
        label = client.post(reverse("reports:label", args=[draft.hood_id]))
    assert label.status_code == 403
    assert Survey.objects.get().verdict == "pass"


@pytest.mark.django_db
def test_c7_a_hood_with_an_open_survey_cannot_be_removed(draft):
    with pytest.raises(ProtectedError), transaction.atomic():
        draft.hood.delete()
    assert Draft.objects.filter(pk=draft.pk).exists()


@pytest.mark.django_db
def test_c7_control_a_hood_in_service_gets_no_such_words(draft, technician, signed_in):
    with time_machine.travel(NOW, tick=False):
        text = said(page(signed_in(technician), "review", draft))
    assert not re.search("retired|hibernated", text)


# --- over midnight ---

MIDNIGHT = datetime(2026, 3, 13, tzinfo=UTC)  # in London too, in winter


def over_midnight(instrument, started: datetime):
    """A survey whose readings were taken from two minutes before midnight to five after it."""
    document = entered(instrument)
    moment = started
    for row in document["traverses"][0]["readings"]:
        for column, value in enumerate(row):
            row[column] = {"value": value, "at": moment.isoformat(), "struck": None}
            moment += timedelta(seconds=40)
    return document


@pytest.mark.django_db
def test_t9_a_survey_over_midnight_is_one_survey_of_the_day_on_which_it_was_begun(
    hood, version, instrument, programme_manager, technician, signed_in
):
    surveying.assign(hood, version, programme_manager)
    started = MIDNIGHT - timedelta(minutes=1)
    draft = start_draft(hood=hood, by=technician, at=started)
    surveying.save(draft, over_midnight(instrument, started), technician, MIDNIGHT + timedelta(minutes=5))
    survey = surveying.sign(draft, technician, MIDNIGHT + timedelta(minutes=6))
    attested = survey.record.attested["survey"]
    assert Survey.objects.count() == 1
    assert survey.measured_from < MIDNIGHT < survey.measured_until
    assert (survey.done_on, attested["done_on"]) == (date(2026, 3, 12), "2026-03-12")
    assert (survey.due_on, attested["due_on"]) == (date(2027, 3, 12), "2027-03-12")
    with time_machine.travel(MIDNIGHT + timedelta(hours=9), tick=False):
        client = signed_in(technician)
        assert "Met criteria" in said(client.get(reverse("surveys:hood", args=[hood.pk])))
        certificate = client.get(reverse("reports:certificate", args=[survey.pk]))
        assert certificate["Content-Disposition"].startswith('inline; filename="FH-0142 2026-03-12')
        months = [client.get("/certificates.pdf", {"from": start}) for start in ("2026-03", "2025-04")]
        assert [b"".join(file).count(b"/Type /Page\n") > 1 for file in months] == [True, True]


@pytest.mark.django_db
def test_t9_a_survey_over_new_year_belongs_to_the_year_in_which_it_was_begun(
    hood, version, instrument, programme_manager, technician
):
    surveying.assign(hood, version, programme_manager)
    midnight = datetime(2027, 1, 1, tzinfo=UTC)
    draft = start_draft(hood=hood, by=technician, at=midnight - timedelta(minutes=1))
    surveying.save(
        draft, over_midnight(instrument, midnight - timedelta(minutes=1)), technician, midnight + timedelta(minutes=5)
    )
    survey = surveying.sign(draft, technician, midnight + timedelta(minutes=6))
    assert (survey.done_on, survey.due_on) == (date(2026, 12, 31), date(2027, 12, 31))


# --- what stays readable ---


@pytest.mark.django_db
def test_m5_hood_room_and_people_that_are_gone_leave_a_history_that_is_read_and_printed(
    hood, room, version, instrument, programme_manager, technician, lab_manager, auditor, signed_in
):
    surveying.assign(hood, version, programme_manager)
    survey = surveying.survey(hood, entered(instrument), technician)
    with time_machine.travel(NOW, tick=False):
        reader = signed_in(auditor)
        before = reader.get(reverse("reports:certificate", args=[survey.pk])).content
        hoods.retire_hood(hood=hood, on=NOW.date(), why="old", by=programme_manager, at=NOW)
        room.number, room.name = "gone", "walled up"
        room.save()
        people.disable_person(person=technician, by=programme_manager, at=NOW, why="left")
        assert reader.get(reverse("reports:certificate", args=[survey.pk])).content == before
        for who in (reader, signed_in(lab_manager)):
            text = said(who.get(reverse("surveys:hood", args=[hood.pk])))
            assert "Retired" in text
            assert "Ruth Okafor" in text
            assert "12 MAR 2026" in text
        assert "Ruth Okafor" in said(reader.get(reverse("surveys:detail", args=[survey.pk])))
        assert reader.get(reverse("surveys:room", args=[room.pk])).status_code == 200
        as_it_stood = reader.get(reverse("surveys:room", args=[room.pk]), {"on": "2026-03-11"})
        assert "FH-0142" in said(as_it_stood)
    public = said(reader.get(reverse("public_hood", args=[hood.code])))
    assert "Ruth" not in public


# --- numbers under a race ---


@pytest.mark.django_db(transaction=True)
def test_c6_numbers_of_records_and_labels_never_repeat_under_a_race(
    site, room, version, instrument, programme_manager, technician
):
    from tests.racing import together

    drafts = []
    for tag in ("FH-0142", "FH-0143"):
        hood = making.make_hood(room=room, by=programme_manager, tag=tag)
        surveying.assign(hood, version, programme_manager)
        for number in range(6):
            draft = start_draft(hood=hood, by=technician, at=SURVEYED + timedelta(hours=number))
            at = SURVEYED + timedelta(hours=number, minutes=15)
            surveying.save(draft, entered(instrument), technician, at)
            drafts.append((draft, at + timedelta(minutes=5)))
    results = together(
        [partial(_sign_some, drafts[client::4] + drafts[::-1][client::4], technician) for client in range(4)]
    )
    assert [error for error in results if isinstance(error, Exception)] == []
    surveys = list(Survey.objects.values_list("hood__tag", "label_issue", "record_id"))
    for tag in ("FH-0142", "FH-0143"):
        assert sorted(issue for of, issue, _record in surveys if of == tag) == [1, 2, 3, 4, 5, 6]
    assert sorted(record for *_label, record in surveys) == list(range(2, 14)), (
        "one after another, after the criteria's"
    )


def _sign_some(drafts, by):
    """One client: sign each of its drafts, of which another signs the same."""
    return [surveying.sign(draft, by, at).record_id for draft, at in drafts]


@pytest.mark.django_db(transaction=True)
def test_c6_control_without_locks_the_same_signatures_break(site, room, version, instrument, programme_manager, technician):
    from tests.racing import together

    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0142")
    surveying.assign(hood, version, programme_manager)
    drafts = []
    for number in range(4):
        draft = start_draft(hood=hood, by=technician, at=SURVEYED + timedelta(hours=number))
        at = SURVEYED + timedelta(hours=number, minutes=15)
        surveying.save(draft, entered(instrument), technician, at)
        drafts.append((draft, at + timedelta(minutes=5)))
    results = together([partial(_sign_some, [one], technician) for one in drafts], guarded=False)
    assert [error for error in results if isinstance(error, Exception)] != []
