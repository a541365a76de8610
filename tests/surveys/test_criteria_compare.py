"""M4: what becomes of the hoods by a draft. Their last surveys, as recorded, judged again; nothing is written."""

from __future__ import annotations

import re
from copy import deepcopy
from datetime import date, timedelta
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from hoods.models import Hood
from surveys import queries, rejudging
from surveys.actions import criteria
from surveys.actions.assignment import assign_criteria
from surveys.core.criteria import Criteria
from surveys.models import Assignment, Record
from tests import making, pages, surveying
from tests.surveying import CRITERIA, GOOD, SLOW, SURVEYED, UNEVEN, entered, grid

pytestmark = pytest.mark.django_db

TODAY = date(2026, 3, 30)
MIDDLING = grid(["82", "85", "84", "83", "86", "82", "84", "85", "83", "86"])  # an average of 84


@pytest.fixture(autouse=True)
def today():
    import time_machine

    with time_machine.travel("2026-03-30T09:12:00Z", tick=False):
        yield


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager, name="General hoods")


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def surveyed(make_hood, version, instrument, technician, programme_manager):
    """A hood that was surveyed with these readings."""

    def make(tag, readings, *, judged_by=version, at=SURVEYED, **changes):
        hood = make_hood(tag=tag)
        surveying.assign(hood, judged_by, programme_manager)
        surveying.survey(hood, entered(instrument, readings, **changes), technician, at)
        return hood

    return make


@pytest.fixture
def draft_of(version, programme_manager):
    """A draft of the set with other rules."""

    def make(**changes):
        draft = criteria.start_version(set=version.set, by=programme_manager, at=SURVEYED)
        return criteria.change_draft(
            version=draft, document=deepcopy(CRITERIA) | changes, by=programme_manager, at=SURVEYED
        )

    return make


def limits(least: str, lowest: str = "70 ft/min") -> list[dict]:
    average, low = deepcopy(CRITERIA["limits"])
    return [average | {"at_least": least}, low | {"at_least": lowest}]


def seen(client, draft, query="") -> str:
    response = client.get(reverse("surveys:compare_version", args=[draft.pk]) + query)
    assert response.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def told(hoods, draft) -> rejudging.Preview:
    return rejudging.preview(hoods, Criteria.from_dict(draft.document), TODAY)


# --- either way -------------------------------------------------------------------------------------------------------


def test_m4_hoods_whose_last_survey_would_end_stricter_are_listed_with_the_reason(surveyed, draft_of, manager):
    surveyed("FH-1", GOOD), surveyed("FH-2", MIDDLING), surveyed("FH-3", SLOW), surveyed("FH-4", UNEVEN)
    stricter = draft_of(limits=limits("90 ft/min"))
    found = told(Hood.objects.all(), stricter)
    assert [(one.line.hood.tag, one.survey.verdict, one.judged.verdict) for one in found.changed] == [
        ("FH-2", "pass", "fail")
    ]
    assert (found.same, found.not_judged, found.unsurveyed) == (3, (), ())
    page = seen(manager, stricter)
    assert "Of 4 hoods, 1 would now end otherwise." in page
    assert "Stricter: 1. Easier: 0. Restricted otherwise: 0. The same: 3." in page
    listed = page[page.index("Would end stricter") :]
    assert "FH-2" in listed
    assert "pass" in listed
    assert "Average face velocity 84 ft/min" in listed
    assert "FH-3" not in listed


def test_m4_a_lower_limit_lets_failures_pass_and_the_page_says_that_none_does_yet(surveyed, draft_of, manager):
    hood = surveyed("FH-3", SLOW)
    draft = draft_of(limits=limits("70 ft/min", "60 ft/min"))
    (one,) = told(Hood.objects.all(), draft).changed
    assert (one.survey.verdict, one.judged.verdict, one.turn) == ("fail", "pass", rejudging.EASIER)
    page = seen(manager, draft)
    assert "Would end easier: no fail becomes a pass before a new survey" in page
    assert queries.status_of(hood, TODAY).code == "do-not-use", "looking changes nothing"


def test_m4_a_hood_restricted_otherwise_is_listed_as_such(surveyed, draft_of, manager):
    surveyed("FH-4", UNEVEN)
    other = limits("80 ft/min")
    other[1]["restriction"] = "not for volatile poisons"
    draft = draft_of(limits=other)
    (one,) = told(Hood.objects.all(), draft).changed
    assert one.turn == rejudging.OTHERWISE
    page = seen(manager, draft)
    listed = page[page.index("Would be restricted otherwise") :]
    assert "not for highly toxic materials" in listed
    assert "not for volatile poisons" in listed


def test_m4_looking_writes_nothing(surveyed, draft_of, manager):
    surveyed("FH-2", MIDDLING)
    draft = draft_of(limits=limits("90 ft/min"))
    before = pages.everything()
    seen(manager, draft)
    seen(manager, draft, "?hoods=every")
    assert pages.changed(before, pages.everything()) == []


def test_m4_the_control_the_same_rules_change_no_hood(surveyed, draft_of):
    for tag, readings in (("FH-1", GOOD), ("FH-2", MIDDLING), ("FH-3", SLOW), ("FH-4", UNEVEN)):
        surveyed(tag, readings)
    found = told(Hood.objects.all(), draft_of())
    assert (found.same, found.changed, found.not_judged) == (4, (), ())


# --- which survey, and what cannot be judged --------------------------------------------------------------------------


def test_m4_the_last_survey_with_a_verdict_counts(surveyed, draft_of, instrument, technician):
    hood = surveyed("FH-2", MIDDLING)
    later = SURVEYED + timedelta(days=2)
    surveying.survey(hood, entered(instrument, GOOD), technician, later)
    nothing = entered(instrument, [[None] * 5, [None] * 5], answers=[])
    surveying.survey(hood, nothing, technician, later + timedelta(days=1))
    found = told(Hood.objects.all(), draft_of(limits=limits("90 ft/min")))
    assert [one.survey.done_on for one in found.judged] == [later.date()]
    assert found.changed == (), "the survey of 84 ft/min is not the last"


def test_m4_what_was_not_tested_then_cannot_be_judged_again_and_the_page_says_why(
    surveyed, draft_of, manager, make_hood
):
    surveyed("FH-1", GOOD), surveyed("FH-3", SLOW)
    make_hood(tag="FH-9")
    draft = draft_of(
        checks=[*CRITERIA["checks"], {"check": "baffles-set", "applies_to": "hood", "consequence": "fail"}]
    )
    found = told(Hood.objects.all(), draft)
    assert [one.line.hood.tag for one in found.not_judged] == ["FH-1"]
    assert [one.line.hood.tag for one in found.judged] == ["FH-3"], "what failed fails whatever was not asked"
    assert [line.hood.tag for line in found.unsurveyed] == ["FH-9"]
    page = seen(manager, draft, "?hoods=every")
    listed = page[page.index("Cannot be judged again") :]
    assert "FH-1" in listed
    assert "Baffles: not tested." in listed
    assert "Without a survey that had a verdict: FH-9" in page


def test_m4_a_finer_grid_than_was_measured_cannot_be_judged_again(surveyed, draft_of):
    surveyed("FH-1", GOOD)
    (one,) = told(Hood.objects.all(), draft_of(grid={"largest_area": "0.5 ft**2", "longest_edge": "9 in"})).not_judged
    assert "points-missing" in {reason.code for reason in one.why_not}


def test_m4_a_record_that_cannot_be_read_is_said_and_hides_no_other_hood(surveyed, draft_of, caplog):
    from config import sealing

    broken, whole = surveyed("FH-1", GOOD), surveyed("FH-2", MIDDLING)
    sealing.lift()
    try:
        Record.objects.filter(number=broken.surveys.get().record_id).update(content='{"judged": {"approved": []}}')
    finally:
        sealing.seal()
    found = told(Hood.objects.all(), draft_of(limits=limits("90 ft/min")))
    assert [(one.line.hood, one.why_not[0].code) for one in found.not_judged] == [(broken, "record-not-judged-again")]
    assert [one.line.hood for one in found.changed] == [whole]
    assert "could not be judged again" in caplog.text


# --- which hoods ------------------------------------------------------------------------------------------------------


def test_the_hoods_are_those_that_the_set_judges_or_is_to_judge(
    surveyed, draft_of, site, version, programme_manager, make_hood
):
    other = surveying.make_version(site, programme_manager, name="Other")
    mine, theirs, coming, leaving, retired = (
        surveyed("FH-1", MIDDLING), surveyed("FH-2", MIDDLING, judged_by=other),
        surveyed("FH-3", MIDDLING, judged_by=other), surveyed("FH-4", MIDDLING), surveyed("FH-5", MIDDLING),
    )  # fmt: skip
    from hoods import actions

    actions.retire_hood(hood=retired, on=TODAY, why="sold", by=programme_manager, at=SURVEYED + timedelta(days=18))
    how = {"why": "r", "by": programme_manager, "at": SURVEYED + timedelta(days=18)}
    assign_criteria(hoods=[coming], set=version.set, from_on=TODAY + timedelta(days=9), **how)
    assign_criteria(hoods=[leaving], set=other.set, from_on=TODAY, **how)
    found = rejudging.judged_by_set(Hood.objects.all(), version.set, TODAY)
    assert set(found) == {mine, coming}
    assert theirs not in found


def test_every_hood_of_the_site_can_be_asked_for_and_no_other(surveyed, draft_of, site, manager, programme_manager):
    other = surveying.make_version(site, programme_manager, name="Other")
    surveyed("FH-2", MIDDLING, judged_by=other)
    draft = draft_of(limits=limits("90 ft/min"))
    assert "This set judges no hood yet." in seen(manager, draft)
    assert "Of 1 hood, 1 would now end otherwise." in seen(manager, draft, "?hoods=every")


def test_a2_a_lab_manager_sees_the_hoods_of_their_rooms_alone(surveyed, draft_of, signed_in, lab_manager, other_room,
                                                             version, programme_manager, instrument, technician):  # fmt: skip
    surveyed("FH-1", MIDDLING)
    hidden = making.make_hood(room=other_room, by=programme_manager, tag="FH-777")
    surveying.assign(hidden, version, programme_manager)
    surveying.survey(hidden, entered(instrument, MIDDLING), technician)
    page = seen(signed_in(lab_manager), draft_of(limits=limits("90 ft/min")), "?hoods=every")
    assert "FH-1" in page
    assert "FH-777" not in page


def test_the_preview_asks_as_much_of_one_hood_as_of_four(surveyed, draft_of, manager, django_assert_num_queries):
    surveyed("FH-1", MIDDLING)
    draft = draft_of(limits=limits("90 ft/min"))
    with CaptureQueriesContext(connection) as asked:
        seen(manager, draft)
    for number in range(2, 5):
        surveyed(f"FH-{number}", MIDDLING)
    with django_assert_num_queries(len(asked.captured_queries)):
        assert "Of 4 hoods, 4 would now end otherwise." in seen(manager, draft)
    assert len(asked.captured_queries) <= 24


# --- rules beside one another -----------------------------------------------------------------------------------------


def test_each_rule_is_a_row_and_differences_are_words_and_shapes(draft_of, manager, version):
    changed = limits("90 ft/min")[:1] + [{"figure": "spread", "at_most": "30 ft/min", "consequence": "note"}]
    draft = draft_of(limits=changed, due=CRITERIA["due"] | {"use_ends_days": "30", "anchor": "month-end"}, evidence_required=True)
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
