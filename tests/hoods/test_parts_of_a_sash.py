"""A sash with parts: at registering it is said that each is an opening of its own, and then where to enter it."""

from __future__ import annotations

import pytest

from hoods.models import Hood
from tests import making
from tests.hoods.hood_boxes import NEW, at
from tests.hoods.listed import comma, keep, problems, send
from tests.surveys.words import said

pytestmark = pytest.mark.django_db
HINT = "each part (left, centre, right; frame) is entered as an opening of its own, once the hood is registered."
OPEN = "Nobody has said yet which part of the sash “working” is"


@pytest.mark.parametrize(("sash", "way"), [("horizontal", "left panel"), ("combination", "frame")])
def test_each_part_is_an_opening_of_its_own_and_the_page_leads_there(manager, room, sash, way):
    assert HINT in said(manager.get(at("add_hood")))
    answer = manager.post(at("add_hood"), NEW | {"room": room.pk, "sash": sash})
    hood = Hood.objects.get()
    opening = hood.openings.get()
    assert answer.url == at("change_opening", opening.pk)
    page = manager.get(answer.url)
    assert "Say which part its opening “working” is; then add an opening for each other part." in said(page)
    assert "Which part is open" in said(page)
    kept = manager.get(at("hood_inventory", hood.pk))
    assert OPEN in said(kept)
    assert at("change_opening", opening.pk) in kept.content.decode()
    sent = {
        "name": "left",
        "use": "working",
        "width": "62 in",
        "height": "18 in",
        "way": way,
        "tested_every_survey": "on",
    }
    assert manager.post(answer.url, sent).url == at("hood_inventory", hood.pk)
    kept = manager.get(at("hood_inventory", hood.pk))
    assert "Nobody has said yet" not in said(kept)
    assert at("add_opening", hood.pk) in kept.content.decode()


@pytest.mark.parametrize(("sash", "leads"), [("horizontal", True), ("combination", True), ("none", False)])
def test_another_sash_leads_to_the_first_opening_that_says_no_part_of_it(manager, room, programme_manager, sash, leads):
    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0150", glass="laminated")
    sent = {name: text for name, text in NEW.items() if name not in ("on", "position", "order", "exhaust", "width", "height")}
    answer = manager.post(at("change_hood", hood.pk), sent | {"sash": sash, "why": "another sash was fitted"})
    opening = hood.openings.get()
    assert answer.url == (at("change_opening", opening.pk) if leads else at("hood_inventory", hood.pk))
    page = said(manager.get(answer.url))
    assert ("Put right which part of its sash “working” is: before that it cannot be surveyed." in page) is leads
    assert "FH-0150 is changed. It is not to be used before it is surveyed as it is now" in page


@pytest.mark.parametrize("sash", ["vertical", "none"])
def test_a_sash_without_parts_leads_to_the_hood(manager, room, sash):
    answer = manager.post(at("add_hood"), NEW | {"room": room.pk, "sash": sash})
    assert answer.url == at("hood_inventory", Hood.objects.get().pk)
    assert "Nobody has said yet" not in said(manager.get(answer.url))


def test_a_name_that_says_the_part_is_enough(manager, room, programme_manager):
    openings = (("left", "working", "24 in", "30 in"), ("right panel", "working", "24 in", "30 in"))
    hood = making.make_hood(room=room, by=programme_manager, sash="horizontal", openings=openings)
    assert "Nobody has said yet" not in said(manager.get(at("hood_inventory", hood.pk)))


@pytest.fixture
def combined(room, programme_manager):
    hood = making.make_hood(room=room, by=programme_manager, tag="FH-0148", sash="combination", way="frame", glass="laminated")
    assert hood.openings.get().way == "frame"
    return hood


def test_a_part_of_the_sash_that_a_hood_had_is_put_right_on_the_page_of_the_opening(manager, combined):
    sent = {name: text for name, text in NEW.items() if name not in ("on", "position", "order", "exhaust", "width", "height")}
    opening = combined.openings.get()
    answer = manager.post(at("change_hood", combined.pk), sent | {"sash": "vertical", "why": "another sash was fitted"})
    assert answer.url == at("change_opening", opening.pk)
    page = said(manager.get(at("hood_inventory", combined.pk)))
    assert "“working” is a part of a sash that this hood no longer has. Put it right" in page
    kept = {"name": "working", "use": "working", "width": "62 in", "height": "18 in", "tested_every_survey": "on"}
    refused = manager.post(answer.url, kept | {"way": "frame"})
    assert (refused.status_code, "The sash of this hood has no such part" in said(refused)) == (422, True)
    assert manager.post(answer.url, kept | {"way": ""}).status_code == 302
    assert "no longer has" not in said(manager.get(at("hood_inventory", combined.pk)))


@pytest.mark.parametrize(
    ("beside", "column", "why"),
    [
        ({}, "sash", "Its opening “working” is a part that such a sash does not have: write its name, and no way beside it."),
        ({"opening 1 name": "working"}, "opening 1 way", "Such a sash opens in one way: leave this cell empty."),
        ({"opening 1 name": "working", "opening 1 way": "frame"}, "opening 1 way", "Such a sash opens in one way: leave this cell empty."),
    ],
)  # fmt: skip
def test_a_list_that_leaves_a_part_of_the_sash_before_is_refused(manager, combined, beside, column, why):
    assert problems(send(manager, comma({"tag": "FH-0148", "sash": "vertical"} | beside))) == [(2, column, why)]
    whole = {"tag": "FH-0148", "sash": "vertical", "opening 1 name": "working", "opening 1 way": ""}
    assert keep(manager, comma(whole)).status_code == 302
    assert combined.openings.get().way == ""
