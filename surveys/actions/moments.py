"""When was it measured? By the device's clock, corrected by how far it was off when the reading was first sent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from surveys.core.messages import Message, Problem
from surveys.models import Draft, Revision

#: How far a corrected moment may lie outside the survey before it is asked about: clocks are set by the minute.
TOLERANCE = timedelta(minutes=5)


@dataclass(frozen=True)
class Measured:
    """From the first reading until the last, in UTC."""

    began: datetime
    ended: datetime
    at: Mapping[str, datetime]  # each moment as the device wrote it -> corrected
    problems: tuple[Problem, ...]


def readings(traverse: Mapping[str, Any]) -> Iterator[tuple[str, int, int, int, Mapping[str, Any]]]:
    """Each reading of a traverse as (path, row, column, repeat, reading): rows from the top, all counted from 1."""
    for row, cells in enumerate(traverse.get("readings") or ()):
        for column, cell in enumerate(cells or ()):
            repeated = isinstance(cell, list)
            for repeat, reading in enumerate(cell if isinstance(cell, list) else [cell]):
                if reading is None:
                    continue
                path = f"{row}.{column}.{repeat}" if repeated else f"{row}.{column}"
                if not isinstance(reading, Mapping):
                    reading = {"value": reading}
                yield path, row + 1, column + 1, repeat + 1, reading


def without_moments(entered: dict[str, Any]) -> dict[str, Any]:
    """What was typed in from paper: the moments of typing are no moments of reading, so none is kept."""
    for traverse in (*(entered.get("traverses") or ()), *(entered.get("struck_traverses") or ())):
        for *_place, reading in readings(traverse):
            if isinstance(reading, dict) and "at" in reading:
                reading["at"] = None
    return entered


def measured(draft: Draft, entered: Mapping[str, Any], revisions: Sequence[Revision], until: datetime) -> Measured:
    """The moments of all readings, corrected. Without any, the server's: from the start until the last save.

    A correction copies readings of another day: it was measured when what it corrects was. Paper keeps no moments: what is
    typed in from it was measured on the day that it states.
    """
    if paper := draft.from_paper:
        return Measured(paper.measured_at, paper.measured_at, {}, ())
    corrects = draft.amends if draft.corrects else None
    begun, ended = (corrects.measured_from, corrects.measured_until) if corrects else (draft.started_at, until)
    written: list[str] = []
    counting: list[tuple[str, str]] = []
    for traverse in entered.get("struck_traverses") or ():
        written += [reading["at"] for *_place, reading in readings(traverse) if reading.get("at")]
    for index, traverse in enumerate(entered.get("traverses") or ()):
        for path, _row, _column, _repeat, reading in readings(traverse):
            if not reading.get("at"):
                continue
            written.append(reading["at"])
            if reading.get("struck") is None:
                counting.append((f"traverses.{index}.readings.{path}", reading["at"]))
    corrected = _corrected(written, revisions)
    problems = []
    for path, text in counting:
        moment = corrected.get(text)
        if moment is None or not begun - TOLERANCE <= moment <= until + TOLERANCE:
            shown = moment.strftime("%Y-%m-%d %H:%M UTC") if moment else text
            problems.append(Problem(path, Message("moment-outside", {"at": shown})))
    moments = (corrected[text] for _path, text in counting if text in corrected)
    within = [min(max(moment, begun), ended) for moment in moments]
    last = ended if corrects else revisions[-1].at if revisions else until
    return Measured(
        began=min(within, default=begun), ended=max(within, default=max(begun, last)),
        at=corrected, problems=tuple(problems),
    )  # fmt: skip


def _corrected(written: Iterable[str], revisions: Sequence[Revision]) -> dict[str, datetime]:
    """Each moment by the clock offset of the revision that first held it."""
    corrected = {}
    wanted = dict.fromkeys(written)
    for revision in revisions:
        if not wanted:
            break
        offset = revision.at - revision.device_at if revision.device_at else timedelta()
        for text in [text for text in wanted if text in revision.content]:
            del wanted[text]
            if (device := _moment(text)) is not None:
                corrected[text] = device + offset
    return corrected


def _moment(text: str) -> datetime | None:
    try:
        moment = datetime.fromisoformat(text)
        return moment.astimezone(UTC) if moment.tzinfo else None
    except (ValueError, OverflowError):
        return None
