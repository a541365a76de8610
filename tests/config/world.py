"""A small institute of its own, with one of everything that an address can name; and the addresses themselves."""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.urls.resolvers import RoutePattern

from hoods.models import ExhaustSystem, Person, Role, Room, Site
from hoods.views.inventory_list import put_by
from surveys.actions.criteria import start_set
from surveys.actions.drafts import start_draft
from surveys.actions.earlier import bring_in_results
from surveys.actions.stops import post_stop
from surveys.models import Finding, SetAside
from surveys.views import earlier_import
from tests import making, surveying


@dataclass(frozen=True)
class Address:
    """One address of the program: its view's name, its route, and the names of what stands in the route."""

    view: str
    route: str
    parts: dict[str, str]  # name -> kind: int, uuid, str

    @property
    def kind(self) -> str:
        """What the address is about, by what stands before its first number: hoods, criteria/sets."""
        return re.split(r"[<(]", self.route.replace("[Hh]", "H").lstrip("^"))[0].rstrip("/")

    def nowhere(self) -> str:
        """The address of something that does not exist."""
        absent = {"int": 987654321, "uuid": uuid.UUID(int=7), "str": "ZZZZ-ZZZZ"}
        named = {name: absent[kind] for name, kind in self.parts.items()}
        if "issue" in named:
            named["issue"] = "1"
        return reverse(self.view, kwargs=named)


def addresses() -> list[Address]:
    return list(_addresses(get_resolver(), "", []))


def _addresses(resolver: URLResolver, before: str, spaces: list[str]) -> Iterator[Address]:
    for each in resolver.url_patterns:
        route = before + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from _addresses(each, route, [*spaces, each.namespace] if each.namespace else spaces)
        else:
            yield Address(":".join([*spaces, each.name or "?"]), route, _parts(each))


def _parts(pattern: URLPattern) -> dict[str, str]:
    if isinstance(pattern.pattern, RoutePattern):
        kinds = {"IntConverter": "int", "UUIDConverter": "uuid"}
        return {name: kinds.get(type(kind).__name__, "str") for name, kind in pattern.pattern.converters.items()}
    return dict.fromkeys(pattern.pattern.regex.groupindex, "str")


@dataclass(frozen=True)
class World:
    """One of everything, of one site; `things` are by what stands before their number in an address."""

    site: Site
    room: Room
    things: dict[str, Any]
    aside: SetAside

    def paths(self, address: Address) -> list[str]:
        """The address of this world's own thing; of a survey that is signed and of one in the making."""
        if not address.parts:
            return [reverse(address.view)]
        things = self.things[address.kind]
        things = things if isinstance(things, tuple) else (things,)
        return [reverse(address.view, kwargs=self.named(address, thing)) for thing in things]

    def named(self, address: Address, thing: Any) -> dict[str, Any]:
        if "code" in address.parts:
            return {"code": thing.code, "issue": "1"} if "issue" in address.parts else {"code": thing.code}
        if address.parts.keys() == {"id", "pk"}:
            return {"id": self.aside.draft_id, "pk": self.aside.pk}
        return dict.fromkeys(address.parts, thing.pk)


def make_world(site: Site, room: Room, by: Person, person: Person, mark: str = "") -> World:
    """A hood with openings, surveys, a stop, an instrument and criteria, made by the actions; `mark` begins every name."""
    hood = making.make_hood(room=room, by=by, tag=f"{mark}FH-1", openings=surveying.LOWER)
    other = making.make_hood(room=room, by=by, tag=f"{mark}FH-2")
    exhaust = ExhaustSystem.objects.create(site=site, name=f"{mark}EF-3")
    version = surveying.make_version(site, by, name=f"{mark}Criteria")
    drafted = start_set(site=site, name=f"{mark}Drafted", starter=surveying.STARTER, by=by, at=making.AT)
    instrument = surveying.make_instrument(site, by, name=f"{mark}A-07")
    for each in (hood, other):
        surveying.assign(each, version, by)
    entered = surveying.entered(instrument)
    entered["answers"][-1]["answer"] = "no"  # the light does not work: a note, and a finding
    survey = surveying.survey(hood, entered, by)
    draft = start_draft(hood=other, by=by, at=surveying.SURVEYED + timedelta(hours=2))
    surveying.save(draft, surveying.entered(instrument), by)
    aside = SetAside.objects.create(
        draft=draft, content="{}", sha256="0" * 64, form_id="f", made_from=0, at=surveying.SURVEYED, by=by
    )
    waiting = put_by(by, site, "hoods.csv", f"tag,maker\n{mark}FH-1,Alder\n".encode())
    listed = f"tag,measured on,result\n{mark}FH-1,2025-06-02,pass\n".encode()
    said, plan = earlier_import.planned(site, listed)
    batch, _plan = bring_in_results(
        site=site, said=said, seen=plan.digest, name="old.csv", sha256="0" * 64, by=by, at=surveying.SURVEYED
    )
    earlier = earlier_import.put_by(by, site, "older.csv", listed.replace(b"2025-06-02", b"2025-06-03"))
    stop = post_stop(hood=other, reason="glass-broken", by=by, at=surveying.SURVEYED)
    return World(site, room, {
        "H": hood, "hoods": hood, "rooms": room, "buildings": room.building, "exhausts": exhaust,
        "openings": hood.openings.first(), "people": person, "roles": Role.objects.filter(person=person).last(),
        "stops": stop, "instruments": instrument, "criteria": (version, drafted), "criteria/sets": version.set,
        "surveys": (survey, draft), "inventory/import": SimpleNamespace(pk=waiting), "findings": Finding.objects.get(survey=survey),
        "earlier": batch, "earlier/import": SimpleNamespace(pk=earlier),
    }, aside)  # fmt: skip
