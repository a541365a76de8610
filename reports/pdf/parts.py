"""The parts of a certificate, in the order in which they are read."""

from typing import Any

from reports.pdf import attested, checked, figures, judgements, measured
from reports.pdf.flow import Section
from reports.pdf.judgements import Sets
from reports.pdf.velocity import Facts, Panels, Record, as_left, is_adjusted, stands_alone, velocity
from reports.pdf.wording import Wording, plain
from surveys.core import sash
from surveys.core import title as titles
from surveys.core.units import length


def sections(record: Record, sha256: str, drawings: Panels, density: float, wording: Wording) -> list[Section]:
    """Every part that has something to say; `density` is the part of the usual leading that lines are set in."""
    made = (
        _hood(record, density, wording),
        velocity(record, drawings, density, wording),
        _limits(record, density, wording),
        _follows(record, drawings, density, wording),
        _checks(record, density, wording),
        attested.instrument(record, density, wording),
        attested.notes(record, density, wording),
        attested.signed(record, density, wording),
        attested.cautions(record, density, wording),
        attested.record(record, sha256, density, wording),
    )
    return [section for section in made if section.blocks]


def approved_height(record: Record) -> str | None:
    """The height, as measured, that a vertical sash may stand at; None where lines tell of each opening."""
    approved = record["judged"]["approved"]
    if not approved or record["facts"]["hood"]["sash"] != "vertical":
        return None
    heights = [each["height"] for each in record["entered"]["openings"] if each["name"] in approved and each["height"]]
    return max(heights, key=length, default=None)


def approved_lines(record: Record, wording: Wording) -> list[str]:
    """How far each sash may be open, as attested; none for a vertical one."""
    facts = record["facts"]
    told = sash.as_judged(facts, record["entered"], record["judged"])
    return [wording.sentence(line.as_dict()) for line in told]


# Hood and place ------------------------------------------------------------------------------------------------------


def _hood(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(_("Hood and place"))
    hood, place, exhaust = (record["facts"][key] for key in ("hood", "place", "exhaust"))
    if hood["sash"] == "none":
        told = [_("none: an open front that cannot be closed")]
    else:
        told = [wording.codes("sash", hood["sash"]), _("powered") if hood.get("powered") else _("moved by hand")]
    if hood.get("glass"):
        told.append(_("%(glass)s glass") % {"glass": wording.codes("glass", hood["glass"])})
    left = [
        (_("Kind"), f"{wording.codes('kind', hood['kind'])}, {wording.codes('control', hood['control'])}"),
        (_("Sash"), ", ".join(told)),
    ]
    if hood.get("interior_width"):
        left.append((_("Inside"), _("%(width)s wide") % {"width": figures.size(hood["interior_width"], nearest=True)}))
    made = [hood.get("maker"), hood.get("model"), hood.get("serial")]
    if any(made):
        heading = _("Made by") if made[0] else _("Model") if made[1] else _("Serial no.")
        left.append((heading, ", ".join(each for each in made if each)))
    right = _visit(record, wording)
    if exhaust:
        right.append(
            (
                _("Exhaust"),
                _("%(name)s, hoods on it: %(number)s") % {"name": exhaust["name"], "number": exhaust["hoods"]},
            )
        )
    where = [place.get("position"), place.get("floor"), place.get("department")]
    if any(where):
        (right if len(right) < len(left) else left).append((_("Place"), ", ".join(each for each in where if each)))
    section.pairs(left, right, 4.4 * density)
    forbidden = [(_("Forbidden"), hood["uses_forbidden"])] if hood.get("uses_forbidden") else []
    section.rows([*forbidden, *_state(record, wording)], 4.4 * density)
    return section


def _visit(record: Record, wording: Wording) -> Facts:
    """Why and when."""
    _ = wording
    survey, zone = record["survey"], record["signed"]["zone"]
    day, begun, _offset = wording.clock(survey["measured_from"], zone)
    last_day, ended, _offset = wording.clock(survey["measured_until"], zone)
    until = ended if last_day == day else f"{last_day}, {ended}"
    if survey.get("transcribed"):  # paper keeps no times
        return [
            (_("Reason"), wording.value("reason", survey["reason"])),
            (_("Surveyed"), _("%(day)s, transcribed from paper") % {"day": wording.day(survey["done_on"])}),
        ]
    return [
        (_("Reason"), wording.value("reason", survey["reason"])),
        (_("Surveyed"), _("%(day)s, %(begun)s to %(ended)s") % {"day": day, "begun": begun, "ended": until}),
    ]


def _state(record: Record, wording: Wording) -> Facts:
    """The room, and how the hood was found before a hand was laid on it."""
    _ = wording
    told, entered = [], record["entered"]
    parts = (
        (_("Room"), entered.get("conditions"), _conditions(wording)),
        (_("As found"), entered.get("found"), _found(wording)),
    )
    for heading, answers, words in parts:
        said = [
            f"{words[key]} {_answer(key, value, wording)}"
            for key in words
            if (value := (answers or {}).get(key)) not in (None, "")
        ]
        if said:
            told.append((heading, "; ".join(said)))
    return told


def _answer(key: str, value: Any, wording: Wording) -> str:
    return figures.amount(wording.value(key, value))


def _conditions(wording: Wording) -> dict[str, str]:
    _ = wording
    return {
        "right_hood": _("right hood, by its tag:"), "fit": _("fit to work at:"),
        "mode": _("mode:"), "flow_state": _("state tested:"), "doors": _("doors:"), "room_pressure": _("room pressure:"), "other_hoods": _("other hoods:"),
        "temperature": _("temperature"), "pressure": _("pressure"), "elevation": _("elevation"),
    }  # fmt: skip


def _found(wording: Wording) -> dict[str, str]:
    _ = wording
    return {
        "sash": _("sash at"),
        "open": _("open:"),
        "somebody": _("somebody at it:"),
        "monitor": _("monitor showed"),
        "alarm": _("alarm:"),
    }


# Limits, what follows, checks ------------------------------------------------------------------------------------------


def _limits(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    criteria = record["criteria"]
    values = {"set": criteria["set"], "version": criteria["version"]}
    said = _("‘%(set)s’, version %(version)s") % values
    if criteria.get("first_day"):
        said += _(", in force from %(day)s") % {"day": wording.day(criteria["first_day"])}
    rounded = criteria["document"]["compare"] == "rounded"
    said += "; " + (
        _("compared rounded to the last digit of the limit, in brackets") if rounded else _("compared as measured")
    )
    exclusion = criteria["document"].get("edge_exclusion")
    if exclusion and not exclusion.startswith("0 "):
        said += "; " + _("points nearer the edge than %(exclusion)s not counted as lowest") % {
            "exclusion": figures.amount(exclusion)
        }
    section = Section(_("Limits"), said)
    judgements.limits(section, Sets.of(record["judged"], is_adjusted(record)), record, 4.7 * density, wording)
    return section


def _follows(record: Record, drawings: Panels, density: float, wording: Wording) -> Section:
    _ = wording
    judged, entered, survey = record["judged"], record["entered"], record["survey"]
    section, told = Section(_("What follows")), []
    if entered.get("ended_early"):
        ended = entered["ended_early"]
        told.append(
            (
                _("Ended early"),
                ": ".join(each for each in (wording.codes("ending", ended["reason"]), ended.get("words")) if each),
            )
        )
    why = " ".join(wording.sentence(reason) for reason in judged["reasons"])
    if is_adjusted(record) and judged["reasons"][0]["code"] in ("all-met", "decisive-met"):
        why = _("As left: %(why)s") % {"why": why}  # what was found is judged beside it, and may have failed
    told.append((_("Why"), why))
    mend = to_mend(record, wording)
    if mend:
        told.append((_("To put right"), "; ".join(mend)))
    label = label_before(record, wording)
    if survey.get("label_issue"):
        label = _("%(before)s; the new one is no. %(issue)s") % {"before": label, "issue": survey["label_issue"]}
    told.append((_("Label"), label))
    if not stands_alone(drawings, record):
        told += as_left(record, wording, together=True)
    section.rows(told, 4.2 * density, 3.0)
    return section


def restriction(record: Record, wording: Wording) -> str:
    """A restriction in words: a height, openings by name, a use."""
    said = titles.restriction_parts(record["judged"]["restriction"])
    return "; ".join(part if isinstance(part, str) else wording.sentence(part.as_dict()) for part in said)


def label_before(record: Record, wording: Wording) -> str:
    """Whether the label that hung there had held, in words."""
    _ = wording
    held, found = record["judged"]["label"], record["judged"]["sets"]["as-found"]
    if held == "not-tested" and found["verdict"] != "no-verdict":
        left = [name for name in record["facts"]["labelled"] or () if name not in found["approved"]]
        said = _("not tested whether the one before held: it allowed %(openings)s, not measured as found")
        return said % {"openings": ", ".join(f"‘{name}’" for name in left)}
    return {
        "held": _("the one before held: all that it allowed was approved as found"),
        "not-held": _("the one before did not hold: not all that it allowed was approved as found"),
        "not-tested": _("not tested whether the one before held: as found has no verdict"),
        "no-label": _("there was none before"),
    }.get(held, plain("", held))


def to_mend(record: Record, wording: Wording) -> list[str]:
    """What was not as it should be when the surveyor left, each once."""
    left = record["judged"]["sets"]["as-left"]
    named = []
    for name, judged in [(None, left["hood"]), *((each["opening"], each["judgements"]) for each in left["openings"])]:
        for each in judged:
            if each["outcome"] == "not-met":
                what = wording.figure(each["figure"]) if "figure" in each else wording.check(each["check"])
                named.append(f"{what} ({name})" if name else what)
    return list(dict.fromkeys(named))


def _checks(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(_("Checks"), _("yes is as it should be; in grey beside a no: what it costs"))
    found = checked.items(Sets.of(record["judged"], is_adjusted(record)), record, wording)
    checked.checks(section, found, 4.2 * density, wording)
    told = measured.rows(record, wording)
    if told and found:
        section.add(1.2 * density, lambda _pages, _x, _y: None, keep=True)
    section.rows(told, 4.2 * density, 2.9)
    return section
