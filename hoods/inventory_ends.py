"""Which approvals a list of hoods would end, asked before it is kept of whoever knows them; and what is to be known besides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.dispatch import Signal
from django.utils.translation import ngettext

from hoods.core.ending import OPENING_CHANGED, Lost, of_hood, of_opening
from hoods.core.quantity import LIKELY, is_unlikely
from hoods.inventory import Plan
from hoods.inventory_changes import Changed
from hoods.inventory_said import Said

MOST_NAMED = 100  # hoods that are named one by one

#: Asked of changes before they are kept: `hoods` of one site, and `ending`, by hood what would happen to it `at` a moment, as
#: the kind of each event and its opening. Whoever knows approvals answers by hood what would be lost (`Lost`).
approvals_asked = Signal()


@dataclass(frozen=True)
class Ends:
    """What a list would end: hoods by their keys, and the tags of those that lose every approval, some, or their label."""

    lost: Mapping[int, Lost]
    wholly: tuple[str, ...] = ()
    partly: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()

    @property
    def hoods(self) -> int:
        return len(self.lost)

    @property
    def labels_named(self) -> str:
        return named(self.labels)


def named(tags: Iterable[str]) -> str:
    """Tags in a line: the first hundred, and how many more there are."""
    tags = list(tags)
    more = len(tags) - MOST_NAMED
    said = ", ".join(tags[:MOST_NAMED])
    return f"{said} (+ {more})" if more > 0 else said


def ends(plan: Plan, at: datetime) -> Ends:
    """What keeping a plan at a moment would end of what stands approved."""
    events = {one.kept.hood.pk: found for one in plan.changed if (found := list(_events(one)))}
    if not events:
        return Ends({})
    hoods = [one.kept.hood for one in plan.changed if one.kept.hood.pk in events]
    lost: dict[int, Lost] = {}
    for _receiver, answer in approvals_asked.send(sender=Plan, hoods=hoods, ending=events, at=at):
        lost |= answer
    told = [(hood.tag, lost[hood.pk]) for hood in hoods if hood.pk in lost]
    return Ends(
        lost,
        wholly=tuple(tag for tag, one in told if one.wholly),
        partly=tuple(tag for tag, one in told if not one.wholly),
        labels=tuple(tag for tag, one in told if one.label),
    )


def _events(one: Changed) -> Iterator[tuple[str, int | None]]:
    yield from ((kind, None) for kind in of_hood(one.hood))
    for opening, what in one.openings:
        if of_opening(opening, what):
            yield OPENING_CHANGED, opening.pk


# What is to be known besides ---------------------------------------------------------------------------------------------


def cautions(plan: Plan) -> list[str]:
    """What a list changes that people act on and that ends nothing by itself: a sentence each, with its hoods."""
    rules = [one for one in plan.changed if one.kept.hood.uses_forbidden and "uses_forbidden" in one.hood]
    return [
        *_said(
            [one.said.tag for one in rules if not one.hood["uses_forbidden"]],
            lambda number: ngettext(
                "What is forbidden in one hood is taken away: %(hoods)s. An empty cell clears it. If that is not meant, take the column out; if it is, print a new label, and take the old words off the hood.",
                "What is forbidden in %(number)d hoods is taken away: %(hoods)s. An empty cell clears it. If that is not meant, take the column out; if it is, print new labels, and take the old words off the hoods.",
                number,
            ),
        ),
        *_said(
            [one.said.tag for one in rules if one.hood["uses_forbidden"]],
            lambda number: ngettext(
                "Other uses are forbidden in one hood than before: %(hoods)s. What hangs on it says the old ones: print a new label.",
                "Other uses are forbidden in %(number)d hoods than before: %(hoods)s. What hangs on them says the old ones: print new labels.",
                number,
            ),
        ),
        *_said(
            [one.tag for one in plan.added if _is_without_rule(one)],
            lambda number: ngettext(
                "One new perchloric acid hood says nothing in “uses forbidden”: %(hoods)s. Organic materials, which such a hood must never see, are then forbidden on no page of it.",
                "%(number)d new perchloric acid hoods say nothing in “uses forbidden”: %(hoods)s. Organic materials, which such a hood must never see, are then forbidden on no page of theirs.",
                number,
            ),
        ),
        *_said(
            [one.said.tag for one in plan.changed if "exhaust" in one.place],
            lambda number: ngettext(
                "The exhaust of one hood is written otherwise: %(hoods)s. Its approval stands. If the hood has moved or was re-ducted, say so on its page: a move ends its approval.",
                "The exhaust of %(number)d hoods is written otherwise: %(hoods)s. Their approvals stand. If a hood has moved or was re-ducted, say so on its page: a move ends its approval.",
                number,
            ),
        ),
        *_said(
            [*(one.said.tag for one in plan.changed if _is_unlikely(one.hood)), *(one.tag for one in plan.added if _is_unlikely(one.hood))],
            lambda number: ngettext(
                "The monitor of one hood is set to a velocity below %(least)d or above %(most)d ft/min: %(hoods)s. Look for a point in a wrong place or another unit.",
                "The monitors of %(number)d hoods are set to a velocity below %(least)d or above %(most)d ft/min: %(hoods)s. Look for a point in a wrong place or another unit.",
                number,
            ),
        ),
    ]  # fmt: skip


def _is_unlikely(said: Mapping[str, Any]) -> bool:
    return any(is_unlikely(said.get(name) or "") for name in ("set_point", "alarm_point"))


def _is_without_rule(one: Said) -> bool:
    return one.hood.get("kind") == "perchloric-acid" and not one.hood.get("uses_forbidden")


def _said(tags: list[str], words: Any) -> list[str]:
    return [words(len(tags)) % {"number": len(tags), "hoods": named(tags), "least": LIKELY[0], "most": LIKELY[1]}] if tags else []
