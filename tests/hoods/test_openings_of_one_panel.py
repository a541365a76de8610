"""Two openings of one panel and one size are refused at the width: on the page, at registering, in a list."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command

from hoods.actions.opening import SameSize
from hoods.actions.registering import register_hood
from tests import making
from tests.hoods.hood_boxes import LOWER, at, errors
from tests.hoods.listed import comma, keep, problems, send, shown
from tests.making import AT, ON
from tests.surveys.words import said

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


# --- a sash that is raised --------------------------------------------------------------------------------------------


@pytest.fixture
def raised(room, programme_manager):
    return making.make_hood(room=room, by=programme_manager, tag="FH-0118")


def test_two_openings_of_one_size_stand_at_a_sash_that_is_raised(manager, raised):
    """A wide hood has two sashes side by side, a hood for teaching one on each face."""
    normal = LOWER | {"name": "right sash", "use": "working", "width": "62 in", "height": "457.2 mm"}
    assert manager.post(at("add_opening", raised.pk), normal).status_code == 302
    listed = {"tag": "FH-0118"} | row(1, name="third sash", use="working", width="62 in", height="18 in")
    words = said(shown(manager, comma(listed))[0])
    assert "It would add 1 opening to a hood that the site has." in words, "a name mistyped is seen before it is kept"


def test_an_opening_that_a_list_adds_is_counted_and_named_as_new(manager, raised):
    """Its number in the list is not its number at the hood."""
    raised.openings.create(name="lower", use="lower", width="62 in", height="12 in", order=2)
    listed = {"tag": "FH-0118"} | row(1, name="normal", use="working", width="62 in", height="16 in")
    page, _address = shown(manager, comma(listed))
    words = said(page)
    assert "change 1 and leave 0 as they are. It would add 1 opening to a hood that the site has." in words
    assert "opening 1 name no opening of this name: a new one, number 3 of this hood normal" in words
    known, _address = shown(manager, comma({"tag": "FH-0118"} | row(1, name="lower", height="13 in")))
    assert "opening to a hood" not in said(known), "the control: one that stands is changed"
    assert "a new one" not in said(known)


def test_the_command_names_a_new_opening_as_what_it_is(tmp_path, raised, programme_manager):
    file, out = tmp_path / "hoods.csv", StringIO()
    file.write_bytes(comma({"tag": "FH-0118"} | row(1, name="normal", use="working", width="62 in", height="16 in")))
    call_command("import_hoods", str(file), "--dry-run", stdout=out)
    assert "Checking 1 row ..." in out.getvalue()
    assert "1 to change, 0 to leave as they are. New openings of hoods that the site has: 1." in out.getvalue()
    assert "FH-0118, opening 1 name: new opening, number 2 of this hood -> normal" in out.getvalue()
