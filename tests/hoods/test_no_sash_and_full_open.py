"""What cannot be is refused with a sentence: a motor without a sash, a fully open sash lower than a working one."""

from __future__ import annotations

import pytest

from hoods.core.lower import Sized, lower_than_working
from hoods.models import Hood, Opening
from tests import making
from tests.hoods.hood_boxes import LOWER, NEW, at, errors
from tests.hoods.listed import comma, keep

pytestmark = pytest.mark.django_db
MOTOR = "A hood without a sash has none for a motor to move"
FULL = "would be lower (16 in) than the working one (18 in): check both."


def test_a_motor_is_refused_where_there_is_no_sash(manager, room):
    sent = NEW | {"room": room.pk, "powered": "on", "kind": "other"}
    assert MOTOR in errors(manager.post(at("add_hood"), sent | {"sash": "none"}))["powered"][0]
    assert not Hood.objects.exists()
    assert manager.post(at("add_hood"), sent | {"sash": "vertical"}).status_code == 302
    hood = Hood.objects.get()
    assert MOTOR in errors(manager.post(at("change_hood", hood.pk), sent | {"sash": "none"}))["powered"][0]


def test_one_that_was_kept_so_before_can_still_be_changed(manager, room, programme_manager):
    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0150", sash="none", powered=True)
    assert (
        manager.post(at("change_hood", hood.pk), NEW | {"sash": "none", "powered": "on", "maker": "Alder"}).status_code
        == 302
    )
    assert (
        keep(manager, comma({"tag": "FH-0150", "sash": "none", "powered": "yes", "maker": "Birch"})).status_code == 302
    )
    hood.refresh_from_db()
    assert (hood.maker, hood.powered) == ("Birch", True)


def test_a_fully_open_opening_is_not_lower_than_the_working_one(manager, room, programme_manager):
    hood = making.make_hood(room=room, by=programme_manager)
    full = LOWER | {"name": "full", "use": "full-open"}
    refused = manager.post(at("add_opening", hood.pk), full | {"height": "16 in"})
    assert FULL in errors(refused)["height"][0]
    assert not Opening.objects.filter(name="full").exists()
    assert manager.post(at("add_opening", hood.pk), full | {"height": "18 in"}).status_code == 302, (
        "as high is no lower"
    )
    working = hood.openings.get(name="working")
    changed = {"name": "working", "use": "working", "width": "62 in", "height": "20 in", "tested_every_survey": "on"}
    assert "check both" in errors(manager.post(at("change_opening", working.pk), changed))["height"][0]


@pytest.mark.parametrize(
    ("openings", "wrong"),
    [
        ([Sized("frame", "working", "18 in", "frame"), Sized("full", "full-open", "16 in", "frame")], True),
        ([Sized("left", "working", "30 in", "left panel"), Sized("full", "full-open", "16 in", "frame")], False),
        ([Sized("working", "lower", "18 in"), Sized("full", "full-open", "16 in")], False),
        ([Sized("working", "working", ""), Sized("full", "full-open", "16 in")], False),
    ],
)
def test_only_what_the_same_parts_make_is_held_beside(openings, wrong):
    assert bool(lower_than_working(openings)) is wrong


def test_a_list_leaves_what_was_kept_so_before(manager, room, programme_manager):
    openings = (("working", "working", "62 in", "18 in"), ("full", "full-open", "62 in", "16 in"))
    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0151", openings=openings)
    row = {
        "tag": "FH-0151", "maker": "Birch", "opening 1 name": "full", "opening 1 use": "full-open", "opening 1 height": "16 in",
    }  # fmt: skip
    assert keep(manager, comma(row)).status_code == 302
    hood.refresh_from_db()
    assert hood.maker == "Birch"
