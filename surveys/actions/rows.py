"""The rows beside a survey's record: its index for queries. They are only ever inserted, before the record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from surveys.actions.moments import Measured, readings
from surveys.facts import Around
from surveys.models import Approval, Judgement, Reading, Survey, Traverse


def keep_parts(
    survey: Survey, entered: Mapping[str, Any], judged: Mapping[str, Any], around: Around, moments: Measured
) -> None:
    """Insert the traverses with their readings, the judgements, and the approved openings with their measured size."""
    inventory = {opening.name: opening for opening in around.openings}
    written = [*entered["traverses"], *entered["struck_traverses"]]
    traverses = Traverse.objects.bulk_create(
        Traverse(
            survey=survey, order=order, opening=inventory.get(traverse["opening"]), opening_name=traverse["opening"],
            state=traverse["state"], unit=traverse["unit"] or "", monitor=traverse["monitor"] or "",
            rows=len(traverse["readings"]), columns=max(map(len, traverse["readings"]), default=0),
            struck=traverse.get("struck") or "",
        )
        for order, traverse in enumerate(written, start=1)
    )  # fmt: skip
    Reading.objects.bulk_create(
        Reading(
            traverse=row, row=at_row, column=at_column, repeat=repeat, value=reading["value"],
            at=moments.at.get(reading.get("at") or ""), struck=reading.get("struck") or "",
        )
        for row, traverse in zip(traverses, written, strict=True)
        for _path, at_row, at_column, repeat, reading in readings(traverse)
    )  # fmt: skip
    Judgement.objects.bulk_create(_judgements(survey, judged, adjusted=entered["adjusted"]))
    measured = {opening["name"]: opening for opening in entered["openings"]}
    stood = {opening["name"]: opening for opening in around.as_dict()["openings"]}
    Approval.objects.bulk_create(
        Approval(
            survey=survey, opening=inventory.get(name), opening_name=name, use=stood[name]["use"],
            way=way_of(stood[name], around), width=measured[name]["width"], height=measured[name]["height"],
        )
        for name in judged["approved"]
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
