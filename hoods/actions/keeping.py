"""How an action keeps a row: set what is new, save, and write the entry with what was before and what is after."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from django.db import IntegrityError, models, transaction

from hoods.actions.refusal import Refused, UnknownChoice
from hoods.core.sameness import folded
from hoods.models import Entry, Person, Placement


def plain(value: Any) -> Any:
    """A value as the log keeps it: text, a number, true, false or nothing."""
    if isinstance(value, models.Model):
        return {"id": value.pk, "name": str(value)}
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    return value


def only(allowed: Iterable[str], what: Mapping[str, Any]) -> None:
    """Refuses a field that the action does not take."""
    for name in what:
        if name not in allowed:
            raise UnknownChoice(value=name)


def one_of(choices: Iterable[str], value: str, field: str) -> None:
    if value not in choices:
        raise UnknownChoice(value=value, field=field)


def refuse_alike(name: str, others: Iterable[str], refusal: type[Refused]) -> None:
    """Refuses a name that looks like another's, or differs from it in capitals alone: people read it as that one."""
    if folded(name) in map(folded, others):
        raise refusal()


def keep(thing: models.Model, refusal: type[Refused]) -> None:
    """Saves a row; where a constraint of the database refuses it, says so in words."""
    try:
        with transaction.atomic():
            thing.save()
    except IntegrityError as error:
        raise refusal() from error


def add(
    thing: models.Model, *, refusal: type[Refused], action: str, by: Person | None, at: datetime, why: str = "",
    what: models.Model | None = None,
) -> None:  # fmt: skip
    """Keeps a new row; its entry is about `what`, where the row has no page of its own."""
    keep(thing, refusal)
    Entry.objects.add(by=by, at=at, action=action, what=what or thing, after=as_dict(thing), why=why)


def entry_of(
    thing: models.Model, *, action: str, by: Person, at: datetime, why: str = "", what: models.Model | None = None
) -> Entry:
    """The entry of a row that was added, not kept yet: for many rows that are kept together."""
    about = what or thing
    return Entry(
        by=by, at=at, action=action, thing=about._meta.model_name or "", thing_id=str(about.pk), after=as_dict(thing),
        why=why,
    )  # fmt: skip


def change(
    thing: models.Model, new: Mapping[str, Any], *, refusal: type[Refused], action: str, by: Person | None,
    at: datetime, why: str = "", what: models.Model | None = None, about: Mapping[str, Any] | None = None,
) -> frozenset[str]:  # fmt: skip
    """Sets what differs, and gives the names of the fields that did; nothing is written where nothing does.

    `about` tells in the entry which row it was, where the entry is of another thing.
    """
    different = {name: value for name, value in new.items() if getattr(thing, name) != value}
    if not different:
        return frozenset()
    before, after = set_values(thing, different)
    keep(thing, refusal)
    after |= about or {}
    Entry.objects.add(by=by, at=at, action=action, what=what or thing, before=before, after=after, why=why)
    return frozenset(different)


def set_values(thing: models.Model, new: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Sets fields of a row that is not saved yet; what they were and what they are, as the log keeps them."""
    before = {name: plain(getattr(thing, name)) for name in new}
    for name, value in new.items():
        setattr(thing, name, value)
    return before, {name: plain(value) for name, value in new.items()}


def where(placement: Placement) -> dict[str, Any]:
    """A placement as the log keeps it."""
    return {name: plain(getattr(placement, name)) for name in ("room", "exhaust", "position", "order", "from_on")}


def as_dict(thing: models.Model) -> dict[str, Any]:
    """The columns of a row as the log keeps them; never a password."""
    return {
        field.name: plain(getattr(thing, field.name))
        for field in thing._meta.concrete_fields
        if not field.primary_key and field.name != "password"
    }
