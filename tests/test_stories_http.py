"""Every story from the survey page to paper: the same verdict, sash and words everywhere."""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import cycle

import pytest
import time_machine
from django.urls import reverse

from hoods.models import Site
from surveys.actions.assignment import assign_criteria
from surveys.core.units import both, decimals
from surveys.models import Benchmark
from tests import agreement, surveying
from tests.agreement import Told
from tests.filling import Surveyor, measured_boxes, size_boxes
from tests.making import ON, make_hood
from tests.reports.pdf import reading
from tests.stories import STORIES, differences
from tests.surveying import SURVEYED
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

VERTICAL = {  # those whose height alone says how far the sash may be open
    name: story
    for name, story in STORIES.items()
    if story["input"]["survey"]["hood"]["sash"] == "vertical" and "lines" not in story["expected"]["printed"]
}
OTHERS = {name: story for name, story in STORIES.items() if name not in VERTICAL}
LINES = {  # how far each sash may be open, by hand from the approved openings of the story
    "horizontal-one-opening-fails": (
        "centre panel open", "right panel open", "one panel open at a time", "left panel stays closed",
    ),
    "combination-frame-at-two-heights": (
        "frame at or below 12 in (304 mm)", "panels closed", "panels open together, frame down",
        "never raise the frame with panels open",
    ),
}  # fmt: skip
DAY = SURVEYED.date()
YEAR_BEFORE = SURVEYED - timedelta(days=300)
GRANTS = ("Met criteria", "Restricted")


@pytest.fixture(autouse=True)
def _that_day():
    with time_machine.travel(SURVEYED):
        yield


@pytest.fixture
def told(room, technician, programme_manager, signed_in):
    """Makes the hood of a story and surveys it over HTTP: (survey, client of the surveyor)."""

    def tell(story):
        document = story["input"]["survey"]
        hood = hood_of(document, room, programme_manager)
        instrument = instrument_of(document, room.building.site, programme_manager)
        if document.get("labelled"):
            label_before(document, hood, instrument, programme_manager, technician)
        version = surveying.make_version(room.building.site, programme_manager, story["input"]["criteria"])
        assign_criteria(hoods=[hood], set=version.set, from_on=DAY, why="the story", by=programme_manager, at=SURVEYED)
        for each in document["benchmarks"]:
            Benchmark.objects.create(
                opening=hood.openings.get(name=each["opening"]), value=each["value"], from_on=ON, at=SURVEYED,
                by=programme_manager,
            )  # fmt: skip
        client = signed_in(technician)
        return surveyed(client, hood, document, instrument), client

    return tell


def hood_of(document, room, by):
    openings = tuple((one["name"], one["use"], one["width"], one["height"]) for one in document["openings"])
    facts = {"monitor": "velocity"} | document["hood"]
    length = document["openings"][0]["height"].split(" ")[1]
    unit = next((traverse["unit"] for traverse in document["traverses"]), "ft/min")
    Site.objects.filter(pk=room.building.site_id).update(speed_unit=unit, length_unit=length)
    room.building.site.refresh_from_db()
    hood = make_hood(room=room, by=by, tag="FH-0142", openings=openings, **facts)
    for one in document["openings"]:
        cover = one.get("cover") or {"by": ""}
        measures = {f"cover_{name}": cover.get(name) or "" for name in ("left", "up", "width", "height")}
        hood.openings.filter(name=one["name"]).update(way=one.get("way") or "", cover=cover["by"], **measures)
    return hood


def instrument_of(document, site, by):
    """An anemometer that reads as finely as the story tells, whose calibration covers the day or has lapsed."""
    read = [
        (text, traverse["unit"])
        for traverse in document["traverses"]
        for row in traverse["readings"]
        for cell in row
        for text in (cell if isinstance(cell, list) else [cell])
        if text
    ] or [("100", "ft/min")]
    places, unit = max(decimals(text) for text, _ in read), read[0][1]
    return surveying.make_instrument(
        site, by, resolution=f"{'1' if places == 0 else '0.' + '0' * (places - 1) + '1'} {unit}",
        lowest=f"0 {unit}", highest=f"9999 {unit}",
        due_on=date(2030, 3, 31) if document["calibration_covers"] else DAY - timedelta(days=1),
    )  # fmt: skip


def label_before(document, hood, instrument, by, technician):
    """A survey of the year before, whose label allowed what the story says that it did."""
    version = surveying.make_version(hood.site, by)
    surveying.assign(hood, version, by)
    values = cycle(["98", "101", "95", "97", "100", "103", "99"])
    openings = [one for one in document["openings"] if one["name"] in document["labelled"]]
    grids = {traverse["opening"]: traverse["readings"] for traverse in document["traverses"]}
    content = surveying.entered(instrument)
    content["openings"] = [{key: one[key] for key in ("name", "width", "height")} for one in openings]
    content["traverses"] = [
        {"opening": one["name"], "state": "as-found", "unit": "ft/min", "monitor": None,
         "readings": [[next(values) for _ in row] for row in grids[one["name"]]]}
        for one in openings
    ]  # fmt: skip
    others = hood.openings.exclude(name__in=document["labelled"])
    others.update(tested_every_survey=False)
    assert surveying.survey(hood, content, technician, at=YEAR_BEFORE).label_issue == 1
    others.update(tested_every_survey=True)


def surveyed(client, hood, document, instrument):
    """The story's survey, filled in as a browser sends the page, and signed with the password."""
    surveyor = Surveyor(client, hood)
    surveyor.fill(reason="annual", instrument=str(instrument.pk), right_hood="yes", fit="yes", **document.get("conditions", {}))
    surveyor.fill(**size_boxes(document))
    surveyor.press("keep")
    boxes = measured_boxes(document).items()  # what is covered has no box, and no reading
    surveyor.fill(**{name: text for name, text in boxes if text or name in surveyor.form.names})
    surveyor.press("keep")
    surveyor.answer_doubts()
    if document["ended_early"]:
        surveyor.fill(stop_reason=document["ended_early"]["reason"])
        surveyor.press("stop")
        surveyor.open()
    surveyor.sign(missing_confirmed="on", stop_moved="on")
    return surveyor.survey


@pytest.mark.parametrize("story", VERTICAL.values(), ids=VERTICAL)
def test_a_story_sent_over_http_is_told_alike_by_page_and_paper(story, told, client, signed_in, lab_manager):
    survey, surveyors = told(story)
    hood, expected, printed = survey.hood, story["expected"], story["expected"]["printed"]
    attested = survey.record.attested
    assert differences({key: expected[key] for key in expected if key != "printed"}, attested["judged"]) == []
    assert (survey.verdict, survey.restriction) == (expected["verdict"], expected["restriction"])
    wanted = Told(printed["status"], both(printed["sash"]) if printed["sash"] else None)

    seen = agreement.everywhere(surveyors, hood)
    assert {seen[name] for name in ("room", "list", "building", "hood", "public")} == {wanted}, seen
    room = signed_in(lab_manager).get(reverse("surveys:room", args=[hood.placements.get().room_id]))
    assert agreement.in_a_list(room, hood.tag) == wanted
    assert agreement.to_the_public(client.get(reverse("public_hood", args=[hood.code]))) == wanted

    certificate = surveyors.get(reverse("reports:certificate", args=[survey.pk]))
    words = reading.quick_text(certificate.content)
    assert same(printed["title"]) in same(words)
    assert printed["title"] in said(surveyors.get(reverse("surveys:detail", args=[survey.pk])))
    for use in [(expected["restriction"] or {}).get("use")]:
        for page in ("surveys:room", "surveys:hood"):
            key = hood.pk if page == "surveys:hood" else hood.placements.get().room_id
            assert (use or "").lower() in said(surveyors.get(reverse(page, args=[key]))).lower()

    label = surveyors.post(reverse("reports:label", args=[hood.pk]))
    sign = surveyors.get(reverse("reports:stop_sign", args=[hood.pk]))
    if printed["status"] in GRANTS:
        assert agreement.on_a_label(label.content) == wanted
        assert same((expected["restriction"] or {}).get("use") or "") in same(reading.quick_text(label.content))
        assert sign.status_code == 403
    else:
        assert label.status_code == 403
        assert "DO NOT USE" in reading.quick_text(sign.content)
        assert hood.tag in reading.quick_text(sign.content)


@pytest.mark.parametrize("story", OTHERS.values(), ids=OTHERS)
def test_a_story_of_another_sash_tells_the_same_lines_on_every_page_and_paper(story, told, client):
    survey, surveyors = told(story)
    hood, expected, printed = survey.hood, story["expected"], story["expected"]["printed"]
    lines = printed.get("lines") or LINES.get(story["id"], ())
    wanted = {key: expected[key] for key in expected if key != "printed"}
    assert differences(wanted, survey.record.attested["judged"]) == []
    place = hood.placements.get()
    grants = printed["status"] in GRANTS
    assert bool(lines) == grants
    pages = {
        "room": surveyors.get(reverse("surveys:room", args=[place.room_id])),
        "list": surveyors.get(reverse("surveys:hood_list")),
        "building": surveyors.get(reverse("surveys:building", args=[place.room.building_id])),
        "hood": surveyors.get(reverse("surveys:hood", args=[hood.pk])),
        "public": client.get(reverse("public_hood", args=[hood.code])),
    }
    for name, page in pages.items():
        words = said(page)
        assert printed["status"] in words, name
        assert [line for line in lines if same(line) not in same(words)] == [], name
        assert hood.sash == "vertical" or "sash at or below" not in words, name
    certificate = reading.quick_text(surveyors.get(reverse("reports:certificate", args=[survey.pk])).content)
    assert same(printed["title"]) in same(certificate)
    assert [line for line in lines if same(line) not in same(certificate)] == []
    signed = said(surveyors.get(reverse("surveys:detail", args=[survey.pk])))
    assert printed["title"] in signed
    assert [line for line in lines if same(line) not in same(signed)] == []
    label = surveyors.post(reverse("reports:label", args=[hood.pk]))
    if hood.kind == "canopy":
        assert label.status_code == 403
        sign = surveyors.get(reverse("reports:canopy_sign", args=[hood.pk]))
        assert same("Not for hazardous vapours") in same(reading.quick_text(sign.content))
    elif grants:
        words = reading.quick_text(label.content)
        assert [line for line in lines if same(line) not in same(words)] == []
        assert hood.sash == "vertical" or "sash at or below" not in words
        assert same((expected["restriction"] or {}).get("use") or "") in same(words)
    else:
        assert label.status_code == 403
        assert "DO NOT USE" in reading.quick_text(surveyors.get(reverse("reports:stop_sign", args=[hood.pk])).content)


def same(words: str) -> str:
    """Words as they are compared where a line may be broken: without gaps and capitals."""
    return re.sub(r"\s+", "", words).lower()
