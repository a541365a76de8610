"""When two names look the same to who reads them on a hood, whatever characters they are made of."""

from __future__ import annotations

import unicodedata

#: Letters and marks that draw nothing, although Unicode counts them among letters, marks or symbols.
BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
_FORMAT = ("Cf", "Cc", "Cn", "Co", "Zl", "Zp")


def is_invisible(character: str) -> bool:
    """Whether a character draws nothing and is no space: a zero-width space, a direction mark, a filler."""
    return character in BLANK or unicodedata.category(character) in _FORMAT


def folded(text: str) -> str:
    """A name as it is compared: compatible characters (full-width, superscript) as plain ones, capitals as small."""
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())
    seen = (one for one in folded if not is_invisible(one) and not _is_variation(one))
    return " ".join("".join(seen).split())


def _is_variation(character: str) -> bool:
    """Whether a character only chooses between drawings of the one before it."""
    return "\ufe00" <= character <= "\ufe0f" or "\U000e0100" <= character <= "\U000e01ef"
