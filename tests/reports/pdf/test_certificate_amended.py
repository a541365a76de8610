"""What a print says of a record that another took the place of, and of who measured."""

import pytest

from tests.reports.pdf import reading, records
from tests.reports.pdf.printing import PAPERS, amended_print, printed


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
