"""A campus of any size: so many hoods, surveyed for so many years in rounds, by the same actions as any site."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django.db import transaction

from config.demo import air, scenario, survey_made
from config.demo.build import Built, adopt_criteria, invite_people
from config.demo.scenario import HoodPlan, Visit
from hoods.actions import place as keep_place
from hoods.actions import site as keep_site
from hoods.actions.registering import NewHood, register_hoods
from hoods.models import Hood, Person, Room, Site
from surveys.actions import assignment, drafts, instrument, labels, signing
from surveys.models import Instrument, Survey

ROUND = 50  # hoods that are surveyed on one day
IN_ROOM, IN_BUILDING = 10, 10
YEAR = timedelta(days=365)
EIGHT, FIVE = time(8, 0), time(17, 0)
PACE = timedelta(minutes=8)  # from one hood to the next


@dataclass(frozen=True)
class Standing:
    """A hood of the campus, and its plan."""

    hood: Hood
    plan: HoodPlan


def build(*, hoods: int, years: int, now: datetime, say: Callable[[str], None]) -> Site:
    """Load a campus with its surveys; each year is kept whole."""
    first_day = now.date() - years * YEAR + timedelta(days=9)  # none is overdue, and the last round is over
    begun = datetime.combine(first_day, EIGHT, tzinfo=UTC)
    with transaction.atomic():
        built = Built(keep_site.add_site(by=None, at=begun, **scenario.SITE))
        rooms = _rooms(built, -(-hoods // IN_ROOM), begun)
        invite_people(built, begun)
        adopt_criteria(built, begun)
        standing = _register(built, hoods, rooms, first_day, begun)
        anemometer = _anemometer(built, first_day, years, begun)
    say(f"{hoods} hoods in {len(built.rooms)} rooms")
    for year in range(years):
        with transaction.atomic():
            rounds = list(_rounds(standing, first_day, year))
            signed = sum(_round(those, on, year, anemometer, built.surveyor) for on, those in rounds)
        say(f"year {year + 1} of {years}: {signed} surveys")
    return built.site


def _rooms(built: Built, many: int, at: datetime) -> list[Room]:
    """Buildings of ten rooms, a fan for each room."""
    said: dict[str, Any] = {"by": None, "at": at}
    for place in range(many):
        if place % IN_BUILDING == 0:
            number = place // IN_BUILDING + 1
            building = keep_place.add_building(site=built.site, name=f"Range {number:02}", order=number, **said)
        number = f"{place + 1:03}"
        built.rooms[number] = keep_place.add_room(
            building=building, number=number, name="Laboratory", floor="ground floor", department="Chemistry",
            responsible="Asel Brandt", hazards="solvents", order=place, **said,
        )  # fmt: skip
        built.exhausts[number] = keep_place.add_exhaust(site=built.site, name=f"EF-{number}", **said)
    return list(built.rooms.values())


def _register(built: Built, hoods: int, rooms: Sequence[Room], on: date, at: datetime) -> list[Standing]:
    plans, new = [], []
    for place in range(hoods):
        room = rooms[place // IN_ROOM]
        fan = built.exhausts[room.number]
        plan = HoodPlan(f"FH-{place + 1:05}", room.number, f"place {place % IN_ROOM + 1}", fan.name, "band")
        plans.append(plan)
        new.append(
            NewHood(
                plan.tag, room, on, exhaust=fan, position=plan.position, order=place % IN_ROOM,
                what={
                    "kind": plan.kind, "control": plan.control, "monitor": plan.monitor, "interior_width": plan.width,
                    "work_surface_height": "36 in", "set_point": "100 ft/min", "alarm_point": "80 ft/min",
                },
                openings=[{"name": "working", "use": "working", "width": plan.width, "height": "18 in"}],
            )
        )  # fmt: skip
    kept = register_hoods(site=built.site, new=new, by=built.manager, at=at, why="Taken into the programme.")
    assignment.assign_criteria(
        hoods=kept, set=built.sets["band"], from_on=built.site.day_of(at), by=built.manager, at=at,
        why="Chosen when the hood was taken into the programme.",
    )  # fmt: skip
    return [Standing(hood, plan) for hood, plan in zip(kept, plans, strict=True)]


def _anemometer(built: Built, first_day: date, years: int, at: datetime) -> Instrument:
    """One anemometer, calibrated each year before the last calibration is over."""
    name, serial, kind, resolution, lowest, highest, _calibrations = scenario.INSTRUMENTS[0]
    made = instrument.add_instrument(
        site=built.site, name=name, serial=serial, kind=kind, resolution=resolution, lowest=lowest, highest=highest,
        accuracy_percent="3 %", accuracy_floor="3 ft/min", by=built.manager, at=at,
    )  # fmt: skip
    for year in range(years + 1):
        done_on = first_day + year * YEAR
        instrument.record_calibration(
            instrument=made, certificate=f"K-{3000 + year}", laboratory="Skuaness Air Laboratory", done_on=done_on,
            due_on=done_on + timedelta(days=400), in_tolerance=True, by=built.manager,
            at=datetime.combine(done_on, EIGHT, tzinfo=UTC),
        )  # fmt: skip
    return made


def _rounds(standing: Sequence[Standing], first_day: date, year: int) -> Iterator[tuple[date, Sequence[Standing]]]:
    """The days of a year's rounds, spread over it, with the hoods of each."""
    starts = range(0, len(standing), ROUND)
    for number, start in enumerate(starts):
        yield first_day + year * YEAR + timedelta(days=1 + number * 350 // len(starts)), standing[start : start + ROUND]


def _round(those: Sequence[Standing], on: date, year: int, anemometer: Instrument, by: Person) -> int:
    """A day's hoods surveyed, signed together in the evening and labelled; those that failed again, their fans set."""
    visits = {one.hood.pk: Visit(year, air.drifted(one.plan.exhaust, one.plan.tag, year)) for one in those}
    surveys = _surveyed(those, visits, datetime.combine(on, EIGHT, tzinfo=UTC), anemometer, by)
    failed = {survey.hood_id for survey in surveys if survey.label_issue is None}
    again = [one for one in those if one.hood.pk in failed]
    if again:
        later = datetime.combine(on + timedelta(days=3), EIGHT, tzinfo=UTC)
        visits = {one.hood.pk: Visit(year, air.mended(one.plan.tag, year), reason="after-repair") for one in again}
        surveys += _surveyed(again, visits, later, anemometer, by)
    return len(surveys)


def _surveyed(
    those: Sequence[Standing], visits: dict[int, Visit], begun: datetime, anemometer: Instrument, by: Person
) -> list[Survey]:
    started = drafts.start_drafts(hoods=[one.hood for one in those], by=by, at=begun)
    signatures = []
    for place, (one, draft) in enumerate(zip(those, started, strict=True)):
        at = begun + place * PACE
        content = survey_made.document(one.plan, visits[one.hood.pk], draft, instrument=anemometer, begun=at)
        receipt = drafts.save_revision(draft=draft, content=content, form_id="demo", made_from=0, by=by, at=at + PACE)
        signatures.append(signing.Signature(draft, signing.Seen(receipt.revision, draft.version_id)))
    evening = datetime.combine(begun.date(), FIVE, tzinfo=UTC)
    surveys = signing.sign_round(signatures=signatures, by=by, at=evening)
    granted = [survey for survey in surveys if survey.label_issue]
    if granted:
        labels.record_label_copies(surveys=granted, sheet="100x50", by=by, at=evening)
        put_on = [labels.PutOn(one, one.label_issue or 1, old_removed=one.label_issue != 1) for one in granted]
        labels.labels_put_on(labels=put_on, by=by, at=evening + timedelta(minutes=30))
    return surveys
