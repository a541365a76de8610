"""The label on the sash: its size, its words, its code, and names too long for it."""

from dataclasses import replace
from datetime import date

import numpy
import pytest

from reports.core.sheets import A4, LETTER
from reports.pdf import labels, qr
from reports.pdf.labels import Label, label, label_sheet
from tests.reports.pdf import reading

MET = Label(
    status="met-criteria",
    sash="457 mm (18 in)",
    measured_from="airfoil",
    tag="FH-0142",
    room="North Range 2.14",
    tested_on=date(2026, 3, 12),
    initials="RO",
    average="0.51 m/s (100 ft/min)",
    average_height="457 mm (18 in)",
    criteria="Legal limits, version 2",
    issue=7,
    code="7KQM4T2R",
    address="HTTPS://HOODS.SKUA.EXAMPLE/H/7KQM4T2R/7",
    caution="Meeting criteria does not guarantee containment. Keep the sash low. Call 4100.",
    due=date(2027, 3, 12),
)
RESTRICTED = replace(
    MET,
    status="restricted",
    sash="305 mm (12 in)",
    average_height="305 mm (12 in)",
    use="not for highly toxic materials",
)


def test_a_label_says_everything():
    said = reading.text(label(MET, 203))
    for words in (
        "MET CRITERIA", "with the sash at or below 457 mm (18 in) above the airfoil", "FH-0142", "North Range 2.14", "2026 MAR 12, RO",
        "2027 MAR 12", "0.51 m/s (100 ft/min) at 457 mm (18 in)", "Legal limits, version 2", "no. 7", "7KQM4T2R", MET.caution,
    ):  # fmt: skip
        assert words in said


def test_a_restricted_label_says_its_restriction_and_never_the_other_word():
    said = reading.text(label(RESTRICTED, 203))
    assert "RESTRICTED" in said
    assert "305 mm (12 in)" in said
    assert "and not for highly toxic materials" in said
    assert "MET CRITERIA" not in said


def test_openings_not_to_be_used_are_named():
    said = reading.text(label(replace(RESTRICTED, sash=None, use=None, not_openings="opening left"), 203))
    assert "opening left not to be used" in said
    assert "at or below" not in said


@pytest.mark.parametrize("each", [MET, RESTRICTED], ids=lambda each: each.status)
def test_l17_in_one_ink_word_and_shape_tell_the_status(each):
    """Nothing on a label is of another colour than black, so the word, the shape and the filled band carry the status."""
    picture = reading.picture(label(each, 300), 300)
    band = picture[75:180, 40:800]
    assert (numpy.mean(band < 128) > 0.6) == (each.status == "restricted")
    import re

    colours = set(re.findall(rb"([\d.]+ [\d.]+ [\d.]+) (?:rg|RG)\b", label(each, 300)))
    assert colours <= {b"0 0 0", b"1 1 1"}


@pytest.mark.parametrize("dpi", [203, 300])
def test_l5_the_page_is_the_label_and_is_not_to_be_scaled(dpi):
    pdf = label(MET, dpi)
    assert reading.size(pdf) == pytest.approx((100, 50), abs=0.1)
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reading.catalog(pdf)["/Lang"] == "en"
    assert reading.title(pdf) == "Hood label FH-0142"


def test_l1_the_same_label_is_the_same_bytes():
    assert label(RESTRICTED, 203) == label(RESTRICTED, 203)
    assert label(RESTRICTED, 203) != label(replace(RESTRICTED, issue=8), 203)


def test_l1_the_same_bytes_without_the_compiled_part():
    program = (
        "from tests.reports.pdf.test_labels import MET; from reports.pdf.labels import label\n"
        "sys.stdout.buffer.write(label(MET, 203))"
    )
    assert reading.without_accelerator(program) == label(MET, 203)


ADDRESSES = [
    "HTTPS://HOODS.SKUA.EXAMPLE/H/7KQM4T2R/7",
    "HTTPS://T.EXAMPLE/H/7KQM4T2R/12",
    "HTTPS://HOODS.SAFETY-OFFICE.SKUA-INSTITUTE.EXAMPLE/LEDGER/H/7KQM4T2R/1234",
]


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("dpi", [203, 300])
def test_l7_the_code_reads_back_is_of_whole_dots_and_keeps_its_quiet_zone(dpi, address):
    picture = reading.picture(label(replace(MET, address=address), dpi), dpi)
    [(read, _corner)] = reading.codes(picture)
    assert read == address
    modules = qr.code(address).modules
    dots = qr.dots_within(qr.code(address), 23.2, dpi)
    assert dots * 25.4 / dpi >= 0.5
    field = _field(picture, modules, dots)
    assert _crisp(field), "a module ends within a dot"
    field = numpy.where(field < 128, 0, 255)
    dark = numpy.kron(_matrix(address), numpy.ones((dots, dots), dtype=bool))
    quiet = 4 * dots
    assert (field[quiet:-quiet, quiet:-quiet] == numpy.where(dark, 0, 255)).all()
    field[quiet:-quiet, quiet:-quiet] = 255
    assert (field == 255).all(), "something stands in the quiet zone"


def test_l7_a_module_that_ends_within_a_dot_is_seen():
    """The control of the test above: the label of one printer on another."""
    picture = reading.picture(label(MET, 300), 203)
    assert not _crisp(_field(picture, qr.code(MET.address).modules, 4))


def _crisp(field):
    """Whether every dot is black or white; 4 of 255 is what the renderer's own arithmetic leaves."""
    return ((field <= 4) | (field >= 251)).all()


def _matrix(address):
    import segno

    return numpy.array(
        [list(row) for row in segno.make(address, error="m", micro=False, mask=3, boost_error=False).matrix], dtype=bool
    )


def _field(picture, modules, dots):
    """The code with its quiet zone: its dark part ends 3 mm from the right edge of the label."""
    [(_read, (left, top))] = reading.codes(picture)
    side = modules * dots
    left, top = _nearest_corner(picture, left, top)
    quiet = 4 * dots
    return picture[top - quiet : top + side + quiet, left - quiet : left + side + quiet].copy()


def _nearest_corner(picture, left, top):
    """The exact corner of the dark part, from the decoder's estimate."""
    part = picture[top - 6 : top + 8, left - 6 : left + 8] < 128
    rows, columns = numpy.nonzero(part)
    return left - 6 + columns.min(), top - 6 + rows.min()


def test_the_code_in_letters_is_at_least_4_mm_high():
    pdf = label(replace(MET, code="WWWWMMWW"), 203)
    [letters] = [ink for ink in reading.inks(pdf) if "WWWWMMWW" in ink.text.replace(" ", "")]
    assert letters.bottom - letters.top >= 4


@pytest.mark.parametrize(("sheet", "start", "count"), [(A4, 1, 12), (A4, 4, 7), (A4, 10, 12), (LETTER, 3, 8)])
def test_l9_label_n_of_a_sheet_carries_hood_n(sheet, start, count):
    many = [
        replace(MET, tag=f"FH-{n:04}", code=f"{n:08}", address=f"HTTPS://HOODS.SKUA.EXAMPLE/H/{n:08}/{n}")
        for n in range(1, count + 1)
    ]
    pdf = label_sheet(many, sheet, start, 300)
    assert reading.size(pdf) == pytest.approx((sheet.page_width, sheet.page_height), abs=0.1)
    seen = {}
    for page in range(len(reading.pages(pdf))):
        for address, (x, y) in reading.codes(reading.picture(pdf, 300, page)):
            column = int((x * 25.4 / 300 - sheet.left) // (sheet.label_width + sheet.gap_x))
            row = int((y * 25.4 / 300 - sheet.top) // (sheet.label_height + sheet.gap_y))
            seen[page * sheet.per_page + row * sheet.columns + column + 1] = address
    assert seen == {start + place: each.address for place, each in enumerate(many)}
    for page, words in enumerate(reading.pages(pdf)):
        first, last = max(1, page * sheet.per_page - start + 2), (page + 1) * sheet.per_page - start + 1
        assert [each.tag for each in many if each.tag in words] == [each.tag for each in many[first - 1 : last]]


@pytest.mark.parametrize("start", [0, 11])
def test_a_sheet_starts_at_one_of_its_places(start):
    with pytest.raises(IndexError):
        label_sheet([MET], A4, start, 300)


LONG = replace(
    RESTRICTED,
    tag="CHEM-NORTH-000142-B",
    room="North Range of the Physical Chemistry Wing, Laboratory 2.14b",
    criteria="Limits of the Skua Institute safety office, version 12",
    use="not for highly toxic materials; not for unattended work; not for perchloric acid",
    initials="RMOK",
)
HARD = {
    "long": LONG,
    "long, met": replace(LONG, status="met-criteria", use=None),
    "one word": replace(LONG, room="M" * 60, tag="W" * 30, criteria="W" * 60),
    "Latin extended": replace(MET, room="Žižkov ťažká Łódź ŐŰ 2.14", initials="ŽŐ", criteria="Požární limity, verze 2"),
    "everything at once": replace(
        LONG, use="not for " + "highly toxic and volatile " * 11, measured_from="work-surface"
    ),
    "openings": replace(LONG, sash=None, not_openings="openings left, second from left, centre, second from right"),
    "a long call": replace(
        LONG, caution=MET.caution + " Call the safety office +44 20 7946 0018 1234, at night +44 20 7946 0018 9999."
    ),
    "no due day": replace(LONG, due=None),
    "right to left": replace(MET, room="מעבדה לכימיה פיזיקלית, צפון 214", initials="רא"),
    "Chinese, Japanese, Korean": replace(
        LONG, room="北棟 化学合成実験室 二一四号室 화학합성실험실 北楼化学合成实验室", tag="通風-0142"
    ),
    "odd characters": replace(MET, room="\x00 \U0001f525 שלום <script>alert(1)</script> \u202e end", tag="FH\t1\n2"),
}


@pytest.mark.parametrize("each", HARD.values(), ids=HARD.keys())
def test_l10_nothing_leaves_the_label_or_runs_into_something(each):
    pdf = label(each, 203)
    lines = reading.inks(pdf)
    assert reading.outside(lines, 100, 50, margin=1) == []
    assert reading.collisions(lines) == []
    said = reading.text(pdf)
    squeezed = said.replace(" ", "")
    for words in (each.room, each.tag, each.criteria, each.initials, each.use or ""):
        assert labels.shown(words).replace(" ", "") in squeezed


def test_the_brackets_of_the_height_stand_clear_of_the_words_under_it():
    lines = {line.text: line for line in reading.inks(label(MET, 203))}
    assert lines[MET.sash].bottom < lines["above the airfoil"].top - 0.3


def test_l10_a_collision_is_seen():
    """The control of the test above."""
    lines = reading.inks(label(MET, 203))
    assert reading.collisions([*lines, replace(lines[0], text="again")]) != []
    assert reading.outside(lines, 90, 50) != []


def test_e25_what_the_typeface_lacks_is_named_not_dropped():
    said = reading.text(label(HARD["odd characters"], 203)).replace(" ", "")
    assert "[U+0000]" in said
    assert "[U+1F525]" in said
    assert "[U+05E9U+05DCU+05D5U+05DD]" in said
    assert "<script>alert(1)</script>" in said
    assert "[U+202E]" in said
    assert "FH12" in said


def test_a_restriction_that_does_not_fit_says_so():
    said = reading.text(label(replace(RESTRICTED, use="not for this, " * 100), 203))
    assert "and more that does not fit here: scan the code before use" in said


def test_words_are_handed_in():
    german = {"MET CRITERIA": "KRITERIEN ERFÜLLT", "MAR": "MÄR"}
    said = reading.text(label(MET, 203, lambda text: german.get(text, text), "de"))
    assert "KRITERIEN ERFÜLLT" in said
    assert "2027 MÄR 12" in said


def test_l10_the_typeface_is_in_the_file():
    import io

    import pypdf

    fonts = pypdf.PdfReader(io.BytesIO(label(MET, 203))).pages[0]["/Resources"]["/Font"]
    assert fonts
    for each in fonts.values():
        assert "/FontFile2" in each.get_object()["/FontDescriptor"]
        assert "SourceSansPro" in each.get_object()["/BaseFont"]
