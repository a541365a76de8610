"""What a signed survey leaves to be seen to, and what it settles: from what was judged, as plain values.

Opens, as left (as found and as left are one set where nothing was adjusted):

    fail, restrict, note   a limit or check of that consequence is not met; or it was not met as found, and as left does
                           not show it mended: unfinished work hides nothing
    fail                   the survey was ended early for a reason that stops a hood
    mended-on-visit        a limit or check was not met as found and is met as left
    label-not-held         what the label allowed did not hold as found

Closes:

    fail, restrict         the same figure or check at the same opening, as left, is met: by what of it costs the same
                           or more under the criteria of that day, or by all that is judged of it where nothing does.
                           Criteria that judge it less strictly are the site's written decision: see `is_as_strict`
    fail, by its end       the survey ended pass or restrict
    note, mended-on-visit, label-not-held   never by a survey; a person says why

An amendment takes the place of what it amends: what that one found and the amendment does not find any more is closed
by it, whatever its kind, as long as the amendment looked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

from surveys.core import codes
from surveys.core.checks import CHECK
from surveys.core.criteria import Asked, Criteria, Limit
from surveys.core.facts import HoodFacts
from surveys.core.units import NotANumber, length

FAIL, RESTRICT, NOTE = "fail", "restrict", "note"
LABEL_NOT_HELD, MENDED_ON_VISIT = "label-not-held", "mended-on-visit"
KINDS = (FAIL, RESTRICT, LABEL_NOT_HELD, MENDED_ON_VISIT, NOTE)  # the gravest first
BY_SURVEY = (FAIL, RESTRICT)  # closed by a signed survey that met them, not by a person
GRANTING = ("pass", "restrict")

Judgement = Mapping[str, Any]


class Thing(NamedTuple):
    """What a finding is of. A hood has at most one open finding of the same thing."""

    kind: str
    figure: str = ""
    check: str = ""
    opening: str = ""  # empty: the hood itself
    ended: str = ""  # the reason for which the survey was ended


class Found(NamedTuple):
    """A thing that was found, with the value it had and the limit that it did not meet."""

    thing: Thing
    limit: int | None = None  # its place among the limits of the version
    value: str = ""
    unit: str = ""


class Left(NamedTuple):
    """What one survey says of findings: what it found, and what of each thing it judged as left."""

    found: tuple[Found, ...]
    outcomes: Mapping[tuple[str, str, str], tuple[Judgement, ...]]  # by figure, check and opening
    verdict: str
    label: str

    def is_met(self, thing: Thing) -> bool:
        """Whether this survey looked at a thing and found it met."""
        if thing.ended:
            return self.verdict in GRANTING
        if thing.kind == LABEL_NOT_HELD:
            return self.label == "held"
        deciding = that_decide(self.outcomes.get((thing.figure, thing.check, thing.opening), ()), thing.kind)
        return bool(deciding) and all(one["outcome"] == "met" for one in deciding)

    def closes(self, thing: Thing) -> bool:
        """Whether this survey closes an open finding of this thing."""
        return thing.kind in BY_SURVEY and self.is_met(thing)

    def takes_back(self, thing: Thing) -> bool:
        """Whether, as an amendment, it closes a finding that rests on what it amends alone."""
        return self.is_met(thing) and all(one.thing != thing for one in self.found)


def that_decide(judged: Sequence[Judgement], kind: str) -> list[Judgement]:
    """What of a thing decides whether it is met: what costs the same or more; all of it where nothing does."""
    gravest = BY_SURVEY[: BY_SURVEY.index(kind) + 1] if kind in BY_SURVEY else (kind,)
    return [one for one in judged if one["consequence"] in gravest] or list(judged)


def is_as_strict(new: Criteria, limits: Iterable[int], old: Criteria, limit: int) -> bool:
    """Whether who met these limits of new criteria has met the old limit too, judged the same way."""
    if (new.compare, new.edge_exclusion) != (old.compare, old.edge_exclusion):
        return False
    was, unit = old.limits[limit], old.limits[limit].unit
    now = [new.limits[each] for each in limits]
    least = [one.at_least.to(unit) for one in now if one.at_least]
    most = [one.at_most.to(unit) for one in now if one.at_most]
    reaches = was.at_least is None or any(bound >= was.at_least.to(unit) for bound in least)
    return reaches and (was.at_most is None or any(bound <= was.at_most.to(unit) for bound in most))


def left_by(judged: Mapping[str, Any], ended: str | None) -> Left:
    """What a survey leaves: `judged` as its record holds it, `ended` the reason for which it was ended early."""
    as_found, as_left = judged["sets"]["as-found"], judged["sets"]["as-left"]
    found: dict[Thing, Found] = {}
    if ended in codes.REASONS_THAT_STOP_A_HOOD:
        _keep(found, Found(Thing(FAIL, ended=str(ended))))
    if judged["label"] == "not-held":
        _keep(found, Found(Thing(LABEL_NOT_HELD)))
    then = {(opening, *_key(one)): one for opening, one in _judgements(as_left)}
    for opening, one in _judgements(as_left):
        if one["outcome"] == "not-met":
            _keep(found, _found(one["consequence"], opening, one))
    for opening, one in _judgements(as_found):
        later = then.get((opening, *_key(one)))
        if one["outcome"] != "not-met" or (later is not None and later["outcome"] == "not-met"):
            continue
        mended = later is not None and later["outcome"] == "met"
        _keep(found, _found(MENDED_ON_VISIT if mended else one["consequence"], opening, one))
    return Left(tuple(found.values()), _outcomes(as_left), judged["verdict"], judged["label"])


def _keep(found: dict[Thing, Found], one: Found) -> None:
    """The first of the same thing: a lower limit on a figure and a higher one are one thing to mend."""
    if one.thing.kind in KINDS:
        found.setdefault(one.thing, one)


def _judgements(judged_set: Mapping[str, Any]) -> Iterator[tuple[str, Judgement]]:
    for opening in judged_set["openings"]:
        for one in opening["judgements"]:
            yield opening["opening"], one
    for one in judged_set["hood"]:
        yield "", one


def _key(one: Judgement) -> tuple[Any, ...]:
    return one.get("figure") or "", one.get("check") or "", one.get("limit")


def _found(kind: str, opening: str, one: Judgement) -> Found:
    figure, check, limit = _key(one)
    number = one.get("value") if figure else None
    value, unit = (number["shown"], number["unit"]) if number else ("", "")
    return Found(Thing(kind, figure, check, opening), limit, value, unit)


def _outcomes(judged_set: Mapping[str, Any]) -> dict[tuple[str, str, str], tuple[Judgement, ...]]:
    made: dict[tuple[str, str, str], tuple[Judgement, ...]] = {}
    for opening, one in _judgements(judged_set):
        figure, check, _limit = _key(one)
        key = (figure, check, opening)
        made[key] = (*made.get(key, ()), one)
    return made


# --- is it still asked? -----------------------------------------------------------------------------------------------


class OpeningNow(NamedTuple):
    """An opening of the inventory as it is now."""

    name: str
    use: str
    height: str


def is_asked(thing: Thing, criteria: Criteria, openings: Sequence[OpeningNow], hood: HoodFacts) -> bool:
    """Whether a survey under these criteria would judge this thing, so that a survey can close it.

    An opening that was renamed or is gone is asked for no more; the end of a survey always is.
    """
    if thing.ended:
        return True
    items = [item for item in _items(criteria, hood) if _is_of(item, thing)]
    if not thing.opening:
        return any(item.applies_to == "hood" for item in items)
    now = next((opening for opening in openings if opening.name == thing.opening), None)
    if now is None:
        return False
    use = _use(now, criteria)
    return any(item.applies_to == use or (item.applies_to == "each" and use in codes.CANDIDATE_USES) for item in items)


def _items(criteria: Criteria, hood: HoodFacts) -> Iterable[Limit | Asked]:
    """What these criteria ask of this hood: a wash-down of those that have one, a monitor's error of those that show one."""
    for limit in criteria.limits:
        if limit.figure.is_for(hood):
            yield limit
    yield from (asked for asked in criteria.checks if asked.check.is_for(hood))


def _is_of(item: Limit | Asked, thing: Thing) -> bool:
    if isinstance(item, Limit):
        return item.figure.code == thing.figure
    return item.check.code == thing.check and thing.check in CHECK


def _use(opening: OpeningNow, criteria: Criteria) -> str:
    try:
        height: Fraction | None = length(opening.height) if opening.height else None
    except NotANumber:
        height = None
    if opening.use == "lower" and height is not None and height < criteria.least_height.to("m"):
        return "other"
    return opening.use
