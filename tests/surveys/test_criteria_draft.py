"""The page of a draft: kept whole, refused with the entry kept, and two pages at once without a loss."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from hoods.models import Entry
from surveys.actions import criteria
from surveys.core.starters import STARTERS
from surveys.forms.criteria_document import to_boxes
from surveys.models import CriteriaVersion
from tests import making, pages, surveying
from tests.surveys.boxes import row_of, sent

pytestmark = pytest.mark.django_db

STARTER = "average-100-lowest-70"


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def version(site, programme_manager):
    """A version in force, and the set that it belongs to."""
    return surveying.make_version(site, programme_manager, name="General hoods")


@pytest.fixture
def draft(version, programme_manager):
    return criteria.start_version(set=version.set, by=programme_manager, at=timezone.now())


def at(view: str, *args) -> str:
    return reverse(f"surveys:{view}", args=args)


def boxes_of(draft: CriteriaVersion, **changes):
    """What the page of a draft would send, with some boxes changed."""
    draft.refresh_from_db()
    return sent(to_boxes(draft.document) | {"seen": criteria.content_hash(draft)} | changes)


def post(client, draft, data):
    return client.post(at("change_draft", draft.pk), data.urlencode(), content_type="application/x-www-form-urlencoded")


# --- kept, or refused -------------------------------------------------------------------------------------------------


def test_the_page_sends_back_what_is_kept_and_then_nothing_is_written(manager, draft):
    page = pages.page(manager.get(at("change_draft", draft.pk)))
    (form,) = page.forms
    before = pages.everything()
    response = manager.post(form.action, dict(form.values))
    assert response.url == at("criteria_version", draft.pk)
    assert pages.changed(before, pages.everything()) == []


def test_a_draft_is_kept_whole_with_its_entry(manager, draft, programme_manager):
    response = post(manager, draft, boxes_of(draft, **{
        "limits-0-at_least": "90", "due-months": "6", "evidence_required": True, "compare": "rounded",
        f"checks-{row_of('light-works')}-consequence": "not-asked",
    }))  # fmt: skip
    assert response.url == at("criteria_version", draft.pk)
    draft.refresh_from_db()
    was = surveying.CRITERIA
    assert draft.document == was | {
        "limits": [was["limits"][0] | {"at_least": "90 ft/min"}, was["limits"][1]],
        "due": was["due"] | {"months": "6"},
        "checks": [check for check in was["checks"] if check["check"] != "light-works"],
        "compare": "rounded",
        "evidence_required": True,
    }
    entry = Entry.objects.of(draft.set).first()
    assert (entry.action, entry.by, entry.after["compare"]) == ("criteria-draft-changed", programme_manager, "rounded")


def test_a_refusal_stands_at_its_box_with_what_was_entered_and_nothing_is_kept(manager, draft):
    content = draft.content
    response = post(manager, draft, boxes_of(draft, **{"limits-0-at_least": "130", "limits-1-source": "the handbook"}))
    assert response.status_code == 422
    page = response.content.decode()
    assert "Nothing is kept yet: 1 box must be put right first." in page
    assert 'href="#id_limits-0-at_least"' in page
    assert 'id="id_limits-0-at_least_error"' in page
    assert 'value="130"' in page
    assert "the handbook" in page
    draft.refresh_from_db()
    assert draft.content == content


def test_what_stands_in_the_way_of_adopting_stands_at_its_box(manager, site, programme_manager):
    draft = criteria.start_set(site=site, name="New", starter=STARTER, by=programme_manager, at=timezone.now())
    undecided = [one["check"] for one in draft.document["checks"] if one["consequence"] == "undecided"]
    page = manager.get(at("change_draft", draft.pk)).content.decode()
    assert f"{len(undecided)} things stand in the way of adopting this draft." in page
    assert page.count("Before it is adopted:") == len(undecided)
    for check in undecided:
        assert f'href="#id_checks-{row_of(check)}-consequence"' in page


def test_a_refusal_of_adopting_leads_to_the_box_in_which_it_is_put_right(manager, site, programme_manager):
    draft = criteria.start_set(site=site, name="New", starter=STARTER, by=programme_manager, at=timezone.now())
    form = {
        "first_day": site.today(), "why": "r", "compared": "on", "password": making.PASSWORD,
        "seen": criteria.content_hash(draft),
    }  # fmt: skip
    response = manager.post(at("adopt_version", draft.pk), form)
    assert response.status_code == 422
    box = f"{at('change_draft', draft.pk)}#id_checks-{row_of('monitor-works')}-consequence"
    assert f'<a href="{box}">' in response.content.decode()
    assert at("compare_version", draft.pk) in response.content.decode()


@pytest.mark.parametrize(
    ("button", "figures"),
    [
        ("limit-down:0", ["lowest", "average"]),
        ("remove-limit:0", ["lowest"]),
        ("add-limit", ["average", "lowest", ""]),
    ],
)
def test_rows_are_changed_without_a_script_and_nothing_is_kept_by_it(manager, draft, button, figures):
    before = pages.everything()
    data = boxes_of(draft, **{"limits-0-at_least": "eighty", "press": button})
    response = post(manager, draft, data)
    assert response.status_code == 200, "what is not finished is not refused yet"
    assert pages.changed(before, pages.everything()) == []
    (form,) = pages.page(response).forms
    assert [form.values[f"limits-{row}-figure"] for row in range(len(figures))] == [[code] for code in figures]
    assert form.values["seen"] == [data["seen"]]
    kept = [form.values[f"limits-{row}-at_least"] for row, code in enumerate(figures) if code == "average"]
    assert kept == [["eighty"]] * ("average" in figures)


def test_enter_keeps_the_draft_since_its_first_button_does(manager, draft):
    page = manager.get(at("change_draft", draft.pk)).content.decode()
    form = page[page.index('<form class="draft"') :]
    first = form[form.index("<button") : form.index("</button>")]
    assert "Keep the draft" in first
    assert "name=" not in first


def test_m1_an_adopted_version_is_changed_by_no_page(manager, version):
    content = version.content
    data = sent(to_boxes(version.document) | {"limits-0-at_least": "1", "seen": criteria.content_hash(version)})
    for response in (manager.get(at("change_draft", version.pk)), post(manager, version, data)):
        assert response.url == at("criteria_version", version.pk)
    version.refresh_from_db()
    assert version.content == content


@pytest.mark.parametrize("number", ["987654321", "201", "-1", "x", ""])
@pytest.mark.parametrize("part", ["limits", "checks"])
def test_a_page_that_was_not_sent_whole_takes_no_limit_and_no_check_away(manager, draft, part, number):
    data = boxes_of(draft)
    data[f"{part}-number"] = number
    content = draft.content
    response = post(manager, draft, data)
    assert response.status_code == 422
    assert "not sent whole" in response.content.decode()
    draft.refresh_from_db()
    assert draft.content == content


def test_a_draft_asks_as_much_of_many_limits_as_of_few(manager, draft, programme_manager, django_assert_num_queries):
    with CaptureQueriesContext(connection) as asked:
        manager.get(at("change_draft", draft.pk))
    many = draft.document | {"limits": draft.document["limits"] * 100}
    criteria.change_draft(version=draft, document=many, by=programme_manager, at=timezone.now())
    with django_assert_num_queries(len(asked.captured_queries)):
        assert manager.get(at("change_draft", draft.pk)).status_code == 200
    assert post(manager, draft, boxes_of(draft)).status_code == 302, "as many as a document may have are kept"
    draft.refresh_from_db()
    assert len(draft.document["limits"]) == 200


# --- two pages at once ------------------------------------------------------------------------------------------------


def test_a_stale_page_is_told_and_both_can_be_seen_and_neither_is_lost(manager, draft):
    first, second = boxes_of(draft, **{"due-months": "6"}), boxes_of(draft, **{"limits-0-at_least": "95"})
    post(manager, draft, first)
    response = post(manager, draft, second)
    assert response.status_code == 409
    page = response.content.decode()
    assert "changed from another page" in page
    for seen in ("Kept now", "Yours", "from 6 to 12", "from 80 ft/min to 95 ft/min", 'value="95"'):
        assert seen in page, seen
    draft.refresh_from_db()
    assert (draft.document["due"]["months"], draft.document["limits"][0]["at_least"]) == ("6", "80 ft/min")

    form = next(form for form in pages.page(response).forms if form.method == "POST")
    again = manager.post(at("change_draft", draft.pk), dict(form.values))
    assert again.url == at("criteria_version", draft.pk)
    draft.refresh_from_db()
    assert (draft.document["due"]["months"], draft.document["limits"][0]["at_least"]) == ("12", "95 ft/min")
    log = Entry.objects.of(draft.set).filter(action="criteria-draft-changed").order_by("pk")
    assert [entry.after["due"]["months"] for entry in log] == ["12", "6", "12"], "what gave way stands in the log"


def test_the_same_page_sent_twice_is_kept_once(manager, draft):
    data = boxes_of(draft, **{"due-months": "6"})
    assert post(manager, draft, data).url == post(manager, draft, data).url == at("criteria_version", draft.pk)
    assert Entry.objects.of(draft.set).filter(after__due__months="6").count() == 1


def test_a_stale_page_of_a_version_adopted_meanwhile_is_told(manager, draft, programme_manager, site):
    data = boxes_of(draft, **{"due-months": "6"})
    criteria.adopt_version(version=draft, first_day=site.today(), reason="r", by=programme_manager, at=timezone.now())
    response = manager.post(at("change_draft", draft.pk), data.urlencode(), content_type="application/x-www-form-urlencoded",
                            follow=True)  # fmt: skip
    assert "never changes: start a new version" in response.content.decode()


# --- where a draft begins ---------------------------------------------------------------------------------------------

ORIGINS = [("last", "2"), ("in-force", "1"), ("", "2"), ("empty", None), (STARTER, None)]


@pytest.mark.parametrize(("origin", "number"), ORIGINS, ids=[case[0] or "left out" for case in ORIGINS])
def test_a_version_begins_from_what_is_chosen(manager, version, programme_manager, origin, number):
    later = criteria.start_version(set=version.set, by=programme_manager, at=surveying.AT)
    changed = version.document | {"least_height": "8 in"}
    later = criteria.change_draft(version=later, document=changed, by=programme_manager, at=surveying.AT)
    day = version.set.site.today().replace(year=2090)
    criteria.adopt_version(version=later, first_day=day, reason="r", by=programme_manager, at=surveying.AT)
    response = manager.post(at("start_version", version.set_id), {"why": "new", "origin": origin})
    draft = CriteriaVersion.objects.get(number=3)
    assert response.url == at("criteria_version", draft.pk)
    if number:
        assert draft.content == version.set.versions.get(number=number).content
    elif origin == "empty":
        assert (draft.document["limits"], draft.document["checks"], draft.starter) == ([], [], "")
    else:
        assert (draft.document, draft.starter) == (STARTERS[origin].document, origin)


def test_without_a_version_in_force_none_can_be_begun_from_it(manager, site, programme_manager):
    day = site.today().replace(year=2090)
    version = surveying.make_version(site, programme_manager, first_day=day)
    response = manager.post(at("start_version", version.set_id), {"why": "new", "origin": "in-force"})
    assert response.status_code == 422
    assert "is in force yet" in str(response.context["form"].errors["origin"])


def test_a_set_begins_from_nothing(manager, site):
    response = manager.post(at("start_empty_set"), {"name": "By hand", "words": ""})
    draft = CriteriaVersion.objects.get()
    assert response.url == at("change_draft", draft.pk)
    assert (draft.set.name, draft.number, draft.document["limits"]) == ("By hand", 1, [])
    page = manager.get(response.url).content.decode()
    assert "applies to working openings" in page
    assert manager.post(at("start_empty_set"), {"name": "By hand"}).status_code == 422


# --- who may ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", ["technician", "lab_manager", "auditor"])
def test_a4_others_compare_and_write_nothing(request, signed_in, draft, role):
    client = signed_in(request.getfixturevalue(role))
    assert client.get(at("compare_version", draft.pk)).status_code == 200
    assert client.get(at("figure_list")).status_code == 200
    for view in ("change_draft", "start_empty_set"):
        args = (draft.pk,) if view == "change_draft" else ()
        assert client.get(at(view, *args)).status_code == 403
        assert client.post(at(view, *args), {"name": "x"}).status_code == 403


def test_a2_a_draft_of_another_site_is_not_there(manager, programme_manager):
    foreign = criteria.start_set(
        site=making.make_site("Fell College"), name="Theirs", starter=STARTER, by=programme_manager, at=timezone.now()
    )
    for view in ("change_draft", "compare_version"):
        assert manager.get(at(view, foreign.pk)).status_code == 404
    assert manager.post(at("change_draft", foreign.pk), {}).status_code == 404


# --- figures ----------------------------------------------------------------------------------------------------------


def test_every_figure_is_told_with_its_definition_formula_and_source(manager):
    from html import unescape

    from surveys.core.figures import FIGURES

    page = unescape(manager.get(at("figure_list")).content.decode())
    for figure in FIGURES:
        for said in (figure.name, figure.definition, figure.formula, figure.source, f'id="{figure.code}"'):
            assert said in page, (figure.code, said)
    assert page.count("exact square, without a rounded root") == sum(figure.root for figure in FIGURES)
    assert f"{at('figure_list')}#average" in manager.get(at("starter", STARTER)).content.decode()
