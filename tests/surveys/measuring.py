"""A survey made through its page, step by step."""

from __future__ import annotations

import re
from typing import Any

from django.urls import reverse

from surveys.models import Instrument
from tests.filling import Surveyor
from tests.making import PASSWORD
from tests.surveying import GOOD
from tests.surveys.words import said

BEGIN = {
    "right_hood": "yes", "fit": "yes", "reason": "annual", "mode": "normal", "doors": "closed",
    "room_pressure": "into-the-room", "other_hoods": "closed", "temperature": "21.5", "pressure": "1008",
    "found_sash": "18", "found_monitor": "98", "found_somebody": "no", "found_alarm": "no",
    "ahf-alarm-not-muted": "yes",
}  # fmt: skip
LAST = {f"last_{what}": "yes" for what in ("controls", "alarm", "stop", "sash", "told")}


def fill_in(surveyor: Surveyor, instrument: Instrument, readings: Any = GOOD) -> None:
    """Everything that the page asks, up to the review."""
    surveyor.fill(
        **BEGIN, instrument=str(instrument.pk), **{"ahn-sash-moves-and-stays": "yes", "ahn-light-works": "yes"}
    )
    surveyor.fill(o0_height="18", o0_width="62")
    surveyor.press("draw:0")
    surveyor.fill_grid("0f", readings)
    surveyor.fill(t0f_monitor="99", **{"a0f-smoke-at-opening": "yes"}, adjusted="no", **LAST)


def sign(surveyor: Surveyor, expect: int = 302, **more: str) -> Any:
    surveyor.press("review")
    page = surveyor.client.get(surveyor.landed).content.decode()
    seen = dict(re.findall(r'name="(revision|version)" value="(\d+)"', page))
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    answer = surveyor.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD} | more)
    assert answer.status_code == expect, said(answer)
    return answer
