"""The type of a label: no words smaller than can be read, long lines carried on."""

import re
from dataclasses import replace

import pytest

from reports.pdf.labels import label
from tests.reports.pdf import reading
from tests.reports.pdf.test_labels import HARD, MET, RESTRICTED

COMBINATION = replace(
    MET, sash=None, average="97 ft/min (0.49 m/s)", average_height="panels together", is_lowest=True, room="Harbour Annexe A.02",
    criteria="Radioisotope and other hoods, version 12",
    openings=("frame at or below 18 in (457 mm) above the work surface, panels closed", "panels open together, frame down",
              "never raise the frame with panels open", "tested at its higher flow, not approved at its lower"),
)  # fmt: skip
READ = {
    "vertical": MET,
    "vertical, from paper": replace(MET, from_paper=True),
    "restricted": RESTRICTED,
    "many uses": replace(RESTRICTED, use="not for highly toxic materials; not for unattended work; not for perchloric acid; not for work with large apparatus"),
    "combination": COMBINATION,
    "combination, restricted": replace(COMBINATION, status="restricted", use="not for highly toxic materials", from_paper=True),
    "one long line": replace(COMBINATION, openings=("sash at or below 24 in (609 mm) above the airfoil, with fixed panel in place",)),
    "panels": replace(COMBINATION, openings=("left panel only, to 15 in (381 mm) at most", "centre and right panels stay closed", "opening ‘left wide’ not to be used")),
}  # fmt: skip


def type_sizes(pdf: bytes) -> set[float]:
    """The sizes in which the words of a label are set [points]."""
    return {float(size) for size in re.findall(rb"/F\d+(?:\+\d+)? ([\d.]+) Tf", pdf)}


@pytest.mark.parametrize("each", READ.values(), ids=READ)
def test_no_words_of_a_label_are_smaller_than_can_be_read(each):
    pdf = label(each, 300)
    assert min(type_sizes(pdf)) >= 5.5
    lines = reading.inks(pdf)
    assert reading.outside(lines, 100, 50, margin=1) == []
    assert reading.collisions(lines) == []
    squeezed = reading.text(pdf).replace(" ", "")
    for words in (*each.openings, each.use or "", each.average_height, each.criteria, each.room):
        assert words.replace(" ", "") in squeezed


def test_words_that_are_too_small_are_seen():
    """The control of the test above: a name so long that it would be lost else."""
    assert min(type_sizes(label(HARD["one word"], 300))) < 5.5


def test_a_long_line_is_carried_on_under_itself():
    lines = [ink for ink in reading.inks(label(READ["one long line"], 300)) if ink.text.strip() and ink.top < 33]
    told = [ink for ink in lines if ink.text in ("sash at or below 24 in (609 mm)", "above the airfoil, with fixed panel", "in place")]
    assert len(told) == 3
    assert [ink.left for ink in told[1:]] == pytest.approx([told[0].left] * 2, abs=0.5)


def test_of_several_lines_the_begin_of_each_is_marked_where_one_is_carried_on():
    lines = [ink for ink in reading.inks(label(COMBINATION, 300)) if ink.text.strip() and ink.top < 33]
    marks = [ink for ink in lines if ink.text == "•"]
    more = next(ink for ink in lines if ink.text == "panels closed")
    begin = next(ink for ink in lines if ink.text.startswith("frame at or below"))
    assert len(marks) == len(COMBINATION.openings)
    assert more.left == pytest.approx(begin.left, abs=0.5)
    assert begin.left > marks[0].left + 0.5
    assert "•" not in reading.text(label(READ["panels"], 300)), "each on a line of its own needs none"


def test_a_label_of_a_survey_from_paper_says_so():
    assert "Transcribed from paper. Meeting criteria does not" in reading.text(label(READ["vertical, from paper"], 300))
    assert "paper" not in reading.text(label(MET, 300))
    long = replace(MET, from_paper=True, caution=MET.caution + " Or call the porter, 4199.")
    assert "From paper. Meeting criteria does not" in reading.text(label(long, 300))
