"""A list of hoods beside what the site has: what it would add, change and leave, and what of it cannot be.

A row of the list is a hood, known by its tag. A hood that the site does not have is added, with its building, room and
exhaust where they are new; of one that it has, only the columns that the list has are held beside what is kept. The
list never renames, moves or retires a hood and never takes an opening away: each of those has its own page, day and
reason. So nothing that has happened is rewritten by a file.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.core.cover import Cover, field_of, why_not
from hoods.core.lower import Sized, higher_than_working, lower_than_working
from hoods.core.panel import Slid, of_one_size
from hoods.core.sameness import folded
from hoods.inventory_changes import Changed, changed, same
from hoods.inventory_kept import Kept, KeptHood, load
from hoods.inventory_said import ROOM_COLUMNS, Problem, Said, SaidOpening, opening_column
from hoods.models import Opening, Site
from hoods.words import COVERS, WAYS


@dataclass
class Plan:
    """What keeping a list would do; nothing may be kept while it has problems."""

    site: Site
    problems: list[Problem] = field(default_factory=list)
    buildings: dict[str, int] = field(default_factory=dict)  # new ones, and the row that first names each
    rooms: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)  # new ones, and what is said of each
    exhausts: dict[str, int] = field(default_factory=dict)
    added: list[Said] = field(default_factory=list)
    changed: list[Changed] = field(default_factory=list)
    left: int = 0

    @property
    def does_something(self) -> bool:
        return bool(self.added or self.changed)

    @property
    def digest(self) -> str:
        """What the plan comes to, in short: who keeps it has seen this one and no other."""
        lines = [
            self.site.pk, sorted(self.buildings), sorted(map(str, self.rooms.items())), sorted(self.exhausts),
            [[one.tag, str(one.on), one.building, one.room, _plain(one)] for one in self.added],
            [
                [one.said.tag, [[each.column, str(each.before), str(each.after)] for each in one.differences]]
                for one in self.changed
            ],
            self.left,
        ]  # fmt: skip
        return hashlib.sha256(json.dumps(lines, default=str).encode()).hexdigest()


def _plain(said: Said) -> list[Any]:
    return [
        dict(said.of_room),
        dict(said.place),
        dict(said.hood),
        [[one.name, dict(one.what)] for one in said.openings],
    ]


def plan(site: Site, said: Sequence[Said], today: date, *, lock: bool = False) -> Plan:
    """What keeping these rows would do on a day; with `lock`, nobody changes these hoods until the transaction ends."""
    kept, made = load(site, lock=lock), Plan(site)
    rows: dict[str, int] = {}
    for one in said:
        problems = [*_why_not_tag(one, kept, rows), *_places(one, kept, made)]
        rows.setdefault(folded(one.tag), one.row)
        hood = kept.hoods.get(one.tag)
        if hood is None:
            problems += _why_not_add(one, kept, today)
        else:
            problems += _why_not_change(one, hood)
        problems += _why_not_powered(one, hood)
        problems += _why_not_openings(one, hood)
        made.problems += problems
        if not problems:
            _enter(made, one, hood)
    made.problems = _missing_once(made.problems)
    return made


def _enter(made: Plan, one: Said, hood: KeptHood | None) -> None:
    if hood is None:
        made.added.append(one)
        return
    found = changed(one, hood)
    if found.differences:
        made.changed.append(found)
    else:
        made.left += 1


NEEDED_OPENING = _("An opening that is new needs this column: add it to the list and fill it in.")
NEEDED = _("A hood that is new needs this column: add it to the list and fill it in.")


def _missing_once(problems: Iterable[Problem]) -> list[Problem]:
    """A column that is missing is missing for every new hood: it is said at the first one alone."""
    met: set[str] = set()
    left = []
    for problem in problems:
        if problem.said in (NEEDED, NEEDED_OPENING):
            if problem.column in met:
                continue
            met.add(problem.column)
        left.append(problem)
    return left


# What cannot be ----------------------------------------------------------------------------------------------------


def _why_not_tag(one: Said, kept: Kept, rows: Mapping[str, int]) -> Iterator[Problem]:
    if first := rows.get(folded(one.tag)):
        said = _("Row %(row)d has this tag already: a tag is written once, with all openings in its row.")
        yield Problem(one.row, "tag", said % {"row": first})
    elif one.tag not in kept.hoods and (other := kept.alike.get(folded(one.tag))):
        said = _("This looks like %(tag)s, which the site has: write it the same way, or choose another tag.")
        yield Problem(one.row, "tag", said % {"tag": other})
    elif one.tag not in kept.hoods and (now := kept.former.get(folded(one.tag))):
        said = _("This is a former tag of %(tag)s: write that one, or register the hood on its page.")
        yield Problem(one.row, "tag", said % {"tag": now})


def _places(one: Said, kept: Kept, made: Plan) -> Iterator[Problem]:
    """Building, room and exhaust of a row: those that are new are entered into the plan."""
    building = one.building and kept.building(one.building, made.buildings)
    if building and building != one.building:
        yield Problem(one.row, "building", _alike(building))
    elif one.building and one.room:
        yield from _room(one, kept, made)
    exhaust = one.place.get("exhaust")
    if exhaust:
        other = kept.exhaust(exhaust, made.exhausts)
        if other is None:
            made.exhausts[exhaust] = one.row
        elif other != exhaust:
            yield Problem(one.row, "exhaust", _alike(other))


def _room(one: Said, kept: Kept, made: Plan) -> Iterator[Problem]:
    known = kept.room(one.building, one.room, made.rooms)
    if known is None:
        if one.building not in kept.buildings:
            made.buildings.setdefault(one.building, one.row)
        made.rooms[one.building, one.room] = dict(one.of_room)
        return
    if known != one.room:
        yield Problem(one.row, "room", _alike(known))
        return
    new = made.rooms.get((one.building, one.room))
    have = new if new is not None else kept.said_of_room(one.building, one.room)
    for column, text in one.of_room.items():
        if new is not None and not new.get(column):
            new[column] = text
        elif not same(have.get(column, ""), text):
            yield Problem(one.row, ROOM_COLUMNS[column], _otherwise(have.get(column, ""), new is None))


def _otherwise(have: str, is_kept: bool) -> Any:
    if is_kept:
        said = _("The site has “%(have)s” for this room: change it on the page of the room, or leave this cell empty.")
    else:
        said = _("A row above says “%(have)s” of this room: write the same, or leave this cell empty.")
    return said % {"have": have}


def _alike(other: str) -> Any:
    return _("This looks like “%(other)s”, which is there already: write it the same way.") % {"other": other}


def _why_not_add(one: Said, kept: Kept, today: date) -> Iterator[Problem]:
    yield from (Problem(one.row, column, NEEDED) for column in one.absent)
    if one.on is not None and one.on > today:
        yield Problem(one.row, "installed on", _("This day is still to come: write the day on which it was done."))
    if not one.openings and "opening 1 name" not in one.absent:
        said = _("A hood is measured at an opening: fill in the columns of opening 1.")
        yield Problem(one.row, "opening 1 name", said)


def _why_not_change(one: Said, hood: KeptHood) -> Iterator[Problem]:
    if hood.life == "retired" and changed(one, hood).differences:
        yield Problem(one.row, "tag", _("This hood is retired, and what is kept of it stays: take its row out."))
    if (one.building, one.room) != ("", "") and not hood.stands(one.building, one.room):
        said = _("%(tag)s stands in %(room)s, and a list moves no hood: move it on its page, or write that room.")
        values = {"tag": one.tag, "room": hood.where or _("no room")}
        yield Problem(one.row, "building" if not one.room else "room", said % values)
    if one.on is not None and one.on != hood.installed_on:
        said = _("%(tag)s was installed on %(day)s, and a list rewrites no day: write that day.")
        yield Problem(one.row, "installed on", said % {"tag": one.tag, "day": hood.installed_on})


def _why_not_powered(one: Said, hood: KeptHood | None) -> Iterator[Problem]:
    """A motor for a sash that is not there; what is kept so may stay."""
    have = {"sash": hood.hood.sash, "powered": hood.hood.powered} if hood else {}
    would = have | {name: one.hood[name] for name in ("sash", "powered") if name in one.hood}
    if would != have and would.get("sash") == "none" and would.get("powered"):
        said = _("A hood without a sash has none for a motor to move: write no, or write its sash.")
        yield Problem(one.row, "powered" if "powered" in one.hood else "sash", said)


def _why_not_way(one: Said, opening: SaidOpening, hood: KeptHood | None, kept: Opening | None) -> Any:
    """A way that the sash does not have, or none where a combination sash needs one; what is kept so may stay."""
    have = (kept.way, kept.use) if kept else ("", "")
    way, use = opening.what.get("way", have[0]), opening.what.get("use", have[1])
    if kept and (way, use) == have:
        return None
    sash = one.hood.get("sash") or (hood.hood.sash if hood else "")
    ways = WAYS.get(sash, {})
    if sash and way and way not in ways:
        if not ways:
            return _("Such a sash opens in one way: leave this cell empty.")
        return _("“%(way)s” is not one of these: %(takes)s.") % {"way": way, "takes": ", ".join(ways)}
    if sash == "combination" and not way and use in ("working", "lower"):
        said = _("A combination sash opens in two ways that must never be open together: write one of %(takes)s.")
        return said % {"takes": ", ".join(ways)}
    return None


def _why_not_cover(one: Said, opening: SaidOpening, kept: Opening | None) -> Iterator[Problem]:
    """What covers a part of an opening as it would be kept; a column that the list lacks stays as it is."""
    names = ("cover", *COVER_MEASURES, "width", "height")
    *covered, width, height = (opening.what.get(name, getattr(kept, name, "")) for name in names)
    if wrong := why_not(Cover(*covered), width, height):
        yield Problem(one.row, opening_column(opening.number, field_of(wrong[0])), COVERS[wrong[1]])


def _why_not_openings(one: Said, hood: KeptHood | None) -> Iterator[Problem]:
    have = {opening.name: opening for opening in hood.openings} if hood else {}
    alike = {folded(name): name for name in have}
    met: dict[str, int] = {}
    for opening in one.openings:
        column, name = f"opening {opening.number} name", folded(opening.name)
        if name in met:
            said = _("Opening %(number)d has this name already: each opening of a hood has a name of its own.")
            yield Problem(one.row, column, said % {"number": met[name]})
        elif opening.name not in have and name in alike:
            yield Problem(one.row, column, _alike(alike[name]))
        elif opening.name not in have:
            lacks = [each for each in ("use", "width", "height") if each not in opening.what]
            yield from (Problem(one.row, opening_column(opening.number, each), NEEDED_OPENING) for each in lacks)
        met.setdefault(name, opening.number)
        if said := _why_not_way(one, opening, hood, have.get(opening.name)):
            yield Problem(one.row, opening_column(opening.number, "way"), said)
        yield from _why_not_cover(one, opening, have.get(opening.name))
    yield from _why_not_heights(one, have)
    yield from _why_not_sizes(one, have)


def _why_not_sizes(one: Said, have: Mapping[str, Opening]) -> Iterator[Problem]:
    """Openings of one panel that would be of one size, each at its width in the list; what is kept so may stay."""
    kept = {name: opening.slid for name, opening in have.items()}
    said = [(opening, _slid(opening, have.get(opening.name))) for opening in one.openings]
    changed = [(opening, new) for opening, new in said if new != kept.get(opening.name)]
    names = {opening.name for opening, _new in changed}
    met = [each for name, each in kept.items() if name not in names]
    for opening, new in changed:
        if other := of_one_size(new, met):
            words = _("The opening “%(other)s” is of this panel and of this size already.")
            yield Problem(one.row, opening_column(opening.number, "width"), words % {"other": other.name})
        met.append(new)


def _slid(opening: SaidOpening, kept: Opening | None) -> Slid:
    """An opening as it would be kept; a column that the list lacks stays as it is."""
    names = ("way", "width", "height", "cover", *COVER_MEASURES)
    way, width, height, *covered = (opening.what.get(name, getattr(kept, name, "")) for name in names)
    return Slid(opening.name, way, width, height, Cover(*covered) if covered[0] else None)


def _why_not_heights(one: Said, have: Mapping[str, Opening]) -> Iterator[Problem]:
    """Heights that cannot be beside one another, at the opening of the list that is one of the two."""
    kept = {name: Sized(name, opening.use, opening.height, opening.way) for name, opening in have.items()}
    named, sized = {opening.name: opening for opening in one.openings}, dict(kept)
    for name, opening in named.items():
        new = {key: opening.what[key] for key in ("use", "height", "way") if key in opening.what}
        sized[name] = kept.get(name, Sized(name, "", ""))._replace(**new)
    if not named:
        return
    if found := higher_than_working(sized.values()):
        said = _(
            "The lower opening “%(lower)s” would be higher (%(height)s) than the working one (%(most)s): check both."
        )
        values = {"lower": found.lower.name, "height": found.lower.height, "most": found.most.height}
        yield from _at_height(one, named.get(found.lower.name) or named.get(found.most.name), said % values)
    full = lower_than_working(sized.values())
    if full and full != lower_than_working(kept.values()):
        said = _("Fully open, the opening “%(full)s” would be lower (%(height)s) than the working one (%(most)s): check both.")
        values = {"full": full.full.name, "height": full.full.height, "most": full.working.height}
        yield from _at_height(one, named.get(full.full.name) or named.get(full.working.name), said % values)


def _at_height(one: Said, opening: SaidOpening | None, said: Any) -> Iterator[Problem]:
    if opening is not None:
        yield Problem(one.row, opening_column(opening.number, "height"), said)
