"""The certificate and the report: titles, what they say, that no figure differs from the record, room for odd content."""

import json
import re
from pathlib import Path

import pytest

from reports.pdf import certificate as certificates
from reports.pdf.certificate import certificate
from surveys.core.document import parse
from tests.reports.pdf import reading, records
from tests.reports.pdf.printing import ADDRESS, check_inks, printed

TITLES = {
    "passing": ("Certificate of survey", "Met ‘Campus limits’, version 2, on 12 MAR 2026"),
    "adjusted": ("Certificate of survey", "with the sash at or below 18 in (457 mm) above the airfoil"),
    "restricted": ("Certificate of survey, restricted: sash no higher than 12 in", "with the sash at or below 12 in (304 mm) above the airfoil"),
    "restricted_use": ("Certificate of survey, restricted: not for highly toxic materials", "with the sash at or below 18 in"),
    "failing": ("Survey report: criteria not met", "Do not use this hood"),
    "ended_early": ("Survey report: criteria not met", "no flow: the fan is off"),
    "no_verdict": ("Survey report: no verdict", "the label or sign on the hood decides"),
    "unsure": ("Survey report: no verdict", "It does not cover the day of the survey"),
}  # fmt: skip


@pytest.mark.parametrize(("name", "title", "said"), [(name, *said) for name, said in TITLES.items()], ids=TITLES.keys())
def test_each_verdict_has_its_title(name, title, said):
    pdf = printed(records.ALL[name]())
    words = reading.text(pdf)
    assert title in words
    assert said in words
    assert reading.title(pdf) == f"{title}: FH-0142"


def test_l3_only_what_met_its_criteria_is_called_a_certificate():
    for make in records.ALL.values():
        record = make()
        granted = record["judged"]["verdict"] in ("pass", "restrict")
        assert ("Certificate of survey" in reading.text(printed(record))) == granted


def test_a_certificate_says_everything_that_its_record_attests():
    record = records.restricted()
    words = reading.text(printed(record))
    for said in (
        "Skua Institute", "Record 12, page 1 of 1", "Fume hood FH-0142", "North Range, room 2.14", "general, variable volume",
        "vertical, moved by hand, laminated glass", "62 in (1575 mm) wide", "EF-12, hoods on it: 4", "12 MAR 2026, 14:05 to 14:51",
        "doors: closed", "temperature 21.5 °C", "sash at 14 in", "20 s a point, probe on a stand, operator clear", "at most 1 ft²",
        "sash at 18 in (457 mm); ft/min", "working, sash at 18 in (457 mm), opening 60 in (1524 mm) wide", "else not for highly toxic materials",
        "Light; Average face velocity (working)", "the one before did not hold", "the new one is no. 7", "stop and mark moved: 12 in (304 mm)",
        "Light: no", "Sash moves and stays: yes", "A-07, thermal anemometer, serial 40-1187, within 3 % or 3 ft/min",
        "4 SEP 2025, certificate K-25-3310", "velocity, set at 100 ft/min, alarm at 80 ft/min", "Ruth Okafor", "hood surveyor, Skua Institute",
        "‘I made these measurements’, signed 12 MAR 2026 at 14:52, UTC+00:00 (Europe/London)", "meeting criteria does not guarantee containment",
        "call 4100", "Next due 12 MAR 2027", "adopted by Henrik Sole, record 3", "points nearer the edge than 1 in not counted as lowest",
        "‘Campus limits’, version 2, in force from 1 JAN 2022; compared as measured", "7KQM4T2R",
    ):  # fmt: skip
        assert said in words, said
    assert records.sha256(record) in words.replace(" ", "")


def test_a_certificate_never_says_that_a_hood_is_safe():
    for make in records.ALL.values():
        words = reading.text(printed(make())).replace("safety office", "")
        assert not re.search(r"\b(safe|safely|safety|protects|contains)\b", words)


def test_as_found_stands_beside_as_left():
    record = records.adjusted()
    words = reading.text(printed(record))
    assert "working, as found" in words
    assert "working, as left" in words
    assert "Average face velocity from 80 to 120 ft/min fail 72 not met 100.1 met" in words
    assert "Verdict fail pass" in words


def test_why_says_which_of_two_verdicts_it_explains():
    said = "As left: All that the criteria ask was tested and met."
    assert said in reading.text(printed(records.adjusted()))
    assert said not in reading.text(printed(records.passing()))


def test_a_check_that_is_as_it_should_be_has_no_cost_beside_it():
    words = reading.text(printed(records.passing()))
    assert "in grey beside a no: what it costs" in words
    checks = words[words.index("what it costs") :]
    assert " fail" not in checks[: checks.index("Instrument")]


def test_a_model_is_not_told_as_the_maker():
    record = records.passing()
    record["facts"]["hood"] = {**record["facts"]["hood"], "maker": "", "model": "T-60", "serial": "4009"}
    words = reading.text(printed(record))
    assert "Model T-60, 4009" in words
    assert "Made by" not in words


def test_what_does_not_count_is_printed_too():
    words = reading.text(printed(records.no_verdict()))
    assert "Row 1, column 2: 101 is the mean of 100, 102" in words
    assert "Row 2, column 1: 880 ft/min struck and not counted: slip of a digit" in words
    words = reading.text(printed(records.crowded()))
    assert "Struck and not counted: working, as found: 68, 75, 82" in words
    assert "Why: the probe stood askew" in words
    assert "Asked while measuring: readings in a row are alike (90). Answer: yes, read again." in words
    assert "Note 8: the damper was moved by a notch." in words


ASKED = [  # what was kept, as it is printed
    ({"code": "reading-ten-times", "path": "traverses.0.readings.0.1", "value": "620", "answer": "struck"},
     "working, as found, row 1, column 2: 620 is five times the other readings or more. Answer: wrong, struck and read again."),
    ({"code": "four-alike", "path": "traverses.0.readings.1.0", "value": "63", "answer": "stays"},
     "working, as found, row 2, column 1: readings in a row are alike (63). Answer: each was read anew, they stay."),
    ({"code": "all-zero", "path": "traverses.0.readings", "value": "0", "answer": "struck"},
     "all readings are zero. Answer: wrong, the traverse was struck and begun anew."),
    ({"code": "reading-zero", "path": "traverses.0.readings.0.0", "value": "0", "answer": None},
     "a reading of zero is far below the other readings. Answer: No answer."),
]  # fmt: skip


@pytest.mark.parametrize(("question", "said"), ASKED)
def test_a_question_asked_while_measuring_is_printed_as_a_sentence(question, said):
    slipped = [{"value": "620", "at": None, "struck": "said to be wrong when asked"}, "62"]
    content = records.entered([records.traverse([["61", slipped, "64"], ["63", "63", "63"]])])
    content["questions"] = [question]
    words = " ".join(reading.text(printed(records.record(content))).split())
    assert f"Asked while measuring: {said}" in words
    assert question["code"] not in words
    assert question["code"].replace("-", " ") not in words


def test_a_check_without_an_answer_is_told_from_one_that_was_not_looked_at():
    record = records.passing()
    asked = [each for each in record["judged"]["sets"]["as-left"]["hood"] if "check" in each]
    assert len(asked) > 1, "the control: the checks are asked of the hood"
    for made in record["judged"]["sets"].values():
        made["hood"] = [{**each, "value": None, "outcome": "not-tested"} if each.get("check") == asked[0]["check"]
                        else {**each, "value": "not-tested", "outcome": "not-tested"} for each in made["hood"]]  # fmt: skip
    words = " ".join(reading.text(printed(record)).split())
    assert words.count("No answer") == 1
    assert words.count("not tested") >= len(asked) - 1


def test_what_was_compared_rounded_is_printed_both_ways():
    words = reading.text(printed(records.rounded()))
    assert "compared rounded to the last digit of the limit, in brackets" in words
    assert "fail 79.6 (80) met" in words


def test_an_amendment_names_what_it_amends():
    record = records.passing()
    record["survey"] |= {"amends": "0d9cbb0e-1f7a-4c0f-8f43-2a7b1d6a9a10", "why": "the wrong instrument was named"}
    assert "survey 0d9cbb0e-1f7a-4c0f-8f43-2a7b1d6a9a10: the wrong instrument was named" in reading.text(
        printed(record)
    )


# Words -------------------------------------------------------------------------------------------------------------------


def test_words_and_codes_are_handed_in():
    said = {"Certificate of survey": "Prüfbericht", "MAR": "MÄR"}
    codes = {("kind", "general"): "Mehrzweck", ("outcome", "met"): "erfüllt"}
    record = records.passing()
    pdf = certificate(
        record,
        "0" * 64,
        ADDRESS,
        lambda text: said.get(text, text),
        codes=lambda kind, code: codes.get((kind, code), code),
        language="de",
    )
    words = reading.text(pdf)
    assert "Prüfbericht" in words
    assert "12 MÄR 2026" in words
    assert "Mehrzweck" in words
    assert "erfüllt" in words
    assert reading.catalog(pdf)["/Lang"] == "de"


def test_a_code_that_this_release_does_not_know_is_shown_as_it_is():
    record = records.passing()
    record["judged"]["reasons"] = [{"code": "some-later-reason", "values": {"what": "x"}}]
    assert "some later reason: x" in reading.text(printed(record))
    assert certificates.ASIDE < 178


# Stories -----------------------------------------------------------------------------------------------------------------

WITHOUT_WAY = {"way": None, "tested_every_survey": True}
STORIES = sorted((Path(__file__).parents[2] / "stories").rglob("*.json"))


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.stem)
def test_the_paper_of_each_story_is_titled_as_the_story_says(path):
    story = json.loads(path.read_text())
    given = story["input"]["survey"]
    facts = ("hood", "benchmarks", "calibration_covers", "labelled")
    known = [
        {**WITHOUT_WAY, **{key: value for key, value in each.items() if key not in ("width", "height")}}
        for each in given["openings"]
    ]
    content = {key: value for key, value in given.items() if key not in facts} | {"reason": "annual"}
    content["openings"] = [{key: each.get(key) for key in ("name", "width", "height")} for each in given["openings"]]
    content = parse(content).as_dict()
    others = {key: given[key] for key in facts[1:] if key in given}
    others["instrument"] = records.INSTRUMENT | {"resolution": "0.1 ft/min"}  # as finely as any story reads
    record = records.record(
        content, criteria=story["input"]["criteria"], openings=known, hood=records.HOOD | given["hood"], **others
    )
    pdf = printed(record)
    assert reading.title(pdf) == f"{story['expected']['printed']['title']}: FH-0142"
    assert story["expected"]["printed"]["title"] in reading.text(pdf)
    for page in range(len(reading.pages(pdf))):
        check_inks(pdf, "A4", page)


@pytest.mark.parametrize("sash", ["horizontal", "combination", "none"])
def test_the_opening_of_another_sash_than_a_vertical_one_is_said_by_how_high_it_is(sash):
    """A panel is no sash that stands at a height."""
    words = reading.text(
        printed(records.record(records.entered([records.traverse(records.GOOD)]), hood=records.HOOD | {"sash": sash}))
    )
    assert "18 in (457 mm) high; ft/min" in words
    assert "working, 18 in (457 mm) high, opening 60 in (1524 mm) wide" in words
    assert "sash at 18 in" not in words


@pytest.mark.parametrize("sash", ["vertical", "none"])
def test_an_open_front_is_said_to_be_one_and_no_sash_is_moved_or_closed(sash):
    words = reading.text(
        printed(records.record(records.entered([records.traverse(records.GOOD)]), hood=records.HOOD | {"sash": sash}))
    )
    is_open = sash == "none"
    assert ("none: an open front that cannot be closed" in words) is is_open
    assert ("This front is open and cannot be closed: keep your head outside" in " ".join(words.split())) is is_open
    assert ("moved by hand" in words) is not is_open
    assert ("close it when you leave" in " ".join(words.split())) is not is_open
