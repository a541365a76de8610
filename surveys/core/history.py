"""What status is derived from: dated facts of one hood as plain values, loaded for many hoods at once."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from datetime import date, datetime
from typing import Any, NamedTuple

from surveys.core.calibration import Doubt
from surveys.core.due import DueRule


class Event(NamedTuple):
    """Something that happened to the hood, or to one of its openings."""

    kind: str  # installed, moved, retired, hibernated, woken, out-of-service, kind-changed, opening-changed, …
    on: date
    at: datetime  # when it was entered
    until_on: date | None = None  # of an outage: its last planned day
    opening: Hashable = None


class Stop(NamedTuple):
    """A posted 'do not use': from a day until it was lifted or withdrawn, if it was."""

    reason: str
    posted_on: date
    ended_on: date | None = None


class Approved(NamedTuple):
    """An opening at which a survey lets the hood be used, with its height as measured in that survey."""

    name: str
    height: str  # as typed, with its unit: '18 in'
    use: str = "working"
    way: str = ""  # which parts move, in a hood of several ways
    opening: Hashable = None  # the row of the inventory
    cover: str = ""  # what covered a part of it, and stays where it is
    flow_state: str = ""  # of a two-state hood: the state that was tested
    width: str = ""  # as typed, with its unit; empty where earlier records do not tell it
    of_several: bool = False  # its panel is measured at other openings too, so that its width is told


class Surveyed(NamedTuple):
    """A signed survey, as far as status asks."""

    id: Hashable
    record: int
    verdict: str
    done_on: date
    measured_until: datetime
    signed_at: datetime  # of earlier records: when the list was brought in
    full: bool
    reason: str
    version: Hashable  # the criteria version that judged it: the key of its rule
    instrument: Hashable = None
    restriction: Mapping[str, Any] | None = None
    label_issue: int | None = None
    amends: Hashable = None
    signed_here: bool = True  # False: accepted from earlier records
    from_paper: bool = False  # typed in from paper
    says_height: bool = True  # False: of earlier records, and at no opening do they say how high the sash was
    nowhere: str = ""  # of earlier records: why none of such a hood lets anybody use it (core/earlier.py)


class HoodFacts(NamedTuple):
    """All that status asks of one hood. The three maps may be shared by the hoods of a site."""

    events: Sequence[Event] = ()  # by (on, at)
    stops: Sequence[Stop] = ()
    surveys: Sequence[Surveyed] = ()
    approved: Mapping[Hashable, Sequence[Approved]] = {}  # by survey
    rules: Mapping[Hashable, DueRule] = {}  # by criteria version
    doubts: Mapping[Hashable, Sequence[Doubt]] = {}  # by instrument
    one_way: bool = False  # all openings are of one way, as those of a vertical sash are
