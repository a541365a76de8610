"""The rows beside a survey's record: its index for queries. They are only ever inserted, before the record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from surveys.actions.moments import Measured, readings
from surveys.core.sash import flow_state_of
from surveys.facts import Around
from surveys.models import Approval, Judgement, Reading, Survey, Traverse


@dataclass(frozen=True)
class Part:
    """What the rows beside a survey are made from: what was entered and judged, amid which facts, and when."""

    survey: Survey
    entered: Mapping[str, Any]
    judged: Mapping[str, Any]
    around: Around
    moments: Measured


def keep_parts(parts: Sequence[Part]) -> None:
    """Insert the traverses with their readings, the judgements, and the approved openings with their measured size."""
    written = [(one, traverse, row) for one in parts for traverse, row in _traverses(one)]
    Traverse.objects.bulk_create(row for _one, _traverse, row in written)
    Reading.objects.bulk_create(
        Reading(
            traverse=row, row=at_row, column=at_column, repeat=repeat, value=reading["value"],
            at=one.moments.at.get(reading.get("at") or ""), struck=reading.get("struck") or "",
        )
        for one, traverse, row in written
        for _path, at_row, at_column, repeat, reading in readings(traverse)
    )  # fmt: skip
    Judgement.objects.bulk_create(
        row for one in parts for row in _judgements(one.survey, one.judged, adjusted=one.entered["adjusted"])
    )
    Approval.objects.bulk_create(row for one in parts for row in _approvals(one))


def _traverses(part: Part) -> Iterator[tuple[Mapping[str, Any], Traverse]]:
    inventory = {opening.name: opening for opening in part.around.openings}
    written = [*part.entered["traverses"], *part.entered["struck_traverses"]]
    for order, traverse in enumerate(written, start=1):
        yield traverse, Traverse(
            survey=part.survey, order=order, opening=inventory.get(traverse["opening"]),
            opening_name=traverse["opening"], state=traverse["state"], unit=traverse["unit"] or "",
            monitor=traverse["monitor"] or "", rows=len(traverse["readings"]),
            columns=max(map(len, traverse["readings"]), default=0), struck=traverse.get("struck") or "",
        )  # fmt: skip


def _approvals(part: Part) -> Iterator[Approval]:
    inventory = {opening.name: opening for opening in part.around.openings}
    measured = {opening["name"]: opening for opening in part.entered["openings"]}
    stood = {opening["name"]: opening for opening in part.around.as_dict()["openings"]}
    flow_state = flow_state_of(part.around.facts.hood.control, part.entered["conditions"])
    for name in part.judged["approved"]:
        yield Approval(
            survey=part.survey, opening=inventory.get(name), opening_name=name, use=stood[name]["use"],
            way=way_of(stood[name], part.around), width=measured[name]["width"], height=measured[name]["height"],
            cover=(stood[name].get("cover") or {}).get("by") or "", flow_state=flow_state,
        )  # fmt: skip


def way_of(opening: Mapping[str, Any], around: Around) -> str:
    """Which parts move to open it: a vertical sash has one way, elsewhere each opening is its own unless it is said."""
    return "" if around.facts.hood.sash == "vertical" else opening["way"] or opening["name"]


def _judgements(survey: Survey, judged: Mapping[str, Any], *, adjusted: bool) -> Iterator[Judgement]:
    """One row a judgement; without adjustment as found and as left are one set, kept once, as found."""
    for state in ("as-found", "as-left") if adjusted else ("as-found",):
        judged_set = judged["sets"][state]
        for one in judged_set["hood"]:
            yield _judgement(survey, state, "", one)
        for opening in judged_set["openings"]:
            for one in opening["judgements"]:
                yield _judgement(survey, state, opening["opening"], one)


def _judgement(survey: Survey, state: str, opening: str, one: Mapping[str, Any]) -> Judgement:
    value = one.get("value")
    number = value if isinstance(value, Mapping) else {"value": value, "unit": ""}
    return Judgement(
        survey=survey, state=state, opening_name=opening, figure=one.get("figure") or "",
        check_code=one.get("check") or "", limit=one.get("limit"), value=number["value"] or "",
        unit=number.get("unit") or "", outcome=one["outcome"], consequence=one["consequence"],
    )  # fmt: skip
