"""Canonical bytes and hashes: the same on every machine, release and locale (G16)."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from surveys.core.record import NotAttestable, canonical, fingerprint, sha256_hex

PUBLISHED = json.loads((Path(__file__).parents[2] / "check_values" / "hashing.json").read_text(encoding="utf-8"))

GOLDEN = [
    # content, canonical bytes, SHA-256, why
    ({}, b"{}", "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a", "nothing at all"),
    (
        {"b": 1, "a": None, "C": True},
        b'{"C":true,"a":null,"b":1}',
        None,
        "keys by code unit, capitals first",
    ),
    (["98", "104.0", "0.50"], b'["98","104.0","0.50"]', None, "digits as typed"),
    ("\u20ac$\u000f\nA'B\"\\\\\"/", b'"\xe2\x82\xac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"', None, "RFC 8785 section 3.2.2.2"),
    (
        {"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
         "\U0001f600": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"},
        b'{"\\r":"Carriage Return","1":"One","\xc2\x80":"Control","\xc3\xb6":"Latin Small Letter O With Diaeresis",'
        b'"\xe2\x82\xac":"Euro Sign","\xf0\x9f\x98\x80":"Emoji: Grinning Face",'
        b'"\xef\xac\xb3":"Hebrew Letter Dalet With Dagesh"}',
        None,
        "RFC 8785 section 3.2.3: by UTF-16 code units, not by code points",
    ),
]  # fmt: skip
SURVEY = {
    "kind": "survey",
    "format": 1,
    "number": 12,
    "survey": {"reason": "annual", "done_on": "2026-03-12", "full": True, "amends": None},
    "entered": {"traverses": [{"unit": "ft/min", "readings": [["98", ["102", "104"], None], ["0.50", "97", "100"]]}]},
    "signed": {"by": {"name": "Ruth Okafor", "initials": "RO"}, "at": "2026-03-12T13:52:07Z", "zone": "Europe/London"},
}
SURVEY_SHA256 = "4f93dfc3d3ddaf7e43ea630c6b3ccfd2d3378a326c23a3f0b9a9a1d36328952f"


@pytest.mark.parametrize(("content", "expected", "digest", "why"), GOLDEN)
def test_g16_canonical_bytes(content, expected, digest, why):
    assert canonical(content) == expected, why
    if digest:
        assert sha256_hex(canonical(content)) == digest


def test_g16_the_hash_of_a_survey_is_golden():
    """If this fails, records written before would no longer be found whole: do not change the number, mend the cause."""
    assert sha256_hex(canonical(SURVEY)) == SURVEY_SHA256
    assert sha256_hex(canonical(dict(reversed(SURVEY.items())))) == SURVEY_SHA256, "the order of keys does not matter"
    changed = {**SURVEY, "number": 13}
    assert sha256_hex(canonical(changed)) != SURVEY_SHA256, "the control: one digit changes it"


@pytest.mark.parametrize("setting", [{"LC_ALL": "C"}, {"LC_ALL": "C.UTF-8"}, {"PYTHONHASHSEED": "1"}, {"PYTHONUTF8": "0"}])
def test_g16_the_hash_does_not_depend_on_the_machine(setting):
    code = (
        "import json, locale, sys; locale.setlocale(locale.LC_ALL, '');"
        "from surveys.core.record import canonical, sha256_hex;"
        "print(sha256_hex(canonical(json.load(sys.stdin.buffer))))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        input=json.dumps(SURVEY).encode(),
        capture_output=True,
        check=True,
        env={**os.environ, **setting},
        cwd=Path(__file__).parents[3],
    )
    assert done.stdout.decode().strip() == SURVEY_SHA256


def test_published_canonical_numbers():
    """The library's numbers are those of the RFC's test data; a record takes none of them."""
    case = next(case for case in PUBLISHED if case["id"] == "jcs")
    numbers = json.loads(case["input"]["json"])
    assert rfc8785.dumps(numbers).decode() == case["expected"]["canonical"]
    with pytest.raises(NotAttestable):
        canonical(numbers)


def test_published_empty_hash():
    case = next(case for case in PUBLISHED if case["id"] == "empty-tree")
    assert sha256_hex(b"") == case["expected"]["root"]


REFUSED = [
    # content, place, why
    (1.5, "the whole", "a float"),
    ({"a": [1, 2.0]}, "a.1", "a whole float is a float"),
    ({"a": float("nan")}, "a", "not a number"),
    ({1: "a"}, "the whole", "a key that is a number: json would turn it into text unseen"),
    ({None: "a"}, "the whole", "a key that is null"),
    ({"a": {True: 1}}, "a", "a key that is a boolean"),
    ({"a": {1, 2}}, "a", "a set has no order"),
    ({"a": b"x"}, "a", "bytes"),
    ({"a": 2**53}, "a", "beyond what every reader of JSON keeps exactly"),
    ({"a": -(2**53)}, "a", "the same below"),
    ({"a": "\ud800"}, "a", "half a surrogate pair"),
    ({"\udc00": 1}, "the whole", "half a surrogate pair as a key"),
    ({"a": object()}, "a", "anything else"),
]


@pytest.mark.parametrize(("content", "place", "why"), REFUSED)
def test_g16_what_a_record_may_not_hold_is_refused_with_its_place(content, place, why):
    with pytest.raises(NotAttestable) as refusal:
        canonical(content)
    assert str(refusal.value).startswith(f"{place}: "), why


def test_the_largest_whole_numbers_are_taken():
    assert canonical([2**53 - 1, -(2**53) + 1]) == b"[9007199254740991,-9007199254740991]"


TEXT = st.text(st.characters(exclude_categories=["Cs"]))
CONTENT = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=20,
)


@given(CONTENT)
def test_what_is_read_back_is_what_was_attested(content):
    written = canonical(content)
    assert json.loads(written) == content
    assert canonical(json.loads(written)) == written


def test_a_fingerprint_is_set_in_groups_of_eight():
    digest = sha256_hex(b"")
    assert fingerprint(digest) == "e3b0c442 98fc1c14 9afbf4c8 996fb924 27ae41e4 649b934c a495991b 7852b855"
    assert fingerprint(digest).replace(" ", "") == digest


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(),
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
        max_leaves=12,
    )
)
def test_g16_whichever_way_is_taken_the_bytes_are_those_of_rfc_8785(content):
    assert canonical(content) == rfc8785.dumps(content)
