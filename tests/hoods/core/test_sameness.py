"""Names that nobody can tell apart on a hood are one name; names that differ to the eye are two."""

from __future__ import annotations

import unicodedata

import pytest

from hoods.core.sameness import DRAWN_AS, folded, folded_tag

ALIKE = [
    ("FH-0142", "fh-0142", "a capital or not"),
    ("FH-0142", "ＦＨ-0142", "letters of full width"),
    ("FH-0142", "FН-0142", "a Cyrillic capital EN"),
    ("FH-0142", "FΗ-0142", "a Greek capital ETA"),
    ("CAB 2", "САВ 2", "Cyrillic throughout"),
    ("TOP", "ΤΟΡ", "Greek throughout"),
    ("xx-1", "хх-1", "small Cyrillic HA"),
    ("FH-0142", "FH–0142", "an en dash"),
    ("FH-0142", "FH‑0142", "a hyphen that does not break"),
    ("FH-0142", "FH−0142", "a minus"),
    ("O'Hara", "O’Hara", "an apostrophe as it is set"),
    ("FH 1", "FH  1 ", "blanks"),
    ("FH-1", "FH-\u200b1", "a character that draws nothing"),
]


@pytest.mark.parametrize(("one", "other", "why"), ALIKE, ids=[why for _one, _other, why in ALIKE])
def test_what_looks_alike_is_one_name(one, other, why):
    assert one != other
    assert folded(one) == folded(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [("FH-1", "FH 1"), ("FH-1", "FH-2"), ("Å-1", "A-1"), ("Б-1", "В-1"), ("Hall O", "Hall 0"), ("Γ", "Τ")],
)
def test_what_the_eye_tells_apart_are_two_names(one, other):
    assert folded(one) != folded(other)


def test_no_two_letters_of_one_alphabet_become_one():
    """But for those that Cyrillic itself draws alike: a hood of a site that writes Greek keeps its name."""
    small = {chr(code): chr(drawn) for code, drawn in DRAWN_AS.items()}
    for alphabet in ("GREEK", "CYRILLIC"):
        drawn = [latin for letter, latin in small.items() if unicodedata.name(letter).startswith(alphabet)]
        assert len(drawn) - len(set(drawn)) <= 2, alphabet
    assert all(letter == letter.casefold() for letter in small), "they are looked up when capitals are small already"


@pytest.mark.parametrize("tag", ["FH 0102", "FH_0102", "fh\u20110102", "FH - 0102", "FH\u00a00102"])
def test_a_tag_is_the_same_however_its_parts_are_parted(tag):
    assert folded_tag(tag) == folded_tag("FH-0102")


@pytest.mark.parametrize("tag", ["FH0102", "FH-01-02", "FH-0103", "F-H0102"])
def test_another_tag_stays_another(tag):
    assert folded_tag(tag) != folded_tag("FH-0102")
