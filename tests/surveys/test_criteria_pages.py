"""Criteria by their pages: start from a set, decide on the checks, adopt with the password, assign to hoods."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoods.models import Entry
from surveys.actions import assignment, criteria
from surveys.core.record import canonical, sha256_hex
from surveys.core.starters import STARTERS
from surveys.models import Assignment, CriteriaSet, CriteriaVersion, Record
from tests import making

pytestmark = pytest.mark.django_db

STARTER = "average-in-three-bands"


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def today(site):
    return site.today()


@pytest.fixture
def draft(site, programme_manager):
    return criteria.start_set(site=site, name="General hoods", starter=STARTER, by=programme_manager, at=timezone.now())


@pytest.fixture
def settled(draft, programme_manager):
    return criteria.settle_checks(
        version=draft, costs=dict.fromkeys(undecided(draft), ("note", "")), by=programme_manager, at=timezone.now()
    )


@pytest.fixture
def adopted(settled, programme_manager, today):
    return criteria.adopt_version(
        version=settled,
        first_day=today,
        reason="compared with the local rules",
        by=programme_manager,
        at=timezone.now(),
    )


@pytest.fixture
def foreign(programme_manager):
    return criteria.start_set(
        site=making.make_site("Fell College"), name="Theirs", starter=STARTER, by=programme_manager, at=timezone.now()
    )


def undecided(version: CriteriaVersion) -> list[str]:
    return [check["check"] for check in version.document["checks"] if check["consequence"] == "undecided"]


def at(view: str, *args) -> str:
    return reverse(f"surveys:{view}", args=args)


def errors(response) -> dict[str, list[str]]:
    assert response.status_code == 422
    return {name: [str(error) for error in said] for name, said in response.context["form"].errors.items()}


def signature(version: CriteriaVersion, today, **more) -> dict[str, str]:
    return {
        "first_day": today, "why": "compared with the local rules", "compared": "on", "password": making.PASSWORD,
        "seen": criteria.content_hash(version),
    } | more  # fmt: skip


def costs(version: CriteriaVersion, **more) -> dict[str, str]:
    """The form of the checks as its page gives it, with other answers."""
    form = {}
    for check in criteria.asked_or_offered(version):
        form[f"cost-{check['check']}"] = check["consequence"]
        form[f"words-{check['check']}"] = check.get("restriction") or ""
    return form | more


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


def test_m2_limits_that_nothing_can_meet_together_are_refused_at_adoption(
    manager, settled, programme_manager, today
):
    average = {"figure": "average", "applies_to": "each", "consequence": "fail"}
    limits = [average | {"at_least": "100 ft/min"}, average | {"at_most": "80 ft/min"}]
    document = settled.document | {"limits": limits}
    version = criteria.change_draft(version=settled, document=document, by=programme_manager, at=timezone.now())
    found = errors(manager.post(at("adopt_version", version.pk), signature(version, today)))["__all__"]
    assert "No opening can meet this together with limit 1: at least 100 ft/min is wanted, and at most 80 ft/min." in found[0]


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


def test_d6_adopting_is_all_or_nothing(settled, programme_manager, today):
    from django.db import OperationalError

    for number in range(1, 60):
        left = number

        def failing(execute, sql, params, many, context):
            nonlocal left
            left -= 1
            if left == 0:
                raise OperationalError("disk I/O error")
            return execute(sql, params, many, context)

        try:
            with transaction.atomic(), connection.execute_wrapper(failing):
                criteria.adopt_version(
                    version=settled, first_day=today, reason="r", by=programme_manager, at=timezone.now()
                )
        except OperationalError:
            settled.refresh_from_db()
            assert (Record.objects.count(), settled.adopted_at) == (0, None), f"statement {number}"
            assert not Entry.objects.filter(action="criteria-adopted").exists()
        else:
            assert number > 4
            break
    assert Record.objects.count() == 1


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


@pytest.fixture
def hood_elsewhere(foreign, programme_manager):
    room = making.make_room(making.make_building(foreign.set.site, "Old School"), "3")
    return making.make_hood(room=room, by=programme_manager, tag="X-1")


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


def test_a_retired_hood_is_not_offered(manager, adopted, hood, make_hood, programme_manager, today):
    from hoods import actions

    other = make_hood(tag="FH-0300")
    actions.retire_hood(hood=hood, on=today, why="sold", by=programme_manager, at=timezone.now())
    page = manager.get(at("assign_criteria")).content.decode()
    assert other.tag in page
    assert hood.tag not in page


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
