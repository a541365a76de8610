"""Many certificates as one file: each as it is alone, bookmarks in the order of the walk, what is missing, flat memory."""

import gc
import io
import tracemalloc
from dataclasses import replace

import numpy
import pypdf
import pytest

from reports.pdf.bundle import Document, Front, HoodFile, Packed, Without, bundle
from reports.pdf.certificate import certificate
from reports.pdf.style import Pages
from tests.reports.pdf import reading, records

ADDRESS = "HTTPS://HOODS.SKUA.EXAMPLE/H/7KQM4T2R"
FRONT = Front(
    site="Skua Institute",
    title="Certificates of North Range",
    answers=(
        "3 certificates of 2 hoods in this file",
        "1 of 3 hoods without a certificate: listed here with the reason",
    ),
    made="Hoods as they stood on 12 MAR 2026 (Europe/London), in walking order.",
    without=(Without("FH-0109", "North Range 2.14", "No survey has had a verdict yet."),),
)


def document(record: dict) -> Document:
    return Document(record, records.sha256(record), ADDRESS)


def made(hoods, front=FRONT, **how) -> bytes:
    file = io.BytesIO()
    bundle(file, front, hoods, **how)
    return file.getvalue()


TWO = (
    HoodFile("FH-0142, North Range 2.14", [document(records.passing()), document(records.adjusted())]),
    HoodFile("FH-0150, North Range 2.16", [document(records.failing())]),
)
EACH = [records.passing(), records.adjusted(), records.failing()]


def alone(record: dict) -> bytes:
    return certificate(record, records.sha256(record), ADDRESS)


def test_every_certificate_says_and_shows_what_it_does_alone():
    pdf = made(TWO)
    found = reading.pages(pdf)[1:]
    assert found == [words for record in EACH for words in reading.pages(alone(record))]
    number = 1
    for record in EACH:
        for page in range(len(reading.pages(alone(record)))):
            shown = reading.picture(pdf, 60, number), reading.picture(alone(record), 60, page)
            assert numpy.array_equal(*shown)
            number += 1


def test_control_another_certificate_is_seen_to_differ():
    assert not numpy.array_equal(reading.picture(made(TWO), 60, 1), reading.picture(alone(records.failing()), 60, 0))


def bookmarks(pdf: bytes) -> list:
    """Names and pages of the bookmarks, those of documents in a list after their hood's."""
    reader = pypdf.PdfReader(io.BytesIO(pdf))

    def read(some):
        return [
            read(one) if isinstance(one, list) else (one.title, reader.get_destination_page_number(one)) for one in some
        ]

    return read(reader.outline)


def test_bookmarks_lead_to_each_hood_in_walking_order_and_to_each_document():
    assert bookmarks(made(TWO)) == [
        ("FH-0142, North Range 2.14", 1),
        [("12 MAR 2026: Certificate of survey (record 12)", 1), ("12 MAR 2026: Certificate of survey (record 12)", 2)],
        ("FH-0150, North Range 2.16", 3),
        [("12 MAR 2026: Survey report: criteria not met (record 12)", 3)],
    ]


def test_a_bookmark_keeps_a_name_of_any_letters():
    hoods = [HoodFile("通風 שלום Žižkov", [document(records.passing())])]
    assert bookmarks(made(hoods))[0][0] == "通風 שלום Žižkov"


def test_the_first_page_says_what_is_missing_and_why():
    said = reading.pages(made(TWO))[0]
    for words in (FRONT.title, *FRONT.answers, "FH-0109 North Range 2.14 No survey has had a verdict yet.", FRONT.made,
                  "does not guarantee containment"):  # fmt: skip
        assert words in said


def test_a_file_without_gaps_says_so():
    assert "Every hood of this list has its certificate." in reading.pages(made(TWO, replace(FRONT, without=())))[0]


def test_what_is_not_to_be_used_is_named_before_all_else():
    barred = Without("FH-0143", "North Range 2.14", "Do not use. No flow.")
    said = reading.pages(made(TWO, replace(FRONT, without=(), barred=(barred,), today="12 MAR 2026")))[0]
    assert "FH-0143 North Range 2.14 Do not use. No flow." in said
    assert said.index("FH-0143") < said.index("Every hood of this list has its certificate.")
    assert "12 MAR 2026" in said


def test_many_missing_hoods_go_on_over_further_pages_and_none_is_left_out():
    many = tuple(replace(FRONT.without[0], tag=f"FH-{number:04}") for number in range(150))
    found = reading.pages(made(TWO, replace(FRONT, without=many)))
    front = [words for words in found if "List, page" in words]
    assert len(front) > 1
    assert all(sum(each.tag in words for words in front) == 1 for each in many)
    assert "(continued)" in front[1]


def test_l1_the_same_records_are_the_same_bytes():
    assert made(TWO) == made(TWO)


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_l5_paper_scaling_title_and_language(paper, size):
    pdf = made(TWO, paper=paper, language="de")
    assert reading.size(pdf) == pytest.approx(size, abs=0.1)
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert (reading.title(pdf), reading.catalog(pdf)["/Lang"]) == (FRONT.title, "de")


HARD = {
    "long": "Limits of the physical chemistry wing " * 3,
    "one word of 60": "M" * 60,
    "right to left": "מעבדה לכימיה פיזיקלית 214",
    "Chinese, Japanese, Korean": "化学实验室 換気フード 배기후드",
    "odd characters": "\x00 \U0001f525 <script> \u202e end",
}


@pytest.mark.parametrize("text", HARD.values(), ids=HARD.keys())
def test_l10_nothing_leaves_the_first_page_or_is_lost(text):
    from reports.pdf.style import shown

    front = Front(text, text, (text,), text, (Without(text[:60], text, text), *FRONT.without))
    pdf = made(TWO, front)
    pages = [number for number, words in enumerate(reading.pages(pdf)) if "List, page" in words]
    for number in pages:
        lines = reading.inks(pdf, number)
        assert reading.outside(lines, 210, 297, margin=5) == []
        assert reading.collisions(lines) == []
    said = "".join(reading.pages(pdf)).replace(" ", "")
    assert said.count(shown(text).replace(" ", "")[:40]) >= 4
    assert "FH-0109" in said


def test_l10_a_reason_of_ten_thousand_letters_goes_on_over_further_pages():
    front = replace(FRONT, without=(replace(FRONT.without[0], why="why " * 2500), *FRONT.without))
    pdf = made(TWO, front)
    pages = [number for number, words in enumerate(reading.pages(pdf)) if "List, page" in words]
    assert len(pages) > 1
    assert [reading.outside(reading.inks(pdf, number), 210, 297, margin=5) for number in pages] == [[] for _ in pages]
    assert reading.text(pdf).count("why ") >= 2500


def test_l10_the_typefaces_are_in_the_file():
    for page in pypdf.PdfReader(io.BytesIO(made(TWO))).pages:
        for each in page["/Resources"]["/Font"].values():
            assert "/FontFile2" in each.get_object()["/FontDescriptor"]


# --- memory ---


def kept(number: int) -> int:
    """The most memory that was in use while a file of so many certificates was made [bytes]."""
    record = records.passing()
    hoods = (HoodFile(f"FH-{each:04}", iter([document(record)])) for each in range(number))

    class Counted(io.RawIOBase):
        """A file on a disk: what is written is not kept in memory."""

        def writable(self):
            return True

        def write(self, data):
            return len(data)

    bundle(Counted(), FRONT, iter([HoodFile("FH-0", [document(record)])]))  # typefaces and caches are there
    gc.collect()
    tracemalloc.start()
    bundle(Counted(), FRONT, hoods)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return most


def a_certificate_more() -> float:
    return (kept(80) - kept(20)) / 60


def test_l16_memory_grows_by_the_packed_page_alone():
    """Kept packed, written once and joined once: some four times its packed size is what the library asks for."""
    assert a_certificate_more() < 30_000


def test_l16_control_without_packing_memory_grows_with_the_pages(monkeypatch):
    monkeypatch.setattr(Packed, "next_page", Pages.next_page)
    assert a_certificate_more() > 40_000
