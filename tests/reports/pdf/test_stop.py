"""The 'Do not use' sign."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from reports.pdf.stop import StopSign, moment, stop_sign
from tests.reports.pdf import reading

SIGN = StopSign(
    tag="FH-0144",
    place="North Range, room 2.14",
    site="Skua Institute",
    reason="The average face velocity was 0.21 m/s (41 ft/min) with the sash at 457 mm (18 in); at least 0.40 m/s is required.",
    since="24 MAR 2026, 09:40",
    posted_by="Ruth Okafor",
    repair_by="Building Services, order 26-0418, promised for 2 APR 2026",
    telephone="4100",
    emergency="Leave the room, close the door, call 4444.",
    number=3,
    code="Q8FVW2JE",
    address="HTTPS://HOODS.SKUA.EXAMPLE/H/Q8FVW2JE",
)
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}


@pytest.mark.parametrize("paper", PAPERS)
def test_a_sign_says_everything(paper):
    pdf = stop_sign(SIGN, paper)
    said = reading.text(pdf)
    for words in (
        "DO NOT USE", SIGN.tag, SIGN.place, SIGN.site, SIGN.reason, "24 MAR 2026, 09:40, posted by Ruth Okafor", SIGN.repair_by,
        "Safety office, call 4100", SIGN.emergency, "Sign no. 3 of this hood.", SIGN.code, "Keep the sash closed.",
    ):  # fmt: skip
        assert words in said
    assert len(reading.pages(pdf)) == 1


def test_what_is_not_known_is_left_out():
    said = reading.text(stop_sign(replace(SIGN, posted_by=None, repair_by=None, number=None, emergency=None)))
    assert "posted by" not in said
    assert "Repair by" not in said
    assert "Sign no." not in said
    assert "Leave the room, close the door, call 4100." in said


@pytest.mark.parametrize("paper", PAPERS)
def test_l5_paper_scaling_title_and_language(paper):
    pdf = stop_sign(SIGN, paper)
    assert reading.size(pdf) == pytest.approx(PAPERS[paper], abs=0.1)
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reading.catalog(pdf)["/Lang"] == "en"
    assert reading.title(pdf) == "Do not use hood FH-0144"


def test_l1_the_same_sign_is_the_same_bytes():
    assert stop_sign(SIGN) == stop_sign(SIGN)
    program = "from tests.reports.pdf.test_stop import SIGN; from reports.pdf.stop import stop_sign\nsys.stdout.buffer.write(stop_sign(SIGN))"
    assert reading.without_accelerator(program) == stop_sign(SIGN)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("dpi", [203, 300])
def test_l7_the_code_reads_back(paper, dpi):
    [(read, _corner)] = reading.codes(reading.picture(stop_sign(SIGN, paper, dpi), dpi))
    assert read == SIGN.address


LONG = replace(
    SIGN,
    tag="CHEM-NORTH-000142-B",
    place="North Range of the Physical Chemistry Wing, room 2.14b, third bay from the door",
    site="Skua Institute for the Chemistry of Cold and Deep Waters, Safety Office",
    reason=SIGN.reason * 8,
    repair_by=SIGN.repair_by * 4,
    emergency="Leave the room and close the door. " * 12 + "Call 4444.",
)
HARD = {
    "long": LONG,
    "endless": replace(LONG, reason="The sash does not stay. " * 400),
    "one word": replace(LONG, tag="W" * 30, place="M" * 80, reason="W" * 500),
    "odd characters": replace(SIGN, reason="\x00 \U0001f525 שלום <script> \u202e Žižkov Łódź", tag="FH\t1"),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sign", HARD.values(), ids=HARD.keys())
def test_l10_e25_nothing_leaves_the_page_or_runs_into_something(sign, paper):
    pdf = stop_sign(sign, paper)
    lines = reading.inks(pdf)
    assert reading.outside(lines, *PAPERS[paper], margin=10) == []
    assert reading.collisions(lines) == []
    assert len(reading.pages(pdf)) == 1


def test_l10_a_reason_longer_than_the_sign_says_so():
    assert "There is more: see the page behind the code." in reading.text(stop_sign(HARD["endless"]))
    assert "There is more" not in reading.text(stop_sign(LONG))


def test_the_box_for_emergencies_does_not_say_its_heading_twice():
    said = reading.text(stop_sign(replace(SIGN, emergency="Fire, spill or injury: leave the room, call 4444.")))
    assert said.count("Fire, spill or injury") == 1
    assert "Leave the room, call 4444." in said


def test_emergency_words_longer_than_their_box_give_way_to_the_call():
    said = reading.text(stop_sign(replace(SIGN, emergency="Leave the room. " * 300)))
    assert "Do as this site's own instructions say; call 4100." in said


def test_a_moment_is_told_by_the_clock_of_the_site():
    at = datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert moment(at, "Europe/London") == "29 MAR 2026, 02:30"
    assert moment(at, "America/Toronto") == "28 MAR 2026, 21:30"
