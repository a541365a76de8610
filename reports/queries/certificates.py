"""Which certificates belong into one file: of a room, a building or a site, as they stand today or of twelve months."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice
from typing import Any

from django.db.models import Exists, OuterRef
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods.models import Building, Hood, HoodEvent, Person, Placement, Room, Site
from reports.core.period import Period
from reports.pdf.bundle import Document, Front, HoodFile, Without
from reports.queries.prints import address, amended_by
from reports.wording import STATUSES
from surveys import queries
from surveys.core.messages import Message
from surveys.core.status import NOT_SURVEYED, OVERDUE, RETIRED, Status
from surveys.models import Survey
from surveys.wording import day, sentence

GRANTING = ("pass", "restrict")
AT_ONCE = 40  # records that are read together: no more of them is kept in memory


@dataclass(frozen=True)
class Scope:
    """What was asked for: a room, a building or the whole site; today, or twelve months."""

    site: Site
    today: date
    room: Room | None = None
    building: Building | None = None
    period: Period | None = None

    @property
    def on(self) -> date:
        """The day by which hoods stand where they stand."""
        return self.period.until(self.today) if self.period else self.today

    @property
    def where(self) -> str:
        if self.room:
            said = {"building": self.room.building.name, "room": self.room.number}
            return _("%(building)s, room %(room)s") % said
        return self.building.name if self.building else self.site.name

    @property
    def title(self) -> str:
        if self.period is None:
            return _("Certificates of %(where)s") % {"where": self.where}
        said = {"where": self.where, "first": _day(self.period.first), "last": _day(self.period.last)}
        return _("Certificates of %(where)s, %(first)s to %(last)s") % said

    @property
    def file_name(self) -> str:
        when = self.period.name if self.period else self.today.isoformat()
        return _("certificates %(where)s %(when)s.pdf") % {"where": self.where, "when": when}


@dataclass(frozen=True)
class Found:
    """The hoods asked for in walking order, and the surveys of each whose document belongs into the file."""

    scope: Scope
    lines: Sequence[queries.Line]
    surveys: Mapping[int, Sequence[Survey]]
    today: Mapping[int, Status]  # how each of them stands today, whatever day is asked for

    def front(self, without: Sequence[Without]) -> Front:
        """The first page in words."""
        every = [survey for some in self.surveys.values() for survey in some]
        granting, amended = sum(map(grants, every)), sum(survey.is_amended for survey in every)
        answers = [
            ngettext("%(number)s certificate of %(hoods)s in this file", "%(number)s certificates of %(hoods)s in this file", granting)
            % {"number": granting, "hoods": _hoods(len(self.lines) - len(without))}
        ]  # fmt: skip
        if reports := len(every) - granting - amended:
            said = ngettext(
                "and %(number)s report of a survey whose criteria were not met or that has no verdict",
                "and %(number)s reports of surveys whose criteria were not met or that have no verdict",
                reports,
            )
            answers.append(said % {"number": reports})
        if amended:
            said = ngettext(
                "and %(number)s document that a later survey amends, marked so",
                "and %(number)s documents that later surveys amend, marked so",
                amended,
            )
            answers.append(said % {"number": amended})
        if without:
            said = _("%(without)s of %(hoods)s without a certificate: listed here with the reason")
            answers.append(said % {"without": len(without), "hoods": _hoods(len(self.lines))})
        barred = self.barred()
        if barred:
            said = ngettext(
                "%(number)s hood of this list is not to be used today, %(day)s: named here with the reason",
                "%(number)s hoods of this list are not to be used today, %(day)s: named here with the reason",
                len(barred),
            )
            answers.append(said % {"number": len(barred), "day": _day(self.scope.today)})
        canopies = self.canopies()
        if canopies:
            said = ngettext(
                "%(number)s canopy of this list is for heat and steam alone: named here",
                "%(number)s canopies of this list are for heat and steam alone: named here",
                len(canopies),
            )
            answers.append(said % {"number": len(canopies)})
        made = _("Hoods as they stood on %(day)s (%(zone)s), in walking order.")
        return Front(
            site=self.scope.site.name,
            title=self.scope.title,
            answers=answers,
            made=made % {"day": _day(self.scope.on), "zone": self.scope.site.time_zone},
            without=without,
            barred=barred,
            canopies=canopies,
            today=_day(self.scope.today),
        )

    def barred(self) -> list[Without]:
        """Hoods whose status today grants no use, and why, in walking order: a certificate of theirs grants none either.

        A canopy that may draw off heat and steam is told apart.
        """
        made = []
        for line in self.lines:
            status = self.today[line.hood.pk]
            if not (status.in_use or status.is_canopy):
                told = (status.unlabelled,) if status.unlabelled else status.reasons
                why = " ".join([f"{STATUSES[status.code]}.", *map(sentence, told)])
                made.append(Without(line.hood.tag, _place(line), why))
        return made

    def canopies(self) -> list[Without]:
        """Canopies that may be used for what they are for, in walking order, and what no certificate of theirs allows."""
        found = [(line, self.today[line.hood.pk]) for line in self.lines]
        return [
            Without(line.hood.tag, _place(line), sentence(status.unlabelled or status.why_no_label))
            for line, status in found
            if status.is_canopy
        ]

    def without(self) -> list[Without]:
        """Hoods without a certificate, and why, in walking order."""
        made = []
        for line in self.lines:
            surveys = self.surveys.get(line.hood.pk, ())
            if not any(map(grants, surveys)):
                why = " ".join(_why(line, surveys, self.scope))
                made.append(Without(line.hood.tag, _place(line), why))
        return made

    def files(self) -> Iterator[HoodFile]:
        """Hood by hood, its documents read when they are drawn: each hood's before the next one is asked for."""
        lines = [line for line in self.lines if line.hood.pk in self.surveys]
        documents = _documents([survey.pk for line in lines for survey in self.surveys[line.hood.pk]])
        for line in lines:
            place = f", {line.placement.room}" if line.placement else ""
            yield HoodFile(f"{line.hood.tag}{place}", islice(documents, len(self.surveys[line.hood.pk])))


def _place(line: queries.Line) -> str:
    return str(line.placement.room) if line.placement else "–"


def find(scope: Scope, person: Person) -> Found:
    """The hoods that the person may see, and their surveys: all of the period, or the one that each rests on today."""
    lines = standing_in(person, scope.on, scope.site, scope.room, scope.building)
    if scope.period is None:
        lines = [line for line in lines if line.status.code != RETIRED]
        return Found(scope, lines, _standing(lines), {line.hood.pk: line.status for line in lines})
    surveys = _surveyed([line.hood.pk for line in lines], scope.period)
    there = _there([line.hood.pk for line in lines], scope.period)
    listed = [line for line in lines if line.hood.pk in there or line.hood.pk in surveys]
    return Found(scope, listed, surveys, queries.statuses([line.hood for line in listed], scope.today))


def standing_in(
    person: Person, on: date, site: Site, room: Room | None = None, building: Building | None = None
) -> list[queries.Line]:
    """The hoods that the person may see and that stand in a room, a building or on the site on a day, in walking order."""
    hoods = Hood.objects.visible_to(person).filter(site=site)
    if room is None and building is None:
        return queries.lines(hoods, on)
    stood = Placement.objects.filter(room=room) if room else Placement.objects.filter(room__building=building)
    lines = queries.lines(hoods.filter(pk__in=stood.order_by().values("hood")), on)
    there = [(line, line.placement.room) for line in lines if line.placement]
    return [line for line, its in there if (its == room if room else its.building_id == building.pk)]


def _standing(lines: Sequence[queries.Line]) -> dict[int, list[Survey]]:
    """The survey with the last verdict of each hood, where it still says something of the hood as it stands."""
    asked = [line.status.survey for line in lines if line.status.survey and line.status.code != NOT_SURVEYED]
    return {survey.hood_id: [survey] for survey in _rows().filter(pk__in=asked)}


def _surveyed(hoods: Sequence[int], period: Period) -> dict[int, list[Survey]]:
    """Every survey signed of these months, oldest first."""
    found: dict[int, list[Survey]] = defaultdict(list)
    rows = _rows().filter(done_on__range=(period.first, period.last)).order_by("measured_until", "record")
    asked = set(hoods)
    for survey in rows.filter(hood__in=hoods):
        if survey.hood_id in asked:
            found[survey.hood_id].append(survey)
    return dict(found)


def _rows() -> Any:
    amended = Exists(Survey.objects.order_by().filter(amends=OuterRef("pk")))
    rows = Survey.objects.only("draft_id", "hood_id", "record_id", "verdict", "done_on", "measured_until")
    return rows.annotate(is_amended=amended)


def grants(survey: Any) -> bool:
    """Whether the document of a survey is a certificate that no other survey amends."""
    return survey.verdict in GRANTING and not survey.is_amended


def _there(hoods: Sequence[int], period: Period) -> set[int]:
    """Hoods that were there on some day of the period: installed by its last day, not retired before its first."""
    installed: set[int] = set()
    retired: set[int] = set()
    events = HoodEvent.objects.filter(hood__in=hoods, on__lte=period.last, kind__in=("installed", "retired"))
    for hood, kind, on in events.values_list("hood_id", "kind", "on"):
        if kind == "installed":
            installed.add(hood)
        elif on < period.first:
            retired.add(hood)
    return installed - retired


def _documents(keys: Sequence[Any]) -> Iterator[Document]:
    """The documents of surveys in this order, a few at once."""
    for start in range(0, len(keys), AT_ONCE):
        some = keys[start : start + AT_ONCE]
        asked = Survey.objects.filter(pk__in=some).select_related("record", "hood__site").prefetch_related("amended_by")
        rows = {row.pk: row for row in asked}
        for key in some:
            record = rows[key].record
            attested = record.attested
            code = attested["facts"]["hood"]["code"]
            yield Document(attested, record.sha256, address(code), amended_by(rows[key]))


def _why(line: queries.Line, surveys: Sequence[Survey], scope: Scope) -> list[str]:
    """Why a hood has no certificate: what its surveys found, or what its status says."""
    status, said = line.status, []
    for survey in surveys:
        if survey.is_amended:
            said.append(_("The survey of %(day)s was amended by another.") % {"day": _day(survey.done_on)})
        elif survey.verdict == "fail":
            said.append(sentence(Message("last-survey-failed", {"on": survey.done_on.isoformat()})))
        else:
            said.append(_("The survey of %(day)s ended without a verdict.") % {"day": _day(survey.done_on)})
    if surveys:
        said.append(_("What was found stands in this file, as a report."))
    elif scope.period:
        said.append(_("No survey was signed in these months."))
    said += [sentence(reason) for reason in status.reasons]
    overdue = status.flag(OVERDUE)
    if overdue and overdue.since:
        said.append(_("Its survey is overdue since %(day)s.") % {"day": _day(overdue.since)})
    return list(dict.fromkeys(said))


def _hoods(number: int) -> str:
    return ngettext("%(number)s hood", "%(number)s hoods", number) % {"number": number}


def _day(on: date) -> str:
    return day(on.isoformat())
