"""M4: what becomes of the hoods by a draft. Their last surveys, as recorded, judged again; nothing is written."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Hood
from surveys import queries, rejudging
from surveys.actions.assignment import assign_criteria
from surveys.models import Record
from tests import making, pages, surveying
from tests.surveying import CRITERIA, GOOD, SLOW, SURVEYED, UNEVEN, entered
from tests.surveys.rejudging.drafted import MIDDLING, TODAY, limits, seen, told

pytestmark = pytest.mark.django_db


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
