"""A row of a list beside the hood that the site has: what the list says otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoods.core.ending import of_hood, of_opening
from hoods.inventory_kept import KeptHood
from hoods.inventory_said import PLACE_COLUMNS, Said, SaidOpening, opening_column
from hoods.models import Opening


@dataclass(frozen=True)
class Difference:
    column: str
    before: Any
    after: Any
    ends: str = ""  # what it ends, where that stands approved: "all", or its "opening"
    opening: int | None = None  # which opening of the hood that is
    new: int = 0  # of an opening that the hood does not have: which of its openings it would be


@dataclass(frozen=True)
class Changed:
    """A hood of the site of which the list says something else: by what each action will be given."""

    said: Said
    kept: KeptHood
    hood: Mapping[str, Any]
    place: Mapping[str, Any]
    openings: tuple[tuple[Opening, Mapping[str, Any]], ...]
    added: tuple[SaidOpening, ...]
    differences: tuple[Difference, ...]


def same(kept: Any, said: Any) -> bool:
    """Whether two values are the same, however their lines end."""
    if isinstance(kept, str) and isinstance(said, str):
        return kept.replace("\r\n", "\n").replace("\r", "\n") == said.replace("\r\n", "\n").replace("\r", "\n")
    return bool(kept == said)


def changed(one: Said, kept: KeptHood) -> Changed:
    hood = {name: value for name, value in one.hood.items() if not same(getattr(kept.hood, name), value)}
    place = {name: value for name, value in one.place.items() if not same(kept.place[name], value)}
    have = {opening.name: opening for opening in kept.openings}
    openings, added = [], []
    for said in one.openings:
        if said.name not in have:
            added.append(said)
            continue
        what = {name: value for name, value in said.what.items() if not same(getattr(have[said.name], name), value)}
        if what:
            openings.append((have[said.name], what))
    return Changed(
        one, kept, hood, place, tuple(openings), tuple(added),
        tuple(_differences(one, kept, hood, place, openings, added)),
    )  # fmt: skip


def _differences(
    one: Said, kept: KeptHood, hood: Mapping[str, Any], place: Mapping[str, Any],
    openings: Iterable[tuple[Opening, Mapping[str, Any]]], added: Iterable[SaidOpening],
) -> Iterator[Difference]:  # fmt: skip
    numbers = {opening.name: opening.number for opening in one.openings}
    for name, value in hood.items():
        yield Difference(name.replace("_", " "), getattr(kept.hood, name), value, "all" if of_hood([name]) else "")
    for name, value in place.items():
        yield Difference(PLACE_COLUMNS[name], kept.place[name], value)
    for opening, what in openings:
        for name, value in what.items():
            ends = "opening" if of_opening(opening, {name: value}) else ""
            yield Difference(opening_column(numbers[opening.name], name), getattr(opening, name), value, ends, opening.pk)
    for place, said in enumerate(added, start=len(kept.openings) + 1):
        yield Difference(opening_column(said.number, "name"), "", said.name, new=place)
        for name, value in {"tested_every_survey": said.tested_every_survey, **said.what}.items():
            if value != "":
                yield Difference(opening_column(said.number, name), "", value)
