"""Codes of hoods, typed and scanned."""

import random
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoods.core.code import (
    ALPHABET,
    LENGTH,
    NotOurs,
    Scanned,
    address,
    check_character,
    is_code,
    new_code,
    normalised,
    scanned,
    typed,
)

SITE = "https://hoods.skua.example"
CODES = [new_code(random.Random(seed)) for seed in range(40)] + ["22222222", "ZZZZZZZ" + check_character("ZZZZZZZ")]


def test_the_alphabet_leaves_out_what_is_mistaken_for_one_another():
    assert len(ALPHABET) == len(set(ALPHABET)) == 31
    assert not set("0O1IL") & set(ALPHABET)
    assert ALPHABET.upper() == ALPHABET


@pytest.mark.parametrize("code", CODES)
def test_a_drawn_code_is_a_code(code):
    assert len(code) == LENGTH
    assert is_code(code)


@pytest.mark.parametrize("code", CODES)
def test_every_single_wrong_character_is_caught(code):
    for place in range(LENGTH):
        for other in set(ALPHABET) - {code[place]}:
            assert not is_code(code[:place] + other + code[place + 1 :])


@pytest.mark.parametrize("code", CODES)
def test_every_two_characters_that_changed_places_are_caught(code):
    """Neighbours, and any other two as well; the control: equal ones make the same code."""
    for one, other in combinations(range(LENGTH), 2):
        swapped = list(code)
        swapped[one], swapped[other] = swapped[other], swapped[one]
        assert is_code("".join(swapped)) is (code[one] == code[other])


def test_a_plain_sum_would_not_catch_two_that_changed_places():
    """The control of the weights: without them a swap has the same sum."""
    values = {character: value for value, character in enumerate(ALPHABET)}
    assert sum(values[c] for c in "7KQM4T2") == sum(values[c] for c in "K7QM4T2")
    assert check_character("7KQM4T2") != check_character("K7QM4T2")


def test_codes_are_drawn_from_the_whole_alphabet():
    source = random.Random(1)
    codes = {new_code(source) for _ in range(2000)}
    assert len(codes) == 2000
    for place in range(LENGTH):
        assert {code[place] for code in codes} == set(ALPHABET)


GOOD = CODES[0]

WRITTEN = [
    # text,                    code or reason, why
    (GOOD, GOOD, "as printed"),
    (GOOD.lower(), GOOD, "lower case"),
    (f" {GOOD[:4]} {GOOD[4:]} ", GOOD, "spaces"),
    (f"{GOOD[:4]}-{GOOD[4:]}", GOOD, "a dash"),
    (f"{GOOD[:4]}\u2013{GOOD[4:]}", GOOD, "a dash that a keyboard put in"),
    (GOOD[:-1], "not-a-code", "one character too few"),
    (GOOD + "2", "not-a-code", "one too many"),
    ("", "not-a-code", "nothing"),
    ("0" + GOOD[1:], "not-a-code", "a zero is never part of one"),
    ("FH-0142", "not-a-code", "a tag"),
    (GOOD[:-1] + ("2" if GOOD[-1] != "2" else "3"), "mistyped", "the wrong check character"),
    (GOOD[1] + GOOD[0] + GOOD[2:], "mistyped", "two changed places"),
    ("\u0662" * 8, "not-a-code", "digits of another script"),
]


@pytest.mark.parametrize(("text", "expected", "why"), WRITTEN)
def test_e24_a_typed_code(text, expected, why):
    if len(expected) == LENGTH and is_code(expected):
        assert typed(text) == expected, why
    else:
        with pytest.raises(NotOurs) as refusal:
            typed(text)
        assert refusal.value.reason == expected, why


MISTYPED = GOOD[:-1] + ("2" if GOOD[-1] != "2" else "3")
SCANS = [
    # scan,                                             hood and issue, or reason, why
    (f"{SITE}/H/{GOOD}", Scanned(GOOD), "the address of a hood"),
    (f"{SITE.upper()}/H/{GOOD}", Scanned(GOOD), "in capitals, as printed"),
    (f"{SITE}/h/{GOOD.lower()}", Scanned(GOOD), "in small letters, as a browser may show it"),
    (f"{SITE.upper()}/H/{GOOD}/12", Scanned(GOOD, 12), "with the issue number of a label"),
    (f"{SITE}/H/{GOOD}/", Scanned(GOOD), "a slash at the end"),
    (f" {SITE}/H/{GOOD}/3\n", Scanned(GOOD, 3), "the line end that a scanner sends"),
    (f"{SITE}/H/{MISTYPED}", "mistyped", "our address, the wrong check character"),
    (f"{SITE}/H/NOTACODE", "not-a-code", "our address, no code"),
    (f"{SITE}/H/{GOOD}/0", "other-address", "issue numbers begin at 1"),
    (f"{SITE}/H/{GOOD}/-1", "other-address", "a number below"),
    (f"{SITE}/H/{GOOD}/12/sign", "other-address", "more than a hood and a label"),
    (f"{SITE}/H/{GOOD}?next=https://other.example", "other-address", "a query"),
    (f"{SITE}/H/{GOOD}#top", "other-address", "a fragment"),
    (f"{SITE}/hoods/12/", "other-address", "another page of ours"),
    (f"https://other.example/H/{GOOD}", "other-address", "another site"),
    (f"https://hoods.tern.example/H/{GOOD}", "other-address", "another site whose name is as long as ours"),
    (f"https://hood\u017f.skua.example/H/{GOOD}", "other-address", "a long s, whose capital is our own S"),
    (f"https://hoods.skua.example.other.example/H/{GOOD}", "other-address", "a site that begins like ours"),
    (f"https://someone@hoods.skua.example/H/{GOOD}", "other-address", "a name before the host"),
    (f"http://hoods.skua.example/H/{GOOD}", "other-address", "without the lock"),
    (f"{SITE}:8443/H/{GOOD}", "other-address", "another port"),
    (f"{SITE}//H/{GOOD}", "other-address", "a doubled slash"),
    (f"{SITE}/H/../admin/{GOOD}", "other-address", "a way out"),
    (f"javascript:alert('{SITE}/H/{GOOD}')", "other-address", "a script"),
    (f"data:text/html,{SITE}/H/{GOOD}", "other-address", "data"),
    (GOOD, "other-address", "a code alone is typed, not scanned"),
    ("", "other-address", "nothing"),
    (f"https://hoods.skua.ex\u0430mple/H/{GOOD}", "other-address", "a letter that only looks like ours"),
]


@pytest.mark.parametrize(("scan", "expected", "why"), SCANS)
def test_e24_only_our_own_addresses_are_read(scan, expected, why):
    if isinstance(expected, Scanned):
        assert scanned(scan, SITE) == expected, why
    else:
        with pytest.raises(NotOurs) as refusal:
            scanned(scan, SITE)
        assert refusal.value.reason == expected, why


@given(st.text(max_size=60))
def test_e24_no_text_is_read_as_a_hood_unless_it_is_our_address(text):
    try:
        found = scanned(text, SITE)
    except NotOurs:
        return
    assert text.strip().upper().startswith(f"{SITE.upper()}/H/{found.code}")


@given(st.integers(0, 10_000), st.none() | st.integers(1, 999_999))
def test_what_is_printed_is_read_back(seed, issue):
    code = new_code(random.Random(seed))
    printed = address(SITE + "/", code, issue)
    assert printed == printed.upper(), "capitals: fewer modules in the code"
    assert scanned(printed, SITE) == scanned(printed, SITE + "/") == Scanned(code, issue)


def test_nothing_else_is_put_right():
    assert normalised(" 7kqm-4t2r ") == "7KQM4T2R"
    assert normalised("0O1IL") == "0O1IL", "what cannot be told apart is not guessed"
