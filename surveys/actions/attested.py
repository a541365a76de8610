"""What the record of a signed survey holds, word for word: entered, facts, criteria, judged, signed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import cache
from importlib.metadata import version as release
from typing import Any

from hoods.models import Person, Site
from surveys.actions.records import FORMAT
from surveys.core.due import asks_too_seldom
from surveys.facts import PLACE, Around
from surveys.models import Calibration, CriteriaVersion, Instrument, Survey, Transcription

MEANING = "made-these-measurements"
FROM_PAPER = "typed-in-from-paper"


@cache
def program() -> str:
    """The release of this program."""
    return release("hood-ledger")


def moment(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def survey_record(
    *, survey: Survey, around: Around, version: CriteriaVersion, entered: Mapping[str, Any], judged: Mapping[str, Any],
    confirmed: Mapping[str, bool],
) -> dict[str, Any]:  # fmt: skip
    """The content of a survey's record: only text, whole numbers, true, false and null; codes, never words."""
    site, paper = around.hood.site, survey.draft.from_paper
    measurer = paper.person if paper else survey.signed_by
    return {
        "kind": "survey",
        "format": FORMAT,
        "number": survey.record_id,
        "survey": {
            "id": str(survey.pk), "reason": survey.reason or None, "done_on": survey.done_on.isoformat(),
            "measured_from": moment(survey.measured_from), "measured_until": moment(survey.measured_until),
            "full": survey.full, "amends": str(survey.amends_id) if survey.amends_id else None,
            **({"amends_record": survey.amends.record_id} if survey.amends else {}),
            "why": survey.why or None, "label_issue": survey.label_issue,
            **({"transcribed": transcribed(paper, site)} if paper else {}),
            "due_on": survey.due_on.isoformat() if survey.due_on else None,
        },
        "entered": dict(entered),
        "facts": facts_record(around),
        "criteria": {
            "set": version.set.name, "version": version.number,
            "first_day": version.first_day.isoformat() if version.first_day else None,
            "adopted_by": version.record.attested["signed"]["by"]["name"] if version.record else None,
            "record": version.record_id,
            "document": version.document,
            **({"seldom": version.seldom} if version.seldom and asks_too_seldom(around.hood.kind, version.document["due"]) else {}),
        },
        "judged": dict(judged),
        "signed": {
            "by": signatory(survey.signed_by), "meaning": FROM_PAPER if paper else MEANING, "at": moment(survey.signed_at),
            "zone": site.time_zone, "confirmed": dict(confirmed),
            "qualifications": qualifications(measurer, around) if measurer else [],
        },
        "program": program(),
    }  # fmt: skip


def transcribed(paper: Transcription, site: Site) -> dict[str, Any]:
    """Who measured with pen and paper, and who typed it in on which day, by the site's clock."""
    return {
        "measured_by": paper.measured_by, "initials": _initials(paper), "typed_in_by": paper.by.name, "typed_in_on": site.day_of(paper.at).isoformat(),
        "typed_in_at": moment(paper.at),
    }  # fmt: skip


def _initials(paper: Transcription) -> str:
    """Of who measured, as labels print them."""
    return paper.person.initials if paper.person else "".join(part[0] for part in paper.measured_by.split()).upper()


def signatory(person: Person) -> dict[str, str]:
    return {
        "name": person.name, "initials": person.initials, "position": person.position, "employer": person.employer,
    }  # fmt: skip


def qualifications(person: Person, around: Around) -> list[dict[str, str | None]]:
    """What whoever signs was qualified for on the day measured, as the register says when it is signed."""
    return [
        {"method": method, "by": by, "from": first.isoformat(), "until": last.isoformat() if last else None}
        for method, by, first, last in around.together.qualified(person, around.hood.site_id, around.on)
        if last is None or last >= around.on
    ]


def facts_record(around: Around) -> dict[str, Any]:
    """The facts as they stood: the site, the place, the hood, what was measured with.

    A correction keeps those of the record that it corrects, but for the instrument and the benchmarks.
    """
    judged_by = around.as_dict()
    measured_with = {
        "benchmarks": judged_by["benchmarks"],
        "calibration_covers": judged_by["calibration_covers"],
        "instrument": _instrument(around.instrument),
        "calibration": _calibration(around.calibration),
    }
    if around.attested is not None:
        return {**around.attested, **measured_with}
    hood, site = around.hood, around.hood.site
    place = around.together.place(hood, around.on) or {}
    return {
        "site": {
            "name": site.name, "time_zone": site.time_zone, "address": site.address, "telephone": site.telephone,
            "emergency": site.emergency, "height_from": site.height_from, "speed_unit": site.speed_unit,
            "length_unit": site.length_unit, "paper": site.paper,
        },
        "place": {name: place.get(column) or "" for column, name in PLACE.items()},
        "hood": {
            name: getattr(hood, name)
            for name in (
                "tag", "code", "kind", "control", "sash", "powered", "glass", "maker", "model", "serial",
                "interior_width", "work_surface_height", "uses_forbidden", "monitor", "set_point", "alarm_point",
            )
        },
        "exhaust": _exhaust(place, around) if place.get("exhaust_id") else None,
        "openings": judged_by["openings"],
        "labelled": judged_by["labelled"],
        **measured_with,
    }  # fmt: skip


def _exhaust(place: Mapping[str, Any], around: Around) -> dict[str, Any]:
    """The fan, and how many hoods it serves by then."""
    return {"name": place["exhaust__name"], "hoods": around.together.served(place["exhaust_id"], around.on)}


def _instrument(instrument: Instrument | None) -> dict[str, Any] | None:
    if instrument is None:
        return None
    return {
        name: getattr(instrument, name)
        for name in (
            "name", "serial", "kind", "accuracy_percent", "accuracy_floor", "resolution", "lowest", "highest", "velocity",
        )
    }  # fmt: skip


def _calibration(calibration: Calibration | None) -> dict[str, Any] | None:
    if calibration is None:
        return None
    return {
        "certificate": calibration.certificate, "laboratory": calibration.laboratory,
        "done_on": calibration.done_on.isoformat(), "due_on": calibration.due_on.isoformat(),
        "in_tolerance": calibration.in_tolerance,
    }  # fmt: skip
