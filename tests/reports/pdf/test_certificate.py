"""The certificate and the report: titles, what they say, that no figure differs from the record, room for odd content."""

import json
import re
from copy import deepcopy
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.pdf import certificate as certificates
from reports.pdf import figures
from reports.pdf.certificate import Amended, certificate
from reports.pdf.style import shown
from reports.pdf.wording import plain
from surveys.core.criteria import FIGURE
from surveys.core.document import parse
from surveys.core.units import quantity
from tests.reports.pdf import reading, records

ADDRESS = "HTTPS://HOODS.SKUA.EXAMPLE/H/7KQM4T2R"
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}


def printed(record: dict, paper: str = "A4") -> bytes:
    return certificate(record, records.sha256(record), ADDRESS, paper=paper)


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
        "vertical, moved by hand, laminated glass", "62 in (1574 mm) wide", "EF-12, hoods on it: 4", "12 MAR 2026, 14:05 to 14:51",
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
     "working, as found, row 1, column 2: 620 is about ten times the other readings. Answer: wrong, struck and read again."),
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


# The page --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", PAPERS)
def test_l5_paper_scaling_title_and_language(paper):
    pdf = printed(records.passing(), paper)
    assert reading.size(pdf) == pytest.approx(PAPERS[paper], abs=0.1)
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reading.catalog(pdf)["/Lang"] == "en"


@pytest.mark.parametrize("name", records.ALL)
def test_l1_the_same_record_is_the_same_bytes(name):
    assert printed(records.ALL[name]()) == printed(records.ALL[name]())


def test_l1_the_same_bytes_without_the_compiled_part():
    program = (
        "from tests.reports.pdf import records, test_certificate\n"
        "sys.stdout.buffer.write(test_certificate.printed(records.crowded()))"
    )
    assert reading.without_accelerator(program) == printed(records.crowded())


@pytest.mark.parametrize("dpi", [203, 300])
def test_l7_the_code_leads_to_the_hood(dpi):
    pdf = certificate(records.passing(), "0" * 64, ADDRESS, dpi=dpi)
    [(read, _corner)] = reading.codes(reading.picture(pdf, dpi))
    assert read == ADDRESS


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", [name for name in records.ALL if name not in ("crowded", "restricted")])
def test_an_ordinary_survey_fits_one_page(name, paper):
    assert len(reading.pages(printed(records.ALL[name](), paper))) == 1


def test_a_lower_height_fits_one_page_of_a4():
    assert len(reading.pages(printed(records.restricted()))) == 1


def test_a_long_one_numbers_its_pages_and_repeats_whose_it_is():
    first, second = reading.pages(printed(records.crowded()))
    assert "Record 12, page 1 of 2" in first
    assert "Record 12, page 2 of 2" in second
    assert "Certificate of survey: FH-0142, North Range, room 2.14" in second


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", records.ALL)
def test_l10_nothing_leaves_the_page_or_runs_into_something(name, paper):
    pdf = printed(records.ALL[name](), paper)
    for page in range(len(reading.pages(pdf))):
        _check_inks(pdf, paper, page)


def _check_inks(pdf: bytes, paper: str, page: int) -> None:
    lines = reading.inks(pdf, page)
    wide, high = PAPERS[paper]
    assert reading.outside(lines, wide, high, margin=9) == []
    assert [line.text for line in lines if line.right > (wide + 178) / 2 + 0.2] == []
    assert reading.collisions(lines, slack=0.25) == []


# L2: no printed figure differs from the record ---------------------------------------------------------------------------


def expected_rows(record: dict) -> list[str]:
    """Each row of the table of limits as it must be read from the page, put together from the record alone."""
    sets = record["judged"]["sets"]
    states = ("as-found", "as-left") if record["entered"]["adjusted"] else ("as-left",)
    rows = []
    for opening in sets["as-left"]["openings"]:
        for judgement in opening["judgements"]:
            if "figure" not in judgement:
                continue
            limit = record["criteria"]["document"]["limits"][judgement["limit"]]
            row = [FIGURE[judgement["figure"]].name, figures.said(limit, _plain()), limit["consequence"]]
            if limit.get("restriction"):
                row.append(f"else {limit['restriction']}")
            for state in states:
                same = next(
                    (
                        each
                        for other in sets[state]["openings"]
                        if other["opening"] == opening["opening"]
                        for each in other["judgements"]
                        if each.get("limit") == judgement["limit"]
                    ),
                    {"value": None, "compared": None, "outcome": "not-tested"},
                )
                number, compared = same["value"], same["compared"]
                value = "–" if number is None else number["shown"] + (f" ({compared.split()[0]})" if compared else "")
                row += [value.replace("-", "−"), plain("outcome", same["outcome"])]
            rows.append(" ".join(row))
    return rows


def _plain():
    from reports.pdf.wording import Wording

    return Wording()


@pytest.mark.parametrize("decade", range(10))
def test_l2_every_printed_figure_equals_the_record_over_200_surveys(decade):
    for seed in range(20 * decade, 20 * decade + 20):
        record = records.drawn(seed)
        words = reading.quick_text(printed(record))
        for row in expected_rows(record):
            assert row in words, (seed, row)
        for traverse in record["entered"]["traverses"]:
            if not any(cell for row in traverse["readings"] for cell in row):
                continue
            [opening] = [
                o
                for o in record["judged"]["sets"][traverse["state"]]["openings"]
                if o["opening"] == traverse["opening"]
            ]
            assert _figures_in_a_row(traverse, opening) in words, seed
        _contradicts_nothing(record)


def _figures_in_a_row(traverse: dict, opening: dict) -> str:
    """The readings in their rows and columns, then the five figures under them, as the drawing is read."""
    average = opening["figures"]["average"]
    columns = " ".join(str(column + 1) for column in range(len(traverse["readings"][0])))
    said = [columns]
    for number, row in enumerate(traverse["readings"], 1):
        said.append(str(number))
        for cell in row:
            value, digits = _mean(cell)
            said.append(digits)
            if value is not None and average:
                exact = Fraction(average["exact"])
                percent = round(100 * (value - exact) / exact)
                said.append(f"{'+' if percent > 0 else '−' if percent < 0 else ''}{abs(percent)} %")
    for code, name in {
        "average": "average",
        "lowest": "lowest",
        "highest": "highest",
        "spread": "spread",
        "deviation-percent": "deviation",
    }.items():
        figure = opening["figures"][code]
        said.append(
            f"{figure['shown'] if figure else '–'}{' %' if figure and code == 'deviation-percent' else ''} {name}"
        )
    return " ".join(said)


def _mean(cell) -> tuple[Fraction | None, str]:
    repeats = [each for each in (cell if isinstance(cell, list) else [cell]) if isinstance(each, str)]
    if not repeats:
        return None, "–"
    value = sum(map(Fraction, repeats)) / len(repeats)
    if len(repeats) == 1:
        return value, repeats[0]
    places = max(len(text.partition(".")[2]) for text in repeats) + 1
    digits = f"{float(value):.{places}f}"
    return value, digits.rstrip("0").rstrip(".") if "." in digits else digits


def _contradicts_nothing(record: dict) -> None:
    """The digits as printed, held against the limit as printed, give the outcome as printed."""
    rounded = record["criteria"]["document"]["compare"] == "rounded"
    for made in record["judged"]["sets"].values():
        for judgement in (each for opening in made["openings"] for each in opening["judgements"] if "figure" in each):
            if not judgement["value"] or judgement["outcome"] == "not-tested":
                continue
            limit = record["criteria"]["document"]["limits"][judgement["limit"]]
            digits = judgement["compared"].split()[0] if rounded else figures.measured(judgement).replace("−", "-")
            least, most = (
                Fraction(quantity(limit[key]).text) if limit.get(key) else None for key in ("at_least", "at_most")
            )
            met = (least is None or Fraction(digits) >= least) and (most is None or Fraction(digits) <= most)
            assert met == (judgement["outcome"] == "met"), (judgement, limit)


def test_l2_a_figure_that_differs_is_seen():
    """The control of the test above: one digit changed on the way to the printer."""
    record = records.drawn(3)
    changed = deepcopy(record)
    opening = next(
        o
        for o in changed["judged"]["sets"]["as-left"]["openings"]
        if any("figure" in j and j["value"] for j in o["judgements"])
    )
    judgement = next(j for j in opening["judgements"] if "figure" in j and j["value"])
    judgement["value"]["shown"] += "1"
    words = reading.quick_text(printed(changed))
    assert any(row not in words for row in expected_rows(record))


# L10, E25: long and odd content ------------------------------------------------------------------------------------------


def _filled(text: str) -> dict:
    """A record whose every free text is this one."""
    record = deepcopy(records.crowded())
    record["facts"]["site"]["name"] = record["facts"]["site"]["telephone"] = text
    for key in ("building", "room", "room_name", "floor", "department", "position"):
        record["facts"]["place"][key] = text
    for key in ("tag", "maker", "model", "serial", "uses_forbidden"):
        record["facts"]["hood"][key] = text
    record["facts"]["exhaust"]["name"] = text
    for key in ("name", "serial", "kind"):
        record["facts"]["instrument"][key] = text
    for key in ("certificate", "laboratory"):
        record["facts"]["calibration"][key] = text
    record["criteria"] |= {"set": text, "adopted_by": text}
    record["entered"] |= {"notes": text, "stop_and_mark_moved": text}
    record["entered"]["struck_traverses"][0]["struck"] = text
    record["entered"]["traverses"][0]["readings"][0][0] = [{"value": "12", "at": None, "struck": text}, "68"]
    record["entered"]["ended_early"] = {"reason": "called-away", "words": text}
    for key in record["entered"]["conditions"]:
        record["entered"]["conditions"][key] = text
    for key in ("name", "position", "employer"):
        record["signed"]["by"][key] = text
    record["survey"] |= {"amends": "0d9cbb0e", "why": text}
    record["judged"] |= {
        "verdict": "restrict",
        "restriction": {"not_openings": [text, text], "use": text},
        "reasons": [{"code": "from-later", "values": {"what": text}}],
    }
    for limit in record["criteria"]["document"]["limits"]:
        limit["restriction"] = text
    return record


TEXTS = {
    "60 characters": "Physical Chemistry of Cold and Deep Waters, Laboratory 2.14b",
    "one long word": "M" * 60,
    "Latin extended": "Žižkov ťažká Łódź ŐŰ Ångström ğüşİ ħ Ωμέγα Цех",
    "odd characters": "\x00 \U0001f525 שלום <script>alert(1)</script> \u202eend\u202c % %s %(name)s \\ ) ( \r\n\ttab",
    "empty": "",
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS.keys())
def test_l10_e25_whatever_stands_in_a_record_stays_on_the_page(text, paper):
    pdf = printed_unkept(_filled(text), paper)
    for page in range(len(reading.pages(pdf))):
        _check_inks(pdf, paper, page)
    squeezed = reading.text(pdf).replace(" ", "")
    assert shown(text).replace(" ", "") in squeezed


def printed_unkept(record: dict, paper: str = "A4") -> bytes:
    """Printed with any hash: what a record could not hold has none."""
    return certificate(record, "0" * 64, ADDRESS, paper=paper)


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=300))
def test_e25_any_text_is_printed_or_named(text):
    record = records.passing()
    record["entered"]["notes"] = text
    record["facts"]["place"]["room_name"] = text[:60]
    words = reading.text(printed_unkept(record)).replace(" ", "")
    for line in text.splitlines():
        assert "".join(shown(line).split()) in words


def test_e25_notes_of_10000_characters_go_on_further_pages():
    record = records.passing()
    record["entered"]["notes"] = "The damper was moved by a notch. " * 300
    pages = reading.pages(printed_unkept(record))
    assert len(pages) > 1
    assert sum(page.count("The damper was moved") for page in pages) >= 290
    assert "Notes (continued)" in pages[-1] or "Ruth Okafor" in pages[-1]


def test_a_grid_of_50_rows_stays_on_its_page():
    record = records.record(records.entered([records.traverse([["100"] * 12] * 50)]))
    pdf = printed(record)
    for page in range(len(reading.pages(pdf))):
        lines = reading.inks(pdf, page)
        assert reading.outside(lines, 210, 297, margin=9) == []


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
    record = records.record(
        content, criteria=story["input"]["criteria"], openings=known, hood=records.HOOD | given["hood"], **others
    )
    pdf = printed(record)
    assert reading.title(pdf) == f"{story['expected']['printed']['title']}: FH-0142"
    assert story["expected"]["printed"]["title"] in reading.text(pdf)
    for page in range(len(reading.pages(pdf))):
        _check_inks(pdf, "A4", page)


# Amended, qualified ----------------------------------------------------------------------------------------------------


def amended_print(record: dict, **how) -> bytes:
    state = Amended(31, "2026-04-02", **how)
    return certificate(record, records.sha256(record), ADDRESS, amended=state)


@pytest.mark.parametrize("name", records.ALL)
def test_l4_every_page_of_a_superseded_print_says_so_first(name):
    said = "Superseded by record 31 on 2 APR 2026: do not go by this page"
    for page in reading.pages(amended_print(records.ALL[name]())):
        assert page.startswith(said)


def test_l4_control_a_print_that_nothing_amends_says_nothing_of_it():
    assert "uperseded" not in reading.text(printed(records.passing()))


def test_l4_what_it_had_said_is_no_answer_any_more():
    words = reading.text(amended_print(records.passing()))
    assert "Superseded: Certificate of survey" in words
    assert "It had said: Met ‘Campus limits’, version 2, on 12 MAR 2026" in words
    assert "with the sash at or below" not in words.partition("Hood and place")[0]


def test_a_failure_that_stands_keeps_its_answer():
    words = reading.text(amended_print(records.failing(), stands=True))
    assert words.startswith("Amended by record 31 on 2 APR 2026, which has no verdict: this failure stands")
    assert "Survey report: criteria not met" in words
    assert "Superseded" not in words


def test_l1_the_same_state_gives_the_same_bytes():
    assert amended_print(records.passing()) == amended_print(records.passing()) != printed(records.passing())


def test_l10_a_superseded_print_stays_within_the_page():
    for name, record in records.ALL.items():
        pdf = amended_print(record())
        for number in range(len(reading.pages(pdf))):
            lines = reading.inks(pdf, number)
            assert reading.outside(lines, *PAPERS["A4"], 4) == [], name


QUALIFIED = {
    "method": "face velocity by traverse",
    "by": "Skuaness Air Laboratory",
    "from": "2025-01-06",
    "until": "2027-01-05",
}
SAID = [
    ([QUALIFIED], "Qualified: face velocity by traverse by Skuaness Air Laboratory, 6 JAN 2025 to 5 JAN 2027"),
    ([QUALIFIED | {"until": None}], "Qualified: face velocity by traverse by Skuaness Air Laboratory, from 6 JAN 2025"),
    ([], "no qualification on record for this day"),
]


@pytest.mark.parametrize(("covering", "said"), SAID)
def test_the_surveyor_is_printed_with_what_covers_the_day(covering, said):
    record = records.passing()
    record["signed"] = record["signed"] | {"qualifications": covering}
    assert said in reading.text(printed(record))


def test_a_record_from_before_qualifications_were_kept_prints_as_before():
    record = records.passing()
    assert "qualifications" not in record["signed"]
    assert "ualifi" not in reading.text(printed(record))


def test_an_amendment_names_the_record_that_it_amends_where_its_own_does():
    record = records.passing()
    record["survey"] |= {"amends": "0d9cbb0e", "amends_record": 12, "why": "the wrong instrument was named"}
    assert "record 12: the wrong instrument was named" in reading.text(printed(record))


@pytest.mark.parametrize("sash", ["horizontal", "combination", "none"])
def test_the_opening_of_another_sash_than_a_vertical_one_is_said_by_how_high_it_is(sash):
    """A panel is no sash that stands at a height."""
    words = reading.text(
        printed(records.record(records.entered([records.traverse(records.GOOD)]), hood=records.HOOD | {"sash": sash}))
    )
    assert "18 in (457 mm) high; ft/min" in words
    assert "working, 18 in (457 mm) high, opening 60 in (1524 mm) wide" in words
    assert "sash at 18 in" not in words
