"""What an entry of the log says: what was done, to which, and what was changed from what to what."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from django import template
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hoods import words as hood_words
from hoods.models.people import ROLE_NAMES
from surveys import words
from surveys.core.checks import CHECK
from surveys.core.figures import FIGURE
from surveys.templatetags.ledger import plain_day

register = template.Library()

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
#: How a field is called where its own name is no word that a reader knows.
FIELDS: dict[str, Any] = {
    "exhaust": _("exhaust system"),
    "position": _("where in the room"),
    "order": _("place in the order"),
    "from_on": _("since"),
    "until_on": _("last day"),
    "retired_on": _("retired on"),
    "control": _("volume control"),
    "powered": _("moved by a motor"),
    "glass": _("glass"),
    "serial": _("serial number"),
    "way": _("way of opening"),
    "accuracy_percent": _("accuracy, of the reading"),
    "accuracy_floor": _("accuracy, at least"),
    "height_from": _("sash heights from"),
    "printer_dpi": _("label printer"),
    "is_active": _("may sign in"),
}
#: The words of the codes that a field may have.
CODES: dict[str, Mapping[Any, Any]] = {
    "kind": hood_words.KINDS | words.INSTRUMENT_KINDS,
    "control": hood_words.CONTROLS,
    "sash": hood_words.SASHES,
    "monitor": hood_words.MONITORS,
    "glass": hood_words.GLASS,
    "use": hood_words.USES,
    "velocity": words.VELOCITIES,
    "role": ROLE_NAMES,
    "reason": words.STOP_REASONS | words.PAUSE_REASONS,
    "height_from": hood_words.HEIGHTS_FROM,
    "printer_dpi": hood_words.PRINTER_DPI,
}
VERDICTS: dict[str, Any] = {
    "pass": _("pass"), "restrict": _("restrict"), "fail": _("fail"), "no-verdict": _("no verdict"),
}  # fmt: skip
TOLERANCE = {True: _("in tolerance"), False: _("out of tolerance")}


@register.filter
def entry_words(entry: Any) -> str:
    """What an entry of the log says was done; an action without words is shown as it is."""
    known = hood_words.ACTIONS | words.ACTIONS
    return str(known.get(entry.action) or entry.action.replace("-", " ").capitalize())


@register.filter
def entry_about(entry: Any) -> str:
    """Which one it was, of what size, and from which day on; nothing where the words say it all."""
    about = ABOUT.get(entry.action)
    pieces = about(entry.after or {}) if about else []
    return ", ".join(str(piece) for piece in pieces if piece)


@register.filter
def entry_changes(entry: Any) -> list[tuple[str, str, str]]:
    """What an entry says was changed, from what to what: (name, before, after)."""
    before, after = entry.before or {}, entry.after or {}
    changes = []
    for name, value in after.items():
        if name not in before or before[name] == value:
            continue
        if name == "checks":
            changes += _of_checks(before[name], value)
        elif name == "limits":
            changes += _of_limits(before[name], value)
        elif not isinstance(value, list):
            changes.append((str(FIELDS.get(name, name.replace("_", " "))), said(name, before[name]), said(name, value)))
    return changes


def said(name: str, value: Any) -> str:
    """A value as the log shows it: never a number of a row or a code."""
    if value in (None, ""):
        return "–"
    if isinstance(value, bool):
        return gettext("yes") if value else gettext("no")
    if isinstance(value, dict):
        return str(value["name"]) if "name" in value else ", ".join(f"{key} {part}" for key, part in value.items())
    if isinstance(value, str) and _DAY.fullmatch(value):
        return plain_day(value)
    return str(CODES.get(name, {}).get(value, value))


def _of_checks(before: Any, after: Any) -> list[tuple[str, str, str]]:
    """Each check of a set of criteria whose cost was decided anew."""
    had, has = ({one["check"]: one for one in checks} for checks in (before, after))
    return [
        (_question(code), _cost(had.get(code)), _cost(has.get(code)))
        for code in dict.fromkeys([*had, *has])
        if _cost(had.get(code)) != _cost(has.get(code))
    ]


def _of_limits(before: Any, after: Any) -> list[tuple[str, str, str]]:
    """Each limit of a set of criteria that was added, removed or changed."""
    had, has = ([_limit(one) for one in limits] for limits in (before, after))
    gone, come = ([one for one in some if one not in others] for some, others in ((had, has), (has, had)))
    return [
        (name, *(", ".join(words for what, words in some if what == name) or "–" for some in (gone, come)))
        for name in dict.fromkeys(what for what, _words in (*gone, *come))
    ]


def _limit(limit: Mapping[str, Any]) -> tuple[str, str]:
    """A limit as (its figure, what it says), from its document as it was kept."""
    figure = FIGURE.get(limit.get("figure", ""))
    bounds = {"at_least": gettext("at least %(bound)s"), "at_most": gettext("at most %(bound)s")}
    held = [text % {"bound": limit[key]} for key, text in bounds.items() if limit.get(key)]
    restriction = f" ({limit['restriction']})" if limit.get("restriction") else ""
    cost = f"{words.COSTS.get(limit.get('consequence', ''), '')}{restriction}"
    applies = limit.get("applies_to") or "each"
    use = hood_words.USES.get(applies)
    parts = [*held, gettext("of the use %(use)s") % {"use": use} if use else "", cost]
    return gettext(figure.name) if figure else str(limit.get("figure", "")), "; ".join(part for part in parts if part)


def _question(code: str) -> str:
    return gettext(CHECK[code].question) if code in CHECK else code


def _cost(check: Mapping[str, Any] | None) -> str:
    code = check["consequence"] if check else "not-asked"
    restriction = (check or {}).get("restriction")
    return f"{words.COSTS.get(code, code)}{f' ({restriction})' if restriction else ''}"


def _days(kept: Mapping[str, Any], first: str = "from_on") -> list[str]:
    pieces = []
    if kept.get(first):
        pieces.append(gettext("from %(day)s") % {"day": plain_day(kept[first])})
    if kept.get("until_on"):
        pieces.append(gettext("until %(day)s") % {"day": plain_day(kept["until_on"])})
    return [" ".join(pieces)]


def _happened(kept: Mapping[str, Any]) -> list[str]:
    if not kept.get("on"):
        return []
    return _days(kept, "on") if kept.get("until_on") else [gettext("from %(day)s") % {"day": plain_day(kept["on"])}]


def _opening(kept: Mapping[str, Any]) -> list[str]:
    size = {"width": kept.get("width"), "height": kept.get("height")}
    return [kept.get("name", ""), gettext("%(width)s wide, %(height)s high") % size if all(size.values()) else ""]


def _calibration(kept: Mapping[str, Any]) -> list[Any]:
    if not kept:
        return []
    days = {"done": said("done_on", kept.get("done_on")), "due": said("due_on", kept.get("due_on"))}
    tolerance = TOLERANCE.get(kept["in_tolerance"]) if kept.get("in_tolerance") is not None else ""
    certificate = gettext("certificate %(number)s") % {"number": kept.get("certificate", "")}
    return [certificate, gettext("done on %(done)s, due on %(due)s") % days, tolerance]


def _role(kept: Mapping[str, Any]) -> list[str]:
    if not kept:
        return []
    room = kept.get("room")
    return [said("role", kept.get("role")), said("room", room) if room else "", *_days(kept)]


def _label(kept: Mapping[str, Any]) -> list[str]:
    return [gettext("number %(number)s") % {"number": kept["issue"]}] if kept.get("issue") else []


def _assigned(kept: Mapping[str, Any]) -> list[str]:
    if not kept.get("set"):
        return []
    evidence = gettext("evidence: %(words)s") % {"words": kept["evidence"]} if kept.get("evidence") else ""
    return [said("set", kept["set"]), *_days(kept), evidence]


def _version(kept: Mapping[str, Any]) -> list[str]:
    number = gettext("version %(number)s") % {"number": kept["number"]} if kept.get("number") else ""
    return [number, *_days(kept, "first_day")]


def _started(kept: Mapping[str, Any]) -> list[str]:
    return [gettext("of %(day)s") % {"day": plain_day(kept["done_on"])}] if kept.get("done_on") else []


def _signed(kept: Mapping[str, Any]) -> list[Any]:
    if not kept:
        return []
    verdict = VERDICTS.get(kept.get("verdict", ""), kept.get("verdict", ""))
    record = gettext("record %(number)s") % {"number": kept.get("record", "")}
    label = gettext("label number %(number)s") % {"number": kept["label_issue"]} if kept.get("label_issue") else ""
    return [record, verdict, label]


def _benchmark(kept: Mapping[str, Any]) -> list[str]:
    return (
        [said("opening", kept["opening"]), said("value", kept.get("value")), *_days(kept)]
        if kept.get("opening")
        else []
    )


def _reason(kept: Mapping[str, Any]) -> list[str]:
    return [said("reason", kept["reason"])] if kept.get("reason") else []


def _amendment(kept: Mapping[str, Any]) -> list[str]:
    return [gettext("of record %(number)s") % {"number": kept["amends"]}] if kept.get("amends") else []


def _arranged(kept: Mapping[str, Any]) -> list[str]:
    order = gettext("order %(number)s") % {"number": kept["order_number"]} if kept.get("order_number") else ""
    day = kept.get("promised_on")
    promised = gettext("promised for %(day)s") % {"day": plain_day(day)} if day else ""
    return [kept.get("owner", ""), order, promised]


def _qualification(kept: Mapping[str, Any]) -> list[str]:
    return [kept.get("method", ""), kept.get("qualified_by", ""), *_days(kept)]


def _named(kept: Mapping[str, Any]) -> list[str]:
    return [kept.get("tag") or kept.get("name") or ""]


#: What an entry tells besides what was done, by its action.
ABOUT: dict[str, Callable[[Mapping[str, Any]], list[Any]]] = {
    "hood-registered": _named,
    "hood-retired": _happened,
    "hood-hibernated": _happened,
    "hood-woken": _happened,
    "hood-taken-out-of-service": _happened,
    "hood-brought-back": _happened,
    "opening-added": _opening,
    "opening-changed": lambda kept: [kept.get("opening", "")],
    "instrument-added": _named,
    "calibration-recorded": _calibration,
    "benchmark-set": _benchmark,
    "criteria-assigned": _assigned,
    "criteria-version-started": _version,
    "criteria-draft-changed": _version,
    "criteria-adopted": _version,
    "role-given": _role,
    "role-ended": _role,
    "label-printed": _label,
    "label-put-on": _label,
    "stop-posted": _reason,
    "survey-started": _started,
    "survey-ended": _reason,
    "survey-signed": _signed,
    "amendment-started": _amendment,
    "finding-arranged": _arranged,
    "overdue-explained": _happened,
    "qualification-recorded": _qualification,
}
