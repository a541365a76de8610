"""Two versions beside one another, and that an assignment turns no fail into a pass."""

from __future__ import annotations

from copy import deepcopy
from datetime import timedelta

import pytest
from django.urls import reverse

from surveys import queries
from surveys.actions import criteria
from surveys.actions.assignment import assign_criteria
from surveys.models import Assignment
from tests import surveying
from tests.surveying import CRITERIA, GOOD, SLOW, SURVEYED, entered
from tests.surveys.rejudging.drafted import TODAY, limits, seen

pytestmark = pytest.mark.django_db


# --- rules beside one another -----------------------------------------------------------------------------------------


def test_each_rule_is_a_row_and_differences_are_words_and_shapes(draft_of, manager, version):
    changed = limits("90 ft/min")[:1] + [{"figure": "spread", "at_most": "30 ft/min", "consequence": "note"}]
    draft = draft_of(
        limits=changed, due=CRITERIA["due"] | {"use_ends_days": "30", "anchor": "month-end"}, evidence_required=True
    )
    response = manager.get(reverse("surveys:compare_version", args=[draft.pk]))
    html = response.content.decode()
    page = seen(manager, draft)
    assert "6 rules differ." in page
    for said in (
        "at least: from 80 ft/min to 90 ft/min",
        "from never to 30",
        "before: to the day; now: to the end of the month",
        "from not demanded to demanded",
        "added",
        "removed",
    ):
        assert said in page, said
    for shape in ("added", "removed", "changed"):
        assert f"shapes.svg#{shape}" in html
    assert len(response.context["compared"].rows) == 3 + 3 + 14
    assert "General hoods, version 2 beside version 1" in page


def test_an_adopted_version_is_compared_with_the_one_before(draft_of, manager, version, programme_manager):
    assert "with no version before it" in seen(manager, version)
    draft = draft_of(limits=limits("90 ft/min"))
    criteria.adopt_version(version=draft, first_day=TODAY, reason="r", by=programme_manager, at=SURVEYED)
    page = seen(manager, draft)
    assert "version 2 beside version 1" in page
    assert "Go on to adopting it" not in page
    assert (
        reverse("surveys:compare_version", args=[draft.pk])
        in manager.get(reverse("surveys:criteria_version", args=[draft.pk])).content.decode()
    )


def test_a_draft_leads_to_its_comparison_before_it_is_adopted(draft_of, manager):
    draft = draft_of()
    compare = reverse("surveys:compare_version", args=[draft.pk])
    for view in ("criteria_version", "adopt_version"):
        assert compare in manager.get(reverse(f"surveys:{view}", args=[draft.pk])).content.decode()
    assert reverse("surveys:adopt_version", args=[draft.pk]) in manager.get(compare).content.decode()


# --- an assignment turns no fail into a pass --------------------------------------------------------------------------


def test_an_assignment_turns_no_fail_into_a_pass_before_a_new_survey(
    surveyed, site, programme_manager, technician, instrument
):
    hood = surveyed("FH-3", SLOW)
    easy = surveying.make_version(
        site, programme_manager, deepcopy(CRITERIA) | {"limits": limits("60 ft/min", "50 ft/min")}
    )
    assert queries.status_of(hood, TODAY).code == "do-not-use"
    at = SURVEYED + timedelta(days=18)
    assign_criteria(hoods=[hood], set=easy.set, from_on=TODAY, why="low flow", by=programme_manager, at=at)
    assert queries.status_of(hood, TODAY).code == "do-not-use"
    assert queries.status_of(hood, TODAY + timedelta(days=5)).code == "do-not-use"
    survey = surveying.survey(hood, entered(instrument, SLOW), technician, at + timedelta(hours=1))
    assert (survey.version, survey.verdict) == (easy, "pass")
    assert queries.status_of(hood, TODAY).code == "met-criteria", "the control: a new survey by the new set does"


def test_the_year_s_exceptions_find_each_assignment_with_its_reason_and_evidence(surveyed, site, programme_manager):
    hood = surveyed("FH-1", GOOD)
    demanding = surveying.make_version(site, programme_manager, deepcopy(CRITERIA) | {"evidence_required": True})
    at = SURVEYED + timedelta(days=18)
    how = {"hoods": [hood], "set": demanding.set, "from_on": TODAY, "by": programme_manager, "at": at}
    assign_criteria(why="rebuilt as low flow", evidence="4.0 AU 0.08, report T-17", **how)
    row = Assignment.objects.filter(hood=hood, from_on__year=2026).get()
    assert (row.why, row.evidence, row.by) == ("rebuilt as low flow", "4.0 AU 0.08, report T-17", programme_manager)
