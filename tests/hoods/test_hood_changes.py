"""A hood is changed, moved, put to sleep; its openings."""

from __future__ import annotations

from datetime import timedelta

import pytest

from hoods.models import Entry, HoodEvent
from tests.hoods.hood_boxes import LOWER, NEW, at, errors

pytestmark = pytest.mark.django_db


# --- change, move, and what happens to a hood ---------------------------------------------------------------------------------


def test_changing_keeps_the_old_tag_leading_here(manager, hood):
    form = {name: NEW[name] for name in NEW if name not in ("on", "position", "order", "exhaust", "width", "height")}
    response = manager.post(at("change_hood", hood.pk), form | {"tag": "FH-0199", "why": "painted anew"})
    assert response.url == at("hood_inventory", hood.pk)
    page = manager.get(at("hood_inventory", hood.pk)).content.decode()
    assert "tag FH-0142 until" in page
    assert "Reason: painted anew" in page
    assert "FH-0199" in manager.get(at("inventory"), {"q": "fh-0142"}).content.decode()


def test_moving_asks_for_room_day_and_reason(manager, hood, other_room, today):
    assert set(errors(manager.post(at("move_hood", hood.pk), {"order": "0"}))) == {"room", "on", "why"}
    response = manager.post(
        at("move_hood", hood.pk),
        {"room": other_room.pk, "on": today, "order": "1", "why": "new laboratory"},
        follow=True,
    )
    assert "It is not to be used before it is surveyed there." in response.content.decode()
    assert hood.placement().room == other_room


STEPS = [
    ("hibernate_hood", {}, "hibernated"),
    ("wake_hood", {}, "woken"),
    ("take_out_of_service", {"until_on": "2126-01-01"}, "out-of-service"),
    ("bring_back", {}, "back-in-service"),
    ("retire_hood", {}, "retired"),
]


def test_the_life_of_a_hood_by_its_pages(manager, hood, today):
    for view, more, kind in STEPS:
        page = at(view, hood.pk)
        assert "why" in errors(manager.post(page, {"on": today, "why": ""} | more)), view
        response = manager.post(page, {"on": today, "why": f"because {kind}"} | more)
        assert response.url == at("hood_inventory", hood.pk), errors(response)
        shown = manager.get(response.url).content.decode()
        assert f"because {kind}" in shown
        assert HoodEvent.objects.filter(hood=hood).last().kind == kind
    assert "Retired." in shown
    assert at("move_hood", hood.pk) not in shown


def test_a_refused_step_says_why_and_keeps_the_reason(manager, hood, today):
    response = manager.post(at("wake_hood", hood.pk), {"on": today, "why": "spring"})
    assert errors(response)["__all__"] == ["This hood is not hibernated: there is nothing to wake."]
    assert "spring" in response.content.decode()


def test_a_day_to_come_is_refused_at_the_day(manager, hood, today):
    response = manager.post(at("retire_hood", hood.pk), {"on": today + timedelta(2), "why": "sold"})
    assert "still to come" in errors(response)["on"][0]


def test_a_new_code_leads_from_the_old(manager, hood):
    old = hood.code
    manager.post(at("replace_code", hood.pk), {"why": "copied"})
    hood.refresh_from_db()
    assert hood.code != old
    assert [row.pk for row, _room in manager.get(at("inventory"), {"q": old}).context["lines"]] == [hood.pk]


def test_a_technician_adds_an_opening_and_changes_none(technician, signed_in, hood):
    browser = signed_in(technician)
    assert browser.post(at("add_opening", hood.pk), LOWER).url == at("hood_inventory", hood.pk)
    opening = hood.openings.get(name="lower")
    assert (opening.height, Entry.objects.of(hood).first().action) == ("300 mm", "opening-added")
    assert browser.post(at("change_opening", opening.pk), LOWER).status_code == 403
    page = browser.get(at("hood_inventory", hood.pk)).content.decode()
    assert at("add_opening", hood.pk) in page
    assert at("change_opening", opening.pk) not in page
    assert at("retire_hood", hood.pk) not in page


@pytest.mark.parametrize(
    ("height", "refused"),
    [("300 mm", False), ("18 in", False), ("457.2 mm", False), ("457.3 mm", True), ("2 ft", True)],
)
def test_a_lower_opening_is_not_higher_than_the_working_one(manager, hood, height, refused):
    response = manager.post(at("add_opening", hood.pk), LOWER | {"height": height})
    assert (response.status_code == 422) is refused
    if refused:
        assert f"“lower” would be higher ({height}) than the working one (18 in)" in errors(response)["height"][0]
        assert (
            manager.post(at("add_opening", hood.pk), LOWER | {"height": height, "use": "full-open"}).status_code == 302
        )


def test_a_working_opening_is_not_lowered_below_the_lower_one(manager, hood):
    manager.post(at("add_opening", hood.pk), LOWER)
    working = hood.openings.get(use="working")
    form = LOWER | {"name": "working", "use": "working"}
    assert (
        "check both" in errors(manager.post(at("change_opening", working.pk), form | {"height": "6 in"}))["height"][0]
    )
    working.refresh_from_db()
    assert (working.height, HoodEvent.objects.filter(kind="opening-changed").exists()) == ("18 in", False)
    assert manager.post(at("change_opening", working.pk), form | {"height": "12 in"}).status_code == 302


def test_a_retired_hood_stays_as_it_is(manager, hood, today, programme_manager):
    form = {name: NEW[name] for name in NEW if name not in ("on", "position", "order", "exhaust", "width", "height")}
    steps = [
        ("change_hood", hood.pk, form | {"tag": "FH-0199"}), ("shift_hood", hood.pk, {"order": "3"}),
        ("add_opening", hood.pk, LOWER), ("change_opening", hood.openings.get().pk, LOWER | {"name": "working"}),
    ]  # fmt: skip
    manager.post(at("retire_hood", hood.pk), {"on": today, "why": "sold"})
    entries = Entry.objects.count()
    for view, pk, typed in steps:
        assert "is retired: its records stay" in errors(manager.post(at(view, pk), typed))["__all__"][0], view
    assert Entry.objects.count() == entries
    page = manager.get(at("hood_inventory", hood.pk)).content.decode()
    assert not any(at(view, pk) in page for view, pk, _typed in steps)


@pytest.mark.parametrize(("ahead", "said"), [(0, "is out of service."), (3, "is planned out of service.")])
def test_an_outage_of_today_is_not_said_to_be_planned(manager, hood, today, ahead, said):
    form = {"on": today + timedelta(ahead), "why": "new fan"}
    assert said in manager.post(at("take_out_of_service", hood.pk), form, follow=True).content.decode()


def test_a_changed_height_is_an_event(manager, hood):
    opening = hood.openings.get()
    manager.post(at("change_opening", opening.pk), LOWER | {"name": "working", "use": "working", "why": "stop moved"})
    assert HoodEvent.objects.get(kind="opening-changed").opening == opening


def test_an_opening_of_the_same_name_is_refused_at_the_name(manager, hood):
    assert "name already" in errors(manager.post(at("add_opening", hood.pk), LOWER | {"name": "working"}))["name"][0]
