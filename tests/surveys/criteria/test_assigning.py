"""Which set judges which hood: given with a reason, and with evidence where the set demands it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from hoods.models import Entry
from surveys.actions import assignment, criteria
from surveys.models import Assignment
from surveys.views import paging
from tests import pages
from tests.surveys.criteria.sent import STARTER, at, errors, undecided

pytestmark = pytest.mark.django_db


# --- assigning -----------------------------------------------------------------------------------------------------------------------------


def test_a_set_is_assigned_to_several_hoods_with_a_reason(manager, adopted, make_hood, today):
    hoods = [make_hood(), make_hood()]
    form = {"set": adopted.set_id, "from_on": today, "hoods": [hood.pk for hood in hoods], "why": "general hoods"}
    assert manager.post(at("assign_criteria"), form).url == at("criteria_list")
    assert [(row.hood, row.set, row.why) for row in Assignment.objects.order_by("pk")] == [
        (hood, adopted.set, "general hoods") for hood in hoods
    ]
    assert [Entry.objects.of(hood).first().action for hood in hoods] == ["criteria-assigned"] * 2
    page = manager.get(at("criteria_list")).content.decode()
    assert "Every hood has criteria that judge it." in page
    assert "Criteria assigned" in manager.get(reverse("hoods:hood_inventory", args=[hoods[0].pk])).content.decode()


def test_the_same_set_is_not_assigned_twice_from_the_same_day(manager, adopted, make_hood, today):
    hoods = [make_hood(), make_hood()]
    form = {"set": adopted.set_id, "from_on": today, "hoods": [hoods[0].pk], "why": "general hoods"}
    one = manager.post(at("assign_criteria"), form, follow=True).content.decode()
    assert f"1 hood is judged by {adopted.set.name} from then on." in one
    assert "on that day already" in errors(manager.post(at("assign_criteria"), form))["hoods"][0]
    assert Assignment.objects.count() == 1
    manager.post(at("assign_criteria"), form | {"hoods": [hood.pk for hood in hoods]})
    assert [row.hood for row in Assignment.objects.order_by("pk")] == hoods
    manager.post(at("assign_criteria"), form | {"from_on": today + timedelta(1)})
    assert Assignment.objects.count() == 3, "another day is said anew"


def test_a_radioisotope_hood_that_a_set_asks_for_once_a_year_is_said(manager, adopted, make_hood, today):
    hoods = [make_hood(tag="FH-0700", kind="radioisotope"), make_hood(tag="FH-0701")]
    form = {"set": adopted.set_id, "from_on": today, "hoods": [hood.pk for hood in hoods], "why": "all hoods"}
    said = manager.post(at("assign_criteria"), form, follow=True).content.decode()
    assert "FH-0700 is a radioisotope hood, usually surveyed again after 6 months: this set asks for it later." in said
    assert "FH-0701 is a radioisotope" not in said


def test_showing_other_hoods_keeps_what_is_ticked_and_written_and_nothing_else(manager, adopted, make_hood, today):
    one, other, third = make_hood(tag="FH-0142"), make_hood(tag="FH-0143"), make_hood(tag="X-9")
    sent = {"set": adopted.set_id, "from_on": str(today), "hoods": [one.pk, third.pk], "why": "general hoods", "evidence": "T-1"}
    before = pages.everything()
    response = manager.post(at("assign_criteria"), sent | {"q": "FH-0143", "show": "1"})
    assert response.status_code == 200
    assert pages.changed(before, pages.everything()) == []
    (form,) = [form for form in pages.page(response).forms if "why" in form.values]
    assert "2 ticked before stand first." in response.content.decode()
    assert form.values["hoods"] == [str(one.pk), str(third.pk)]
    assert {name: form.values[name] for name in ("set", "why", "evidence", "q")} == {
        "set": [str(adopted.set_id)], "why": ["general hoods"], "evidence": ["T-1"], "q": ["FH-0143"],
    }  # fmt: skip
    manager.post(at("assign_criteria"), dict(form.values) | {"hoods": [*form.values["hoods"], other.pk]})
    assert {row.hood for row in Assignment.objects.all()} == {one, other, third}


@pytest.mark.parametrize("sent", ["x", "-1", "9" * 30, "٣", ""])
def test_a_tick_that_is_no_hood_is_shown_as_none(manager, adopted, hood, sent):
    response = manager.post(at("assign_criteria"), {"q": "", "show": "1", "hoods": [sent]})
    assert response.status_code == 200
    assert "ticked before" not in response.content.decode()


def test_a2_a_hood_of_another_site_is_not_kept_ticked(manager, adopted, hood_elsewhere):
    response = manager.post(at("assign_criteria"), {"q": "", "show": "1", "hoods": [hood_elsewhere.pk]})
    assert hood_elsewhere.tag not in response.content.decode()


def test_every_hood_that_was_found_is_assigned_with_those_ticked_before(manager, adopted, make_hood, today, monkeypatch):
    monkeypatch.setattr(paging, "MOST", 2)
    found = [make_hood(tag=f"FH-{number}") for number in range(3)]
    elsewhere, left = make_hood(tag="X-8"), make_hood(tag="X-9")
    sent = {"set": adopted.set_id, "from_on": str(today), "hoods": [elsewhere.pk], "why": "general hoods", "q": "FH", "page": "1"}
    manager.post(at("assign_criteria"), sent | {"every": "on"})
    assert {row.hood for row in Assignment.objects.all()} == {*found, elsewhere}
    assert left not in {row.hood for row in Assignment.objects.all()}


def test_hoods_without_criteria_are_said_first(manager, adopted, hood):
    assert "1 hood has no criteria yet, and cannot be surveyed." in manager.get(at("criteria_list")).content.decode()


def test_refusals_of_an_assignment_stand_at_their_box(
    manager, adopted, draft, hood, hood_elsewhere, foreign, programme_manager, today
):
    form = {"set": adopted.set_id, "from_on": today, "hoods": [hood.pk], "why": "general hoods"}

    def refused(**more):
        return errors(manager.post(at("assign_criteria"), form | more))

    assert "day is past" in refused(from_on=today - timedelta(1))["from_on"][0]
    assert "choose at least one" in refused(hoods=[])["hoods"][0]
    assert "not in the list" in refused(hoods=[hood_elsewhere.pk])["hoods"][0]  # A2
    assert "not in the list" in refused(set=foreign.set_id)["set"][0]  # A2
    assert list(refused(why="")) == ["why"]
    other = criteria.start_set(
        site=hood.site, name="Not adopted", starter=STARTER, by=programme_manager, at=timezone.now()
    )
    assert list(refused(set=other.set_id)) == ["set"]
    assert not Assignment.objects.exists()


def test_a_set_whose_first_day_is_to_come_is_assigned_from_that_day(settled, hood, programme_manager, today):
    first = today + timedelta(10)
    criteria.adopt_version(version=settled, first_day=first, reason="r", by=programme_manager, at=timezone.now())
    what = {"hoods": [hood], "set": settled.set, "why": "r", "by": programme_manager, "at": timezone.now()}
    with pytest.raises(assignment.NotInForce):
        assignment.assign_criteria(from_on=first - timedelta(1), **what)
    assert len(assignment.assign_criteria(from_on=first, **what)) == 1


def test_assigning_many_hoods_takes_as_many_statements_as_one(
    adopted, make_hood, programme_manager, today, django_assert_num_queries
):
    from django.test.utils import CaptureQueriesContext

    what = {"set": adopted.set, "from_on": today, "why": "r", "by": programme_manager, "at": timezone.now()}
    with CaptureQueriesContext(connection) as asked:
        assignment.assign_criteria(hoods=[make_hood()], **what)
    hoods = [make_hood() for _number in range(3)]
    statements = [query for query in asked.captured_queries if "assignment" in query["sql"] or "entry" in query["sql"]]
    with CaptureQueriesContext(connection) as many:
        assignment.assign_criteria(hoods=hoods, **what)
    assert len(
        [query for query in many.captured_queries if "assignment" in query["sql"] or "entry" in query["sql"]]
    ) == len(statements)


@pytest.fixture
def demanding(site, programme_manager, today):
    """A set that judges a hood only with evidence, in force."""
    now = timezone.now()
    version = criteria.start_set(
        site=site, name="Low flow", starter="low-velocity-proven", by=programme_manager, at=now
    )
    version = criteria.settle_checks(
        version=version, costs=dict.fromkeys(undecided(version), ("note", "")), by=programme_manager, at=now
    )
    return criteria.adopt_version(version=version, first_day=today, reason="r", by=programme_manager, at=now)


def test_a_set_that_demands_evidence_is_not_assigned_without(manager, demanding, adopted, hood, today):
    page = manager.get(at("assign_criteria")).content.decode()
    assert "Low flow (only with evidence)" in page
    assert "General hoods (only with evidence)" not in page
    form = {"set": demanding.set_id, "from_on": today, "hoods": [hood.pk], "why": "proven"}
    for nothing in ({}, {"evidence": ""}, {"evidence": " \n"}):
        response = manager.post(at("assign_criteria"), form | nothing)
        assert "only with evidence" in errors(response)["evidence"][0]
        assert "proven" in response.content.decode(), "the entry is kept"
    assert not Assignment.objects.exists()
    assert manager.post(at("assign_criteria"), form | {"evidence": "4.0 AU 0.08, report T-17"}).status_code == 302
    row = Assignment.objects.get()
    assert (row.set, row.evidence) == (demanding.set, "4.0 AU 0.08, report T-17")
    log = manager.get(reverse("hoods:hood_inventory", args=[hood.pk])).content.decode()
    assert "evidence: 4.0 AU 0.08, report T-17" in log
    other = {"set": adopted.set_id, "from_on": today + timedelta(1), "hoods": [hood.pk], "why": "r"}
    assert manager.post(at("assign_criteria"), other).status_code == 302, "the control: another set demands none"


def test_the_version_in_force_on_that_day_says_whether_evidence_is_demanded(adopted, hood, programme_manager, today):
    """A later version of the set begins to demand it."""
    now = timezone.now()
    later = criteria.start_version(set=adopted.set, by=programme_manager, at=now)
    document = later.document | {"evidence_required": True}
    later = criteria.change_draft(version=later, document=document, by=programme_manager, at=now)
    first = today + timedelta(10)
    criteria.adopt_version(version=later, first_day=first, reason="r", by=programme_manager, at=now)
    what = {"hoods": [hood], "set": adopted.set, "why": "r", "by": programme_manager, "at": now}
    with pytest.raises(assignment.EvidenceMissing):
        assignment.assign_criteria(from_on=first, **what)
    assert len(assignment.assign_criteria(from_on=first - timedelta(1), **what)) == 1
    assert len(assignment.assign_criteria(from_on=first, evidence="report T-17", **what)) == 1


def test_a_version_says_that_it_demands_evidence(manager, demanding, adopted):
    said = "only with evidence that it may be"
    assert said in manager.get(at("criteria_version", demanding.pk)).content.decode()
    assert said not in manager.get(at("criteria_version", adopted.pk)).content.decode()


def test_a_retired_hood_is_not_offered(manager, adopted, hood, make_hood, programme_manager, today):
    from hoods import actions

    other = make_hood(tag="FH-0300")
    actions.retire_hood(hood=hood, on=today, why="sold", by=programme_manager, at=timezone.now())
    page = manager.get(at("assign_criteria")).content.decode()
    assert other.tag in page
    assert hood.tag not in page


# --- many hoods ------------------------------------------------------------------------------------------------------------------


@pytest.fixture
def many(make_hood):
    return [make_hood(tag=f"MH-{number:03}") for number in range(1, 103)]


def boxes(page) -> list[str]:
    return re.findall(r"(MH-\d{3}), ", page.content.decode())


def test_hoods_to_choose_from_come_a_hundred_on_a_page(manager, adopted, many):
    first, second = manager.get(at("assign_criteria")), manager.get(at("assign_criteria") + "?page=2")
    assert (boxes(first), boxes(second)) == ([hood.tag for hood in many[:100]], ["MH-101", "MH-102"])
    assert "Page 1 of 2: hoods 1 to 100 of 102" in first.content.decode()
    assert "All 102 hoods of this list, those of the other pages too" in first.content.decode()
    assert boxes(manager.get(at("assign_criteria") + "?page=77")) == ["MH-101", "MH-102"], "past the end: the last page"
    assert len(boxes(manager.get(at("assign_criteria") + "?page=x"))) == 100, "no number: the first"
    narrowed = manager.get(at("assign_criteria") + f"?q=MH&set={adopted.set_id}").content.decode()
    assert '<button type="submit" class="button" name="show" value="2">Next</button>' in narrowed
    assert f'<option value="{adopted.set_id}" selected>' in narrowed
    few = manager.get(at("assign_criteria") + "?q=MH-10").content.decode()
    assert "All 3 hoods of this list" in few
    assert "other pages" not in few
    assert "All " not in manager.get(at("assign_criteria") + "?q=MH-101").content.decode(), "one hood is all that there is"


def test_a_page_is_assigned_alone_or_every_hood_that_is_found(manager, adopted, many, make_hood, today):
    other = make_hood(tag="ZZ-1")
    form = {"set": adopted.set_id, "from_on": today, "why": "general hoods"}
    assert errors(manager.post(at("assign_criteria") + "?q=MH", form))["hoods"], "none is ticked"
    assert manager.post(at("assign_criteria") + "?q=MH&page=2", form | {"hoods": [many[100].pk]}).status_code == 302
    assert [row.hood for row in Assignment.objects.all()] == [many[100]]
    assert manager.post(at("assign_criteria") + "?q=MH&page=2", form | {"every": "on"}).status_code == 302
    assert set(Assignment.objects.values_list("hood", flat=True)) == {hood.pk for hood in many}
    assert not Assignment.objects.filter(hood=other).exists(), "it was not found"


def test_all_hoods_of_a_list_are_assigned_in_one_act_an_entry_each(manager, adopted, make_hood, today):
    """The list is narrowed by kind, and to those without criteria: what it shows is what is assigned."""
    filtered = [make_hood(kind="filtered") for _number in range(3)]
    other = make_hood()
    form = {"set": adopted.set_id, "from_on": today, "why": "filtered hoods"}
    manager.post(at("assign_criteria"), form | {"hoods": [filtered[0].pk]})
    where = at("assign_criteria") + "?kind=filtered&lacking=1"
    assert "All 2 hoods of this list" in manager.get(where).content.decode()
    assert manager.post(where, form | {"every": "on"}).status_code == 302
    assert [row.hood for row in Assignment.objects.order_by("pk")] == filtered
    for hood in filtered:
        (entry,) = Entry.objects.of(hood).filter(action="criteria-assigned")
        assert (entry.why, entry.after["set"]["id"]) == ("filtered hoods", adopted.set_id)
    assert not Assignment.objects.filter(hood=other).exists()


def test_a_list_that_was_not_drawn_yet_is_shown_before_all_of_it_is_assigned(manager, adopted, make_hood, today):
    """Whoever types another text and ticks 'all' has not seen what that would be."""
    seen, unseen = [make_hood(tag=f"AA-{number}") for number in range(2)], [make_hood(tag=f"BB-{number}") for number in range(2)]
    (form,) = [form for form in pages.page(manager.get(at("assign_criteria") + "?q=AA")).forms if "why" in form.values]
    sent = dict(form.values) | {"set": adopted.set_id, "from_on": today, "why": "general hoods", "every": "on"}
    response = manager.post(at("assign_criteria") + "?q=AA", sent | {"q": "BB"})
    assert response.status_code == 200
    assert unseen[0].tag in response.content.decode()
    assert not Assignment.objects.exists()
    assert manager.post(at("assign_criteria") + "?q=AA", sent).status_code == 302, "the control: what was drawn"
    assert {row.hood for row in Assignment.objects.all()} == set(seen)


def test_unticking_a_filter_takes_it_away_whatever_the_address_says(manager, adopted, make_hood, today):
    judged, lacking = make_hood(tag="AA-1"), make_hood(tag="AA-2")
    form = {"set": adopted.set_id, "from_on": today, "why": "r", "hoods": [judged.pk]}
    manager.post(at("assign_criteria"), form)
    where = at("assign_criteria") + "?lacking=1"
    shown = manager.get(where).content.decode()
    assert (judged.tag in shown, lacking.tag in shown) == (False, True)
    assert judged.tag in manager.post(where, {"drawn": "1", "drawn_lacking": "1", "show": "1"}).content.decode()


def test_many_radioisotope_hoods_are_told_in_one_sentence(manager, adopted, make_hood, today):
    hoods = [make_hood(tag=f"FH-070{number}", kind="radioisotope") for number in range(7)]
    form = {"set": adopted.set_id, "from_on": today, "every": "on", "why": "all hoods"}
    said = manager.post(at("assign_criteria"), form, follow=True).content.decode()
    assert len(hoods) == Assignment.objects.count()
    assert "FH-0700, FH-0701, FH-0702, FH-0703, FH-0704, + 2 are radioisotope hoods" in said
    assert said.count("usually surveyed again after 6 months") == 1
