"""A tag and the code of a label are asked for in one box: what is typed there leads to one hood."""

from __future__ import annotations

import random
import secrets

import pytest

from hoods import actions, queries
from hoods.actions.registering import TagIsCode, unused_codes
from hoods.core.code import new_code, read_as
from hoods.models import Hood, Site
from tests import making
from tests.hoods.hood_boxes import NEW, at, errors
from tests.hoods.listed import NEW as ROW
from tests.hoods.listed import comma, problems, send
from tests.hoods.registering import AT

pytestmark = pytest.mark.django_db

CODE = new_code(random.Random(7))


def written(code: str) -> list[str]:
    """A code as a tag might have it: as it is, small, parted, and with a letter of another alphabet."""
    return [code, code.lower(), f"{code[:4]}-{code[4:]}", f"{code[:4]} {code[4:]}", code.replace("A", "А")]  # noqa: RUF001


@pytest.mark.parametrize("tag", written("YA2M25K" + "9"))
def test_a_tag_is_read_as_the_code_that_it_is(tag):
    body = "YA2M25K"
    code = next(body + last for last in "23456789ABCDEFGHJKMNPQRSTUVWXYZ" if read_as(body + last))
    assert read_as(tag.replace("9", code[-1])) == code
    assert read_as("FH-0142") == ""
    assert read_as(code[:-1] + ("2" if code[-1] != "2" else "3")) == "", "a wrong character makes no code"


def test_a_tag_that_is_the_code_of_a_hood_of_any_site_is_refused_where_it_is_registered_and_renamed(
    manager, room, make_hood, hood, hood_elsewhere, programme_manager
):
    former = hood_elsewhere.code
    actions.replace_code(hood=hood_elsewhere, by=programme_manager, at=AT, why="the label was lost")
    hood_elsewhere.refresh_from_db()
    form = NEW | {"room": room.pk}
    change = {name: NEW[name] for name in NEW if name not in ("on", "position", "order", "exhaust", "width", "height")}
    for code in (hood.code, hood_elsewhere.code, former):
        for tag in written(code):
            said = errors(manager.post(at("add_hood"), form | {"tag": tag}))["tag"]
            assert said == [str(TagIsCode.said)], tag
        assert list(errors(manager.post(at("change_hood", hood.pk), change | {"tag": code.lower()}))) == ["tag"]
    assert Hood.objects.count() == 2
    free = next(code for code in (new_code(random.Random(seed)) for seed in range(9)) if code != hood.code)
    assert manager.post(at("add_hood"), form | {"tag": free}).status_code == 302, "the control: nobody has that code"


def test_a_list_with_a_tag_that_is_a_code_says_so_in_its_row(manager, hood):
    refused = send(manager, comma(ROW, ROW | {"tag": f"{hood.code[:4]}-{hood.code[4:]}".lower()}))
    assert problems(refused) == [(3, "tag", "A label of a hood has this tag for its code: choose another tag.")]
    assert send(manager, comma(ROW, ROW | {"tag": "FH-0008"})).status_code == 302, "the control"


@pytest.mark.parametrize("as_former", [False, True])
def test_no_hood_is_given_a_code_that_is_a_tag_anywhere(site, room, monkeypatch, programme_manager, as_former):
    monkeypatch.setattr(secrets, "SystemRandom", lambda: random.Random(7))
    assert unused_codes(1) == [CODE], "the control: it is the first that is drawn"
    elsewhere = making.make_site("Fell College")
    other = making.make_hood(
        room=making.make_room(making.make_building(elsewhere)),
        by=programme_manager,
        tag=f"{CODE[:4]}-{CODE[4:]}".lower(),
    )
    if as_former:
        actions.change_hood(hood=other, tag="K-1", by=programme_manager, at=AT)
    assert CODE not in unused_codes(20)
    hood = actions.register_hood(site=site, tag="FH-0150", room=room, on=AT.date(), by=programme_manager, at=AT)
    assert hood.code != CODE


def test_a_hood_is_not_given_its_own_tag_for_a_code(site, room, monkeypatch, programme_manager):
    monkeypatch.setattr(secrets, "SystemRandom", lambda: random.Random(7))
    hood = actions.register_hood(site=site, tag=CODE, room=room, on=AT.date(), by=programme_manager, at=AT)
    assert hood.code != CODE
    assert Site.objects.count() == 1
    assert [one.tag for one in queries.hoods_found(programme_manager, CODE)] == [CODE]
