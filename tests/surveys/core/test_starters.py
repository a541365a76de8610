"""The two sets to start from: what they judge, where each limit comes from, and what a site has still to decide."""

import pytest

from surveys.core.checks import CHECKS
from surveys.core.criteria import Criteria, why_not_adopt
from surveys.core.document import parse_merged
from surveys.core.due import DueRule
from surveys.core.judging import judge
from surveys.core.starters import LEGAL_MINIMUM, STARTERS, THREE_BAND

BY_CODE = pytest.mark.parametrize("starter", STARTERS.values(), ids=STARTERS)
FAILING = ("smoke-at-opening", "air-drawn-in", "sash-moves-and-stays", "glazing-whole", "counterweight-sound")
VERTICAL = {check.code for check in CHECKS if "vertical" in check.sashes}


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


@BY_CODE
def test_what_both_have_in_common(starter):
    document = starter.document
    assert document["compare"] == "as-measured"
    assert document["least_height"] == "6 in"
    assert document["must_pass"] == []
    assert (document["grid"]["largest_area"], document["grid"]["longest_edge"]) == ("1 ft**2", "13 in")
    assert DueRule.of(document["due"]) == DueRule(12, "day", 0, None)


@BY_CODE
def test_what_a_no_costs(starter):
    costs = {check["check"]: check["consequence"] for check in starter.document["checks"]}
    assert {check for check, cost in costs.items() if cost == "fail"} == set(FAILING)
    assert {check for check, cost in costs.items() if cost == "note"} == {"light-works", "outlets-work"}
    assert set(costs.values()) == {"fail", "note", "undecided"}
    assert set(costs) == VERTICAL, "every check of a vertical sash is asked, each once"
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


def verdict(starter, readings: list[list[str]], *, width="24 in", height="12 in", use="working", no=()) -> str:
    """A whole survey of one opening in which every check is as it should be, but those in `no`."""
    survey = {
        "hood": {"kind": "general", "control": "constant-volume", "sash": "vertical"},
        "openings": [{"name": "one", "use": use, "width": width, "height": height}],
        "traverses": [{"opening": "one", "state": "as-found", "unit": "ft/min", "readings": readings}],
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
]


@pytest.mark.parametrize(("starter", "readings", "expected", "why"), JUDGED)
def test_published_edges(starter, readings, expected, why):
    assert verdict(starter, [readings]) == expected, why


@pytest.mark.parametrize("check", [*FAILING, "light-works"])
@BY_CODE
def test_each_check_that_fails_a_hood_does_so_alone(starter, check):
    assert verdict(starter, [["105", "105"]]) == "pass"
    assert verdict(starter, [["105", "105"]], no=[check]) == ("fail" if check in FAILING else "pass")


def test_a_faster_lower_opening_of_a_constant_volume_hood_is_not_held_to_the_upper_ends():
    assert verdict(THREE_BAND, [["180", "180"]], height="8 in", use="lower") == "pass"
    assert verdict(THREE_BAND, [["180", "180"]], height="8 in") == "fail", "the control: the same as working opening"


def test_an_opening_under_the_least_useful_height_is_approved_by_neither():
    for starter in STARTERS.values():
        assert verdict(starter, [["105", "105"]], height="6 in", use="lower") == "pass"
        assert verdict(starter, [["105", "105"]], height="5.9 in", use="lower") == "no-verdict"
