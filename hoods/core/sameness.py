"""When two names look the same to who reads them on a hood, whatever characters they are made of."""

from __future__ import annotations

import re
import unicodedata

#: Letters and marks that draw nothing, although Unicode counts them among letters, marks or symbols.
BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
#: Small letters of other alphabets whose capitals (or they themselves) are drawn as a Latin letter is, and marks that are
#: drawn as another mark is (Unicode Technical Standard 39, its table of confusable characters).
DRAWN_AS = str.maketrans(
    "авеѕіјкмнорстухһԁԛԝӏ"
    + "αβεζηικμνορτυχϲϳ"
    + "\u2010\u2012\u2013\u2014\u2015\u2043\u2212"
    + "\u2018\u2019\u02bc\u2032",
    "abesijkmhopctyxhdqwi" + "abezhikmnoptyxcj" + "-------" + "''''",
)
_PARTED = re.compile(r"[ _-]+")
_FORMAT = ("Cf", "Cc", "Cn", "Co", "Zl", "Zp")


def is_invisible(character: str) -> bool:
    """Whether a character draws nothing and is no space: a zero-width space, a direction mark, a filler."""
    return character in BLANK or unicodedata.category(character) in _FORMAT


def folded(text: str) -> str:
    """A name as it is compared: compatible characters (full-width, superscript) as plain ones, capitals as small.

    A letter of another alphabet is compared as the Latin one that looks like it: nobody can tell two such tags apart.
    """
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())
    seen = (one for one in folded if not is_invisible(one) and not _is_variation(one))
    return " ".join("".join(seen).translate(DRAWN_AS).split())


def folded_tag(tag: str) -> str:
    """A tag as it is compared: a blank, a dash and a line below part it alike, since people say FH 0102 of FH-0102."""
    return _PARTED.sub("-", folded(tag))


def _is_variation(character: str) -> bool:
    """Whether a character only chooses between drawings of the one before it."""
    return "\ufe00" <= character <= "\ufe0f" or "\U000e0100" <= character <= "\U000e01ef"
