"""From rows to the plain values that prints take: labels from today's status, certificates from the record alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from hoods.models import Building, Hood, Person, Placement, Room, Site
from hoods.queries import without_retired
from reports.pdf.canopy import CanopySign
from reports.pdf.certificate import Amended
from reports.pdf.labels import Label
from reports.pdf.stop import StopSign
from reports.pdf.stop import moment as stop_moment
from surveys import queries
from surveys.core import sash, units
from surveys.core.approval import highest, lowest_average
from surveys.core.front import called
from surveys.core.messages import Message
from surveys.core.status import NOT_SURVEYED, Status, grants_label
from surveys.models import LabelPutOn, Stop, Survey
from surveys.wording import day, sentence
from surveys.words import STOP_REASONS


@dataclass(frozen=True)
class Printable:
    """A hood's label today: the survey that gives it, and what it says."""

    line: queries.Line
    survey: Survey
    label: Label

    @property
    def hood(self) -> Hood:
        return self.line.hood


@dataclass(frozen=True)
class NoLabel:
    """A hood that has no label today, and why."""

    line: queries.Line
    why: Message

    @classmethod
    def of(cls, line: queries.Line) -> NoLabel:
        return cls(line, line.status.why_no_label or Message("no-label-for-status", {}))

    @property
    def hood(self) -> Hood:
        return self.line.hood

    @property
    def status(self) -> Status:
        return self.line.status

    @property
    def sentence(self) -> str:
        return sentence(self.why)


def address(code: str, issue: int | None = None) -> str:
    """The address behind a printed code, in capitals as far as an address may be: fewer and larger modules."""
    site = settings.SITE_URL
    if not urlsplit(site).path.strip("/"):
        site = site.upper()
    return f"{site}/H/{code}" + (f"/{issue}" if issue else "")


def amended_by(survey: Survey) -> Amended | None:
    """What became of a signed survey, for its print: the one that amends it, if one does."""
    amendment = next(iter(survey.amended_by.all()), None)
    if amendment is None:
        return None
    signed_on = survey.hood.site.day_of(amendment.signed_at).isoformat()
    stands = amendment.verdict == "no-verdict" and survey.verdict == "fail"
    return Amended(amendment.record_id, signed_on, stands)


def hoods_in(
    person: Person, on: date, site: Site, room: Room | None = None, building: Building | None = None
) -> QuerySet[Hood]:
    """The hoods that the person may see and that stand in a room, a building or on the site today and are not retired."""
    hoods = without_retired(Hood.objects.visible_to(person).filter(site=site), on)
    if room is None and building is None:
        return hoods
    rooms = [room.pk] if room else Room.objects.filter(building=building).order_by().values("pk")
    return hoods.with_room(on).filter(room_id__in=rooms)  # type: ignore[attr-defined]


def labels_today(hoods: Sequence[Hood], on: date) -> list[Printable | NoLabel]:
    """The label of each hood by its status on the day, in the order given; where there is none, why."""
    statuses, places = queries.statuses(hoods, on), queries.placements(hoods, on)
    return labels_of([queries.Line(hood, places.get(hood.pk), statuses[hood.pk]) for hood in hoods])


def labels_of(lines: Sequence[queries.Line]) -> list[Printable | NoLabel]:
    """The label of each line of a list, in its order; where there is none, why."""
    labels = {one.hood.pk: one for one in printable([line for line in lines if grants_label(line.status)])}
    return [labels.get(line.hood.pk) or NoLabel.of(line) for line in lines]


def printable(lines: Sequence[queries.Line]) -> list[Printable]:
    """The labels of hoods that have one, in the order given, from their records."""
    rows = Survey.objects.filter(pk__in=[line.status.survey for line in lines])
    surveys = {row.pk: row for row in rows.select_related("version__set", "signed_by", "record")}
    return [
        Printable(
            line,
            surveys[line.status.survey],
            _label(line.hood, surveys[line.status.survey], line.status, line.placement),
        )
        for line in lines
    ]


def not_put_on(surveys: Sequence[Any]) -> set[Any]:
    """Of the keys of surveys those whose label nobody has confirmed on the sash."""
    return set(surveys) - set(LabelPutOn.objects.filter(survey__in=surveys).values_list("survey_id", flat=True))


def _label(hood: Hood, survey: Survey, status: Status, place: Placement | None) -> Label:
    """What the label of a survey says; the survey's own words come from its record."""
    attested = survey.record.attested
    top = highest(status.approved)
    restriction = status.restriction or {}
    site = hood.site
    told = sash.lines(status.approved, hood.sash, restriction, site.height_from)
    average, at, is_lowest = _average(attested, status, hood.sash)
    caution = _("Meeting criteria does not guarantee containment.")
    if site.telephone:
        caution += " " + _("Questions: call %(telephone)s.") % {"telephone": site.telephone}
    return Label(
        status="restricted" if survey.verdict == "restrict" or restriction else "met-criteria",
        sash=units.both(top.height) if top and not told else None,
        openings=tuple(sentence(line) for line in told),
        measured_from="work-surface" if site.height_from == "work-surface" else "airfoil",
        tag=hood.tag,
        room=str(place.room) if place else "",
        tested_on=survey.done_on,
        from_paper=bool(attested["survey"].get("transcribed")),
        initials=(attested["survey"].get("transcribed") or attested["signed"]["by"])["initials"],
        average=average,
        average_height=at,
        is_lowest=is_lowest,
        criteria=_("%(set)s, version %(version)s")
        % {"set": attested["criteria"]["set"], "version": attested["criteria"]["version"]},
        issue=survey.label_issue or 0,
        code=hood.code,
        address=address(hood.code, survey.label_issue),
        caution=caution,
        due=survey.due_on,
        use=restriction.get("use"),
        not_openings=None if told else ", ".join(restriction.get("not_openings", ())) or None,
    )


def _average(attested: dict[str, Any], status: Status, kind: str) -> tuple[str, str, bool]:
    """The average of what the label grants, in both units, where it was measured, and whether it is the lowest of several."""
    found = {one["opening"]: one["figures"].get("average") for one in attested["judged"]["sets"]["as-left"]["openings"]}
    told = lowest_average(status.approved, kind, {name: _text(number) for name, number in found.items() if number})
    if told is None:
        return "–", "", False
    at = units.both(told.opening.height) if kind == "vertical" else sentence(called(told.opening, kind))
    return units.both(told.average), at, told.of > 1


def _text(number: dict[str, str]) -> str:
    return f"{number['shown']} {number['unit']}"


def stop_sign_today(hood: Hood, on: date) -> StopSign | None:
    """The 'Do not use' sign of a hood by its status on the day; None where the hood may be used."""
    status = queries.status_of(hood, on)
    if status.grants:
        return None
    place = queries.placements([hood], on).get(hood.pk)
    site = hood.site
    stops = list(hood.stops.select_related("by").order_by("at", "pk"))
    over = set(hood.stops.filter(changes__kind__in=("lifted", "withdrawn")).values_list("pk", flat=True))
    up = [(number, stop) for number, stop in enumerate(stops, start=1) if stop.pk not in over]
    number, stop = up[0] if up else (None, None)
    if stop is not None:
        since = stop_moment(stop.at, site.time_zone, _)
    else:
        since = day(status.since.isoformat()) if status.since else "–"
    return StopSign(
        sash=hood.sash,
        tag=hood.tag,
        place=_("%(building)s, room %(room)s") % {"building": place.room.building.name, "room": place.room.number}
        if place
        else "–",
        site=site.name,
        reason=_why_not_to_use(status, [one for _number, one in up]),
        since=since,
        posted_by=stop.by.name if stop else None,
        telephone=site.telephone or "–",
        emergency=site.emergency.strip() or None,
        code=hood.code,
        address=address(hood.code),
        number=number,
    )


def canopy_sign_today(hood: Hood, on: date) -> CanopySign | None:
    """The sign of a canopy by its status on the day; None of any other hood, and where it must not be used at all."""
    status = queries.status_of(hood, on)
    if not status.is_canopy:
        return None
    place, site = queries.placements([hood], on).get(hood.pk), hood.site
    return CanopySign(
        tag=hood.tag,
        place=_("%(building)s, room %(room)s") % {"building": place.room.building.name, "room": place.room.number}
        if place
        else "–",
        site=site.name,
        surveyed=day(status.since.isoformat()) if status.since else "–",
        due=day(status.due.on.isoformat()) if status.due else "",
        telephone=site.telephone or "–",
        code=hood.code,
        address=address(hood.code),
    )


def _why_not_to_use(status: Status, up: Sequence[Stop]) -> str:
    """What was posted, in the words of who posted it, and what else the status says."""
    said = []
    if status.code == NOT_SURVEYED:
        said.append(_("Not yet surveyed: do not use until commissioned."))
    for stop in up:
        reason, words = str(STOP_REASONS.get(stop.reason, stop.reason)), stop.words.strip().rstrip(".")
        said.append(f"{reason}: {words}." if words else f"{reason}.")
    said += [sentence(reason) for reason in status.reasons if not reason.code.startswith("stopped")]
    return " ".join(dict.fromkeys(said))
