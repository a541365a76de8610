"""Every story that a vertical sash can show, entered, signed and kept: the verdict, restriction, title and status it prints."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from hoods.models import Hood
from surveys import queries, wording
from surveys.actions.drafts import end_draft, start_draft
from surveys.core.approval import highest
from surveys.core.document import parse
from surveys.core.questions import unanswered
from surveys.core.units import height_in
from surveys.facts import facts_for
from surveys.models import Benchmark, Judgement
from tests import surveying
from tests.making import AT, make_hood

pytestmark = pytest.mark.django_db
STORIES = sorted((Path(__file__).parent.parent / "stories").glob("*.json"))
TOLD = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in STORIES}
SHOWN = {name: story for name, story in TOLD.items() if story["input"]["survey"]["hood"]["sash"] == "vertical"}
BEFORE = datetime(2025, 9, 1, 9, 0, tzinfo=UTC)
NOW = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
DAY = date(2026, 3, 12)
STATUSES = {
    "Met criteria": "met-criteria", "Restricted": "restricted", "Do not use": "do-not-use",
    "Not yet surveyed": "not-surveyed",
}  # fmt: skip


def test_there_are_stories_to_tell():
    assert len(SHOWN) >= 17


@pytest.fixture
def told(request, room, programme_manager, technician):
    """A hood, its criteria and instrument as the story has them, with the label it had before."""
    story = request.param
    survey = story["input"]["survey"]
    site = room.building.site
    hood = make_hood(
        room=room, by=programme_manager,
        openings=tuple((o["name"], o["use"], o["width"], o["height"]) for o in survey["openings"]),
        **survey["hood"],
    )  # fmt: skip
    for opening in survey["openings"]:
        if cover := opening.get("cover"):
            measures = {f"cover_{name}": cover.get(name) or "" for name in ("left", "up", "width", "height")}
            hood.openings.filter(name=opening["name"]).update(cover=cover["by"], **measures)
        if not opening.get("tested_every_survey", True):
            hood.openings.filter(name=opening["name"]).update(tested_every_survey=False)
    version = surveying.make_version(site, programme_manager, with_use_ends(story["input"]["criteria"]))
    surveying.assign(hood, version, programme_manager)
    for benchmark in survey.get("benchmarks") or ():
        opening = hood.openings.get(name=benchmark["opening"])
        Benchmark.objects.create(
            opening=opening, value=benchmark["value"], from_on=AT.date(), at=AT, by=programme_manager
        )
    covers = survey.get("calibration_covers", True)
    instrument = surveying.make_instrument(
        site, programme_manager, resolution="0.001 m/s", lowest="0 m/s", highest="5 m/s",
        due_on=date(2030, 3, 31) if covers else date(2026, 3, 11),
    )  # fmt: skip
    if survey.get("labelled"):
        label_before(hood, survey, instrument, technician)
    return story, hood, instrument


def with_use_ends(criteria: dict[str, Any]) -> dict[str, Any]:
    """A starter in a story may leave a key of `due` out; the site's own documents write every one."""
    return criteria | {"due": {"use_ends_days": None} | criteria["due"]}


def label_before(hood: Hood, survey: dict[str, Any], instrument, by) -> None:
    """An earlier survey, better in everything, that gave the label which this one asks about."""
    good = entered(survey, instrument)
    good |= {"adjusted": False, "ended_early": None}
    if alarms := good.pop("alarms", None):
        good["alarms"] = [alarms[-1] | {"state": "as-found"}]
    shown = next((t["monitor"] for t in survey["traverses"] if survey["hood"].get("monitor") in ("flow", "pressure")), "100 ft/min")
    tested = [o for o in survey["openings"] if o.get("tested_every_survey", True) or o["name"] in survey["labelled"]]
    good["traverses"] = [
        {"opening": o["name"], "state": "as-found", "unit": "ft/min", "monitor": shown,
         "readings": perfect(survey, o["name"])}
        for o in tested
    ]  # fmt: skip
    good["answers"] = [
        {"check": a["check"], "opening": a.get("opening"), "answer": "yes"}
        for a in {(a["check"], a.get("opening")): a for a in survey["answers"]}.values()
    ]  # fmt: skip
    made = surveying.survey(hood, good, by, BEFORE)
    assert made.verdict in ("pass", "restrict"), made.record.attested["judged"]["reasons"]
    assert set(survey["labelled"]) <= set(made.approvals.values_list("opening_name", flat=True))


def perfect(survey: dict[str, Any], name: str) -> list[list[str]]:
    """A grid of the size that the story has for the opening, with readings close about 100 ft/min."""
    of_this = [t["readings"] for t in survey["traverses"] if t["opening"] == name]
    rows, columns = (len(of_this[0]), len(of_this[0][0])) if of_this else (2, 6)
    return [[str(99 + (row + column) % 3) for column in range(columns)] for row in range(rows)]


def entered(survey: dict[str, Any], instrument) -> dict[str, Any]:
    """What of a story a person enters; the program knows the rest itself."""
    return {
        "openings": [{key: o[key] for key in ("name", "width", "height")} for o in survey["openings"]],
        "traverses": survey["traverses"],
        "answers": survey["answers"],
        "adjusted": survey["adjusted"],
        "ended_early": survey["ended_early"],
        "conditions": survey.get("conditions", {}),
        "reason": "annual",
        "instrument": str(instrument.pk),
        **{key: survey[key] for key in ("of_hood", "alarms") if key in survey},
    }


@pytest.mark.parametrize("told", SHOWN.values(), ids=SHOWN, indirect=True)
def test_a_story_is_signed_as_it_is_told(told, technician):
    story, hood, instrument = told
    expected = story["expected"]
    content = entered(story["input"]["survey"], instrument)
    draft = start_draft(hood=hood, by=technician, at=NOW)
    ended = content.pop("ended_early")
    surveying.save(draft, content, technician, NOW + timedelta(minutes=10))
    if ended:
        end_draft(draft=draft, reason=ended["reason"], by=technician, at=NOW + timedelta(minutes=11))
    content = answered(draft)
    surveying.save(draft, content, technician, NOW + timedelta(minutes=15))
    survey = surveying.sign(draft, technician, NOW + timedelta(minutes=20), stop_moved=True)

    assert (survey.verdict, survey.restriction) == (expected["verdict"], expected["restriction"])
    assert survey.held == expected.get("label", "no-label")
    assert sorted(survey.record.attested["judged"]["approved"]) == sorted(expected["approved"])
    assert sorted(survey.approvals.values_list("opening_name", flat=True)) == sorted(expected["approved"])
    assert wording.title(survey.verdict, survey.restriction) == expected["printed"]["title"]
    now = queries.status_of(hood, DAY)
    assert now.code == STATUSES[expected["printed"]["status"]]
    if expected["printed"]["sash"]:
        top = highest(now.approved)
        assert height_in(top.height, top.height.split()[1]) == expected["printed"]["sash"]
    else:
        assert not now.approved
    assert_rows_equal_record(survey)


def answered(draft) -> dict[str, Any]:
    """The draft's content with every soft question answered: yes, it was read so."""
    content = json.loads(draft.revisions.order_by("-number").first().content)
    asked = unanswered(parse(content), facts_for(draft))
    content["questions"] = [
        {"code": q.code, "path": q.path, "value": q.value, "answer": "yes"} for q in asked
    ]  # fmt: skip
    return content


def assert_rows_equal_record(survey) -> None:
    """The rows beside a record are its index: what they say is what it says."""
    attested = survey.record.attested
    judged = attested["judged"]
    assert (survey.verdict, survey.restriction) == (judged["verdict"], judged["restriction"])
    found = judged["sets"]["as-found"]
    told = [(j.get("figure") or "", j.get("check") or "", j["outcome"], j["consequence"])
            for o in found["openings"] for j in o["judgements"]] + [
            (j.get("figure") or "", j.get("check") or "", j["outcome"], j["consequence"]) for j in found["hood"]]  # fmt: skip
    kept = Judgement.objects.filter(survey=survey, state="as-found").values_list(
        "figure", "check_code", "outcome", "consequence"
    )
    assert sorted(kept) == sorted(told)
    for row, traverse in zip(survey.traverses.all(), attested["entered"]["traverses"], strict=True):
        cells = [c for line in traverse["readings"] for c in line if c is not None]
        values = [r if isinstance(r, str) else r["value"] for c in cells for r in (c if isinstance(c, list) else [c])]
        assert sorted(row.readings.values_list("value", flat=True)) == sorted(values)
