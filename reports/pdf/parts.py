"""The parts of a certificate, in the order in which they are read."""

from collections.abc import Mapping, Sequence
from typing import Any

from reports.pdf import figures, grid, judgements
from reports.pdf.flow import MEASURE, Section
from reports.pdf.judgements import Sets
from reports.pdf.style import BOLD, SOFT, Draw, Fitted, Pages, fit, one_line, width
from reports.pdf.wording import Wording, plain
from surveys.core import title as titles
from surveys.core.units import length

Record = Mapping[str, Any]
Facts = list[tuple[str, str]]


Panels = Sequence[tuple[grid.Panel | None, grid.Panel | None]]


def sections(record: Record, sha256: str, drawings: Panels, density: float, wording: Wording) -> list[Section]:
    """Every part that has something to say; `density` is the part of the usual leading that lines are set in."""
    made = (
        _hood(record, density, wording),
        _velocity(record, drawings, density, wording),
        _limits(record, density, wording),
        _follows(record, drawings, density, wording),
        _checks(record, density, wording),
        _instrument(record, density, wording),
        _notes(record, density, wording),
        _signed(record, density, wording),
        _cautions(record, density, wording),
        _record(record, sha256, density, wording),
    )
    return [section for section in made if section.blocks]


def is_adjusted(record: Record) -> bool:
    return bool(record["entered"].get("adjusted"))


def approved_height(record: Record) -> str | None:
    """The height, as measured, that the sash may stand at; None where openings differ in another way than height."""
    openings = record["facts"]["openings"]
    approved = record["judged"]["approved"]
    candidates = [each for each in openings if each["use"] in ("working", "lower")]
    ways = {each.get("way") or each["name"] for each in candidates}
    if not approved or (record["facts"]["hood"]["sash"] != "vertical" and len(ways) > 1):
        return None
    heights = [each["height"] for each in record["entered"]["openings"] if each["name"] in approved and each["height"]]
    return max(heights, key=length, default=None)


# Hood and place ------------------------------------------------------------------------------------------------------


def _hood(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(_("Hood and place"))
    hood, place, exhaust = (record["facts"][key] for key in ("hood", "place", "exhaust"))
    sash = [wording.codes("sash", hood["sash"]), _("powered") if hood.get("powered") else _("moved by hand")]
    if hood.get("glass"):
        sash.append(_("%(glass)s glass") % {"glass": wording.codes("glass", hood["glass"])})
    left = [
        (_("Kind"), f"{wording.codes('kind', hood['kind'])}, {wording.codes('control', hood['control'])}"),
        (_("Sash"), ", ".join(sash)),
    ]
    if hood.get("interior_width"):
        left.append((_("Inside"), _("%(width)s wide") % {"width": figures.size(hood["interior_width"])}))
    made = [hood.get("maker"), hood.get("model"), hood.get("serial")]
    if any(made):
        left.append((_("Made by"), ", ".join(each for each in made if each)))
    right = _visit(record, wording)
    if exhaust:
        right.append(
            (
                _("Exhaust"),
                _("%(name)s, hoods on it: %(number)s") % {"name": exhaust["name"], "number": exhaust["hoods"]},
            )
        )
    where = [place.get("position"), _("floor %(floor)s") % place if place.get("floor") else "", place.get("department")]
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
            f"{words.get(key, plain('', key))} {_answer(key, value, wording)}"
            for key, value in (answers or {}).items()
            if value not in (None, "")
        ]
        if said:
            told.append((heading, "; ".join(said)))
    return told


def _answer(key: str, value: Any, wording: Wording) -> str:
    return figures.amount(wording.value(key, value))


def _conditions(wording: Wording) -> dict[str, str]:
    _ = wording
    return {
        "mode": _("mode:"), "doors": _("doors:"), "room_pressure": _("room pressure:"), "other_hoods": _("other hoods:"),
        "temperature": _("temperature"), "pressure": _("pressure"), "elevation": _("elevation"),
    }  # fmt: skip


def _found(wording: Wording) -> dict[str, str]:
    _ = wording
    return {
        "sash": _("sash at"),
        "somebody": _("somebody at it:"),
        "monitor": _("monitor showed"),
        "alarm": _("alarm:"),
    }


# Face velocity -------------------------------------------------------------------------------------------------------


def _velocity(record: Record, drawings: Panels, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(
        _("Face velocity"), _("seen from the front; under each reading, and as shade: its deviation from the average")
    )
    section.lines(method(record["criteria"]["document"], wording), 2.7, 3.5, ink=SOFT)
    if not drawings:
        section.lines(_("No traverse was read."), 3.1, 4.4 * density)
    beside = as_left(record, wording) if _stands_alone(drawings, record) else []
    for left, right in drawings:
        height = max(each.height(density) for each in (left, right) if each)
        section.add(height, _row(left, right, beside, density))
    for each in record["entered"].get("struck_traverses") or ():
        section.lines(_struck(each, wording), 2.6, 3.3, ink=SOFT)
    return section


def method(document: Mapping[str, Any], wording: Wording) -> str:
    """How the points were planned and read, in a line."""
    _ = wording
    rule = {
        "area": figures.amount(document["grid"]["largest_area"]),
        "edge": figures.amount(document["grid"]["longest_edge"]),
    }
    return (
        _(
            "Read at the middle of equal cells of at most %(area)s, no edge over %(edge)s; 20 s a point, probe on a stand, operator clear."
        )
        % rule
    )


def panels(record: Record, wording: Wording) -> Panels:
    """Traverses two by two: as found beside as left, or, where nothing was adjusted, one opening beside the next."""
    judged, entered = record["judged"]["sets"], record["entered"]
    sizes = {each["name"]: each for each in entered["openings"]}
    order = {each["name"]: place for place, each in enumerate(record["facts"]["openings"])}
    drawn: dict[tuple[str, str], grid.Panel] = {}
    for each in sorted(entered["traverses"], key=lambda each: order.get(each["opening"], len(order))):
        if not any(cell is not None for row in each["readings"] for cell in row):
            continue
        made = next((o for o in judged[each["state"]]["openings"] if o["opening"] == each["opening"]), {})
        both = not is_adjusted(record)
        drawn[each["opening"], each["state"]] = grid.panel(each, made, sizes.get(each["opening"], {}), both, wording)
    if is_adjusted(record):
        names = dict.fromkeys(name for name, _state in drawn)
        return [(drawn.get((name, "as-found")), drawn.get((name, "as-left"))) for name in names]
    line = list(drawn.values())
    return [(line[place], line[place + 1] if place + 1 < len(line) else None) for place in range(0, len(line), 2)]


def _stands_alone(drawings: Panels, record: Record) -> bool:
    """Whether there is one drawing, with room beside it for words."""
    return len(drawings) == 1 and drawings[0][1] is None and not is_adjusted(record)


def _row(left: grid.Panel | None, right: grid.Panel | None, said: Facts, density: float) -> Draw:
    def draw(pages: Pages, x: float, y: float) -> None:
        if left:
            left.draw(pages, x, y, density)
        if right:
            right.draw(pages, x + MEASURE - grid.WIDE, y, density)
        line = y + 3.2
        for heading, text in said:
            pages.text(x + MEASURE - grid.WIDE + grid.INSET, line, heading, 3.2, BOLD)
            fitted = fit(text, grid.WIDE - grid.INSET, 13, 3, 1.6)
            line = (
                pages.lines(
                    x + MEASURE - grid.WIDE + grid.INSET, line + 4.4, fitted.lines, fitted.size, 1.35 * fitted.size
                )
                + 2
            )

    return draw


def as_left(record: Record, wording: Wording, together: bool = False) -> Facts:
    """What was done at the end, and that nothing was adjusted where that is so; as two facts, or together as one."""
    _ = wording
    entered = record["entered"]
    adjusted = "" if is_adjusted(record) else _("Nothing was adjusted: as found stands for both.")
    names = {
        "controls": _("controls back to automatic"), "alarm": _("alarm armed"), "stop": _("stop engaged"),
        "sash": _("sash closed"), "told": _("laboratory told"),
    }  # fmt: skip
    last = [
        words if (said := wording.value(key, value)) == _("yes") else f"{words}: {said}"
        for key, value in (entered.get("last") or {}).items()
        if value not in (None, "")
        for words in [names.get(key, plain("", key))]
    ]
    moved = entered.get("stop_and_mark_moved")
    if (record["signed"].get("confirmed") or {}).get("stop_and_mark_moved"):
        moved = (record["judged"]["restriction"] or {}).get("largest_opening") or moved
    if moved not in (None, "", False):
        last.append(_("stop and mark moved: %(where)s") % {"where": figures.size(wording.value("moved", moved))})
    end = "; ".join(last)
    if together:
        said = " ".join(each for each in (adjusted, _("At the end: %(what)s") % {"what": end} if end else "") if each)
        return [(_("As left"), said)] if said else []
    return [fact for fact in ((_("As left"), adjusted), (_("At the end"), end)) if fact[1]]


def _struck(traverse: Mapping[str, Any], wording: Wording) -> str:
    _ = wording
    rows = " / ".join(", ".join(figures.mean(cell)[1] for cell in row) for row in traverse["readings"])
    values = {
        "opening": traverse["opening"], "state": wording.codes("state", traverse["state"]), "readings": rows,
        "unit": figures.unit_shown(traverse.get("unit") or ""), "why": traverse.get("struck") or figures.NOTHING,
    }  # fmt: skip
    return _("Struck and not counted: %(opening)s, %(state)s: %(readings)s %(unit)s. Why: %(why)s") % values


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
    told.append((_("Why"), " ".join(wording.sentence(reason) for reason in judged["reasons"])))
    mend = to_mend(record, wording)
    if mend:
        told.append((_("To put right"), "; ".join(mend)))
    label = label_before(judged["label"], wording)
    if survey.get("label_issue"):
        label = _("%(before)s; the new one is no. %(issue)s") % {"before": label, "issue": survey["label_issue"]}
    told.append((_("Label"), label))
    if not _stands_alone(drawings, record):
        told += as_left(record, wording, together=True)
    section.rows(told, 4.2 * density, 3.0)
    return section


def restriction(record: Record, wording: Wording) -> str:
    """A restriction in words: a height, openings by name, a use."""
    said = titles.restriction_parts(record["judged"]["restriction"])
    return "; ".join(part if isinstance(part, str) else wording.sentence(part.as_dict()) for part in said)


def label_before(held: str, wording: Wording) -> str:
    """Whether the label that hung there had held, in words."""
    _ = wording
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
    section = Section(_("Checks"), _("yes is as it should be; grey: what a no costs"))
    found = judgements.items(Sets.of(record["judged"], is_adjusted(record)), record, wording)
    judgements.checks(section, found, 4.2 * density, wording)
    return section


# Instrument, notes ---------------------------------------------------------------------------------------------------


def _instrument(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    facts = record["facts"]
    instrument, hood = facts["instrument"], facts["hood"]
    section, told = Section(_("Instrument")), []
    if instrument:
        told.append((_("Used"), _used(instrument, wording)))
        told.append((_("Calibrated"), _calibrated(facts, wording)))
    monitor = [wording.codes("monitor", hood["monitor"])]
    for key, words in (("set_point", _("set at %(value)s")), ("alarm_point", _("alarm at %(value)s"))):
        if hood.get(key):
            monitor.append(words % {"value": figures.amount(hood[key])})
    told.append((_("Monitor"), ", ".join(monitor)))
    section.rows(told, 4.2 * density, 3.0)
    return section


def _used(instrument: Mapping[str, Any], wording: Wording) -> str:
    _ = wording
    parts = [instrument["name"], wording.value("instrument", instrument.get("kind"))]
    if instrument.get("serial"):
        parts.append(_("serial %(serial)s") % {"serial": instrument["serial"]})
    accuracy = []
    if instrument.get("accuracy_percent"):
        accuracy.append(f"{instrument['accuracy_percent'].removesuffix('%').strip()} %")
    if instrument.get("accuracy_floor"):
        accuracy.append(figures.amount(instrument["accuracy_floor"]))
    if accuracy:
        parts.append(_("within %(accuracy)s") % {"accuracy": _(" or ").join(accuracy)})
    if instrument.get("resolution"):
        parts.append(_("reads to %(resolution)s") % {"resolution": figures.amount(instrument["resolution"])})
    if instrument.get("velocity"):
        parts.append(
            _("velocities here are %(velocity)s") % {"velocity": wording.value("velocity", instrument["velocity"])}
        )
    return ", ".join(part for part in parts if part != figures.NOTHING)


def _calibrated(facts: Mapping[str, Any], wording: Wording) -> str:
    _ = wording
    calibration = facts["calibration"]
    if not calibration:
        return _("no calibration is known: no limit on its readings can be met")
    said = _("%(day)s, certificate %(certificate)s, %(laboratory)s, due %(due)s") % {
        "day": wording.day(calibration["done_on"]), "certificate": calibration["certificate"],
        "laboratory": calibration["laboratory"], "due": wording.day(calibration["due_on"]),
    }  # fmt: skip
    if calibration.get("in_tolerance") is False:
        said += "; " + _("as found out of tolerance")
    elif calibration.get("in_tolerance"):
        said += "; " + _("as found in tolerance")
    if facts.get("calibration_covers") is not True:
        said += ". " + _("It does not cover the day of the survey: no limit on its readings can be met.")
    return said


def _notes(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    entered = record["entered"]
    section = Section(_("Notes"))
    for question in entered.get("questions") or ():
        values = {"question": plain("", str(question.get("code") or "")), "value": question.get("value") or figures.NOTHING,
                  "answer": wording.value("answer", question.get("answer"))}  # fmt: skip
        section.lines(
            _("Asked while measuring: %(question)s (%(value)s). Answer: %(answer)s") % values, 2.8, 3.7 * density
        )
    for line in (entered.get("notes") or "").splitlines():
        if line.strip():
            section.lines(line, 2.8, 3.7 * density)
    return section


# Signature, cautions, record -------------------------------------------------------------------------------------------


def _signed(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    signed = record["signed"]
    by, (day, time, offset) = signed["by"], wording.clock(signed["at"], signed["zone"])
    meaning = {"made-these-measurements": _("I made these measurements")}.get(
        signed["meaning"], plain("", signed["meaning"])
    )
    who = ", ".join(each for each in (by.get("position"), by.get("employer")) if each)
    values = {"day": day, "time": time, "offset": offset, "zone": signed["zone"], "meaning": meaning}
    section = Section(_("Signed"))
    name = one_line(by["name"], 90, 4, BOLD)
    section.add(5.2 * density, _name(name, who, 3.9 * density), keep=True)
    section.lines(_("‘%(meaning)s’, signed %(day)s at %(time)s, %(offset)s (%(zone)s)") % values, 3, 4 * density)
    return section


def _name(name: Fitted, who: str, down: float) -> Draw:
    aside = width(name.lines[0], name.size, BOLD) + 3
    where = fit(who, MEASURE - aside, 4, 3, 1.4)

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.text(x, y + down, name.lines[0], name.size, BOLD)
        pages.fitted(x + aside, y + down - where.height, where)

    return draw


def _cautions(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(_("Read this too"))
    said = _(
        "This page says what was measured on one day, with the hood as it stood, against this site’s written criteria. Face velocity is not "
        "containment: meeting criteria does not guarantee containment. Keep the sash low and your head outside, keep work 150 mm (6 in) behind "
        "the sash, close it when you leave. Local rules and the site’s safety office come first: call %(telephone)s."
    )
    section.lines(said % {"telephone": record["facts"]["site"]["telephone"]}, 2.8, 3.8 * density)
    return section


def _record(record: Record, sha256: str, density: float, wording: Wording) -> Section:
    _ = wording
    survey, criteria = record["survey"], record["criteria"]
    section, told, beside = Section(_("This record")), [], []
    if survey.get("due_on"):
        told.append((_("Next due"), wording.day(survey["due_on"])))
    if criteria.get("adopted_by"):
        values = {"person": criteria["adopted_by"], "record": criteria["record"]}
        beside.append((_("Criteria"), _("adopted by %(person)s, record %(record)s") % values))
    section.pairs(told or beside, beside if told else [], 4.0 * density, 2.9)
    values = {"record": record["number"], "release": record["program"]}
    check = (
        _("scan the code for amendments; record %(record)s of release %(release)s, not this print, is the original")
        % values
    )
    told = [
        (_("Fingerprint"), " ".join(sha256[place : place + 8] for place in range(0, len(sha256), 8))),
        (_("Check it"), check),
    ]
    if survey.get("amends"):
        values = {"survey": survey["amends"], "why": survey.get("why") or figures.NOTHING}
        told.insert(0, (_("Amends"), _("survey %(survey)s: %(why)s") % values))
    section.rows(told, 4.0 * density, 2.9)
    return section
