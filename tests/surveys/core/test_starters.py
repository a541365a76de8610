"""The sets to start from: what they judge, where each limit comes from, and what a site has still to decide."""

from datetime import date

import pytest

from surveys.core.adoption import why_not_adopt
from surveys.core.checks import CHECKS
from surveys.core.criteria import Criteria
from surveys.core.document import parse_merged
from surveys.core.due import DueRule, next_due
from surveys.core.judging import judge
from surveys.core.starters import STARTERS, nothing
from surveys.core.starters.bands import BAND_WITH_DEVIATION, THREE_BAND
from surveys.core.starters.floors import HALF_A_METRE, LEGAL_MINIMUM
from surveys.core.starters.kinds import RADIOISOTOPE
from surveys.core.starters.proven import LOW_VELOCITY_PROVEN, RATIO_TO_BENCHMARK
from surveys.core.units import quantity

BY_CODE = pytest.mark.parametrize("starter", STARTERS.values(), ids=STARTERS)
FAILING = ("smoke-at-opening", "air-drawn-in", "sash-moves-and-stays", "glazing-whole", "counterweight-sound")
EVERY = {check.code for check in CHECKS if not check.retired}


def limits(starter) -> list[tuple]:
    keys = ("figure", "at_least", "at_most", "applies_to", "consequence", "restriction")
    return [tuple(limit.get(key) for key in keys) for limit in starter.document["limits"]]


def test_the_legal_minimum():
    """California Code of Regulations, Title 8, section 5154.1(c)(1), as tests/check_values/criteria.json has it."""
    assert limits(LEGAL_MINIMUM) == [
        ("average", "100 ft/min", None, "each", "fail", None),
        ("lowest", "70 ft/min", None, "each", "fail", None),
    ]
    assert LEGAL_MINIMUM.document["edge_exclusion"] == "1 in"


def test_the_three_bands():
    """A hood survey programme's bands; the upper ends at the working opening alone."""
    words = "not for highly toxic materials"
    assert limits(THREE_BAND) == [
        ("average", "80 ft/min", None, "each", "restrict", words),
        ("average", None, "120 ft/min", "working", "restrict", words),
        ("average", "70 ft/min", None, "each", "fail", None),
        ("average", None, "150 ft/min", "working", "fail", None),
    ]
    assert THREE_BAND.document["edge_exclusion"] == "0 in"


def test_a_band_with_the_deviation_of_each_point():
    """ANSI/AIHA Z9.5-1992 as it is quoted, and a university's band."""
    assert limits(BAND_WITH_DEVIATION) == [
        ("average", "80 ft/min", None, "each", "fail", None),
        ("average", None, "120 ft/min", "working", "fail", None),
        ("deviation-percent", None, "20 %", "each", "fail", None),
    ]


def test_half_a_metre_a_second():
    """AS/NZS 2243.8:2014, clause 3.1.2; what is written for other cabinets (2243.9) is noted and nothing more."""
    assert limits(HALF_A_METRE) == [
        ("average", "0.5 m/s", None, "each", "fail", None),
        ("average", None, "1 m/s", "working", "note", None),
        ("lowest", "0.3 m/s", None, "each", "note", None),
        ("deviation-percent", None, "20 %", "each", "note", None),
    ]
    metric = HALF_A_METRE.document
    sizes = (
        metric["edge_exclusion"],
        metric["least_height"],
        *(metric["grid"][k] for k in ("largest_area", "longest_edge")),
    )
    assert {quantity(size).unit for size in sizes} == {"mm", "m**2"}


def test_the_ratio_to_a_benchmark():
    """ANSI/AIHA/ASSE Z9.5-2012, as a summary of its draft gives it: 90 to 120 %."""
    assert limits(RATIO_TO_BENCHMARK) == [("benchmark-ratio", "0.90", "1.20", "each", "fail", None)]


def test_radioisotope_hoods_are_due_each_half_year():
    """A university's programme: twice a year where radioactive material is used; a handbook's most, as digests give it."""
    assert limits(RADIOISOTOPE) == [
        ("average", "80 ft/min", None, "each", "fail", None),
        ("average", None, "125 ft/min", "working", "fail", None),
    ]
    rule = DueRule.of(RADIOISOTOPE.document["due"])
    assert next_due(date(2026, 3, 12), rule).on == date(2026, 9, 12)
    others = {starter.document["due"]["months"] for starter in STARTERS.values() if starter is not RADIOISOTOPE}
    assert others == {"12"}, "the control: the others are due each year"


def test_low_velocity_hoods_need_evidence():
    """SEFA 1-2010 as a digest gives it; a hood is judged by it only with the evidence of its tracer gas test."""
    assert limits(LOW_VELOCITY_PROVEN) == [
        ("average", "60 ft/min", None, "each", "fail", None),
        ("average", None, "100 ft/min", "working", "note", None),
    ]
    demanding = [starter.code for starter in STARTERS.values() if starter.document.get("evidence_required")]
    assert demanding == [LOW_VELOCITY_PROVEN.code]
    assert "tracer gas test" in LOW_VELOCITY_PROVEN.words


@BY_CODE
def test_no_limit_fails_a_hood_by_a_number_from_memory_alone(starter):
    failing = [limit for limit in starter.document["limits"] if limit["consequence"] in ("fail", "restrict")]
    assert failing
    assert all(limit["evidence"].startswith("read in ") for limit in failing)
    assert not any("memory" in limit["evidence"] for limit in failing)


@BY_CODE
def test_what_all_have_in_common(starter):
    document = starter.document
    assert document["compare"] == "as-measured"
    assert 0.149 <= float(quantity(document["least_height"]).to("m")) <= 0.1524, "6 in, or 150 mm"
    assert document["must_pass"] == []
    assert abs(quantity(document["grid"]["largest_area"]).to("ft**2") - 1) < 0.002
    assert abs(quantity(document["grid"]["longest_edge"]).to("in") - 13) < 0.01
    months = 6 if starter is RADIOISOTOPE else 12
    assert DueRule.of(document["due"]) == DueRule(months, "day", 0, None)


@BY_CODE
def test_what_a_no_costs(starter):
    costs = {check["check"]: check["consequence"] for check in starter.document["checks"]}
    assert {check for check, cost in costs.items() if cost == "fail"} == set(FAILING)
    assert {check for check, cost in costs.items() if cost == "note"} == {"alarm-not-muted", "light-works", "outlets-work"}
    assert set(costs.values()) == {"fail", "note", "undecided"}
    assert set(costs) == EVERY, "every check is asked, each once"
    assert len(costs) == len(starter.document["checks"])


@BY_CODE
def test_each_limit_and_rule_says_its_source_and_how_it_was_seen(starter):
    document = starter.document
    for item in (*document["limits"], document["due"], document["grid"]):
        assert item["source"]
        assert item["evidence"]
    assert all(check["source"] for check in document["checks"])
    assert starter.name
    assert "Compare with your local rules first." in starter.words


@BY_CODE
def test_it_is_a_criteria_document(starter):
    criteria = Criteria.from_dict(starter.document)
    assert criteria.as_dict() == starter.document
    assert [limit.source for limit in criteria.limits] == [limit["source"] for limit in starter.document["limits"]]


@BY_CODE
def test_only_what_is_undecided_stands_against_adopting_it(starter):
    problems = why_not_adopt(Criteria.from_dict(starter.document))
    undecided = [i for i, check in enumerate(starter.document["checks"]) if check["consequence"] == "undecided"]
    assert [problem.path for problem in problems] == [f"checks.{index}.consequence" for index in undecided]
    decided = starter.document
    for check in decided["checks"]:
        if check["consequence"] == "undecided":
            check["consequence"] = "note"
    assert why_not_adopt(Criteria.from_dict(decided)) == ()


def test_a_document_is_a_copy():
    LEGAL_MINIMUM.document["limits"].clear()
    assert len(LEGAL_MINIMUM.document["limits"]) == 2


def test_codes_are_their_keys():
    assert [starter.code for starter in STARTERS.values()] == list(STARTERS)


def decided(starter) -> Criteria:
    """The set as a site might adopt it that lets nothing undecided cost anything."""
    document = starter.document
    for check in document["checks"]:
        check["consequence"] = check["consequence"].replace("undecided", "note")
    return Criteria.from_dict(document)


def verdict(
    starter, readings: list[list[str]], *, width="24 in", height="12 in", use="working", no=(), unit="ft/min", benchmark=None
) -> str:  # fmt: skip
    """A whole survey of one opening in which every check is as it should be, but those in `no`."""
    survey = {
        "hood": {"kind": "general", "control": "constant-volume", "sash": "vertical"},
        "openings": [{"name": "one", "use": use, "width": width, "height": height}],
        "traverses": [{"opening": "one", "state": "as-found", "unit": unit, "readings": readings}],
        "benchmarks": [{"opening": "one", "value": benchmark}] if benchmark else [],
        "answers": [
            {"check": check, "answer": "no" if check in no else "yes", **({"opening": "one"} if each else {})}
            for check, each in ((asked["check"], asked["applies_to"] == "each") for asked in starter.document["checks"])
        ],
        "adjusted": False,
        "calibration_covers": True,
    }  # fmt: skip
    document, facts = parse_merged(survey)
    return judge(document, facts, decided(starter)).verdict


JUDGED = [
    # starter, readings, verdict, source and why
    (LEGAL_MINIMUM, ["130", "70"], "pass", "tests/check_values/criteria.json, california: 100 and 70 are met"),
    (LEGAL_MINIMUM, ["154.1", "69.9"], "fail", "california-low-point: an average of 112, a point of 69.9"),
    (LEGAL_MINIMUM, ["99.9", "100"], "fail", "an average of 99.95"),
    (THREE_BAND, ["80", "80"], "pass", "three-band: 80"),
    (THREE_BAND, ["120", "120"], "pass", "three-band: 120"),
    (THREE_BAND, ["79", "79"], "restrict", "three-band: 79"),
    (THREE_BAND, ["121", "121"], "restrict", "three-band: 121"),
    (THREE_BAND, ["69", "69"], "fail", "three-band: 69"),
    (THREE_BAND, ["79.5", "79.7"], "restrict", "gap-and-rounding: 79.6 as measured"),
    (THREE_BAND, ["69.8", "69.9"], "fail", "between the printed bands, below 70"),
    (THREE_BAND, ["150", "150"], "restrict", "the upper end"),
    (THREE_BAND, ["150", "150.1"], "fail", "above it"),
    (BAND_WITH_DEVIATION, ["64", "96"], "pass", "80, each point 20 % from it"),
    (BAND_WITH_DEVIATION, ["63.9", "96.1"], "fail", "80, each point a little more than 20 % from it"),
    (BAND_WITH_DEVIATION, ["79.9", "80"], "fail", "an average of 79.95"),
    (BAND_WITH_DEVIATION, ["120", "120"], "pass", "the upper end"),
    (BAND_WITH_DEVIATION, ["120", "120.1"], "fail", "above it"),
    (HALF_A_METRE, ["0.50", "0.50"], "pass", "0.5 m/s"),
    (HALF_A_METRE, ["0.49", "0.50"], "fail", "an average of 0.495 m/s"),
    (HALF_A_METRE, ["0.29", "0.80"], "pass", "a low point is noted"),
    (HALF_A_METRE, ["1.1", "1.1"], "pass", "more than 1 m/s is noted"),
    (RATIO_TO_BENCHMARK, ["90", "90"], "pass", "0.90 of a benchmark of 100 ft/min"),
    (RATIO_TO_BENCHMARK, ["89.9", "90"], "fail", "under it"),
    (RATIO_TO_BENCHMARK, ["120", "120"], "pass", "1.20 of it"),
    (RATIO_TO_BENCHMARK, ["120", "120.1"], "fail", "above it"),
    (LOW_VELOCITY_PROVEN, ["60", "60"], "pass", "60 ft/min"),
    (LOW_VELOCITY_PROVEN, ["59.9", "60"], "fail", "under it"),
    (LOW_VELOCITY_PROVEN, ["101", "101"], "pass", "above 100 it is noted"),
]
METRES = {HALF_A_METRE.code: "m/s"}


@pytest.mark.parametrize(("starter", "readings", "expected", "why"), JUDGED)
def test_published_edges(starter, readings, expected, why):
    unit = METRES.get(starter.code, "ft/min")
    assert verdict(starter, [readings], unit=unit, benchmark="100 ft/min") == expected, why


def test_a_hood_without_a_benchmark_has_no_verdict_where_the_ratio_decides():
    assert verdict(RATIO_TO_BENCHMARK, [["100", "100"]]) == "no-verdict"
    assert verdict(RATIO_TO_BENCHMARK, [["100", "100"]], benchmark="100 ft/min") == "pass", "the control"


def test_a_metric_limit_is_held_to_readings_in_feet_exactly():
    assert verdict(HALF_A_METRE, [["98.5", "98.5"]]) == "pass", "0.50038 m/s"
    assert verdict(HALF_A_METRE, [["98.4", "98.4"]]) == "fail", "0.499872 m/s"


@pytest.mark.parametrize("check", [*FAILING, "light-works"])
@BY_CODE
def test_each_check_that_fails_a_hood_does_so_alone(starter, check):
    assert verdict(starter, [["105", "105"]], benchmark="100 ft/min") == "pass"
    found = verdict(starter, [["105", "105"]], no=[check], benchmark="100 ft/min")
    assert found == ("fail" if check in FAILING else "pass")


def test_an_empty_set_asks_nothing_and_cannot_be_adopted():
    assert (nothing()["limits"], nothing()["checks"]) == ([], [])
    assert [problem.path for problem in why_not_adopt(Criteria.from_dict(nothing()))] == ["limits"]


def test_a_faster_lower_opening_of_a_constant_volume_hood_is_not_held_to_the_upper_ends():
    assert verdict(THREE_BAND, [["180", "180"]], height="8 in", use="lower") == "pass"
    assert verdict(THREE_BAND, [["180", "180"]], height="8 in") == "fail", "the control: the same as working opening"


def test_an_opening_under_the_least_useful_height_is_approved_by_neither():
    for starter in STARTERS.values():
        lower = {"use": "lower", "benchmark": "100 ft/min"}
        assert verdict(starter, [["105", "105"]], height="6 in", **lower) == "pass"
        assert verdict(starter, [["105", "105"]], height="5.9 in", **lower) == "no-verdict"
