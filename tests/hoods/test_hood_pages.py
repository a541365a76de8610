"""The pages of the inventory: each works, says what it refuses at its field, and is closed to who may not."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from hoods import actions
from hoods.models import Entry, Hood, HoodEvent, Opening, Role, Site
from hoods.models.hood import KINDS
from tests import making
from tests.hoods.hood_boxes import LOWER, NEW, at, errors

pytestmark = pytest.mark.django_db


# --- register -----------------------------------------------------------------------------------------------------------------


def test_a_hood_is_registered_and_its_page_shows_all_of_it(manager, room, programme_manager):
    response = manager.post(
        at("add_hood"), NEW | {"room": room.pk, "set_point": "100 fpm", "position": "by the window"}
    )
    hood = Hood.objects.get()
    assert response.url == at("hood_inventory", hood.pk)
    page = manager.get(response.url).content.decode()
    for word in (
        "FH-0150",
        hood.code,
        "set at 100 ft/min",
        "by the window",
        "62 in",
        "18 in",
        "Hood registered",
        programme_manager.name,
    ):
        assert word in page


WRONG = [
    # box              typed              the sentence says
    ("tag",            "",                "Nothing is written here"),
    ("tag",            "T" * 41,          "at most 40 are kept"),
    ("tag",            "FH\x00150",       "cannot be kept"),
    ("tag",            "FH-\u200b0150",   "cannot be seen"),
    ("tag",            "FH-0150\u2060",   "cannot be seen"),
    ("tag",            "FH\u3164-0150",   "cannot be seen"),
    ("kind",           "",                "choose one"),
    ("sash",           "",                "choose one"),
    ("control",        "",                "choose one"),
    ("monitor",        "",                "choose one"),
    ("width",          "361 in",          "more than 360 in"),
    ("height",         "9999999999 in",   "more than 360 in"),
    ("height",         "30.01 ft",        "more than 30 ft"),
    ("interior_width", "10001 mm",        "more than 10000 mm"),
    ("order",          "-1",              "from 0 to 9999"),
    ("order",          "10000",           "from 0 to 9999"),
    ("order",          "",                "digits alone"),
    ("kind",           "biological",      "not in the list"),
    ("on",             "12.03.2026",      "such as 2027-03-12"),
    ("on",             "0026-03-12",      "cannot be meant"),
    ("on",             "2126-03-12",      "still to come"),
    ("room",           "999999",          "not in the list"),
    ("room",           "x",               "not in the list"),
    ("room",           "9" * 30,          "not in the list"),
    ("width",          "62",              "has no unit"),
    ("width",          "0 in",            "not above zero"),
    ("height",         "-18 in",          "not above zero"),
    ("height",         "18,5 in",         "no number with a unit"),
    ("height",         "18 ft/min",       "another kind"),
    ("height",         "18 yards",        "not used here"),
    ("interior_width", "wide",            "no number with a unit"),
    ("set_point",      "100 Pa",          "another kind"),
    ("order",          "first",           "digits alone"),
    ("uses_forbidden", "<script>" * 12500, "at most 4000 are kept"),
]  # fmt: skip


@pytest.mark.parametrize(("box", "typed", "said"), WRONG, ids=[f"{case[0]} {case[1][:12]!r}" for case in WRONG])
def test_e25_each_refusal_is_a_sentence_at_its_box_and_keeps_what_was_typed(manager, room, box, typed, said):
    response = manager.post(at("add_hood"), NEW | {"room": room.pk, "maker": "Fell & Sons"} | {box: typed})
    assert said in " ".join(errors(response)[box])
    assert set(errors(response)) == {box}
    page = response.content.decode()
    assert "Fell &amp; Sons" in page
    assert "<script>" not in page
    assert Hood.objects.count() == 0
    if typed and box not in ("kind", "room"):
        assert response.context["form"][box].value() == typed


def test_the_same_form_without_the_mistake_is_taken(manager, room):
    """The positive control of every refusal above."""
    assert manager.post(at("add_hood"), NEW | {"room": room.pk}).status_code == 302
    assert Hood.objects.count() == 1


def test_a_tag_that_is_taken_is_said_at_the_tag(manager, hood, room):
    response = manager.post(at("add_hood"), NEW | {"room": room.pk, "tag": hood.tag.lower()})
    assert "Another hood of this site has this tag" in errors(response)["tag"][0]
    assert 'value="fh-0142"' in response.content.decode()


@pytest.mark.parametrize("tag", ["ＦＨ－０１４２", "fh-0142", "FH-014²", "FH-0142\ufe0f"])
def test_a_tag_that_looks_like_another_is_taken(manager, hood, make_hood, room, tag):
    make_hood(tag="FH-0143")
    response = manager.post(at("add_hood"), NEW | {"room": room.pk, "tag": tag})
    assert "Another hood of this site has this tag" in errors(response)["tag"][0]
    other = Hood.objects.get(tag="FH-0143")
    form = {name: NEW[name] for name in NEW if name not in ("on", "position", "order", "exhaust", "width", "height")}
    assert list(errors(manager.post(at("change_hood", other.pk), form | {"tag": tag}))) == ["tag"]
    assert manager.post(at("change_hood", hood.pk), form | {"tag": tag}).status_code == 302, "its own"


def test_a_new_hood_is_said_to_be_nothing_before_somebody_says_so(manager):
    form = manager.get(at("add_hood")).context["form"]
    assert [form[box].value() for box in ("kind", "control", "sash", "monitor")] == [None] * 4


def test_the_largest_hood_is_taken(manager, room):
    """The positive control of the lengths refused above."""
    wide = NEW | {"room": room.pk, "width": "360 in", "height": "10 m", "interior_width": "30 ft"}
    assert manager.post(at("add_hood"), wide).status_code == 302


@pytest.mark.parametrize(
    ("monitor", "point", "refused"),
    [("velocity", "100 ft/min", False), ("flow", "800 cfm", False), ("pressure", "25 Pa", False), ("alarm-only", "0.5 m/s", False),
     ("flow", "100 ft/min", True), ("none", "100 ft/min", True)],
)  # fmt: skip
def test_a_set_point_is_in_a_unit_of_what_the_monitor_shows(manager, room, monitor, point, refused):
    response = manager.post(at("add_hood"), NEW | {"room": room.pk, "monitor": monitor, "set_point": point})
    assert (response.status_code == 422) is refused
    if refused:
        assert list(errors(response)) == ["set_point"]


def test_biological_cabinets_and_clean_benches_are_not_offered(manager):
    page = manager.get(at("add_hood")).content.decode()
    assert not any("biolog" in kind or "bench" in kind for kind in KINDS)
    assert "Biological cabinets and clean benches are not kept here" in page


def test_what_is_written_is_escaped_wherever_it_is_shown(manager, room):
    wild = "<script>alert(1)</script> مرحبا 🧪"
    manager.post(at("add_hood"), NEW | {"room": room.pk, "position": wild, "uses_forbidden": wild})
    page = manager.get(at("hood_inventory", Hood.objects.get().pk)).content.decode()
    assert "<script>alert" not in page
    assert page.count("&lt;script&gt;alert(1)&lt;/script&gt; مرحبا 🧪") >= 2


def test_a3_boxes_that_the_form_does_not_have_are_ignored(manager, room):
    manager.post(at("add_hood"), NEW | {"room": room.pk, "code": "22222223", "site": "99", "verdict": "pass"})
    hood = Hood.objects.get()
    assert (hood.code != "22222223", hood.site) == (True, room.building.site)


# --- finding, and who may see what -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("FH-0142", 1),
        ("142", 1),
        ("fh-", 2),
        ("214", 1),
        ("North Range 118", 1),
        ("Analysis", 1),
        ("nothing", 0),
        ("\x00", 2),
        ("%", 0),
        ("x" * 5000, 0),
    ],
)
def test_hoods_are_found_by_tag_code_and_room(manager, make_hood, other_room, text, found):
    make_hood(tag="FH-0142")
    other = make_hood(tag="FH-0200", room=other_room)
    assert len(manager.get(at("inventory"), {"q": text}).context["lines"]) == found
    code = f"{other.code[:4]}-{other.code[4:].lower()}"
    assert [hood.tag for hood, _room in manager.get(at("inventory"), {"q": code}).context["lines"]] == ["FH-0200"]


def test_the_inventory_asks_as_much_of_one_row_as_of_three(
    manager, make_hood, other_room, django_assert_num_queries, django_assert_max_num_queries
):
    make_hood()
    with django_assert_max_num_queries(12) as asked:
        manager.get(at("inventory"))
    make_hood(room=other_room)
    make_hood()
    with django_assert_num_queries(len(asked.captured_queries)):
        assert len(manager.get(at("inventory")).context["lines"]) == 3


def test_a8_a_lab_manager_finds_the_hoods_of_own_rooms_alone(lab_manager, signed_in, hood, make_hood, other_room):
    other = make_hood(tag="FH-0200", room=other_room)
    browser = signed_in(lab_manager)
    assert [row.tag for row, _room in browser.get(at("inventory")).context["lines"]] == ["FH-0142"]
    assert "1 hood is kept." in browser.get(at("inventory")).content.decode()
    for text in ("FH-0200", other.code, "118"):
        assert browser.get(at("inventory"), {"q": text}).context["lines"] == []
    assert browser.get(at("hood_inventory", hood.pk)).status_code == 200
    assert browser.get(at("hood_inventory", other.pk)).status_code == 404


OF_A_HOOD = (
    "hood_inventory", "change_hood", "replace_code", "move_hood", "shift_hood", "retire_hood", "hibernate_hood",
    "wake_hood", "take_out_of_service", "bring_back", "add_opening",
)  # fmt: skip


@pytest.mark.parametrize("view", OF_A_HOOD)
def test_a2_a_hood_of_another_site_is_not_there(manager, hood, hood_elsewhere, view, today):
    assert manager.get(at(view, hood.pk)).status_code == 200  # the positive control
    assert manager.get(at(view, hood_elsewhere.pk)).status_code == 404
    if view != "hood_inventory":
        events = HoodEvent.objects.count()
        assert manager.post(at(view, hood_elsewhere.pk), {"on": today, "why": "mine"} | LOWER).status_code == 404
        assert HoodEvent.objects.count() == events


def test_a2_an_opening_of_another_site_is_not_there(manager, hood_elsewhere):
    opening = Opening.objects.get(hood=hood_elsewhere)
    assert manager.post(at("change_opening", opening.pk), LOWER).status_code == 404


def test_a2_a_room_of_another_site_in_a_form_is_refused(manager, hood, hood_elsewhere, today):
    foreign = hood_elsewhere.placement().room
    move = {"room": foreign.pk, "on": today, "order": "0", "why": "mine"}
    assert list(errors(manager.post(at("move_hood", hood.pk), move))) == ["room"]
    assert list(errors(manager.post(at("add_hood"), NEW | {"room": foreign.pk}))) == ["room"]
    exhaust = actions.add_exhaust(site=hood_elsewhere.site, name="EF-9", by=hood_elsewhere.placement().by, at=making.AT)
    room = hood.placement().room
    assert list(errors(manager.post(at("add_hood"), NEW | {"room": room.pk, "exhaust": exhaust.pk}))) == ["exhaust"]


def test_at_two_sites_one_is_acted_at_at_a_time(programme_manager, signed_in, hood, hood_elsewhere):
    """Whoever manages both sites still keeps the hoods of the chosen one alone."""
    Role.objects.create(person=programme_manager, site=hood_elsewhere.site, role="technician", from_on=date(2025, 1, 6))
    browser = signed_in(programme_manager)
    seen = {site.name: None for site in Site.objects.all()}
    for site in Site.objects.all():
        browser.post(reverse("choose_site"), {"site": site.pk})
        seen[site.name] = [browser.get(at("hood_inventory", one.pk)).status_code for one in (hood, hood_elsewhere)]
    assert seen == {"Skua Institute": [200, 404], "Fell College": [404, 200]}


@pytest.mark.parametrize("role", ["technician", "lab_manager", "auditor", "stranger"])
@pytest.mark.parametrize("view", [view for view in OF_A_HOOD if view not in ("hood_inventory", "add_opening")])
def test_only_the_programme_manager_keeps_hoods(request, signed_in, hood, role, view, today):
    browser = signed_in(request.getfixturevalue(role))
    before = Entry.objects.count()
    assert browser.get(at(view, hood.pk)).status_code == 403
    assert browser.post(at(view, hood.pk), {"on": today, "why": "mine"}).status_code == 403
    assert Entry.objects.count() == before
