"""Figures of a traverse against values that somebody else printed; each case names its source.

Besides the files of this folder: the further reference sets NumAcc3, NumAcc4 and Michelso of the NIST Statistical
Reference Datasets, univariate summary statistics (itl.nist.gov/div898/strd/univ: numacc3, numacc4, michelso). They were
written down from memory and then held, value for value, against public files that reprint them: how NumAcc3 and NumAcc4
are built and their certified values in ab9sq/Rqualification (R/univariateData.R); the 100 values of Michelso, their mean
299.8524 and standard deviation 0.0790105478190518 in a public file of test data that names NIST's own as its source.
NIST's own files were not read. And numpy's standard deviation over n - 1.
"""

from __future__ import annotations

import json
import random
from fractions import Fraction
from pathlib import Path

import numpy
import pytest

from surveys.core import traverse
from surveys.core.criteria import Criteria
from surveys.core.document import parse_merged
from surveys.core.entry import Reading
from surveys.core.judging import judge
from surveys.core.opening import GridRule, free_area, plan
from surveys.core.rounding import digits_of_root
from surveys.core.units import Quantity

FOLDER = Path(__file__).parent


def cases(name: str):
    """The cases of a file, each under its own id and source."""
    read = json.loads((FOLDER / f"{name}.json").read_text("utf-8"), parse_float=str, parse_int=str)
    return [pytest.param(case, id=f"{case['id']}: {case['source'][:60]}") for case in read]


def points(values: list[str], **given) -> traverse.Traverse:
    readings = (tuple((Reading(text),) for text in values),)
    return traverse.of_readings(readings, "ft/min", planned=(1, 1), **given)


def half_last_digit(printed: str) -> Fraction:
    return Fraction(1, 2 * 10 ** len(printed.partition(".")[2]))


NUM_ACC_2 = ["1.2", *["1.1", "1.3"] * 500]
NUM_ACC_3 = ["1000000.2", *["1000000.1", "1000000.3"] * 500]
NUM_ACC_4 = ["10000000.2", *["10000000.1", "10000000.3"] * 500]
# Michelson's speed of light, 1879, less 299 000 km/s
MICHELSO = """
850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 960 940 960 940 880 800 850 880 900
840 830 790 810 880 880 830 800 790 760 800 880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850 840 840
840 890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780 890 840 780 810 760 810 790 810 820
850 870 870 810 740 810 940 950 800 810 870
""".split()  # noqa: SIM905


@pytest.mark.parametrize("case", cases("statistics"))
def test_mean_and_standard_deviation_are_those_printed(case):
    values = NUM_ACC_2 if case["id"] == "NumAcc2" else case["input"]["values"]
    made, wanted = points(values), case["expected"]
    mean, square = traverse.average(made), traverse.deviation_squared(made)
    if case["id"].startswith("GUM"):  # printed to a few digits
        assert mean == Fraction(wanted["mean"])
        root = Fraction(digits_of_root(square))
        assert abs(root - Fraction(wanted["s"])) <= half_last_digit(wanted["s"])
        of_mean = Fraction(digits_of_root(square / made.number))
        assert abs(of_mean - Fraction(wanted["s_mean"])) <= half_last_digit(wanted["s_mean"])
    else:
        assert mean == Fraction(wanted["mean"])
        certified = Fraction(wanted["s"]) ** 2
        assert abs(square - certified) <= certified * 2 * Fraction("1e-12")


@pytest.mark.parametrize(
    ("values", "mean", "certified"),
    [
        pytest.param(NUM_ACC_3, "1000000.2", "0.1", id="NIST StRD NumAcc3, exact"),
        pytest.param(NUM_ACC_4, "10000000.2", "0.1", id="NIST StRD NumAcc4, exact"),
        pytest.param(MICHELSO, "852.4", "79.0105478190518", id="NIST StRD Michelso, in km/s less 299 000"),
    ],
)
def test_further_reference_sets_of_nist(values, mean, certified):
    made = points(values)
    assert traverse.average(made) == Fraction(mean)
    square = Fraction(certified) ** 2
    assert abs(traverse.deviation_squared(made) - square) <= square * Fraction("1e-13")


def test_standard_deviation_agrees_with_numpy_over_a_hundred_random_traverses():
    chance = random.Random(1)
    for _ in range(100):
        values = [str(chance.randint(600, 1400) / 10) for _ in range(chance.randint(2, 30))]
        made = points(values)
        wanted = numpy.std([float(value) for value in values], ddof=1)
        assert float(digits_of_root(traverse.deviation_squared(made))) == pytest.approx(wanted, rel=1e-8)


@pytest.mark.parametrize("case", cases("face-traverse"))
def test_face_traverses_and_grids_are_those_printed(case):
    given, wanted = case["input"], case["expected"]
    if "readings" in given:
        area = Fraction(given["area"].removesuffix(" ft2"))
        made = points(given["readings"], area=area)
        assert traverse.average(made) == Fraction(wanted["average"])
        assert traverse.lowest(made) == Fraction(wanted["lowest"])
        assert traverse.highest(made) == Fraction(wanted["highest"])
        assert abs(traverse.flow(made) - Fraction(wanted["flow_cfm"])) <= half_last_digit(wanted["flow_cfm"])
    else:
        width, height = given["opening"].removesuffix(" in").split(" x ")
        rule = GridRule(Quantity("1.0", "ft**2"), Quantity(*given["longest_edge"].split()))
        grid = plan(f"{width} in", f"{height} in", rule)
        assert (grid.columns, grid.rows) == (int(wanted["columns"]), int(wanted["rows"]))
        if "cell_in" in wanted:
            assert [grid.cell_width, grid.cell_height] == [Fraction(side) for side in wanted["cell_in"]]


def test_flow_of_the_manual_s_example_is_that_of_its_own_filter_face():
    """An anemometer maker's manual, page 16: 20 x 16 in less its frame is given as 1.90 ft2; the bare face would be 2.22."""
    assert free_area("20 in", "16 in", "ft") == Fraction(20, 9)


# --- criteria that somebody printed ---------------------------------------------------------------------------------


def verdict(limits, *, average, lowest=None, compare="as-measured", unit="ft/min"):
    """The verdict of a two-point traverse with this average, and this lowest point where one is given."""
    mean = Fraction(average)
    low = Fraction(lowest) if lowest is not None else mean
    texts = [f"{float(low):.10g}", f"{float(2 * mean - low):.10g}"]
    document, facts = parse_merged(
        {
            "hood": {"kind": "general", "control": "bypass", "sash": "vertical"},
            "openings": [{"name": "working", "use": "working", "width": "24 in", "height": "12 in"}],
            "traverses": [{"opening": "working", "state": "as-found", "unit": unit, "readings": [texts]}],
            "calibration_covers": True,
        }
    )
    criteria = {
        "compare": compare,
        "edge_exclusion": "1 in",
        "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"},
        "due": {"months": "12"},
        "limits": limits,
    }
    return judge(document, facts, Criteria.from_dict(criteria)).verdict


def limit(figure, consequence, **bounds):
    words = {"restriction": "not for highly toxic materials"} if consequence == "restrict" else {}
    return {"figure": figure, "consequence": consequence, **bounds, **words}


THREE_BANDS = [
    limit("average", "restrict", at_least="80 ft/min", at_most="120 ft/min"),
    limit("average", "fail", at_least="70 ft/min", at_most="150 ft/min"),
]
CALIFORNIA = [limit("average", "fail", at_least="100 ft/min"), limit("lowest", "fail", at_least="70 ft/min")]


@pytest.mark.parametrize("case", cases("criteria"))
def test_criteria_classify_as_their_source_says(case):
    given, wanted = case["input"], case["expected"]
    if case["id"] == "three-band":
        found = [verdict(THREE_BANDS, average=average) for average in given["averages"]]
        assert found == wanted["outcomes"]
    elif case["id"].startswith("california"):
        assert verdict(CALIFORNIA, average=given["average"], lowest=given["lowest"]) == wanted["outcome"]
    elif case["id"] == "gap-and-rounding":
        assert verdict(THREE_BANDS, average=given["average"], compare="rounded") == wanted["compared_rounded"]
        assert verdict(THREE_BANDS, average=given["average"]) == wanted["compared_as_measured"]
    else:
        number, unit = given["average"].split()
        bound = [limit("average", "fail", at_least=given["limit"].removeprefix("at least "))]
        assert verdict(bound, average=number, unit=unit) == wanted["outcome"]


def test_no_case_of_the_files_is_left_out():
    counts = {name: len(json.loads((FOLDER / f"{name}.json").read_text("utf-8"))) for name in
              ("statistics", "face-traverse", "criteria", "dates")}  # fmt: skip
    assert counts == {"statistics": 4, "face-traverse": 4, "criteria": 5, "dates": 5}
