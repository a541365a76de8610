"""Criteria by their pages: start from a set, decide on the checks, adopt with the password, assign to hoods."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from hoods.models import Entry, Hood
from surveys.actions import criteria
from surveys.core.starters import STARTERS
from surveys.models import Assignment, CriteriaSet, CriteriaVersion
from tests.surveys.criteria.sent import STARTER, at, costs, errors, signature, undecided

pytestmark = pytest.mark.django_db


# --- sets to start from -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("starter", STARTERS.values(), ids=lambda starter: starter.code)
def test_a_set_to_start_from_is_read_with_the_source_and_evidence_of_each_limit(manager, starter):
    page = manager.get(at("starter", starter.code)).content.decode()
    assert "Compare with your local rules first." in page
    for limit in starter.document["limits"]:
        assert limit["source"].replace("'", "&#x27;") in page
        assert limit["evidence"].split(";")[0] in page
        assert (limit.get("at_least") or limit["at_most"]) in page
    assert "not decided yet" in page
    for label in ("Of", "Where it is not met", "Where it is not as it should be", "Source"):
        assert f'data-label="{label}"' in page, "on a telephone each column is named in its row"


def test_a_set_that_there_is_none_of_is_not_there(manager):
    assert manager.get(at("starter", "no-such-set")).status_code == 404
    assert manager.get(at("starter", STARTER)).status_code == 200  # the positive control


def test_starting_makes_a_draft_that_says_what_stands_in_its_way(manager, site):
    response = manager.post(at("starter", STARTER), {"name": "General hoods", "words": "all but radioisotopes"})
    version = CriteriaVersion.objects.get()
    assert response.url == at("criteria_version", version.pk)
    assert (version.set.site, version.number, version.starter, version.adopted_at) == (site, 1, STARTER, None)
    page = manager.get(response.url).content.decode()
    assert f"{len(undecided(version))} things stand in the way of adopting it" in page
    assert at("adopt_version", version.pk) not in page
    assert "Set of criteria started" in manager.get(at("criteria_set", version.set_id)).content.decode()


def test_a_name_of_a_set_is_given_once_at_a_site(manager, draft):
    assert "name is here already" in errors(manager.post(at("starter", STARTER), {"name": draft.set.name}))["name"][0]
    with pytest.raises(IntegrityError), transaction.atomic():
        CriteriaSet.objects.create(site=draft.set.site, name=draft.set.name)


# --- what each check costs -----------------------------------------------------------------------------------------------------------


def test_each_check_is_decided(manager, draft):
    first, second, *rest = undecided(draft)
    answers = {f"cost-{code}": "not-asked" for code in rest}
    answers |= {f"cost-{first}": "restrict", f"words-{first}": "not for powders", f"cost-{second}": "fail"}
    assert manager.post(at("settle_checks", draft.pk), costs(draft, **answers)).url == at("criteria_version", draft.pk)
    draft.refresh_from_db()
    kept = {check["check"]: check for check in draft.document["checks"]}
    assert (kept[first]["consequence"], kept[first]["restriction"]) == ("restrict", "not for powders")
    assert kept[second]["consequence"] == "fail"
    assert not set(rest) & set(kept)
    page = manager.get(at("criteria_version", draft.pk)).content.decode()
    assert "restricted: not for powders" in page
    assert at("adopt_version", draft.pk) in page
    assert Entry.objects.of(draft.set).first().action == "criteria-draft-changed"


def test_a_check_that_was_left_out_can_be_asked_again(manager, draft):
    code = undecided(draft)[0]
    manager.post(at("settle_checks", draft.pk), costs(draft, **{f"cost-{code}": "not-asked"}))
    draft.refresh_from_db()
    assert f'name="cost-{code}"' in manager.get(at("settle_checks", draft.pk)).content.decode()
    manager.post(at("settle_checks", draft.pk), costs(draft, **{f"cost-{code}": "note"}))
    draft.refresh_from_db()
    assert {"note"} == {check["consequence"] for check in draft.document["checks"] if check["check"] == code}


def test_a_restriction_needs_its_words_and_only_a_restriction_has_them(manager, draft):
    code = undecided(draft)[0]
    found = errors(manager.post(at("settle_checks", draft.pk), costs(draft, **{f"cost-{code}": "restrict"})))
    assert list(found) == [f"words-{code}"]
    answers = {f"cost-{code}": "note", f"words-{code}": "not for powders"}
    response = manager.post(at("settle_checks", draft.pk), costs(draft, **answers))
    assert list(errors(response)) == [f"words-{code}"]
    assert 'value="not for powders"' in response.content.decode()
    found = errors(manager.post(at("settle_checks", draft.pk), costs(draft, **{f"cost-{code}": "free"})))
    assert list(found) == [f"cost-{code}"]


# --- the next version ------------------------------------------------------------------------------------------------------------------


def test_the_next_version_begins_as_the_last_and_takes_its_place_on_its_first_day(
    manager, adopted, programme_manager, today
):
    response = manager.post(at("start_version", adopted.set_id), {"why": "a new local rule"})
    draft = CriteriaVersion.objects.get(number=2)
    assert response.url == at("criteria_version", draft.pk)
    assert draft.content == adopted.content
    assert (
        "has a draft already"
        in errors(manager.post(at("start_version", adopted.set_id), {"why": "again"}))["__all__"][0]
    )
    later = today + timedelta(30)
    criteria.adopt_version(version=draft, first_day=later, reason="new rule", by=programme_manager, at=timezone.now())
    assert adopted.set.in_force(today) == adopted
    assert adopted.set.in_force(later) == draft
    page = manager.get(at("criteria_set", adopted.set_id)).content.decode()
    assert "Version 1 is in force" in page
    assert "new rule" in page


def test_the_log_says_which_limit_was_changed_from_what_to_what(manager, draft, programme_manager):
    document = draft.document
    document["limits"][0]["at_least"] = "90 ft/min"
    del document["limits"][1]
    criteria.change_draft(version=draft, document=document, by=programme_manager, at=timezone.now())
    page = manager.get(at("criteria_set", draft.set_id)).content.decode()
    for said in (
        "at least 80 ft/min; restrict",
        "at least 90 ft/min; restrict",
        "at most 120 ft/min; of the use working",
    ):
        assert said in page, said
    assert "at most 150 ft/min" not in page, "what stayed is not told"


# --- who may -----------------------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", ["technician", "lab_manager", "auditor"])
def test_a4_others_read_criteria_and_change_none(request, signed_in, adopted, role, today):
    browser = signed_in(request.getfixturevalue(role))
    for view, *args in (("criteria_list",), ("criteria_set", adopted.set_id), ("criteria_version", adopted.pk)):
        assert browser.get(at(view, *args)).status_code == 200
    pages = (
        ("starter", STARTER),
        ("settle_checks", adopted.pk),
        ("adopt_version", adopted.pk),
        ("start_version", adopted.set_id),
        ("assign_criteria",),
    )
    for view, *args in pages:
        assert browser.get(at(view, *args)).status_code == 403
        assert browser.post(at(view, *args), signature(adopted, today)).status_code == 403
    assert CriteriaVersion.objects.count() == 1


def test_a2_criteria_of_another_site_are_not_there(manager, foreign, today):
    for view, pk in (
        ("criteria_set", foreign.set_id),
        ("start_version", foreign.set_id),
        ("criteria_version", foreign.pk),
        ("settle_checks", foreign.pk),
        ("adopt_version", foreign.pk),
    ):
        assert manager.get(at(view, pk)).status_code == 404
    assert manager.post(at("adopt_version", foreign.pk), signature(foreign, today)).status_code == 404
    assert "Theirs" not in manager.get(at("criteria_list")).content.decode()


def test_the_list_asks_as_much_of_one_set_as_of_three(
    manager, site, draft, programme_manager, django_assert_num_queries, django_assert_max_num_queries
):
    with django_assert_max_num_queries(12) as asked:
        manager.get(at("criteria_list"))
    for name in ("Second", "Third"):
        criteria.start_set(site=site, name=name, starter=STARTER, by=programme_manager, at=timezone.now())
    with django_assert_num_queries(len(asked.captured_queries)):
        assert len(manager.get(at("criteria_list")).context["lines"]) == 3


def test_many_hoods_are_counted_in_thousands(manager, adopted, site, programme_manager, today):
    """With and without criteria; one that judges few is counted as plainly as before."""
    codes = [f"C{number:07}" for number in range(2000)]
    hoods = Hood.objects.bulk_create(Hood(site=site, tag=code, code=code) for code in codes)
    common = {"set": adopted.set, "from_on": today, "at": timezone.now(), "by": programme_manager}
    Assignment.objects.bulk_create(Assignment(hood=hood, **common) for hood in hoods[:1000])
    page = manager.get(at("criteria_list")).content.decode()
    assert "1,000 hoods have no criteria yet, and cannot be surveyed." in page
    assert '<td class="n">1,000</td>' in page
    compared = " ".join(manager.get(at("compare_version", adopted.pk)).content.decode().split())
    assert "Of 1,000 hoods, 0 would now end otherwise." in compared
    assert "Without a survey that had a verdict: 1,000." in compared
