"""Surveys of hoods with monitors of every kind, begun on their page, for tests of what is measured beside a traverse."""

from __future__ import annotations

import re
from collections.abc import Callable
from copy import deepcopy

from django.urls import reverse

from tests.filling import Surveyor
from tests.making import make_hood
from tests.reports.pdf import reading
from tests.surveying import CRITERIA, GOOD, assign, make_instrument, make_version
from tests.surveys.measuring import BEGIN, LAST

FLOW = {"monitor": "flow", "set_point": "800 ft**3/min", "alarm_point": "600 ft**3/min"}
GAUGE = {"monitor": "pressure", "set_point": "60 Pa", "alarm_point": "45 Pa"}
VELOCITY = {"monitor": "velocity", "set_point": "100 ft/min", "alarm_point": "80 ft/min"}
ALARM = {"check": "alarm-works", "applies_to": "hood", "consequence": "note"}
FORCED = {
    "alarmf_forced": "sash-raised", "alarmf_trip": "79", "alarmf_after": "4", "alarmf_sound": "yes", "alarmf_light": "yes",
}  # fmt: skip


def on_hood(figure, least=None, most=None, consequence="note"):
    bounds = {key: text for key, text in (("at_least", least), ("at_most", most)) if text}
    words = {"restriction": "attended work only"} if consequence == "restrict" else {}
    return {"figure": figure, "applies_to": "hood", "consequence": consequence, **bounds, **words}


def beginner(room, site, technician, programme_manager, signed_in) -> Callable[..., Surveyor]:
    """A survey of a hood like this, by criteria with these limits and checks more; measured and answered, but for them."""

    def begin(facts=None, limits=(), checks=(), filled=True) -> Surveyor:
        hood = make_hood(
            room=room,
            by=programme_manager,
            tag="FH-0142",
            openings=(("working", "working", "62 in", "18 in"),),
            **(facts or VELOCITY),
        )
        document = deepcopy(CRITERIA)
        document["limits"] += list(limits)
        document["checks"] += list(checks)
        assign(hood, make_version(site, programme_manager, document), programme_manager)
        instrument = make_instrument(site, programme_manager)
        surveyor = Surveyor(signed_in(technician), hood)
        if filled:
            known = {
                name: text for name, text in BEGIN.items() if name in surveyor.form.names or name in surveyor.form.boxes
            }
            surveyor.fill(**known, instrument=str(instrument.pk), o0_height="18", o0_width="62", adjusted="no", **LAST)
            surveyor.fill(
                **{"ahn-sash-moves-and-stays": "yes", "ahn-light-works": "yes", "a0f-smoke-at-opening": "yes"}
            )
            surveyor.press("keep")
            surveyor.fill_grid("0f", GOOD)
            surveyor.press("keep")
        return surveyor

    return begin


def words_of(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def part(page: str, name: str) -> str:
    found = re.search(rf'<section class="part" id="part-{name}".*?</section>', page, re.DOTALL)
    assert found is not None, name
    return found[0]


def printed(surveyor: Surveyor) -> str:
    answer = surveyor.client.get(reverse("reports:certificate", args=[surveyor.survey.pk]))
    return re.sub(r"\s+", " ", reading.quick_text(answer.content))
