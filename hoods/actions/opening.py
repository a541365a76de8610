"""Add an opening to a hood; change one, which may end its approval (`hoods/core/ending.py`)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from hoods.actions import ending, keeping
from hoods.actions.refusal import Refused
from hoods.actions.retired import refuse_retired
from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.core.cover import Cover, field_of, why_not
from hoods.core.ending import SIZE, of_opening
from hoods.core.lower import Sized, higher_than_working, lower_than_working
from hoods.core.panel import of_one_size
from hoods.core.set_back import cannot_be_set_back
from hoods.models import Hood, Opening, Person
from hoods.models.hood import USES
from hoods.words import COVERS, NO_SET_BACK

FIELDS = ("name", "use", "way", "width", "height", "cover", *COVER_MEASURES, "tested_every_survey", "order")


class OpeningNameTaken(Refused):
    said = _("This hood has an opening of this name already: choose another name.")
    field = "name"


class LowerIsHigher(Refused):
    said = _("The lower opening “%(lower)s” would be higher (%(height)s) than the working one (%(most)s): check both.")
    field = "height"


class FullIsLower(Refused):
    said = _("Fully open, the opening “%(full)s” would be lower (%(height)s) than the working one (%(most)s): check both.")
    field = "height"


class SameSize(Refused):
    said = _("The opening “%(other)s” is of this panel and of this size already: write another size, or choose another panel.")
    field = "width"


class NoSetBack(Refused):
    said = NO_SET_BACK
    field = "use"


@transaction.atomic
def add_opening(
    *, hood: Hood, name: str, use: str, width: str, height: str, by: Person, at: datetime, way: str = "",
    tested_every_survey: bool = True, order: int | None = None, why: str = "", **cover: str,
) -> Opening:  # fmt: skip
    """Adds an opening at which the hood is measured from now on [width, height: text with unit]."""
    keeping.one_of(USES, use, "use")
    keeping.only(("cover", *COVER_MEASURES), cover)
    refuse_retired(hood)
    if order is None:
        order = (hood.openings.aggregate(last=Max("order"))["last"] or 0) + 1
    opening = Opening(
        hood=hood, name=name, use=use, way=way, width=width, height=height,
        tested_every_survey=tested_every_survey, order=order, **cover,
    )  # fmt: skip
    refuse_set_back(hood, opening)
    refuse_cover(opening)
    keeping.refuse_alike(name, hood.openings.values_list("name", flat=True), OpeningNameTaken)
    _refuse_heights(opening)
    refuse_same_size(opening, hood.openings.all())
    keeping.add(opening, refusal=OpeningNameTaken, action="opening-added", by=by, at=at, why=why, what=hood)
    return opening


@transaction.atomic
def change_opening(
    *, opening: Opening, by: Person, at: datetime, on: date | None = None, why: str = "", **what: Any
) -> Opening:
    """Changes an opening; what ends its approval is an event of the hood on the day `on` (by default today)."""
    keeping.only(FIELDS, what)
    if "use" in what:
        keeping.one_of(USES, what["use"], "use")
    opening = Opening.objects.select_for_update().get(pk=opening.pk)
    refuse_retired(opening.hood)
    refuse_cover(Opening(**{name: what.get(name, getattr(opening, name)) for name in SIZE | {"cover"}}))
    ends = of_opening(opening, {name: value for name, value in what.items() if value != getattr(opening, name)})
    called = opening.name
    others = opening.hood.openings.exclude(pk=opening.pk).values_list("name", flat=True)
    keeping.refuse_alike(what.get("name", called), others, OpeningNameTaken)
    changed = keeping.change(
        opening, what, refusal=OpeningNameTaken, action="opening-changed", by=by, at=at, why=why, what=opening.hood,
        about={"opening": called},
    )  # fmt: skip
    if "use" in changed:
        refuse_set_back(opening.hood, opening)
    if changed & {"height", "use", "way"}:
        _refuse_heights(opening)
    if changed & (SIZE | {"way"}):
        refuse_same_size(opening, opening.hood.openings.exclude(pk=opening.pk))
    if ends:
        event = ending.opening_event(opening.hood, opening, by=by, at=at, why=why)
        event.on = on or event.on
        ending.enter([event])
    return opening


def refuse_same_size(opening: Opening, others: Iterable[Opening]) -> None:
    """Refuses an opening of a panel that is of the size of another: nothing would tell which of the two was measured."""
    if other := of_one_size(opening.slid, (one.slid for one in others if one is not opening)):
        raise SameSize(other=other.name)


def refuse_set_back(hood: Hood, opening: Opening) -> None:
    """Refuses an opening for set-back of a hood whose flow never changes."""
    if cannot_be_set_back(hood.control, opening.use):
        raise NoSetBack()


def refuse_cover(opening: Opening) -> None:
    """Refuses a cover that has no words, lies outside of its opening, or leaves nothing of it."""
    cover = Cover(opening.cover, *(getattr(opening, name) for name in COVER_MEASURES))
    if wrong := why_not(cover, opening.width, opening.height):
        raise Refused(COVERS[wrong[1]], field=field_of(wrong[0]))


def _refuse_heights(opening: Opening) -> None:
    """Refuses a hood whose heights cannot be, as they would be with this opening."""
    if opening.use not in ("working", "lower", "full-open"):
        return
    others = [other for other in opening.hood.openings.all() if other.pk != opening.pk]
    refuse_heights(Sized(one.name, one.use, one.height, one.way) for one in (*others, opening))


def refuse_heights(openings: Iterable[Sized]) -> None:
    """Refuses a lower opening above all working ones, and a fully open one below a working one."""
    openings = list(openings)
    if full := lower_than_working(openings):
        raise FullIsLower(full=full.full.name, height=full.full.height, most=full.working.height)
    if found := higher_than_working(openings):
        raise LowerIsHigher(lower=found.lower.name, height=found.lower.height, most=found.most.height)
