"""What was measured of the hood beside its traverses: plain figures, and what its alarm did when it was forced."""

from collections.abc import Mapping
from typing import Any

from reports.pdf import figures
from reports.pdf.wording import Wording

Record = Mapping[str, Any]


def rows(record: Record, wording: Wording) -> list[tuple[str, str]]:
    """One row of plain figures, and one for each time that the alarm was forced; none where nothing was entered."""
    _ = wording
    entered = record["entered"]
    said = [_plain(one, record, wording) for one in entered.get("of_hood") or ()]
    told = [(_("Measured"), "; ".join(said))] if said else []
    for alarm in entered.get("alarms") or ():
        told.append((_in_state(_("Alarm"), alarm.get("state"), record, wording), _alarm(alarm, record, wording)))
    return told


def _plain(one: Mapping[str, Any], record: Record, wording: Wording) -> str:
    name = wording.figure(one["figure"])
    name = name[:1].lower() + name[1:]
    return f"{_in_state(name, one.get('state'), record, wording)} {figures.amount(one['value'])}"


def _in_state(said: str, state: str | None, record: Record, wording: Wording) -> str:
    """Which state it was, where there are two."""
    return f"{said}, {wording.codes('state', state)}" if state and record["entered"].get("adjusted") else said


def _alarm(alarm: Mapping[str, Any], record: Record, wording: Wording) -> str:
    _ = wording
    said = [wording.codes("forced", alarm["forced"])] if alarm.get("forced") else []
    if alarm.get("trip"):
        said.append(_("tripped at %(trip)s") % {"trip": figures.amount(alarm["trip"])} + _point(record, wording))
    if alarm.get("after"):
        said.append(_("after %(time)s") % {"time": figures.amount(alarm["after"])})
    did = {
        "sound": {"yes": _("it sounded"), "no": _("it did not sound")},
        "light": {"yes": _("it lit"), "no": _("it did not light")},
    }
    said += [words[alarm[what]] for what, words in did.items() if alarm.get(what) in words]
    return "; ".join(said)


def _point(record: Record, wording: Wording) -> str:
    point = record["facts"]["hood"].get("alarm_point")
    return wording(" (its alarm point %(point)s)") % {"point": figures.amount(point)} if point else ""
