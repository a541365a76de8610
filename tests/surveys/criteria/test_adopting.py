"""Adopting a version: what it takes, what is refused, and that it never changes after."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoods.models import Entry
from surveys.actions import criteria
from surveys.core.record import canonical, sha256_hex
from surveys.models import CriteriaVersion, Record
from surveys.templatetags.ledger import plain_day as said_day
from tests import making
from tests.breaking import broken_at_each_statement
from tests.surveys.criteria.sent import STARTER, at, costs, errors, signature, undecided
from tests.surveys.words import said as words_of

pytestmark = pytest.mark.django_db


# --- adopting --------------------------------------------------------------------------------------------------------------------------


def test_adopting_writes_a_record_and_seals_the_version(manager, settled, today, programme_manager):
    assert manager.post(at("adopt_version", settled.pk), signature(settled, today)).url == at(
        "criteria_version", settled.pk
    )
    settled.refresh_from_db()
    record = settled.record
    assert (record.number, record.kind) == (1, "criteria")
    assert record.sha256 == sha256_hex(record.content.encode())
    attested = json.loads(record.content)
    assert canonical(attested) == record.content.encode()
    assert attested["criteria"] == {
        "set": "General hoods", "version": 1, "first_day": today.isoformat(), "starter": STARTER,
        "document": settled.document,
    }  # fmt: skip
    assert (attested["number"], attested["reason"]) == (1, "compared with the local rules")
    assert attested["signed"]["by"]["name"] == programme_manager.name
    assert attested["signed"]["meaning"] == "adopted-these-criteria"
    page = manager.get(at("criteria_version", settled.pk)).content.decode()
    assert "In force since" in page
    assert "as record 1. It never changes." in page
    assert "Criteria adopted" in manager.get(at("criteria_set", settled.set_id)).content.decode()


def test_a_version_that_waits_for_its_first_day_is_said_where_another_is_adopted_and_listed(
    manager, adopted, today, programme_manager
):  # fmt: skip
    by = {"by": programme_manager, "at": timezone.now()}
    soon = today + timedelta(days=1)
    waits = f"takes force on {said_day(soon)}. From that day on it holds, unless this version begins on that day or later."
    second = criteria.start_version(set=adopted.set, **by)
    assert waits not in words_of(manager.get(at("adopt_version", second.pk)))
    criteria.adopt_version(version=second, first_day=soon, reason="stricter", **by)
    third = criteria.start_version(set=adopted.set, **by)
    assert f"Version 2 is adopted already and {waits}" in words_of(manager.get(at("adopt_version", third.pk)))
    assert f"version 1, since {said_day(today)} version 2, from {said_day(soon)} on" in words_of(
        manager.get(at("criteria_list"))
    )


WRONG = [
    ("first_day", "yesterday", "first_day", "no day"),
    ("first_day", -1, "first_day", "first day is past"),
    ("why", "", "why", "Nothing is written"),
    ("compared", "", "compared", "Compare them with your local rules first"),
    ("password", "", "password", "sign with your password"),
    ("password", "grey heron 42", "password", "not your password"),
    ("seen", "0" * 64, "__all__", "changed since you saw it"),
]


@pytest.mark.parametrize(("box", "typed", "place", "said"), WRONG, ids=[f"{case[0]} {case[1]!r:.14}" for case in WRONG])
def test_each_refusal_is_a_sentence_at_its_box_and_nothing_is_adopted(manager, settled, today, box, typed, place, said):
    typed = today + timedelta(typed) if isinstance(typed, int) else typed
    response = manager.post(at("adopt_version", settled.pk), signature(settled, today, **{box: typed}))
    assert said in " ".join(errors(response)[place])
    assert making.PASSWORD not in response.content.decode()
    assert not Record.objects.exists()
    if box != "why":
        assert "compared with the local rules" in response.content.decode()


def test_a_past_day_and_a_missing_tick_are_said_at_once(manager, settled, today):
    signed = signature(settled, today, first_day=today - timedelta(1), compared="")
    found = errors(manager.post(at("adopt_version", settled.pk), signed))
    assert set(found) == {"first_day", "compared"}


def test_a_draft_that_cannot_be_adopted_is_not_shown_as_ready_to_sign(manager, draft):
    page = manager.get(at("adopt_version", draft.pk), follow=True)
    assert page.redirect_chain[-1][0] == at("criteria_version", draft.pk)
    assert "This draft cannot be adopted yet: see what stands in the way." in page.content.decode()
    assert "current-password" not in page.content.decode()


def test_the_control_one_that_can_be_adopted_is(manager, settled):
    assert "current-password" in manager.get(at("adopt_version", settled.pk)).content.decode()


def test_m2_limits_that_nothing_can_meet_together_are_refused_at_adoption(manager, settled, programme_manager, today):
    average = {"figure": "average", "applies_to": "each", "consequence": "fail"}
    limits = [average | {"at_least": "100 ft/min"}, average | {"at_most": "80 ft/min"}]
    document = settled.document | {"limits": limits}
    version = criteria.change_draft(version=settled, document=document, by=programme_manager, at=timezone.now())
    found = errors(manager.post(at("adopt_version", version.pk), signature(version, today)))["__all__"]
    assert (
        "No opening can meet this together with limit 1: at least 100 ft/min is wanted, and at most 80 ft/min."
        in found[0]
    )


def test_an_undecided_check_stands_in_the_way(manager, draft, today):
    found = errors(manager.post(at("adopt_version", draft.pk), signature(draft, today)))["__all__"]
    assert len(found) == len(undecided(draft))
    assert all("choose what it costs" in sentence for sentence in found)
    assert not Record.objects.exists()


def limit(**more) -> dict[str, str]:
    return {"figure": "average", "at_least": "80 ft/min", "applies_to": "each", "consequence": "fail"} | more


NONSENSE = [
    ([limit(at_least="120 ft/min", at_most="80 ft/min")], "is above at most"),
    ([limit(at_least="80 in")], "wrong kind of unit"),
    ([limit(at_least="0 ft/min")], "not above zero"),
    ([limit(applies_to="hood")], "applies to openings, not to the hood"),
    ([limit(consequence="restrict")], "needs its words"),
    ([{"figure": "average", "applies_to": "each", "consequence": "fail"}], "neither at least nor at most"),
    ([limit(figure="deviation-percent", at_least="80 ft/min")], "judged in percent"),
]


@pytest.mark.parametrize(("limits", "said"), NONSENSE, ids=[case[1] for case in NONSENSE])
def test_m2_nonsense_cannot_be_adopted(manager, settled, programme_manager, today, limits, said):
    version = criteria.change_draft(
        version=settled, document=settled.document | {"limits": limits}, by=programme_manager, at=timezone.now()
    )
    assert said in manager.get(at("criteria_version", version.pk)).content.decode().replace("&quot;", "")
    found = errors(manager.post(at("adopt_version", version.pk), signature(version, today)))["__all__"]
    assert any(said in sentence for sentence in found)
    assert not Record.objects.exists()


def test_m2_nothing_that_could_stop_a_hood_cannot_be_adopted(manager, settled, programme_manager, today):
    document = settled.document | {"limits": [], "checks": []}
    version = criteria.change_draft(version=settled, document=document, by=programme_manager, at=timezone.now())
    found = errors(manager.post(at("adopt_version", version.pk), signature(version, today)))["__all__"]
    assert any("applies to working openings" in sentence for sentence in found)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(least=st.integers(0, 300), most=st.integers(0, 300))
def test_m2_a_band_is_adopted_exactly_where_something_can_meet_it(site, programme_manager, least, most):
    with transaction.atomic():
        now = timezone.now()
        version = criteria.start_set(
            site=site, name=f"{least} to {most}", starter=STARTER, by=programme_manager, at=now
        )
        document = version.document | {
            "checks": [],
            "limits": [limit(at_least=f"{least} ft/min", at_most=f"{most} ft/min")],
        }
        version = criteria.change_draft(version=version, document=document, by=programme_manager, at=now)
        try:
            criteria.adopt_version(version=version, first_day=site.today(), reason="r", by=programme_manager, at=now)
            was_adopted = True
        except criteria.NotAdoptable:
            was_adopted = False
        transaction.set_rollback(True)
    assert was_adopted is (0 < least <= most)


def test_m1_an_adopted_version_changes_by_no_page(manager, adopted, today):
    content = adopted.content
    for view, form in (("settle_checks", costs(adopted)), ("adopt_version", signature(adopted, today))):
        assert manager.get(at(view, adopted.pk)).url == at("criteria_version", adopted.pk)
        assert manager.post(at(view, adopted.pk), form).url == at("criteria_version", adopted.pk)
    page = manager.get(at("criteria_version", adopted.pk)).content.decode()
    assert "never changes: start a new version" in page
    assert at("settle_checks", adopted.pk) not in page
    adopted.refresh_from_db()
    assert (adopted.content, Record.objects.count()) == (content, 1)


def test_m1_nor_by_an_action_nor_by_the_database(adopted, programme_manager, today):
    with pytest.raises(criteria.Adopted):
        criteria.change_draft(version=adopted, document=adopted.document, by=programme_manager, at=timezone.now())
    for column, value in (("content", "{}"), ("first_day", "2001-01-01"), ("adopted_at", None), ("reason", "")):
        with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"UPDATE surveys_criteriaversion SET {column} = %s WHERE id = %s", [value, adopted.pk])
    with pytest.raises(IntegrityError), transaction.atomic():
        CriteriaVersion.objects.filter(pk=adopted.pk).delete()


def test_m1_a_draft_can_still_be_changed_by_the_same_statement(settled):
    """The positive control: it is adoption that seals."""
    with connection.cursor() as cursor:
        cursor.execute("UPDATE surveys_criteriaversion SET reason = 'x' WHERE id = %s", [settled.pk])
    settled.refresh_from_db()
    assert settled.reason == "x"


def test_the_database_refuses_a_version_adopted_by_halves(settled, programme_manager):
    for half in ({"adopted_at": timezone.now()}, {"adopted_by": programme_manager}):
        with pytest.raises(IntegrityError), transaction.atomic():
            CriteriaVersion.objects.filter(pk=settled.pk).update(**half)
    with pytest.raises(IntegrityError), transaction.atomic():
        CriteriaVersion.objects.create(set=settled.set, number=1, content="{}")


def adopting(settled, programme_manager, today):
    return {"version": settled, "first_day": today, "reason": "r", "by": programme_manager, "at": timezone.now()}


def kept_of(settled):
    settled.refresh_from_db()
    return Record.objects.count(), settled.adopted_at, Entry.objects.filter(action="criteria-adopted").count()


def test_d6_adopting_is_all_or_nothing(settled, programme_manager, today):
    what = adopting(settled, programme_manager, today)
    assert broken_at_each_statement(lambda: criteria.adopt_version(**what), lambda: kept_of(settled)) > 4
    assert Record.objects.count() == 1


def test_d6_control_without_its_transaction_a_part_of_an_adoption_stays(settled, programme_manager, today):
    what = adopting(settled, programme_manager, today)
    with pytest.raises(AssertionError, match="something stayed"):
        broken_at_each_statement(lambda: criteria.adopt_version.__wrapped__(**what), lambda: kept_of(settled))
