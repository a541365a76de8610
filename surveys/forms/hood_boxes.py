"""The boxes of what is measured of the hood as a whole, and its places in the survey document: each from the other.

`mn-light` is the light in any state, `mf-noise` the noise as found; `alarmf_trip` what the monitor showed when the alarm,
forced as found, tripped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from surveys.core.hood_figures import OF_AIRFLOW
from surveys.core.units import parted

STATES = {"f": "as-found", "l": "as-left"}
LETTERS = {state: letter for letter, state in STATES.items()}
PLAIN_BOX = re.compile(r"m([nfl])-([a-z-]+)")
ALARM_BOX = re.compile(r"alarm([fl])_(forced|trip|after|sound|light)")
ALARM = ("forced", "trip", "after", "sound", "light")
AMOUNTS = ("trip", "after")
#: Boxes of an alarm that are drawn as questions.
ALARM_QUESTIONS = frozenset(f"alarm{letter}_{what}" for letter in STATES for what in ("sound", "light"))


def plain_box(figure: str, letter: str) -> str:
    """The name of the box of a plain figure; one that does not follow the air has one box for both states."""
    return f"m{letter if figure in OF_AIRFLOW else 'n'}-{figure}"


def to_entries(boxes: Mapping[str, str]) -> dict[str, list[dict[str, str | None]]]:
    """The keys of the document that have something to say."""
    made = {"of_hood": list(_plain(boxes)), "alarms": list(_alarms(boxes))}
    return {key: entries for key, entries in made.items() if entries}


def _plain(boxes: Mapping[str, str]) -> Iterator[dict[str, str | None]]:
    for name in sorted(name for name, text in boxes.items() if text and PLAIN_BOX.fullmatch(name)):
        letter, figure = name[1], name[3:]
        yield {"figure": figure, "state": STATES.get(letter), "value": amount(boxes, name)}


def _alarms(boxes: Mapping[str, str]) -> Iterator[dict[str, str | None]]:
    for letter, state in STATES.items():
        said = {
            what: (amount(boxes, name) if what in AMOUNTS else boxes.get(name)) or None
            for what in ALARM
            for name in [f"alarm{letter}_{what}"]
        }
        if any(said.values()):
            yield {"state": state, **said}


def amount(boxes: Mapping[str, str], name: str, unit: str = "") -> str | None:
    """A number as typed with the unit that stands beside its box; a unit that was typed behind it counts instead."""
    text = boxes.get(name, "")
    if parted(text)[1]:
        return text.strip()
    return f"{text} {boxes.get(f'{name}_unit') or unit}".rstrip() if text else None


def to_texts(document: Mapping[str, Any]) -> Iterator[tuple[str, str, bool]]:
    """Each box with its text, and whether a unit may stand behind the number."""
    for one in document.get("of_hood") or ():
        yield box_of_plain(one), one["value"], True
    for one in document.get("alarms") or ():
        for what in ALARM:
            if one.get(what):
                yield f"alarm{LETTERS.get(one.get('state') or '', 'f')}_{what}", one[what], what in AMOUNTS


def box_of_plain(one: Mapping[str, Any]) -> str:
    return f"m{LETTERS.get(one.get('state') or '', 'n')}-{one['figure']}"


def box_at(kind: str, rest: Sequence[str], document: Mapping[str, Any]) -> str:
    """The box that holds a place of these keys, such as `alarms.0.trip`."""
    one = document[kind][int(rest[0])]
    if kind == "of_hood":
        return box_of_plain(one)
    what = rest[1] if len(rest) > 1 and rest[1] in ALARM else "forced"
    return f"alarm{LETTERS.get(one.get('state') or '', 'f')}_{what}"
