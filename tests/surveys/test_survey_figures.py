"""The figures beside the grid, worked out by script, against core's judging: the same to the last digit, on random sets."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from surveys.core.facts import OpeningFacts
from surveys.core.judged import LimitJudged
from surveys.core.judging import judge
from surveys.core.units import quantity
from surveys.views.survey_boxes import Boxes
from surveys.views.survey_grid import LIVE, Block
from surveys.views.survey_grid_words import planned

SCRIPTS = Path(__file__).resolve().parents[2] / "static" / "js"
RUN = """
import { readFileSync } from "node:fs";
import { fraction } from "./exact.js";
import { figures, pointValue, says } from "./figures.js";
const answers = JSON.parse(readFileSync(0, "utf8")).map(({ facts, points }) => {
  const found = figures(points.map(({ texts, edge }) => ({ value: pointValue(texts, facts.digits, facts.highest && fraction(...facts.highest.value.map(BigInt))), edge })));
  found.complete &&= facts.enough;
  const exact = Object.fromEntries(Object.entries(found).filter(([, value]) => Array.isArray(value))
    .map(([code, [n, d]]) => [code, `${n}/${d}`]));
  return { exact, says: facts.limits.map((limit) => says(limit, found, facts)) };
});
console.log(JSON.stringify(answers));
"""


def node() -> str | None:
    """A JavaScript engine: on the machine, or the one that the browser driver brings with it."""
    if found := shutil.which("node"):
        return found
    try:
        import playwright
    except ImportError:
        return None
    brought = Path(playwright.__file__).parent / "driver" / "node"
    return str(brought) if brought.exists() else None


def run(cases: list[dict[str, Any]], tmp_path: Path, script: str = RUN) -> list[dict[str, Any]]:
    engine = node()
    if engine is None:
        pytest.skip("no JavaScript engine found: install the extra `dev`")
    for name in ("exact.js", "figures.js"):
        shutil.copy(SCRIPTS / name, tmp_path / name)
    (tmp_path / "package.json").write_text('{"type": "module"}')
    (tmp_path / "run.js").write_text(script)
    done = subprocess.run(  # noqa: S603
        [engine, str(tmp_path / "run.js")], input=json.dumps(cases), capture_output=True, text=True, check=True, timeout=120
    )
    return json.loads(done.stdout)


LIMITS = ("average", "lowest", "highest", "spread", "spread-percent", "deviation-percent", "low-deviation-percent")


class Case:
    """A random traverse with random limits near its own figures, so that many stand exactly on one."""

    def __init__(self, chance: random.Random, *, missing: bool) -> None:
        self.unit = chance.choice(["ft/min", "m/s"])
        self.places = 0 if self.unit == "ft/min" else 2
        rows, columns = chance.choice([(2, 5), (1, 3), (2, 2)])
        width, height = {(2, 5): ("62 in", "18 in"), (1, 3): ("36 in", "12 in"), (2, 2): ("24 in", "24 in")}[rows, columns]
        self.cells = [[self._cell(chance, missing) for _ in range(columns)] for _ in range(rows)]
        self.criteria = Criteria.from_dict({
            "compare": chance.choice(["as-measured", "rounded"]), "edge_exclusion": chance.choice(["0 in", "6.1 in"]),
            "least_height": "6 in", "must_pass": [], "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"},
            "due": {"months": "12", "anchor": "day"}, "limits": [self._limit(chance) for _ in range(6)], "checks": [],
        })  # fmt: skip
        self.covered = chance.random() < 0.9
        self.width, self.height = width, height
        resolution = "1 ft/min" if self.unit == "ft/min" else "0.01 m/s"
        self.facts = Facts(
            openings=(OpeningFacts("working", "working"),), calibration_covers=self.covered, resolution=quantity(resolution)
        )

    def _text(self, chance: random.Random) -> str:
        if self.unit == "ft/min":
            return str(chance.randint(0, 3) if chance.random() < 0.05 else chance.randint(60, 140))
        return f"0.{chance.randint(30, 70)}"

    def _cell(self, chance: random.Random, missing: bool) -> list[str]:
        if missing and chance.random() < 0.15:
            return []
        return [self._text(chance) for _ in range(chance.choice([1, 1, 1, 2, 3]))]

    def _limit(self, chance: random.Random) -> dict[str, Any]:
        figure = chance.choice(LIMITS)
        if "percent" in figure:
            bounds = {"at_most": f"{chance.choice(['10', '20', '12.5', '33.3'])} %"}
        else:
            unit = chance.choice(["ft/min", "m/s"])
            value = (
                str(chance.randint(60, 120)) if unit == "ft/min" else f"0.{chance.randint(30, 60)}{chance.choice(['', '5'])}"
            )
            bounds = {chance.choice(["at_least", "at_most"]): f"{value} {unit}"}
            if self._on_average() and figure == "average" and chance.random() < 0.5:
                bounds = {"at_least": f"{self._on_average()} {self.unit}"}
        return bounds | {"figure": figure, "applies_to": "each", "consequence": "fail"}

    def _on_average(self) -> str:
        """The average itself as a limit, where it can be written down."""
        values = [sum(map(Fraction, cell)) / len(cell) for row in self.cells for cell in row if cell]
        average = sum(values, Fraction(0)) / len(values) if values else Fraction(1, 3)
        digits = f"{float(average):.6f}".rstrip("0")
        return digits + ("0" if digits.endswith(".") else "") if average and Fraction(digits + "0") == average else ""

    @property
    def document(self) -> Any:
        readings = [[None if not cell else cell[0] if len(cell) == 1 else cell for cell in row] for row in self.cells]
        return parse({
            "openings": [{"name": "working", "width": self.width, "height": self.height}],
            "traverses": [{"opening": "working", "state": "as-found", "unit": self.unit, "readings": readings}],
        })  # fmt: skip

    def block(self) -> Block:
        grid = planned(self.width, self.height, self.criteria)
        return Block(
            place="0f", opening="working", state="as-found", unit=self.unit, width=self.width, height=self.height,
            boxes=Boxes({}, {}), criteria=self.criteria, version="", grid=grid, resolution=self.facts.resolution,
            highest=self.facts.highest,
            covered=self.covered, use="working",
        )  # type: ignore[arg-type]  # fmt: skip

    def for_script(self) -> dict[str, Any]:
        block = self.block()
        edges = [[cell.edge for cell in row] for row in block.rows]
        points = [
            {"texts": texts, "edge": edge}
            for row, line in zip(self.cells, edges, strict=True)
            for texts, edge in zip(row, line, strict=True)
        ]
        return {"facts": json.loads(block.facts), "points": points}


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    chance = random.Random(20260312)
    return [Case(chance, missing=number % 3 == 0) for number in range(3000)]


def test_e8_s13_script_and_core_say_the_same_of_three_thousand_traverses(cases: list[Case], tmp_path: Path) -> None:
    found = run([case.for_script() for case in cases], tmp_path)
    seen: set[tuple[str, str]] = set()
    for case, script in zip(cases, found, strict=True):
        judged = judge(case.document, case.facts, case.criteria).as_found.openings[0]
        complete = all(cell for row in case.cells for cell in row)
        if complete:
            core = {code: judged.figures[code] for code in LIVE}
            exact = {code: f"{n.value.numerator}/{n.value.denominator}" for code, n in core.items() if n}
            assert script["exact"] == exact
        outcomes = [one.outcome for one in judged.judgements if isinstance(one, LimitJudged)]
        for limit, outcome, said in zip(case.criteria.limits, outcomes, script["says"], strict=True):
            assert said == outcome or (outcome == "not-tested" and said.startswith("so-far-") and not complete)
            seen.add((limit.figure.code, said))
    assert {said for _, said in seen} >= {"met", "not-met", "not-tested", "so-far-within", "so-far-under", "so-far-over"}
    assert {figure for figure, said in seen if said == "met"} == set(LIMITS)


def test_e8_floats_would_have_said_otherwise(cases: list[Case], tmp_path: Path) -> None:
    """The control: the same comparison in floats is wrong somewhere in these sets, so exactness is seen to matter."""
    wrong = 0
    for case in cases:
        if not all(cell for row in case.cells for cell in row) or case.criteria.compare != "as-measured":
            continue
        judged = judge(case.document, case.facts, case.criteria).as_found.openings[0]
        values = [sum(map(float, cell)) / len(cell) for row in case.cells for cell in row]
        average = sum(values) / len(values)
        for limit, one in zip(case.criteria.limits, judged.judgements, strict=True):
            if limit.figure.code != "average" or one.outcome == "not-tested":
                continue
            factor = {"ft/min": 0.00508, "m/s": 1.0}
            least = float(limit.at_least.text) * factor[limit.at_least.unit] if limit.at_least else None
            most = float(limit.at_most.text) * factor[limit.at_most.unit] if limit.at_most else None
            held = average * factor[case.unit]
            met = (least is None or held >= least) and (most is None or held <= most)
            wrong += met is not (one.outcome == "met")
    assert wrong > 0


def test_e8_three_times_0_40_meets_0_40(tmp_path: Path) -> None:
    limit = {"figure": "average", "live": True, "least": {"text": "0.40", "factor": ["1", "1"]}, "most": None}
    facts = {"digits": 2, "rule": "as-measured", "covered": True, "enough": True, "limits": [limit]}
    points = [{"texts": ["0.4"], "edge": False}] * 3
    low = [{"texts": ["0.4"], "edge": False}] * 2 + [{"texts": ["0.39"], "edge": False}]
    found = run([{"facts": facts, "points": points}, {"facts": facts, "points": low}], tmp_path)
    assert [one["says"] for one in found] == [["met"], ["not-met"]]


WRONG = [  # a reading, its unit, what the script says of it: the same that the server refuses
    ("600", "ft/min", ""), ("601", "ft/min", "above"), ("7000", "ft/min", "above"), ("98.5", "ft/min", "form"),
    ("3.04", "m/s", ""), ("3.05", "m/s", "above"), ("0.451", "m/s", "form"), ("1,5", "ft/min", "form"),
]  # fmt: skip


def test_e5_e9_script_and_server_refuse_the_same_readings(tmp_path: Path) -> None:
    from surveys.core.content import why_not_reading

    script = (
        'import { readFileSync } from "node:fs"; import { fraction } from "./exact.js"; import { wrong } from "./figures.js";'
        'console.log(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map(({ text, facts }) =>'
        " wrong(text, facts.digits, fraction(...facts.highest.value.map(BigInt))))));"
    )
    given = []
    for text, unit, _said in WRONG:
        case = Case(random.Random(1), missing=False)
        resolution = quantity("1 ft/min" if unit == "ft/min" else "0.01 m/s")
        case.unit, case.facts = unit, Facts(resolution=resolution, highest=quantity("600 ft/min"))
        given.append({"text": text, "facts": json.loads(case.block().facts)})
        refused = why_not_reading(text, unit, case.facts.resolution, case.facts.highest)
        assert bool(refused) is bool(_said)
    assert run(given, tmp_path, script) == [said for _text, _unit, said in WRONG]


@pytest.mark.parametrize("refused", ["9.8", "7000", "1,5", "9.8 and 98"])
def test_a_refused_reading_is_in_no_figure_of_script_and_core(refused: str, tmp_path: Path) -> None:
    """Nine of 100 and one that is refused: missing for both; let stand, 9.8 or 7000 would break limits or move the average."""
    case = Case(random.Random(1), missing=False)
    case.unit, case.width, case.height, case.covered = "ft/min", "62 in", "18 in", True
    case.facts = Facts(
        openings=(OpeningFacts("working", "working"),), calibration_covers=True, resolution=quantity("1 ft/min"), highest=quantity("600 ft/min")
    )
    bounds = ({"figure": "average", "at_least": "80 ft/min"}, {"figure": "lowest", "at_least": "70 ft/min"}, {"figure": "highest", "at_most": "125 ft/min"})
    limits = [bound | {"applies_to": "each", "consequence": "fail"} for bound in bounds]
    given = {
        "compare": "as-measured", "edge_exclusion": "0 in", "least_height": "6 in", "must_pass": [], "checks": [], "limits": limits,
        "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"}, "due": {"months": "12", "anchor": "day"},
    }  # fmt: skip
    case.criteria = Criteria.from_dict(given)
    told = {}
    for text in ("100", refused):
        case.cells = [[["100"]] * 5, [*[["100"]] * 4, text.split(" and ")]]
        judged = judge(case.document, case.facts, case.criteria).as_found.openings[0]
        (script,) = run([case.for_script()], tmp_path)
        told[text] = ([one.outcome for one in judged.judgements], script["says"], script["exact"].get("average"), judged.figures["average"] is None)
    assert told["100"] == (["met"] * 3, ["met"] * 3, "100/1", False)
    assert told[refused] == (["not-tested"] * 3, ["so-far-within"] * 3, "100/1", True)


SHOWN = [  # value as a fraction, places, bounds, as printed
    ("79.96", 1, ["80"], "79.96"), ("80", 1, ["80"], "80"), ("98.04", 1, [], "98"), ("0.005", 2, [], "0"),
    ("0.015", 2, [], "0.02"), ("-12.34", 1, [], "−12.3"), ("119.99999", 1, ["120"], "119.99999"),
]  # fmt: skip


def test_a_figure_is_printed_on_its_own_side_of_every_bound(tmp_path: Path) -> None:
    from surveys.core import units

    script = (
        'import { readFileSync } from "node:fs"; import { decimal, shownBeside } from "./exact.js";'
        'console.log(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map(([value, places, bounds]) =>'
        " shownBeside(decimal(value), places, bounds.map(decimal)))));"
    )
    printed = run([list(case[:3]) for case in SHOWN], tmp_path, script)  # type: ignore[arg-type]
    assert printed == [case[3] for case in SHOWN]
    for value, places, bounds, text in SHOWN:
        unit = {1: "ft/min", 2: ""}[places]
        assert units.shown(Fraction(value), unit, tuple(map(Fraction, bounds))).replace("-", "−") == text
