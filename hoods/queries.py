"""What pages and actions ask of the inventory: who stands where, what is found by a tag, a code or a room."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import Any

from django.db.models import (
    Exists,
    ExpressionWrapper,
    F,
    Field,
    FilteredRelation,
    JSONField,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
)
from django.db.models.functions import Coalesce

from hoods.core.code import normalised, read_as
from hoods.models import FormerName, Hood, HoodEvent, Person, Placement, Room

#: Events that say whether a hood is there to be used; the last one holds.
LIFE = ("installed", "retired", "hibernated", "woken")
OUTAGE = ("out-of-service", "back-in-service")


def hoods_found(person: Person, text: str) -> QuerySet[Hood]:
    """The hoods that this person may see whose tag, code, room or former name has this text; all without a text.

    A former tag or code leads to the hood that gave it up, unless a hood has it now.
    """
    hoods = Hood.objects.visible_to(person).with_room()
    text = text.strip()
    if not text:
        return hoods
    named = Q(tag__icontains=text) | Q(code=normalised(text)) | Q(room_id__in=rooms_found(person, text).values("pk"))
    former = Exists(
        FormerName.objects.filter(hood=OuterRef("pk")).filter(
            Q(kind="tag", text__iexact=text) | Q(kind="code", text=normalised(text))
        )
    )
    taken = hoods.filter(tag__iexact=text).exists()
    return hoods.filter(named if taken else named | former)


def rooms_found(person: Person, text: str) -> QuerySet[Room]:
    """Rooms by number, name or building, or by building and number as they are written together."""
    found = Q(number__icontains=text) | Q(name__icontains=text) | Q(building__name__icontains=text)
    building, _, number = text.rpartition(" ")
    if building:
        found |= Q(building__name__icontains=building, number__icontains=number)
    return Room.objects.visible_to(person).filter(found)


def codes_among(tags: Iterable[str]) -> set[str]:
    """The codes of hoods of any site, of now or of before, that these tags would be read as."""
    read = {code for tag in tags if (code := read_as(tag))}
    if not read:
        return read
    former = FormerName.objects.filter(kind="code", text__in=read)
    return {*Hood.objects.filter(code__in=read).values_list("code", flat=True), *former.values_list("text", flat=True)}


def codes_read_in_tags() -> set[str]:
    """What tags of any site, of now or of before, would be read as: no hood is given such a code."""
    former = FormerName.objects.filter(kind="tag").values_list("text", flat=True)
    tags = {*Hood.objects.values_list("tag", flat=True), *former}
    return {code for tag in tags if (code := read_as(tag))}


def rooms_by_number(hoods: Iterable[Hood]) -> dict[int, Room]:
    """The rooms of hoods that carry `room_id`, in one query."""
    return Room.objects.select_related("building").in_bulk({hood.room_id for hood in hoods if hood.room_id})


def without_retired(hoods: QuerySet[Hood], on: date | None = None) -> QuerySet[Hood]:
    """Those that are not retired, as it stands or as it stood on a day."""
    return hoods.alias(rest=_rest(on)).exclude(rest="retired")


def retired(hoods: QuerySet[Hood], on: date) -> QuerySet[Hood]:
    return hoods.alias(rest=_rest(on)).filter(rest="retired")


def _rest(on: date | None) -> Coalesce:
    """What a hood rests by, `retired` or `hibernated`, and `woken` or nothing where it does not: as its status has it."""
    last = HoodEvent.objects.filter(hood=OuterRef("pk"), kind__in=("retired", "hibernated", "woken"))
    if on is not None:
        last = last.filter(on__lte=on)
    return Coalesce(Subquery(last.order_by("-on", "-at", "-pk").values("kind")[:1]), Value(""))


def last_event(hood: Hood, kinds: Iterable[str]) -> HoodEvent | None:
    return hood.events.filter(kind__in=tuple(kinds)).order_by("-on", "-at", "-pk").first()


def life(hood: Hood) -> str:
    """`installed`, `woken`, `hibernated` or `retired`, whichever came last."""
    last = last_event(hood, LIFE)
    return last.kind if last else "installed"


def outage(hood: Hood, today: date) -> HoodEvent | None:
    """The outage that has not ended by a day, whether it has begun or is to come."""
    last = last_event(hood, OUTAGE)
    if last is None or last.kind == "back-in-service":
        return None
    return last if last.until_on is None or last.until_on >= today else None


def as_walked(hoods: QuerySet[Hood], on: date) -> QuerySet[Hood]:
    """Hoods with where each stands on a day (`placed`), in walking order: building, room, place in the room, tag.

    What stands nowhere comes last. The database puts them in order, so that a page is found without reading the others.
    """
    last = Placement.objects.filter(hood=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk").values("pk")[:1]
    placed = FilteredRelation("placements", condition=Q(placements__pk=Subquery(last)))
    room = "placed__room__"
    return hoods.annotate(placed=placed).order_by(
        F(f"{room}building__order").asc(nulls_last=True), f"{room}building__name", f"{room}order", f"{room}number",
        "placed__order", "tag", "pk",
    )  # fmt: skip


class Gathered(Subquery):
    """The rows of a query that belong to a row, as one value of it: a list with the columns of each, in no order.

    What would be a query of its own for all rows comes with them, so that a page asks less often.
    """

    def __init__(self, rows: QuerySet, *columns: str) -> None:
        self.names = [f"c{number}" for number in range(len(columns))]
        named = rows.order_by().values(**{name: F(column) for name, column in zip(self.names, columns, strict=True)})
        super().__init__(named, output_field=JSONField())

    def as_sql(self, compiler: Any, connection: Any, **context: Any) -> tuple[str, Any]:
        listed = ", ".join(connection.ops.quote_name(name) for name in self.names)
        made = {"sqlite": "JSON_GROUP_ARRAY(JSON_ARRAY(%s))", "postgresql": "JSONB_AGG(JSONB_BUILD_ARRAY(%s))"}
        template = f"(SELECT {made[connection.vendor] % listed} FROM (%(subquery)s) gathered)"  # noqa: S608
        return super().as_sql(compiler, connection, template=template, **context)


class Kept(Field):
    """A value as the database hands it over: a text, a number, a day, yes or no. Django's own way asks twice what it is."""


def kept(column: str) -> ExpressionWrapper:
    """A column for `values_list` of many rows; of moments `utc` makes what they are."""
    return ExpressionWrapper(F(column), output_field=Kept())


def utc(moment: datetime) -> datetime:
    """A moment as the database hands it over, given its zone where it is kept without one."""
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


#: The same of moments that many rows share: what was entered by one list was entered at one.
shared_utc = lru_cache(maxsize=4096)(utc)
