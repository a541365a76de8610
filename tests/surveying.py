"""Surveys made by the same actions as on the page: criteria adopted and assigned, an instrument, drafts, signatures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from datetime import UTC, date, datetime, timedelta
from itertools import count
from typing import Any

from hoods.models import Hood, Person, Site
from surveys.actions.assignment import assign_criteria
from surveys.actions.criteria import adopt_version, change_draft, start_set
from surveys.actions.drafts import Receipt, save_revision, start_draft
from surveys.actions.instrument import add_instrument, record_calibration
from surveys.actions.signing import Seen, sign_survey
from surveys.models import CriteriaVersion, Draft, Instrument, Survey
from tests.making import AT, ON

SURVEYED = datetime(2026, 3, 12, 13, 30, tzinfo=UTC)  # a winter day: London's clock is UTC
CRITERIA: dict[str, Any] = {
    "compare": "as-measured",
    "edge_exclusion": "0 in",
    "least_height": "6 in",
    "must_pass": [],
    "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"},
    "due": {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None},
    "limits": [
        {"figure": "average", "at_least": "80 ft/min", "at_most": "120 ft/min", "applies_to": "each", "consequence": "fail"},
        {"figure": "lowest", "at_least": "70 ft/min", "applies_to": "each", "consequence": "restrict",
         "restriction": "not for highly toxic materials"},
    ],
    "checks": [
        {"check": "smoke-at-opening", "applies_to": "each", "consequence": "fail"},
        {"check": "sash-moves-and-stays", "applies_to": "hood", "consequence": "fail"},
        {"check": "light-works", "applies_to": "hood", "consequence": "note"},
    ],
}  # fmt: skip
STARTER = "average-100-lowest-70"  # only to start from: `make_version` writes its own document

_names = count(1)
_forms = count(1)


def make_version(
    site: Site, by: Person, document: Mapping[str, Any] | None = None, *, name: str = "", first_day: date = ON,
    at: datetime = AT,
) -> CriteriaVersion:  # fmt: skip
    """A version of a new set, adopted."""
    version = start_set(site=site, name=name or f"Criteria {next(_names)}", starter=STARTER, by=by, at=at)
    version = change_draft(version=version, document=document or CRITERIA, by=by, at=at)
    return adopt_version(version=version, first_day=first_day, reason="agreed with the safety office", by=by, at=at)


def make_instrument(
    site: Site, by: Person, *, name: str = "", done_on: date = date(2025, 4, 1), due_on: date = date(2030, 3, 31),
    **fields: Any,
) -> Instrument:  # fmt: skip
    """An anemometer that reads to 1 ft/min, with one calibration."""
    number = next(_names)
    fields = {"resolution": "1 ft/min", "lowest": "20 ft/min", "highest": "600 ft/min"} | fields
    at = max(AT, datetime(done_on.year, done_on.month, done_on.day, 12, tzinfo=UTC))
    instrument = add_instrument(site=site, name=name or f"A-{number:02}", serial=f"S{number}", by=by, at=at, **fields)
    record_calibration(
        instrument=instrument, certificate=f"C-{number}", laboratory="Skua calibration bench", done_on=done_on,
        due_on=due_on, by=by, at=at,
    )  # fmt: skip
    return instrument


def grid(values: Sequence[str], columns: int = 5) -> list[list[str]]:
    return [list(values[start : start + columns]) for start in range(0, len(values), columns)]


GOOD = grid(["98", "101", "95", "97", "100", "103", "99", "103", "98", "102"])
UNEVEN = grid(["69", "92", "92", "91", "92", "96", "97", "98", "95", "92"])  # one low point, not a quarter off: restricted
SLOW = grid(["70", "74", "73", "71", "68", "72", "75", "76", "73", "68"])


def entered(instrument: Instrument | None = None, readings: Any = None, **changes: Any) -> dict[str, Any]:
    """A survey document as the page sends it: one working opening of 62 by 18 in, met by everything."""
    made: dict[str, Any] = {
        "openings": [{"name": "working", "width": "62 in", "height": "18 in"}],
        "traverses": [
            {"opening": "working", "state": "as-found", "unit": "ft/min", "monitor": None,
             "readings": GOOD if readings is None else readings}
        ],
        "answers": [
            {"check": "smoke-at-opening", "opening": "working", "state": "as-found", "answer": "yes"},
            {"check": "sash-moves-and-stays", "answer": "yes"},
            {"check": "light-works", "answer": "yes"},
        ],
        "adjusted": False,
        "reason": "annual",
        "instrument": str(instrument.pk) if instrument else None,
    }  # fmt: skip
    return deepcopy(made | changes)


def with_lower(instrument: Instrument, working: Any = None, lower: Any = None, **changes: Any) -> dict[str, Any]:
    """A survey whose working opening is too slow and whose lower one, 12 in high, is good."""
    made = entered(instrument, SLOW if working is None else working)
    made["openings"].append({"name": "lower", "width": "62 in", "height": "12 in"})
    made["traverses"].append(
        {"opening": "lower", "state": "as-found", "unit": "ft/min", "monitor": None,
         "readings": [[*GOOD[0], "102"]] if lower is None else lower}
    )  # fmt: skip
    made["answers"].append({"check": "smoke-at-opening", "opening": "lower", "state": "as-found", "answer": "yes"})
    return made | deepcopy(changes)


LOWER = (("working", "working", "62 in", "18 in"), ("lower", "lower", "62 in", "12 in"))


def assign(hood: Hood, version: CriteriaVersion, by: Person, *, from_on: date = ON, at: datetime = AT) -> None:
    assign_criteria(hoods=[hood], set=version.set, from_on=from_on, why="agreed", by=by, at=at)


def save(draft: Draft, content: Any, by: Person, at: datetime = SURVEYED, **how: Any) -> Receipt:
    """Keep content as the next revision, from a form of its own."""
    last = draft.revisions.order_by("-number").first()
    how = {"form_id": f"form-{next(_forms)}", "made_from": last.number if last else 0} | how
    return save_revision(draft=draft, content=content, by=by, at=at, **how)


def seen(draft: Draft) -> Seen:
    """What the review page showed: the last revision and the version."""
    return Seen(draft.revisions.order_by("-number").values_list("number", flat=True).first() or 0, draft.version_id)


def sign(draft: Draft, by: Person, at: datetime = SURVEYED + timedelta(minutes=20), **how: Any) -> Survey:
    return sign_survey(draft=draft, seen=how.pop("seen", None) or seen(draft), by=by, at=at, **how)


def survey(hood: Hood, content: Any, by: Person, at: datetime = SURVEYED, **how: Any) -> Survey:
    """A survey from start to signature, in twenty minutes."""
    draft = start_draft(hood=hood, by=by, at=at)
    save(draft, content, by, at + timedelta(minutes=15))
    return sign(draft, by, at + timedelta(minutes=20), **how)
