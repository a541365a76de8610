"""The demo as `make demo` loads it: sixty hoods of every kind, three years of surveys, and what happened in them."""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction

import pytest
import time_machine
from django.db import transaction
from django.urls import reverse

from config.demo import belt, earlier, others, scenario
from config.demo.build import build
from hoods.models import Building, Hood, HoodEvent, Person
from hoods.models.hood import CONTROLS, KINDS, MONITORS, SASHES
from hoods.queries import without_retired
from hoods.views.inventory_list import planned
from surveys import queries
from surveys.core import status as core
from surveys.models import EarlierBatch, EarlierResult, Judgement, Survey
from tests import making, pages
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 5, 20, 10, 30, tzinfo=UTC)
TAKEN_OVER = [tag for tag, _results in earlier.TAKEN_OVER]


@pytest.fixture(scope="module", autouse=True)
def loaded(django_db_setup, django_db_blocker):
    """Once for this file; nothing of it is committed."""
    with time_machine.travel(NOW, tick=False), django_db_blocker.unblock(), transaction.atomic():
        build(now=NOW, say=lambda words: None)
        yield
        transaction.set_rollback(True)


def on_fan(name: str) -> list[Hood]:
    hoods = [(hood, hood.placement(NOW.date())) for hood in Hood.objects.select_related("site")]
    return [hood for hood, placed in hoods if placed and placed.exhaust and placed.exhaust.name == name]


def verdicts(hood: Hood) -> list[str]:
    return list(hood.surveys.order_by("record").values_list("verdict", flat=True))


def test_what_draws_the_air_is_as_it_would_be():
    """A filtered hood gives its air back to the room, a perchloric acid hood shares its fan with none."""
    by_kind: dict[str, list[str]] = {}
    for hood in Hood.objects.select_related("site"):
        exhaust = hood.placement(NOW.date()).exhaust
        by_kind.setdefault(hood.kind, []).append(exhaust.name if exhaust else "")
        assert hood.glass == ("" if hood.sash == "none" else "laminated")
    assert set(by_kind.pop("filtered")) == {""}
    assert [len(on_fan(name)) for name in by_kind["perchloric-acid"]] == [1, 1]
    assert "" not in {name for names in by_kind.values() for name in names}


def test_sixty_hoods_in_three_buildings_of_three_years():
    assert (Hood.objects.count(), Building.objects.count()) == (60, 3)
    named = [plan.tag for plan in scenario.HOODS]
    for hood in Hood.objects.exclude(tag__in=[*named, *TAKEN_OVER]):
        assert len({on.year for on in hood.surveys.values_list("done_on", flat=True)}) >= 3, hood.tag


def test_every_kind_sash_control_and_monitor_is_there():
    for column, known in (("kind", KINDS), ("sash", SASHES), ("control", CONTROLS), ("monitor", MONITORS)):
        assert set(Hood.objects.values_list(column, flat=True)) == set(known), column
    assert set(Hood.objects.values_list("powered", flat=True)) == {True, False}


def test_every_status_flag_and_verdict_is_there():
    found = queries.statuses(list(Hood.objects.select_related("site")), NOW.date()).values()
    assert {status.code for status in found} == set(core.STATUSES)
    assert {flag.code for status in found for flag in status.flags} == set(core.FLAGS)
    assert set(Survey.objects.values_list("verdict", flat=True)) == {"pass", "restrict", "fail", "no-verdict"}
    assert {"not_openings"} in [set(status.restriction or ()) for status in found]


def test_a_bench_that_was_taken_over_rests_on_an_accepted_list():
    batch = EarlierBatch.objects.get()
    assert [change.kind for change in batch.changes.all()] == ["accepted"]
    for tag in TAKEN_OVER:
        hood = Hood.objects.select_related("site").get(tag=tag)
        status = queries.status_of(hood, NOW.date())
        assert status.grants, tag
        assert status.flag(core.NOT_SIGNED_HERE), tag
        assert status.label_issue is None, tag
        assert not hood.surveys.exists(), tag
    assert {core.RESTRICTED, core.MET_CRITERIA} == {
        queries.status_of(hood, NOW.date()).code for hood in Hood.objects.select_related("site").filter(tag__in=TAKEN_OVER)
    }
    assert EarlierResult.objects.filter(openings__points__gt="").exists()


def test_the_named_hoods_stand_as_they_do_without_the_others():
    stood = {hood.tag: queries.status_of(hood, NOW.date()).code for hood in Hood.objects.select_related("site")}
    assert {tag: stood[tag] for tag in ("FH-0101", "FH-0103", "FH-0105", "FH-0107", "FH-0109", "FH-0112")} == {
        "FH-0101": "met-criteria", "FH-0103": "restricted", "FH-0105": "do-not-use", "FH-0107": "out-of-service",
        "FH-0109": "not-surveyed", "FH-0112": "retired",
    }  # fmt: skip


def test_the_belt_that_slipped_lowered_every_hood_on_its_fan():
    hoods = on_fan(others.BELT)
    assert len(hoods) == 8
    for hood in hoods:
        assert verdicts(hood)[-2:] == ["fail", "pass"], hood.tag
    days = {survey.done_on for hood in hoods for survey in hood.surveys.filter(verdict="fail")}
    assert len(days) == 1


def test_the_belt_is_told_on_the_pages_of_every_hood_on_its_fan_and_nothing_of_it_is_left_open(signed_in):
    (email,) = [someone.email for someone in scenario.PEOPLE if someone.role == "technician"]
    client = signed_in(Person.objects.get(email=email))
    for hood in on_fan(others.BELT):
        findings = list(hood.findings.all())
        assert {finding.kind for finding in findings} == {"fail", "restrict", "label-not-held"}
        assert not hood.findings.open().exists(), hood.tag
        by_hand, retest = hood.findings.get(kind="label-not-held"), hood.surveys.get(reason="after-repair")
        assert by_hand.changes.get(kind="closed").words == belt.TIGHTENED
        closed = [finding.changes.get(kind="closed") for finding in findings if finding != by_hand]
        assert {change.survey for change in closed} == {retest}
        survey = hood.surveys.get(reason="complaint")
        of_hood = said(client.get(reverse("surveys:hood", args=[hood.pk])))
        of_survey = said(client.get(reverse("surveys:detail", args=[survey.pk])))
        assert f"Every hood on {others.BELT} is low: the belt of the fan slips." in of_survey
        for words in (belt.TO_BE_TIGHTENED, belt.TIGHTENED, f"Exhaust {others.BELT} All hoods on {others.BELT}"):
            assert words in of_hood, (hood.tag, words)


def test_a_fan_drifts():
    """Every hood on it loses air from year to year, and the averages say so."""
    for hood in on_fan("EF-5"):
        if hood.tag in TAKEN_OVER:
            continue
        figures = Judgement.objects.filter(survey__hood=hood, figure="average").order_by("survey__record")
        averages = [Fraction(value) for value in figures.values_list("value", flat=True).distinct()]
        assert len(averages) >= 3
        assert averages == sorted(averages, reverse=True), hood.tag


def test_a_room_moved():
    moved = HoodEvent.objects.filter(kind="moved").select_related("hood")
    assert len(moved) == 3
    for event in moved:
        rooms = event.hood.placements.order_by("from_on").values_list("room__number", flat=True)
        assert list(rooms) == [others.MOVED_FROM, "1.09"]
        assert "after-a-move" in event.hood.surveys.values_list("reason", flat=True)


def test_a_combination_hood_fails_in_one_way_of_opening_alone():
    standing = {hood: queries.status_of(hood, NOW.date()) for hood in Hood.objects.filter(sash="combination")}
    (found,) = [status for status in standing.values() if status.restriction]
    assert found.restriction == {"not_openings": [others.COMBINATION[0].name]}
    assert [opening.name for opening in found.approved] == [others.COMBINATION[1].name]
    assert len(standing) == 3


@pytest.mark.parametrize("role", ["technician", "auditor"])
def test_the_page_of_every_hood_answers(role, signed_in, django_user_model):
    email = next(someone.email for someone in scenario.PEOPLE if someone.role == role)
    client = signed_in(django_user_model.objects.get(email=email))
    for hood in Hood.objects.filter(tag__gt="FH-0112"):
        assert client.get(reverse("surveys:hood", args=[hood.pk])).status_code == 200, hood.tag


@pytest.mark.parametrize("view", ["inventory", "inventory_book"])
def test_i4_i11_its_list_of_hoods_can_be_brought_into_an_empty_site(view, signed_in, django_user_model):
    manager = next(someone.email for someone in scenario.PEOPLE if someone.role == "programme-manager")
    exported = pages.body(signed_in(django_user_model.objects.get(email=manager)).get(reverse(f"reports:{view}")))
    _said, plan = planned(making.make_site("Fell College"), exported)
    assert [(problem.row, problem.column, str(problem.said)) for problem in plan.problems] == []
    assert {one.tag for one in plan.added} == {hood.tag for hood in without_retired(Hood.objects.all(), NOW.date())}
