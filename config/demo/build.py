"""Puts the invented institute into the ledger, in the order in which things happened, by the same actions as any site."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import partial

from django.db import transaction

from config.demo import following, scenario, survey_made
from config.demo.scenario import HoodPlan, Visit
from hoods.actions import hood as keep_hood
from hoods.actions import people as keep_people
from hoods.actions import place as keep_place
from hoods.actions import site as keep_site
from hoods.models import Building, ExhaustSystem, Hood, Person, Room, Site
from surveys.actions import assignment, criteria, drafts, instrument, labels, signing, stops
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.models import CriteriaSet, Instrument

YEARS = timedelta(days=760)  # the programme has kept its records here for two years and a little more
NOON = time(12, 0)


@dataclass
class Built:
    """What the demo has so far."""

    site: Site
    people: dict[str, Person] = field(default_factory=dict)
    rooms: dict[str, Room] = field(default_factory=dict)
    exhausts: dict[str, ExhaustSystem] = field(default_factory=dict)
    instruments: dict[str, Instrument] = field(default_factory=dict)
    sets: dict[str, CriteriaSet] = field(default_factory=dict)
    hoods: dict[str, Hood] = field(default_factory=dict)

    @property
    def manager(self) -> Person:
        return self.people["programme-manager"]

    @property
    def surveyor(self) -> Person:
        return self.people["technician"]


@transaction.atomic
def build(*, now: datetime, say: Callable[[str], None]) -> Site:
    """Load the whole demo, as it stands at a moment, and give its site."""
    day = now.date()
    begun = _at(day - YEARS - timedelta(days=6))
    say("the site, its people, rooms, fans and anemometers")
    built = _people_and_places(begun)
    for person in built.people.values():
        person.set_password(scenario.PASSWORD)
        person.save(update_fields=["password"])
    for happened in sorted(_events(built, day, now), key=lambda event: event.at):
        happened.act()
    say(f"{len(scenario.HOODS)} hoods with two years of surveys")
    return built.site


@dataclass
class Event:
    at: datetime
    act: Callable[[], object]


def _people_and_places(at: datetime) -> Built:
    site = keep_site.add_site(by=None, at=at, **scenario.SITE)
    built = Built(site)
    places = partial(dict, by=None, at=at)
    for order, (name, rooms) in enumerate(scenario.BUILDINGS):
        building: Building = keep_place.add_building(site=site, name=name, order=order, **places())
        for place, (number, words, floor, department, responsible, hazards) in enumerate(rooms):
            built.rooms[number] = keep_place.add_room(
                building=building, number=number, name=words, floor=floor, department=department,
                responsible=responsible, hazards=hazards, order=place, **places(),
            )  # fmt: skip
    built.exhausts = {name: keep_place.add_exhaust(site=site, name=name, **places()) for name in scenario.EXHAUSTS}
    for someone in scenario.PEOPLE:
        invited = keep_people.invite_person(
            site=site, email=someone.email, name=someone.name, initials=someone.initials, role=someone.role,
            rooms=[built.rooms[number] for number in someone.rooms], from_on=site.day_of(at),
            position=someone.position, employer=site.name, by=None, at=at,
        )  # fmt: skip
        built.people[someone.role] = invited.person
    return built


def _events(built: Built, day: date, now: datetime) -> Iterator[Event]:
    start = _at(day - YEARS - timedelta(days=5))
    yield Event(start, lambda: _adopt(built, start))
    yield Event(start, lambda: _instruments(built, start))
    for name, *_rest, calibrations in scenario.INSTRUMENTS:
        for calibration in calibrations:
            yield Event(
                max(start, _at(day - timedelta(days=calibration[1]))) + timedelta(minutes=1),
                partial(_calibrate, built, name, calibration, day),
            )
    for order, plan in enumerate(scenario.HOODS):
        installed = max(start, _at(day - timedelta(days=plan.installed_days_ago))) + timedelta(minutes=2, seconds=order)
        yield Event(installed, partial(_register, built, plan, order, installed, day))
        for visit in plan.visits:
            at = _at(day - timedelta(days=visit.days_ago), time(9 + order // 2, 30 * (order % 2)))
            yield Event(at, partial(_visit, built, plan, visit, at))
        for what in plan.events:
            at = min(_at(day - timedelta(days=what.days_ago), time(16, order)), now)
            yield Event(at, partial(_happen, built, plan, what, at, day))
    for at, act in following.happenings(built, day):
        yield Event(at, act)


def _at(day: date, clock: time = NOON) -> datetime:
    return datetime.combine(day, clock, tzinfo=UTC)


def _adopt(built: Built, at: datetime) -> None:
    for key, (name, starter, costs) in scenario.CRITERIA.items():
        version = criteria.start_set(site=built.site, name=name, starter=starter, by=built.manager, at=at)
        criteria.settle_checks(version=version, costs=costs, by=built.manager, at=at)
        criteria.adopt_version(
            version=version, first_day=built.site.day_of(at), by=built.manager, at=at,
            reason="Compared with the local rules by the safety committee.",
        )  # fmt: skip
        built.sets[key] = version.set


def _instruments(built: Built, at: datetime) -> None:
    for name, serial, kind, resolution, lowest, highest, _calibrations in scenario.INSTRUMENTS:
        built.instruments[name] = instrument.add_instrument(
            site=built.site, name=name, serial=serial, kind=kind, resolution=resolution, lowest=lowest, highest=highest,
            accuracy_percent="3 %", accuracy_floor="3 ft/min", by=built.manager, at=at,
        )  # fmt: skip


def _calibrate(built: Built, name: str, calibration: tuple[str, int, int, bool], day: date) -> None:
    certificate, days_ago, valid, in_tolerance = calibration
    done_on = day - timedelta(days=days_ago)
    instrument.record_calibration(
        instrument=built.instruments[name], certificate=certificate, laboratory="Skuaness Air Laboratory",
        done_on=done_on, due_on=done_on + timedelta(days=valid), in_tolerance=in_tolerance, by=built.manager,
        at=max(_at(done_on), _at(day - YEARS - timedelta(days=5))),
    )  # fmt: skip


def _register(built: Built, plan: HoodPlan, order: int, at: datetime, day: date) -> None:
    hood = keep_hood.register_hood(
        site=built.site, tag=plan.tag, room=built.rooms[plan.room], exhaust=built.exhausts[plan.exhaust],
        position=plan.position, order=order, on=day - timedelta(days=plan.installed_days_ago), by=built.manager, at=at,
        kind=plan.kind, control=plan.control, monitor=plan.monitor, glass="laminated", model="T-60",
        serial=f"{4000 + order}", interior_width=plan.width, work_surface_height="36 in",
        uses_forbidden=plan.uses_forbidden, set_point="100 ft/min", alarm_point="80 ft/min",
        openings=[
            {"name": "working", "use": "working", "width": plan.width, "height": "18 in"},
            {"name": "lower", "use": "lower", "width": plan.width, "height": "12 in", "tested_every_survey": False},
        ],
    )  # fmt: skip
    built.hoods[plan.tag] = hood
    assignment.assign_criteria(
        hoods=[hood], set=built.sets[plan.criteria], from_on=built.site.day_of(at), by=built.manager, at=at,
        why="Chosen when the hood was taken into the programme.",
    )  # fmt: skip


def _happen(built: Built, plan: HoodPlan, what: scenario.Happened, at: datetime, day: date) -> None:
    hood, on = built.hoods[plan.tag], day - timedelta(days=what.days_ago)
    common = {"hood": hood, "on": on, "why": what.why, "by": built.manager, "at": at}
    if what.kind == "judged":
        assignment.assign_criteria(
            hoods=[hood], set=built.sets[what.criteria], from_on=on, why=what.why, evidence=what.evidence,
            by=built.manager, at=at,
        )  # fmt: skip
        return
    if what.kind == "out-of-service":
        until = day + timedelta(days=what.until_in_days) if what.until_in_days is not None else None
        keep_hood.take_out_of_service(until_on=until, **common)
    else:
        {"hibernated": keep_hood.hibernate_hood, "retired": keep_hood.retire_hood, "woken": keep_hood.wake_hood}[
            what.kind
        ](**common)


def _visit(built: Built, plan: HoodPlan, visit: Visit, at: datetime) -> None:
    """One survey from its start to the label on the sash, as a surveyor makes it."""
    hood, by = built.hoods[plan.tag], built.surveyor
    draft = drafts.start_draft(hood=hood, by=by, at=at)
    content = survey_made.document(plan, visit, draft, instrument=built.instruments[visit.instrument], begun=at)
    measured = at + timedelta(minutes=25)
    receipt = drafts.save_revision(draft=draft, content=content, form_id="demo", made_from=0, by=by, at=measured)
    if visit.ended:
        receipt = drafts.end_draft(draft=draft, reason=visit.ended, words=visit.words, by=by, at=measured).receipt
        if visit.ended in REASONS_THAT_STOP_A_HOOD:
            for stop in hood.stops.up():
                stops.sign_hung(stop=stop, by=by, at=measured + timedelta(minutes=1))
    signed_at = measured + timedelta(minutes=5)
    survey = signing.sign_survey(
        draft=draft, seen=signing.Seen(receipt.revision, draft.version_id), by=by, at=signed_at
    )
    if survey.label_issue is not None:
        labels.record_label_copies(surveys=[survey], sheet="100x50", by=by, at=signed_at + timedelta(minutes=3))
        labels.label_put_on(
            survey=survey, issue=survey.label_issue, old_removed=survey.label_issue > 1, by=by,
            at=signed_at + timedelta(minutes=9),
        )  # fmt: skip
