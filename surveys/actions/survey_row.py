"""The row of a survey that is about to be signed: what its judgement comes to for the hood."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from surveys.actions.moments import Measured
from surveys.core.due import next_due
from surveys.facts import Around
from surveys.models import Draft, Survey

GRANTING = ("pass", "restrict")


def survey_row(
    draft: Draft, judged: Mapping[str, Any], entered: Mapping[str, Any], stands: Around, moments: Measured, *,
    moved: bool, amends: Survey | None, **signed: Any,
) -> Survey:  # fmt: skip
    """The survey with its verdict, its next due day and its label's number; not saved.

    It gives no label without a due day: where neither it nor one before was full, no label could say by when it is due.
    """
    verdict, full = judged["verdict"], is_full(judged, entered)
    due_on = _due_on(draft, stands, verdict, full, amends)
    return Survey(
        draft=draft, hood=draft.hood, version=draft.version, instrument=stands.instrument,
        calibration=stands.calibration, done_on=draft.done_on, measured_from=moments.began,
        measured_until=moments.ended, verdict=verdict, as_found=judged["sets"]["as-found"]["verdict"],
        held=judged["label"], restriction=judged["restriction"], full=full,
        due_on=due_on, label_issue=_label_issue(stands, judged, moved) if due_on else None,
        amends=amends, **signed,
    )  # fmt: skip


def is_full(judged: Mapping[str, Any], entered: Mapping[str, Any]) -> bool:
    """Whether all that the version asks was done, notes included.

    A ratio to a benchmark that was never set is no undone work: nobody could have done it on this visit.
    """
    if entered["ended_early"] or judged["verdict"] == "no-verdict":
        return False
    decides = judged["sets"]["as-left"]
    each = [*decides["hood"], *(one for opening in decides["openings"] for one in opening["judgements"])]
    return all(one["outcome"] != "not-tested" or one.get("figure") == "benchmark-ratio" for one in each)


def is_moved(entered: Any, judged: Mapping[str, Any]) -> bool:
    """Whether the stop and mark were entered as moved to the height that the restriction names."""
    return entered is True or (bool(entered) and entered == (judged["restriction"] or {}).get("largest_opening"))


def _due_on(draft: Draft, stands: Around, verdict: str, full: bool, amends: Survey | None) -> date | None:
    """When the hood is due again: from this survey if it was full, else as the last full one said.

    An amendment counts from the day of what it amends.
    """
    if verdict not in GRANTING:
        return None
    if full:
        earlier_by_key = {earlier.pk: earlier for earlier in stands.earlier}
        while amends is not None and amends.amends_id is not None:
            amends = earlier_by_key[amends.amends_id]
        return next_due(amends.done_on if amends else draft.done_on, draft.version.document["due"]).on
    counted = [earlier for earlier in stands.earlier if earlier.full and earlier.verdict in GRANTING]
    last = max(counted, key=lambda earlier: (earlier.measured_until, earlier.record_id), default=None)
    return last.due_on if last else None


def _label_issue(stands: Around, judged: Mapping[str, Any], moved: bool) -> int | None:
    """The number of the label that this survey gives, or None: one lower height needs the stop and mark moved to it.

    A canopy never gets one: it is not for hazardous vapours, and a label would let somebody think otherwise.
    """
    if judged["verdict"] not in GRANTING or not judged["approved"] or stands.facts.hood.kind == "canopy":
        return None
    if "largest_opening" in (judged["restriction"] or {}) and not moved:
        return None
    return max((earlier.label_issue or 0 for earlier in stands.earlier), default=0) + 1
