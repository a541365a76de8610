"""A list of hoods beside what the site has: what it would add, change and leave, and what of it cannot be.

A row of the list is a hood, known by its tag. A hood that the site does not have is added, with its building, room and
exhaust where they are new; of one that it has, only the columns that the list has are held beside what is kept. The
list never renames, moves or retires a hood and never takes an opening away: each of those has its own page, day and
reason. So nothing that has happened is rewritten by a file.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from hoods.core.code import read_as
from hoods.core.sameness import folded, folded_tag
from hoods.inventory_changes import Changed, changed, same
from hoods.inventory_kept import Kept, KeptHood, load
from hoods.inventory_openings import why_not_openings
from hoods.inventory_said import ROOM_COLUMNS, Problem, Said, alike, opening_column, said_once
from hoods.models import Site
from hoods.words import CANOPY_WITH_SASH


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
    def hoods(self) -> int:
        """How many hoods it would write."""
        return len(self.added) + len(self.changed)

    @property
    def openings(self) -> int:
        """How many openings it would add to hoods that the site has."""
        return sum(len(one.added) for one in self.changed)

    @property
    def places(self) -> list[tuple[str, Any, Mapping[str, Any]]]:
        """What is new besides hoods: building, room or exhaust, its name, and what is said of it."""
        return [
            *(("building", name, {}) for name in self.buildings),
            *(("room", name, what) for name, what in self.rooms.items()),
            *(("exhaust", name, {}) for name in self.exhausts),
        ]

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
    kept, made = load(site, (one.tag for one in said), lock=lock), Plan(site)
    rows: dict[str, int] = {}
    for one in said:
        problems = [*_why_not_tag(one, kept, rows), *_places(one, kept, made)]
        rows.setdefault(_looks(one, kept), one.row)
        hood = kept.hoods.get(one.tag)
        if hood is None:
            problems += _why_not_add(one, kept, today)
        else:
            problems += _why_not_change(one, hood)
        problems += _why_not_powered(one, hood)
        problems += _why_not_canopy(one, hood)
        problems += why_not_openings(one, hood)
        made.problems += problems
        if not problems:
            _enter(made, one, hood)
    made.problems = said_once(made.problems)
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


# What cannot be ----------------------------------------------------------------------------------------------------


def _looks(one: Said, kept: Kept) -> str:
    """A tag as it is held beside those of other rows: two that the site has already may be parted in different ways."""
    return folded(one.tag) if one.tag in kept.hoods else folded_tag(one.tag)


def _why_not_tag(one: Said, kept: Kept, rows: Mapping[str, int]) -> Iterator[Problem]:
    if first := rows.get(_looks(one, kept)):
        said = _("Row %(row)d has this tag already: a tag is written once, with all openings in its row.")
        yield Problem(one.row, "tag", said % {"row": first})
    elif one.tag not in kept.hoods and (other := kept.alike.get(folded_tag(one.tag))):
        said = _("This looks like %(tag)s, which the site has: write it the same way, or choose another tag.")
        yield Problem(one.row, "tag", said % {"tag": other})
    elif one.tag not in kept.hoods and (now := kept.former.get(folded_tag(one.tag))):
        said = _("This is a former tag of %(tag)s: write that one, or register the hood on its page.")
        yield Problem(one.row, "tag", said % {"tag": now})
    elif one.tag not in kept.hoods and kept.codes and read_as(one.tag) in kept.codes:
        yield Problem(one.row, "tag", _("A label of a hood has this tag for its code: choose another tag."))


def _places(one: Said, kept: Kept, made: Plan) -> Iterator[Problem]:
    """Building, room and exhaust of a row: those that are new are entered into the plan."""
    building = one.building and kept.building(one.building, made.buildings)
    if building and building != one.building:
        yield Problem(one.row, "building", alike(building))
    elif one.building and one.room:
        yield from _room(one, kept, made)
    elif (hood := kept.hoods.get(one.tag)) and hood.placement:
        room = hood.placement.room
        yield from _why_not_of_room(one, kept.said_of_room(room.building.name, room.number), _kept)
    exhaust = one.place.get("exhaust")
    if exhaust:
        other = kept.exhaust(exhaust, made.exhausts)
        if other is None:
            made.exhausts[exhaust] = one.row
        elif other != exhaust:
            yield Problem(one.row, "exhaust", alike(other))


def _room(one: Said, kept: Kept, made: Plan) -> Iterator[Problem]:
    known = kept.room(one.building, one.room, made.rooms)
    if known is None:
        if one.building not in kept.buildings:
            made.buildings.setdefault(one.building, one.row)
        made.rooms[one.building, one.room] = dict(one.of_room)
        return
    if known != one.room:
        yield Problem(one.row, "room", alike(known))
        return
    new = made.rooms.get((one.building, one.room))
    if new is None:
        yield from _why_not_of_room(one, kept.said_of_room(one.building, one.room), _kept)
        return
    new |= {column: text for column, text in one.of_room.items() if not new.get(column)}
    yield from _why_not_of_room(one, new, _above)


def _why_not_of_room(one: Said, have: Mapping[str, Any], otherwise: Callable[[str], Any]) -> Iterator[Problem]:
    """What a row says of its room and is not what is said of it; an empty cell says nothing."""
    for column, text in one.of_room.items():
        if not same(have.get(column, ""), text):
            yield Problem(one.row, ROOM_COLUMNS[column], otherwise(have.get(column, "")))


def _kept(have: str) -> Any:
    if not have:
        return _("The site has nothing here for this room: write it on the page of the room, or leave this cell empty.")
    said = _("The site has “%(have)s” for this room: change it on the page of the room, or leave this cell empty.")
    return said % {"have": have}


def _above(have: str) -> Any:
    return _("A row above says “%(have)s” of this room: write the same, or leave this cell empty.") % {"have": have}


NEEDED = _("A hood that is new needs this column: add it to the list and fill it in.")


def _why_not_add(one: Said, kept: Kept, today: date) -> Iterator[Problem]:
    yield from (Problem(one.row, column, NEEDED, of_column=True) for column in one.absent)
    if one.on is not None and one.on > today:
        yield Problem(one.row, "installed on", _("This day is still to come: write the day on which it was done."))
    if not one.openings and "opening 1 name" not in one.absent:
        said = _("A hood is measured at an opening: fill in the columns of opening 1.")
        yield Problem(one.row, "opening 1 name", said)
    elif one.openings and not any(opening.what.get("use", "working") == "working" for opening in one.openings):
        said = _("No opening of this hood is one that people work at: write “working” as the use of that one, or add it.")
        yield Problem(one.row, opening_column(one.openings[0].number, "use"), said)


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


def _why_not_canopy(one: Said, hood: KeptHood | None) -> Iterator[Problem]:
    """A canopy with a sash; what is kept so may stay."""
    have = {"kind": hood.hood.kind, "sash": hood.hood.sash} if hood else {}
    would = have | {name: one.hood[name] for name in ("kind", "sash") if name in one.hood}
    if would != have and would.get("kind") == "canopy" and would.get("sash", "none") != "none":
        yield Problem(one.row, "sash" if "sash" in one.hood else "kind", CANOPY_WITH_SASH)


def _why_not_powered(one: Said, hood: KeptHood | None) -> Iterator[Problem]:
    """A motor for a sash that is not there; what is kept so may stay."""
    have = {"sash": hood.hood.sash, "powered": hood.hood.powered} if hood else {}
    would = have | {name: one.hood[name] for name in ("sash", "powered") if name in one.hood}
    if would != have and would.get("sash") == "none" and would.get("powered"):
        said = _("A hood without a sash has none for a motor to move: write no, or write its sash.")
        yield Problem(one.row, "powered" if "powered" in one.hood else "sash", said)
