"""Puts the invented institute into the ledger, in the order in which things happened, by the same actions as any site."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from typing import Any

from django.db import transaction

from config.demo import belt, earlier, following, monitors, others, scenario, survey_made
from config.demo.scenario import HoodPlan, Visit
from hoods.actions import hood as keep_hood
from hoods.actions import people as keep_people
from hoods.actions import place as keep_place
from hoods.actions import site as keep_site
from hoods.models import Building, ExhaustSystem, Hood, Person, Room, Site
from surveys.actions import assignment, criteria, drafts, instrument, labels, signing, stops, transcribing
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.models import CriteriaSet, Draft, Instrument

YEARS = timedelta(days=760)  # the programme has kept its records here for two years and a little more
THREE_YEARS = timedelta(days=1110)  # with the other hoods
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
def build(*, now: datetime, say: Callable[[str], None], whole: bool = True) -> Site:
    """Load the demo, as it stands at a moment, and give its site: the twelve named hoods, and the others with `whole`."""
    day = now.date()
    start = _at(day - (THREE_YEARS if whole else YEARS) - timedelta(days=5))
    say("the site, its people, rooms, fans and anemometers")
    built = _places(start - timedelta(days=1), whole)
    invite_people(built, start - timedelta(days=1))
    for happened in sorted(_events(built, start, day, now, whole), key=lambda event: event.at):
        happened.act()
    say(f"{len(built.hoods)} hoods with {'three' if whole else 'two'} years of surveys")
    return built.site


@dataclass
class Event:
    at: datetime
    act: Callable[[], object]


def _places(at: datetime, whole: bool) -> Built:
    site = keep_site.add_site(by=None, at=at, **scenario.SITE)
    built = Built(site)
    places = partial(dict, by=None, at=at)
    buildings: dict[str, Building] = {}
    for name, rooms in (*scenario.BUILDINGS, *(others.ROOMS if whole else ())):
        if name not in buildings:
            buildings[name] = keep_place.add_building(site=site, name=name, order=len(buildings), **places())
        for number, words, floor, department, responsible, hazards in rooms:
            built.rooms[number] = keep_place.add_room(
                building=buildings[name], number=number, name=words, floor=floor, department=department,
                responsible=responsible, hazards=hazards, order=len(built.rooms), **places(),
            )  # fmt: skip
    fans = (*scenario.EXHAUSTS, *(others.FANS if whole else ()))
    built.exhausts = {name: keep_place.add_exhaust(site=site, name=name, **places()) for name in fans}
    return built


def invite_people(built: Built, at: datetime) -> None:
    """The people of the scenario, each with the demo's password; a lab manager sees those of their rooms that there are."""
    site = built.site
    for someone in scenario.PEOPLE:
        rooms = [built.rooms[number] for number in someone.rooms if number in built.rooms]
        person = keep_people.invite_person(
            site=site, email=someone.email, name=someone.name, initials=someone.initials, role=someone.role,
            rooms=rooms or (list(built.rooms.values())[:10] if someone.rooms else ()), from_on=site.day_of(at),
            position=someone.position, employer=site.name, by=None, at=at,
        ).person  # fmt: skip
        person.set_password(scenario.PASSWORD)
        person.save(update_fields=["password"])
        built.people[someone.role] = person


def _events(built: Built, start: datetime, day: date, now: datetime, whole: bool) -> Iterator[Event]:
    instruments = (*scenario.INSTRUMENTS, *(others.INSTRUMENTS if whole else ()))
    yield Event(start, lambda: adopt_criteria(built, start, whole))
    yield Event(start, lambda: _instruments(built, instruments, start))
    for name, *_rest, calibrations in instruments:
        for calibration in calibrations:
            at = max(start, _at(day - timedelta(days=calibration[1])))
            yield Event(at + timedelta(minutes=1), partial(_calibrate, built, name, calibration, day, at))
    for order, plan in enumerate((*scenario.HOODS, *(others.plans() if whole else ()))):
        installed = max(start, _at(day - timedelta(days=plan.installed_days_ago))) + timedelta(minutes=2, seconds=order)
        yield Event(installed, partial(_register, built, plan, order, installed, day))
        for visit in plan.visits:
            at = _at(day - timedelta(days=visit.days_ago - (1 if visit.on_paper_by else 0)), _hour(order))
            yield Event(at, partial(_visit, built, plan, visit, at))
        for what in plan.events:
            at = min(_at(day - timedelta(days=what.days_ago), time(16, order)), now)
            yield Event(at, partial(_happen, built, plan, what, at, day))
    of_the_belt = belt.happenings(built, day) if whole else ()
    for at, act in (*following.happenings(built, day), *earlier.happenings(built, day, whole), *of_the_belt):
        yield Event(at, act)


def _hour(order: int) -> time:
    """When on its day a hood is visited."""
    return time(9 + order // 2, 30 * (order % 2)) if order < len(scenario.HOODS) else time(8 + order % 8, order % 60)


def _at(day: date, clock: time = NOON) -> datetime:
    return datetime.combine(day, clock, tzinfo=UTC)


def adopt_criteria(built: Built, at: datetime, whole: bool = False) -> None:
    for key, (name, starter, costs) in (scenario.CRITERIA | (others.CRITERIA if whole else {})).items():
        version = criteria.start_set(site=built.site, name=name, starter=starter, by=built.manager, at=at)
        version = criteria.settle_checks(version=version, costs=costs, by=built.manager, at=at)
        if key == "kinds":
            document = others.asking_of_all_kinds(version.document)
            version = criteria.change_draft(version=version, document=document, by=built.manager, at=at)
        criteria.adopt_version(
            version=version, first_day=built.site.day_of(at), by=built.manager, at=at,
            reason="Compared with the local rules by the safety committee.",
        )  # fmt: skip
        built.sets[key] = version.set


def _instruments(built: Built, instruments: Iterable[tuple[Any, ...]], at: datetime) -> None:
    for name, serial, kind, resolution, lowest, highest, _calibrations in instruments:
        built.instruments[name] = instrument.add_instrument(
            site=built.site, name=name, serial=serial, kind=kind, resolution=resolution, lowest=lowest, highest=highest,
            accuracy_percent="3 %", accuracy_floor="3 ft/min", by=built.manager, at=at,
        )  # fmt: skip


def _calibrate(built: Built, name: str, calibration: tuple[str, int, int, bool], day: date, at: datetime) -> None:
    certificate, days_ago, valid, in_tolerance = calibration
    done_on = day - timedelta(days=days_ago)
    instrument.record_calibration(
        instrument=built.instruments[name], certificate=certificate, laboratory="Skuaness Air Laboratory",
        done_on=done_on, due_on=done_on + timedelta(days=valid), in_tolerance=in_tolerance, by=built.manager,
        at=at,
    )  # fmt: skip


def _register(built: Built, plan: HoodPlan, order: int, at: datetime, day: date) -> None:
    hood = keep_hood.register_hood(
        site=built.site, tag=plan.tag, room=built.rooms[plan.stood_in or plan.room], exhaust=built.exhausts.get(plan.exhaust),
        position=plan.position, order=order, on=day - timedelta(days=plan.installed_days_ago), by=built.manager, at=at,
        kind=plan.kind, control=plan.control, sash=plan.sash, powered=plan.powered, monitor=plan.monitor, glass="laminated" if plan.sash != "none" else "", model="T-60",
        serial=f"{4000 + order}", interior_width=plan.width, work_surface_height="36 in",
        uses_forbidden=plan.uses_forbidden, **dict(zip(("set_point", "alarm_point"), monitors.POINTS[plan.monitor], strict=True)),
        openings=[asdict(one) for one in plan.sashes],
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
    elif what.kind == "moved":
        keep_hood.move_hood(
            room=built.rooms[plan.room], exhaust=built.exhausts.get(plan.exhaust), position=plan.position, **common
        )
    else:
        {"hibernated": keep_hood.hibernate_hood, "retired": keep_hood.retire_hood, "woken": keep_hood.wake_hood}[
            what.kind
        ](**common)


def _started(built: Built, hood: Hood, visit: Visit, at: datetime) -> Draft:
    if not visit.on_paper_by:
        return drafts.start_draft(hood=hood, by=built.surveyor, at=at)
    return transcribing.start_transcription(
        hood=hood, measured_on=built.site.day_of(at) - timedelta(days=1), measured_by=visit.on_paper_by,
        by=built.surveyor, at=at,
    )  # fmt: skip


def _visit(built: Built, plan: HoodPlan, visit: Visit, at: datetime) -> None:
    """One survey from its start to the label on the sash, as a surveyor makes it, or types it in from paper."""
    hood, by = built.hoods[plan.tag], built.surveyor
    draft = _started(built, hood, visit, at)
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
