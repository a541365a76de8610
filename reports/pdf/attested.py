"""What it was measured with, who signed it, and how to check the paper."""

from collections.abc import Mapping, Sequence
from typing import Any

from reports.pdf import figures
from reports.pdf.flow import MEASURE, Section
from reports.pdf.style import BOLD, SEMIBOLD, Draw, Fitted, Pages, fit, one_line, width
from reports.pdf.wording import Wording, plain
from surveys.core import questions
from surveys.core.cautions import caution

Record = Mapping[str, Any]


def instrument(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    facts = record["facts"]
    instrument, hood = facts["instrument"], facts["hood"]
    section, told = Section(_("Instrument")), []
    if instrument:
        told.append((_("Used"), _used(instrument, wording)))
        told.append((_("Calibrated"), _calibrated(facts, wording)))
    monitor = [wording.codes("monitor", hood["monitor"])]
    point = _("mark at %(value)s") if hood["monitor"] == "pressure" else _("set at %(value)s")
    for key, words in (("set_point", point), ("alarm_point", _("alarm at %(value)s"))):
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


def notes(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    entered = record["entered"]
    section = Section(_("Notes"))
    for question in questions.kept(entered):
        section.lines(_asked(question, wording), 2.8, 3.7 * density)
    for line in (entered.get("notes") or "").splitlines():
        if line.strip():
            section.lines(line, 2.8, 3.7 * density)
    return section


def _asked(question: questions.Kept, wording: Wording) -> str:
    """A question that was asked while measuring, where it was asked, and what was answered."""
    _ = wording
    said = wording.sentence(question.asked.as_dict())
    if question.place:
        opening, state, row, column = question.place
        values = {"opening": opening, "state": wording.codes("state", state), "row": row, "column": column, "said": said}
        said = _("%(opening)s, %(state)s, row %(row)s, column %(column)s: %(said)s") % values
    answer = question.answer if isinstance(question.answer, str) else wording.sentence(question.answer.as_dict())
    return _("Asked while measuring: %(asked)s. Answer: %(answer)s.") % {"asked": said, "answer": answer or _("No answer")}


# Signature, cautions, record -------------------------------------------------------------------------------------------


def signed(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    signed = record["signed"]
    by, (day, time, offset) = signed["by"], wording.clock(signed["at"], signed["zone"])
    meanings = {
        "made-these-measurements": _("I made these measurements"),
        "typed-in-from-paper": _("I typed in what stands on the paper, as it stands there"),
    }
    meaning = meanings.get(signed["meaning"], plain("", signed["meaning"]))
    who = ", ".join(each for each in (by.get("position"), by.get("employer")) if each)
    values = {"day": day, "time": time, "offset": offset, "zone": signed["zone"], "meaning": meaning}
    section = Section(_("Signed"))
    if paper := record["survey"].get("transcribed"):
        section.lines(transcribed(paper, record, wording), 3, 4.4 * density, SEMIBOLD)
    name = one_line(by["name"], 90, 4, BOLD)
    section.add(5.2 * density, _name(name, who, 3.9 * density), keep=True)
    if signed.get("qualifications") is not None:  # records from before qualifications were kept say nothing of them
        qualified = _qualified(signed["qualifications"], wording)
        if paper:
            qualified = _("Who measured: %(qualified)s") % {"qualified": qualified}
        section.lines(qualified, 3, 4 * density)
    section.lines(_("‘%(meaning)s’, signed %(day)s at %(time)s, %(offset)s (%(zone)s)") % values, 3, 4 * density)
    return section


def transcribed(paper: Mapping[str, Any], record: Record, wording: Wording) -> str:
    """That it was measured with pen and paper, by whom and when, and who typed it in."""
    _ = wording
    values = {
        "name": paper["measured_by"], "day": wording.day(record["survey"]["done_on"]),
        "by": paper["typed_in_by"], "typed": wording.day(paper["typed_in_on"]),
    }  # fmt: skip
    return _("Transcribed from paper, measured by %(name)s on %(day)s, typed in by %(by)s on %(typed)s.") % values


def _qualified(covering: Sequence[Mapping[str, Any]], wording: Wording) -> str:
    """What the surveyor was qualified for on the day measured, or that nothing is on record."""
    _ = wording
    if not covering:
        return _("no qualification on record for this day")
    said = []
    for one in covering:
        values = {"method": one["method"], "by": one["by"], "from": wording.day(one["from"])}
        if one.get("until"):
            values["until"] = wording.day(one["until"])
            said.append(_("%(method)s by %(by)s, %(from)s to %(until)s") % values)
        else:
            said.append(_("%(method)s by %(by)s, from %(from)s") % values)
    return _("Qualified: %(methods)s") % {"methods": "; ".join(said)}


def _name(name: Fitted, who: str, down: float) -> Draw:
    aside = width(name.lines[0], name.size, BOLD) + 3
    where = fit(who, MEASURE - aside, 4, 3, 1.4)

    def draw(pages: Pages, x: float, y: float) -> None:
        pages.text(x, y + down, name.lines[0], name.size, BOLD)
        pages.fitted(x + aside, y + down - where.height, where)

    return draw


def cautions(record: Record, density: float, wording: Wording) -> Section:
    _ = wording
    section = Section(_("Read this too"))
    measured = _(
        "This page says what was measured on one day, with the hood as it stood, against this site’s written criteria. Face velocity is not "
        "containment: meeting criteria does not guarantee containment."
    )
    first = _("Local rules and the site’s safety office come first: call %(telephone)s.")
    closed = _(caution("printed", record["facts"]["hood"]["sash"]))
    said = f"{measured} {closed} {first % {'telephone': record['facts']['site']['telephone']}}"
    section.lines(said, 2.8, 3.8 * density)
    return section


def record(record: Record, sha256: str, density: float, wording: Wording) -> Section:
    _ = wording
    survey, criteria = record["survey"], record["criteria"]
    section, told, beside = Section(_("This record")), [], []
    if survey.get("due_on"):
        told.append((_("Next due"), wording.day(survey["due_on"])))
    elif survey.get("full") is False and record["judged"]["verdict"] in ("pass", "restrict"):
        told.append((_("Next due"), _("no day: not a full survey")))
    if criteria.get("adopted_by"):
        values = {"person": criteria["adopted_by"], "record": criteria["record"]}
        beside.append((_("Criteria"), _("adopted by %(person)s, record %(record)s") % values))
    section.pairs(told or beside, beside if told else [], 4.0 * density, 2.9)
    late = [(_("Due so late"), criteria["seldom"])] if survey.get("due_on") and criteria.get("seldom") else []
    values = {"record": record["number"], "release": record["program"]}
    check = (
        _("scan the code for amendments; record %(record)s of release %(release)s, not this print, is the original")
        % values
    )
    told = [
        *late,
        (_("Fingerprint"), " ".join(sha256[place : place + 8] for place in range(0, len(sha256), 8))),
        (_("Check it"), check),
    ]
    if survey.get("amends"):
        why = survey.get("why") or figures.NOTHING
        values = {"survey": survey["amends"], "record": survey.get("amends_record"), "why": why}
        words = _("record %(record)s: %(why)s") if survey.get("amends_record") else _("survey %(survey)s: %(why)s")
        told.insert(0, (_("Amends"), words % values))
    section.rows(told, 4.0 * density, 2.9)
    return section
