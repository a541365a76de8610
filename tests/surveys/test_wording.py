"""Every message of core has its sentence, with the values that the sentence needs."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from surveys.core.messages import SENTENCES, Message
from surveys.wording import restriction, sentence, title

ROOT = Path(__file__).resolve().parents[2]
PLACES = re.compile(r"%\((\w+)\)s")


SAYS = {"Message": 0, "NotANumber": 0, "_Refused": 0, "wrong": 1, "_problem": 1}  # where each takes the code


def codes_in_the_code() -> dict[str, str]:
    """Each literal code handed to Message or to a function that makes one, with the file it stands in."""
    found = {}
    for path in sorted((ROOT / "surveys").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            place = SAYS.get(_name(node)) if isinstance(node, ast.Call) else None
            given = node.args[place : place + 1] if place is not None else []
            found |= {code.value: path.name for code in given if isinstance(code, ast.Constant)}
    return found


def _name(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


@pytest.mark.parametrize(("code", "file"), codes_in_the_code().items())
def test_every_code_that_is_said_has_its_sentence(code, file):
    assert code in SENTENCES, f"{file} says {code}: add its sentence to surveys/core/messages.py"


def test_the_codes_were_found():
    assert len(codes_in_the_code()) > 60


@pytest.mark.parametrize("code", SENTENCES)
def test_every_sentence_can_be_formed(code):
    values = dict.fromkeys(PLACES.findall(SENTENCES[code]), "x")
    said = sentence(Message(code, values))
    assert "%" not in said.replace("20 %", "")
    assert said


def test_a_reason_is_said_in_the_words_of_the_trade():
    said = sentence(
        Message(
            "limit-not-met",
            {
                "opening": "working", "figure": "average", "value": "72 ft/min", "limit": "at-least",
                "least": "80 ft/min", "consequence": "fail",
            },
        )
    )  # fmt: skip
    assert said == "“working”: Average face velocity 72 ft/min, at least 80 ft/min: not met (fail)."


def test_a_message_of_a_record_is_said_alike_and_an_unknown_code_is_shown():
    message = Message("hood-check-not-tested", {"check": "glazing-whole"})
    assert sentence(message.as_dict()) == sentence(message) == "Glazing: not tested."
    assert sentence({"code": "said-by-a-later-release", "values": {"a": "1"}}) == "said by a later release a: 1"


def test_days_are_printed_as_days():
    assert sentence(Message("retired", {"on": "2026-03-12"})) == "The hood was retired on 12 MAR 2026."


TITLES = [
    ("pass", None, "Certificate of survey"),
    ("fail", None, "Survey report: criteria not met"),
    ("no-verdict", None, "Survey report: no verdict"),
    ("restrict", {"largest_opening": "12 in"}, "Certificate of survey, restricted: sash no higher than 12 in"),
    ("restrict", {"use": "not for volatile poisons"}, "Certificate of survey, restricted: not for volatile poisons"),
    (
        "restrict",
        {"largest_opening": "12 in", "use": "not for highly toxic materials"},
        "Certificate of survey, restricted: sash no higher than 12 in; not for highly toxic materials",
    ),
    ("restrict", {"not_openings": ["left"]}, "Certificate of survey, restricted: opening left not to be used"),
    (
        "restrict",
        {"not_openings": ["left", "right"]},
        "Certificate of survey, restricted: openings ‘left’, ‘right’ not to be used",
    ),
    (
        "restrict",
        {"not_openings": ["panels open, frame down"]},
        "Certificate of survey, restricted: opening ‘panels open, frame down’ not to be used",
    ),
]


@pytest.mark.parametrize(("verdict", "given", "printed"), TITLES)
def test_titles(verdict, given, printed):
    assert title(verdict, given) == printed


def test_only_pass_and_restrict_make_a_certificate():
    assert [title(v, None).startswith("Certificate") for v in ("pass", "restrict", "fail", "no-verdict")] == [
        True, True, False, False,
    ]  # fmt: skip
    assert restriction(None) == ""


def test_a_value_below_zero_is_told_with_a_minus():
    """As on the certificate, never with a hyphen."""
    below = {"figure": "monitor-error-percent", "value": "-20 %", "limit": "between", "least": "-10 %", "most": "10 %", "consequence": "note"}
    assert " −20 %, from −10 % to 10 %" in sentence(Message("hood-limit-not-met", below))  # noqa: RUF001
