"""The survey document: the one shape of a survey's content for form, draft, record and `calc`.

`parse` refuses only a wrong shape: boxes keep their text as typed, half-typed too. `check` says what is wrong with the
content, place by place. Facts about the hood are added by the program and never come from a form.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hoods.core.cover import MEASURES
from surveys.core import codes, shapes
from surveys.core.checks import CHECK
from surveys.core.content import check, incomplete
from surveys.core.entry import AlarmForced, Answer, Cell, Document, MeasuredOpening, OfHood, Reading, Traverse
from surveys.core.facts import Facts, HoodFacts, OpeningFacts
from surveys.core.hood_figures import PLAIN
from surveys.core.messages import Problem, WrongShape
from surveys.core.shapes import Shape
from surveys.core.units import LENGTH

__all__ = [
    "Answer", "Document", "Facts", "HoodFacts", "MeasuredOpening", "OpeningFacts", "Problem", "Reading", "Traverse",
    "WrongShape", "check", "incomplete", "merged", "parse", "parse_merged",
]  # fmt: skip

MOST_BOX, MOST_QUANTITY, MOST_LINE, MOST_NOTES = 40, 60, 400, 10_000
MOST_OF_HOOD, MOST_ALARMS = 20, 4
MOST_SIDE, MOST_REPEATS, MOST_TRAVERSES, MOST_ANSWERS, MOST_OPENINGS, MOST_QUESTIONS = 50, 20, 60, 600, 60, 400

CONDITIONS = (
    "right_hood",
    "fit",
    "mode",
    "flow_state",
    "doors",
    "room_pressure",
    "other_hoods",
    "temperature",
    "pressure",
    "elevation",
)
FOUND = ("sash", "open", "somebody", "monitor", "alarm")
LAST = ("controls", "alarm", "stop", "sash", "told")

_ENTERED = (
    "openings", "traverses", "answers", "adjusted", "ended_early", "reason", "instrument", "conditions", "found",
    "questions", "struck_traverses", "last", "stop_and_mark_moved", "notes", "of_hood", "alarms",
)  # fmt: skip
_FACTS = ("hood", "benchmarks", "calibration_covers", "labelled", "done_on")


def parse(content: str | bytes | Mapping[str, Any]) -> Document:
    """The document as entered. Raises WrongShape with a sentence for each place that has not the agreed shape."""
    given = shapes.loads(content) if isinstance(content, str | bytes) else content
    shape = Shape()
    made = _document(shape, given, _ENTERED, ("name", "width", "height"))
    shape.refuse_if_wrong()
    return made


def parse_merged(content: str | bytes | Mapping[str, Any]) -> tuple[Document, Facts]:
    """A document with its facts in it, as `calc` takes it: the document as entered, and the facts."""
    given = shapes.loads(content) if isinstance(content, str | bytes) else content
    shape = Shape()
    size = ("name", "use", "way", "cover", "width", "height", "tested_every_survey")
    made = _document(shape, given, _ENTERED + _FACTS, size)
    facts = _merged_facts(shape, given) if isinstance(given, Mapping) else Facts()
    shape.refuse_if_wrong()
    return made, facts


def merged(document: Document, facts: Facts) -> dict[str, Any]:
    """The document with its facts in it, as `calc` takes it."""
    sizes = {opening.name: opening for opening in document.openings}
    openings = []
    for known in facts.openings:
        size = sizes.get(known.name)
        openings.append(
            {
                "name": known.name,
                "use": known.use,
                "way": known.way,
                "width": size.width if size else None,
                "height": size.height if size else None,
                "tested_every_survey": known.every_survey,
            }
            | ({"cover": known.cover.as_dict()} if known.cover else {})
        )
    return document.as_dict() | {
        "hood": {
            "kind": facts.hood.kind,
            "control": facts.hood.control,
            "sash": facts.hood.sash,
            "monitor": facts.hood.monitor,
        }
        | ({"powered": True} if facts.hood.powered else {})
        | {key: text for key in ("set_point", "alarm_point") if (text := getattr(facts.hood, key))},
        "openings": openings,
        "benchmarks": [{"opening": name, "value": f"{q.text} {q.unit}"} for name, q in facts.benchmarks.items()],
        "calibration_covers": facts.calibration_covers,
        "labelled": None if facts.labelled is None else list(facts.labelled),
        **({"done_on": facts.done_on.isoformat()} if facts.done_on else {}),
    }


def _document(shape: Shape, given: Any, keys: tuple[str, ...], size_keys: tuple[str, ...]) -> Document:
    top = shape.table("", given, keys)
    ended = shape.table_or_none("ended_early", top.get("ended_early"), ("reason", "words"))
    reason = shape.code("ended_early.reason", ended.get("reason"), codes.ENDING_REASONS) if ended is not None else None
    if ended is not None and reason is None:
        shape.wrong("ended_early.reason", "key-missing", key="reason")
    return Document(
        openings=tuple(
            _opening(shape, path, item, size_keys)
            for path, item in shape.items("openings", top.get("openings"), MOST_OPENINGS)
        ),
        traverses=tuple(
            _traverse(shape, path, item, struck=False)
            for path, item in shape.items("traverses", top.get("traverses"), MOST_TRAVERSES)
        ),
        answers=tuple(
            _answer(shape, path, item) for path, item in shape.items("answers", top.get("answers"), MOST_ANSWERS)
        ),
        adjusted=shape.flag("adjusted", top.get("adjusted")),
        ended_early=reason,
        ended_words=shape.text("ended_early.words", ended.get("words"), MOST_NOTES) if ended is not None else None,
        reason=shape.code("reason", top.get("reason"), codes.SURVEY_REASONS),
        instrument=shape.text("instrument", top.get("instrument"), MOST_LINE),
        conditions=_plain(shape, "conditions", top.get("conditions"), CONDITIONS),
        found=_plain(shape, "found", top.get("found"), FOUND),
        questions=tuple(
            _plain(shape, path, item, ("code", "path", "value", "answer", "at"))
            for path, item in shape.items("questions", top.get("questions"), MOST_QUESTIONS)
        ),
        struck_traverses=tuple(
            _traverse(shape, path, item, struck=True)
            for path, item in shape.items("struck_traverses", top.get("struck_traverses"), MOST_TRAVERSES)
        ),
        last=_plain(shape, "last", top.get("last"), LAST),
        stop_and_mark_moved=shape.text_or_flag("stop_and_mark_moved", top.get("stop_and_mark_moved"), MOST_LINE),
        notes=shape.text("notes", top.get("notes"), MOST_NOTES),
        of_hood=tuple(
            _of_hood(shape, path, item) for path, item in shape.items("of_hood", top.get("of_hood"), MOST_OF_HOOD)
        ),
        alarms=tuple(_alarm(shape, path, item) for path, item in shape.items("alarms", top.get("alarms"), MOST_ALARMS)),
    )


def _plain(shape: Shape, path: str, given: Any, keys: tuple[str, ...]) -> dict[str, Any]:
    table = shape.table_or_none(path, given, keys) or {}
    return {key: shape.text_or_flag(f"{path}.{key}", value, MOST_LINE) for key, value in table.items() if key in keys}


def _opening(shape: Shape, path: str, given: Any, keys: tuple[str, ...]) -> MeasuredOpening:
    table = shape.table(path, given, keys)
    return MeasuredOpening(
        shape.needed_text(f"{path}.name", table.get("name"), MOST_LINE),
        shape.text(f"{path}.width", table.get("width"), MOST_QUANTITY),
        shape.text(f"{path}.height", table.get("height"), MOST_QUANTITY),
    )


def _cover(shape: Shape, path: str, given: Any) -> None:
    """What covers a part of an opening: its words, and its measures, each of which may be missing."""
    table = shape.table_or_none(path, given, ("by", *MEASURES))
    if table is None or not isinstance(given, Mapping):
        return
    shape.needed_text(f"{path}.by", table.get("by"), MOST_LINE)
    for name in MEASURES:
        if table.get(name):
            shape.quantity(f"{path}.{name}", table[name], LENGTH)


def _traverse(shape: Shape, path: str, given: Any, *, struck: bool) -> Traverse:
    keys = ("opening", "state", "unit", "monitor", "readings")
    table = shape.table(path, given, (*keys, "struck") if struck else keys)
    rows = [
        tuple(_cell(shape, p, item) for p, item in shape.items(row_path, row, MOST_SIDE))
        for row_path, row in shape.items(f"{path}.readings", table.get("readings"), MOST_SIDE)
    ]
    for number, row in enumerate(rows):
        if len(row) != len(rows[0]):
            shape.wrong(f"{path}.readings.{number}", "rows-unequal", number=str(len(row)), wanted=str(len(rows[0])))
    return Traverse(
        opening=shape.needed_text(f"{path}.opening", table.get("opening"), MOST_LINE),
        state=shape.code(f"{path}.state", table.get("state"), codes.STATES) or "as-found",
        unit=shape.code(f"{path}.unit", table.get("unit"), ("ft/min", "m/s")),
        readings=tuple(rows),
        monitor=shape.text(f"{path}.monitor", table.get("monitor"), MOST_QUANTITY) or None,
        struck=shape.needed_text(f"{path}.struck", table.get("struck"), MOST_LINE) if struck else None,
    )


def _cell(shape: Shape, path: str, given: Any) -> Cell:
    if given is None or given == "":
        return ()
    if isinstance(given, list):
        return tuple(_reading(shape, p, item) for p, item in shape.items(path, given, MOST_REPEATS))
    return (_reading(shape, path, given),)


def _reading(shape: Shape, path: str, given: Any) -> Reading:
    if not isinstance(given, Mapping):
        return Reading(shape.needed_text(path, given, MOST_BOX))
    table = shape.table(path, given, ("value", "at", "struck"))
    return Reading(
        shape.needed_text(f"{path}.value", table.get("value"), MOST_BOX),
        shape.text(f"{path}.at", table.get("at"), MOST_BOX) or None,
        shape.text(f"{path}.struck", table.get("struck"), MOST_LINE),
    )


def _answer(shape: Shape, path: str, given: Any) -> Answer:
    asked = CHECK.get(str(given.get("check"))) if isinstance(given, Mapping) else None
    keys = ("check", "opening", "state", "answer")
    table = shape.table(path, given, (*keys, "said") if asked and asked.says else keys)
    check = shape.code(f"{path}.check", table.get("check"), tuple(CHECK))
    if check is None and table.get("check") is None:
        shape.wrong(path, "key-missing", key="check")
    return Answer(
        check=check or "",
        answer=shape.code(f"{path}.answer", table.get("answer"), codes.ANSWERS),
        opening=shape.text(f"{path}.opening", table.get("opening"), MOST_LINE) or None,
        state=shape.code(f"{path}.state", table.get("state"), codes.STATES),
        said=shape.text(f"{path}.said", table.get("said"), MOST_LINE) or None,
    )


def _of_hood(shape: Shape, path: str, given: Any) -> OfHood:
    table = shape.table(path, given, ("figure", "state", "value"))
    figure = shape.code(f"{path}.figure", table.get("figure"), tuple(PLAIN))
    if figure is None and table.get("figure") is None:
        shape.wrong(path, "key-missing", key="figure")
    return OfHood(
        figure=figure or "",
        value=shape.needed_text(f"{path}.value", table.get("value"), MOST_QUANTITY),
        state=shape.code(f"{path}.state", table.get("state"), codes.STATES),
    )


def _alarm(shape: Shape, path: str, given: Any) -> AlarmForced:
    table = shape.table(path, given, ("state", "forced", "trip", "after", "sound", "light"))
    return AlarmForced(
        state=shape.code(f"{path}.state", table.get("state"), codes.STATES),
        forced=shape.code(f"{path}.forced", table.get("forced"), codes.FORCED),
        trip=shape.text(f"{path}.trip", table.get("trip"), MOST_QUANTITY) or None,
        after=shape.text(f"{path}.after", table.get("after"), MOST_QUANTITY) or None,
        sound=shape.code(f"{path}.sound", table.get("sound"), codes.YES_NO),
        light=shape.code(f"{path}.light", table.get("light"), codes.YES_NO),
    )


def _merged_facts(shape: Shape, given: Mapping[str, Any]) -> Facts:
    known = ("kind", "control", "sash", "monitor", "powered", "set_point", "alarm_point")
    hood = shape.table("hood", given.get("hood"), known)
    for key in ("set_point", "alarm_point"):
        if hood.get(key):
            shape.quantity(f"hood.{key}", hood[key])
    shape.flag("hood.powered", hood.get("powered"))
    for key, kinds in (("kind", codes.HOOD_KINDS), ("control", codes.CONTROLS), ("sash", codes.SASHES)):
        if shape.code(f"hood.{key}", hood.get(key), kinds) is None and hood.get(key) is None:
            shape.wrong("hood", "key-missing", key=key)
    shape.code("hood.monitor", hood.get("monitor"), codes.MONITORS)
    for path, item in shape.items("openings", given.get("openings"), MOST_OPENINGS):
        if isinstance(item, Mapping):
            if shape.code(f"{path}.use", item.get("use"), codes.USES) is None and item.get("use") is None:
                shape.wrong(path, "key-missing", key="use")
            shape.text(f"{path}.way", item.get("way"), MOST_LINE)
            shape.flag(f"{path}.tested_every_survey", item.get("tested_every_survey"))
            _cover(shape, f"{path}.cover", item.get("cover"))
    for path, item in shape.items("benchmarks", given.get("benchmarks"), MOST_OPENINGS):
        table = shape.table(path, item, ("opening", "value"))
        shape.needed_text(f"{path}.opening", table.get("opening"), MOST_LINE)
        shape.quantity(f"{path}.value", table.get("value"), "speed")
    shape.flag("calibration_covers", given.get("calibration_covers"))
    if given.get("done_on") is not None:
        shape.day("done_on", given["done_on"])
    for path, item in shape.items("labelled", given.get("labelled"), MOST_OPENINGS):
        shape.needed_text(path, item, MOST_LINE)
    if shape.problems:
        return Facts()
    facts = Facts.from_dict(given)  # the sizes beside its openings are those measured: the register says none
    return replace(facts, openings=tuple(replace(one, width="", height="") for one in facts.openings))
