"""What cannot be of a hood is refused on its page and in a list: a canopy with a sash, an alarm above what is set."""

from __future__ import annotations

import pytest

from hoods.core.quantity import is_alarm_above
from hoods.models import Hood
from hoods.words import ALARM_ABOVE, CANOPY_WITH_SASH
from tests.hoods.hood_boxes import NEW, at, errors
from tests.hoods.listed import NEW as ROW
from tests.hoods.listed import comma, keep, problems, send

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("alarm", "set_to", "above"),
    [
        ("120 ft/min", "100 ft/min", True),
        ("100 ft/min", "100 ft/min", False),
        ("0.6 m/s", "100 ft/min", True),
        ("0.508 m/s", "100 ft/min", False),
        ("99 ft/min", "0.5 m/s", True),
        ("800 ft**3/min", "1300 m**3/h", True),
        ("0.4 m**3/s", "400 L/s", False),
        ("900 ft**3/min", "0.5 m/s", False),
        ("60 Pa", "40 Pa", False),
        ("", "100 ft/min", False),
    ],
)
def test_an_alarm_above_what_is_set(alarm, set_to, above):
    """In any units of one kind; of a gauge of pressure the alarm may be for a filter that is full."""
    assert is_alarm_above(alarm, set_to) == above


def test_an_alarm_above_the_set_point_is_refused(manager, room):
    form = NEW | {"room": room.pk, "set_point": "100 ft/min", "alarm_point": "0.6 m/s"}
    assert errors(manager.post(at("add_hood"), form)) == {"alarm_point": [str(ALARM_ABOVE)]}
    assert problems(send(manager, comma(ROW | {"alarm point": "0.6 m/s"}))) == [(2, "alarm point", str(ALARM_ABOVE))]
    assert manager.post(at("add_hood"), form | {"alarm_point": "0.4 m/s"}).status_code == 302, "the control"
    assert keep(manager, comma(ROW)).status_code == 302, "the control"


def test_a_canopy_with_a_sash_is_refused(manager, room, make_hood):
    form = NEW | {"room": room.pk, "kind": "canopy"}
    assert errors(manager.post(at("add_hood"), form)) == {"sash": [str(CANOPY_WITH_SASH)]}
    assert problems(send(manager, comma(ROW | {"kind": "canopy"}))) == [(2, "sash", str(CANOPY_WITH_SASH))]
    hood = make_hood(tag="FH-0300")
    assert problems(send(manager, comma({"tag": hood.tag, "kind": "canopy"}))) == [(2, "kind", str(CANOPY_WITH_SASH))]
    assert keep(manager, comma({"tag": hood.tag, "kind": "canopy", "sash": "none"})).status_code == 302, "the control"
    Hood.objects.filter(pk=hood.pk).update(sash="vertical")
    assert keep(manager, comma({"tag": hood.tag, "maker": "Birch"})).status_code == 302, "what is kept so may stay"


@pytest.mark.parametrize(
    ("kind", "why"),
    [
        ("biological-cabinet", "A biological cabinet is not kept here"),
        ("Biological safety cabinet", "A biological cabinet is not kept here"),
        ("biosafety cabinet", "A biological cabinet is not kept here"),
        ("BSC", "A biological cabinet is not kept here"),
        ("BSC, class II type A2", "A biological cabinet is not kept here"),
        ("class-II cabinet", "A biological cabinet is not kept here"),
        ("clean bench", "A clean bench is not kept here"),
        ("laminar flow cabinet", "A clean bench is not kept here"),
        ("vertical laminar-flow hood", "A clean bench is not kept here"),
        ("laboratory hood", "“laboratory hood” is not one of these"),
        ("lafarge", "“lafarge” is not one of these"),
    ],
)
def test_a_list_says_why_what_is_no_hood_is_not_kept_by_whatever_name(manager, kind, why):
    (problem,) = problems(send(manager, comma(ROW | {"kind": kind})))
    assert (problem[:2], problem[2].startswith(why)) == ((2, "kind"), True), problem


LOWER = {
    "opening 2 name": "",
    "opening 2 use": "",
    "opening 2 width": "",
    "opening 2 height": "",
    "opening 2 every survey": "",
}


@pytest.mark.parametrize("use", ["lower", "set-back", "full-open", "other"])
def test_a_list_adds_no_hood_without_an_opening_that_people_work_at(manager, site, use):
    (problem,) = problems(send(manager, comma(ROW | LOWER | {"control": "variable-volume", "opening 1 use": use})))
    assert (problem[:2], "that people work at" in problem[2]) == ((2, "opening 1 use"), True), problem
    assert send(manager, comma(ROW | LOWER)).status_code == 302, "the control"
