"""Two openings of one panel and one size are refused at the width: on the page, at registering, in a list."""

from __future__ import annotations

import pytest

from hoods.actions.opening import SameSize
from hoods.actions.registering import register_hood
from tests import making
from tests.hoods.hood_boxes import LOWER, at, errors
from tests.hoods.listed import comma, keep, problems, send
from tests.making import AT, ON

pytestmark = pytest.mark.django_db
TAKEN = "The opening “left wide” is of this panel and of this size already"
WIDE = LOWER | {"name": "left wide", "use": "working", "way": "left panel", "width": "30 in", "height": "30 in"}
SAME = WIDE | {"name": "left half", "width": "762 mm"}


@pytest.fixture
def hood(manager, room, programme_manager):
    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0150", sash="horizontal", openings=())
    assert manager.post(at("add_opening", hood.pk), WIDE).status_code == 302
    return hood


def test_one_is_refused_where_it_is_added_and_where_it_is_changed(manager, hood):
    refused = manager.post(at("add_opening", hood.pk), SAME)
    assert refused.status_code == 422
    assert TAKEN in errors(refused)["width"][0]
    assert manager.post(at("add_opening", hood.pk), SAME | {"width": "15 in"}).status_code == 302, "the control"
    half = hood.openings.get(name="left half")
    assert TAKEN in errors(manager.post(at("change_opening", half.pk), SAME))["width"][0]
    half.refresh_from_db()
    assert half.width == "15 in"
    other = SAME | {"way": "right panel"}
    assert manager.post(at("change_opening", half.pk), other).status_code == 302, "of another panel"
    assert TAKEN in errors(manager.post(at("change_opening", half.pk), SAME))["width"][0], "the panel alone is changed"


def test_a_hood_is_not_registered_with_two(room, programme_manager):
    openings = [
        {"name": name, "use": "working", "way": "left panel", "width": wide, "height": "30 in"}
        for name, wide in (("left wide", "30 in"), ("left half", "30.0 in"))
    ]
    with pytest.raises(SameSize) as refused:
        register_hood(
            site=room.building.site, tag="FH-0151", room=room, on=ON, by=programme_manager, at=AT, sash="horizontal",
            openings=openings,
        )  # fmt: skip
    assert (refused.value.field, TAKEN in str(refused.value)) == ("width", True)


def row(number, **what):
    return {f"opening {number} {key}": value for key, value in what.items()}


def test_a_list_is_told_at_the_width(manager, hood):
    half = {"name": "left half", "use": "lower", "way": "left panel", "height": "30 in"}
    told = problems(send(manager, comma({"tag": "FH-0150"} | row(1, **half, width="30 in"))))
    assert told == [(2, "opening 1 width", f"{TAKEN}.")]
    both = row(1, name="left wide", height="30 in") | row(2, **half, width="15 in")
    assert keep(manager, comma({"tag": "FH-0150"} | both)).status_code == 302, "the control"
    narrowed = row(1, name="left wide", width="15 in") | row(2, name="left half", width="15 in")
    told = problems(send(manager, comma({"tag": "FH-0150"} | narrowed)))
    assert told == [(2, "opening 1 width", TAKEN.replace("wide", "half") + ".")]


def test_a_list_leaves_what_was_kept_so_before(manager, hood):
    hood.openings.create(name="left half", use="lower", way="left panel", width="30 in", height="30 in")
    kept = row(1, name="left wide", width="30 in") | row(2, name="left half", width="30 in")
    assert keep(manager, comma({"tag": "FH-0150", "maker": "Birch"} | kept)).status_code == 302
    hood.refresh_from_db()
    assert hood.maker == "Birch"
