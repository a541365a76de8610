"""The survey page says where to measure next, and no result follows from it."""

from __future__ import annotations

import pytest

from tests import surveying
from tests.filling import Surveyor
from tests.making import make_hood
from tests.surveys.words import plain

pytestmark = pytest.mark.django_db
SAID = "At an unchanged flow about 14 in (355 mm) would meet it: measure there."
SLOW = [["64", "66", "62", "65", "63"], ["67", "61", "64", "66", "62"]]  # sum 640, average 64: 18 × 64 ÷ 80 = 14.4


NO = "No height to try is worked out:"


@pytest.mark.parametrize(
    ("control", "state", "shown"),
    [
        ("constant-volume", "", True), ("bypass", "", False), ("variable-volume", "", False),
        ("variable-volume", "controlled", False), ("variable-volume", "maximum", True),
    ],
)  # fmt: skip
def test_a_low_average_says_at_which_height_to_measure_or_why_none_is_told(
    room, technician, programme_manager, signed_in, control, state, shown
):
    hood = make_hood(room=room, by=programme_manager, control=control)
    surveying.make_instrument(hood.site, programme_manager)
    surveying.assign(hood, surveying.make_version(hood.site, programme_manager), programme_manager)
    surveyor = Surveyor(signed_in(technician), hood)
    surveyor.fill(o0_height="18", o0_height_unit="in", o0_width="62", o0_width_unit="in", **({"flow_state": state} if state else {}))
    surveyor.press("keep")
    surveyor.fill_grid("0f", SLOW)
    surveyor.press("keep")
    said = plain(surveyor.page)
    assert (SAID in said) is shown
    assert (NO in said) is not shown, "a height or the reason, never both"
    surveyor.press("review")
    assert "no higher than 14 in" not in surveyor.client.get(surveyor.landed).content.decode()
