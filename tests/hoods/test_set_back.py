"""A hood of constant volume has no set-back: said on its pages and in a list, at the box or column that is wrong."""

from __future__ import annotations

import pytest

from hoods.core.set_back import cannot_be_set_back
from hoods.models import Hood, Opening
from hoods.models.hood import CONTROLS, USES
from hoods.words import HAS_SET_BACK, NO_SET_BACK
from tests.hoods.hood_boxes import at, errors
from tests.hoods.listed import NEW as ROW
from tests.hoods.listed import comma, keep, problems, send

pytestmark = pytest.mark.django_db
BOXES = {"name": "at night", "use": "set-back", "width": "62 in", "height": "18 in", "tested_every_survey": "on"}
IN_LIST = {"opening 2 name": "at night", "opening 2 use": "set-back", "opening 2 height": "18 in"}
OF_ONE_FLOW = pytest.mark.parametrize(
    ("control", "refused"),
    [("constant-volume", True), ("bypass", True), ("two-state", False), ("variable-volume", False)],
)


def test_set_back_alone_asks_for_another_flow():
    pairs = {(control, use) for control in CONTROLS for use in USES if cannot_be_set_back(control, use)}
    assert pairs == {("constant-volume", "set-back"), ("bypass", "set-back")}


@OF_ONE_FLOW
def test_an_opening_for_set_back_is_added_to_a_hood_that_has_it(manager, make_hood, control, refused):
    hood = make_hood(control=control)
    response = manager.post(at("add_opening", hood.pk), BOXES)
    if refused:
        assert response.status_code == 422
        assert errors(response) == {"use": [str(NO_SET_BACK)]}
        assert manager.post(at("add_opening", hood.pk), BOXES | {"use": "other"}).status_code == 302, "the control"
    assert hood.openings.filter(use="set-back").exists() is not refused


@OF_ONE_FLOW
def test_an_opening_comes_to_be_for_set_back_at_a_hood_that_has_it(manager, make_hood, control, refused):
    hood = make_hood(control=control)
    opening = hood.openings.get()
    response = manager.post(
        at("change_opening", opening.pk), BOXES | {"name": opening.name, "why": "it was said wrong"}
    )
    assert (response.status_code == 422) is refused
    if refused:
        assert errors(response) == {"use": [str(NO_SET_BACK)]}
    opening.refresh_from_db()
    assert (opening.use == "set-back") is not refused


@OF_ONE_FLOW
def test_a_hood_with_an_opening_for_set_back_keeps_a_control_that_has_it(manager, make_hood, control, refused):
    hood = make_hood(control="variable-volume", openings=(("at night", "set-back", "62 in", "18 in"),))
    boxes = {
        "tag": hood.tag, "kind": "general", "control": control, "sash": "vertical", "glass": "", "monitor": "none",
        "why": "seen at the hood",
    }  # fmt: skip
    response = manager.post(at("change_hood", hood.pk), boxes)
    assert (response.status_code == 422) is refused
    if refused:
        assert errors(response) == {"control": [str(HAS_SET_BACK) % {"opening": "at night"}]}
    hood.refresh_from_db()
    assert hood.control == ("variable-volume" if refused else control)


@OF_ONE_FLOW
def test_a_list_registers_a_hood_with_set_back_only_where_its_flow_changes(manager, site, control, refused):
    row = comma(ROW | IN_LIST | {"control": control})
    if refused:
        assert problems(send(manager, row)) == [(2, "opening 2 use", str(NO_SET_BACK))]
    else:
        assert keep(manager, row).status_code == 302
    assert Opening.objects.filter(use="set-back").exists() is not refused


def test_a_list_changes_control_and_use_together_or_says_which_is_wrong(manager, make_hood):
    hood = make_hood(control="variable-volume", openings=(("at night", "set-back", "62 in", "18 in"),))
    row = {"tag": hood.tag, "control": "constant-volume"}
    assert problems(send(manager, comma(row))) == [(2, "control", str(HAS_SET_BACK) % {"opening": "at night"})]
    assert keep(manager, comma(row | {"opening 1 name": "at night", "opening 1 use": "other"})).status_code == 302
    back = row | {"opening 1 name": "at night", "opening 1 use": "set-back"}
    assert problems(send(manager, comma(back))) == [(2, "opening 1 use", str(NO_SET_BACK))]
    assert keep(manager, comma(back | {"control": "two-state"})).status_code == 302


def test_what_is_kept_so_may_stay(manager, make_hood):
    hood = make_hood(control="variable-volume", openings=(("at night", "set-back", "62 in", "18 in"),))
    Hood.objects.filter(pk=hood.pk).update(control="bypass")
    assert keep(manager, comma({"tag": hood.tag, "maker": "Birch"})).status_code == 302
    named = {"tag": hood.tag, "maker": "Alder", "opening 1 name": "at night", "opening 1 use": "set-back"}
    assert keep(manager, comma(named)).status_code == 302
    opening = hood.openings.get()
    sized = BOXES | {"width": "60 in", "why": "measured again"}
    assert manager.post(at("change_opening", opening.pk), sized).status_code == 302
    hood.refresh_from_db()
    assert (hood.maker, hood.openings.get().width) == ("Alder", "60 in")
