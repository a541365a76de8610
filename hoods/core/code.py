"""The code of a hood: eight characters printed on its label, and the address that leads from them to its page.

The alphabet leaves out 0 O 1 I L, which are mistaken for one another. Its 31 characters are a prime number, so that one
check character finds every single wrong character and every two that changed places (a sum weighted by place, mod 31:
no weight and no difference of two weights is a multiple of 31).
"""

from __future__ import annotations

import random
import re
from typing import NamedTuple

from hoods.core.sameness import folded

ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
LENGTH = 8
_VALUES = {character: value for value, character in enumerate(ALPHABET)}
_SEPARATORS = re.compile(r"[\s\-\u2010-\u2015]+")
_PATH = re.compile(r"/H/([^/?#]+)(?:/([1-9][0-9]{0,5}))?/?", re.ASCII)


class Scanned(NamedTuple):
    """What the code of a label says: the hood, and the issue number of the label where it names one."""

    code: str
    issue: int | None = None


class NotOurs(ValueError):
    """A scan that leads to no hood of this site; `reason` is `other-address`, `not-a-code` or `mistyped`."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


def new_code(source: random.Random) -> str:
    """A code drawn at random; whoever keeps it sees to it that none is given twice."""
    body = "".join(source.choice(ALPHABET) for _ in range(LENGTH - 1))
    return body + check_character(body)


def check_character(body: str) -> str:
    """The character that makes the weighted sum of a code a multiple of 31."""
    total = sum(weight * _VALUES[character] for weight, character in enumerate(body, start=1))
    # The last place weighs 8: solve total + 8 x = 0 (mod 31); 4 is the inverse of 8, since 8 x 4 = 32.
    return ALPHABET[-total * 4 % len(ALPHABET)]


def is_code(text: str) -> bool:
    """Whether text is a code as printed: eight characters of the alphabet, the last one right."""
    return is_shaped(text) and check_character(text[:-1]) == text[-1]


def is_shaped(text: str) -> bool:
    """Whether text has the shape of a code, be its check character right or wrong."""
    return len(text) == LENGTH and all(character in _VALUES for character in text)


def normalised(text: str) -> str:
    """Text as a code is written: in capitals, without spaces and dashes. Nothing else is put right."""
    return _SEPARATORS.sub("", text).upper()


def read_as(tag: str) -> str:
    """The code that a tag is read as where a hood is asked for by either; empty where it is read as none."""
    code = normalised(folded(tag))
    return code if is_code(code) else ""


def typed(text: str) -> str:
    """The code that somebody typed; raises NotOurs where it is none, or has a wrong character."""
    code = normalised(text)
    if not is_shaped(code):
        raise NotOurs("not-a-code")
    if not is_code(code):
        raise NotOurs("mistyped")
    return code


def address(site_url: str, code: str, issue: int | None = None) -> str:
    """The address of a hood's page in capitals, as printed: `<SITE_URL>/H/<CODE>`, on a label with its issue number."""
    base = f"{site_url.rstrip('/')}/H/{code}".upper()
    return base if issue is None else f"{base}/{issue}"


def scanned(text: str, site_url: str) -> Scanned:
    """What a scan says. Only our own addresses are read, whole: another site's, a script's or a query is refused."""
    base = site_url.rstrip("/")
    text = text.strip()
    if not text.isascii() or text[: len(base)].upper() != base.upper():
        raise NotOurs("other-address")
    match = _PATH.fullmatch(text[len(base) :].upper())
    if match is None:
        raise NotOurs("other-address")
    code, issue = match.groups()
    return Scanned(typed(code), int(issue) if issue else None)
