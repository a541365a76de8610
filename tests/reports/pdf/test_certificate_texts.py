"""L10: whatever stands in a record stays on the page, and nothing runs into something else."""

from copy import deepcopy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.pdf.certificate import certificate
from reports.pdf.style import shown
from tests.reports.pdf import reading, records
from tests.reports.pdf.printing import ADDRESS, PAPERS, check_inks, printed

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


def test_what_was_found_open_of_panels_is_told_in_words_and_of_a_sash_by_its_height():
    passing = records.passing()
    assert "sash at 14 in" in reading.text(printed(passing))
    passing["entered"]["found"] = {"open": "left panel, 15 in", "somebody": "no"}
    said = reading.text(printed(passing))
    assert "open: left panel, 15 in; somebody at it: no" in said
    assert "sash at 14 in" not in said


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
        check_inks(pdf, paper, page)


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
        check_inks(pdf, paper, page)
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
