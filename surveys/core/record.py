"""What a record is made of: canonical bytes and their hash, the same on every machine and for ever.

The bytes are those of RFC 8785 (the JSON Canonicalization Scheme): keys sorted by UTF-16 code units, no spaces, UTF-8.
Only text, whole numbers, booleans and null are taken: a float would depend on how it is printed, and a number that was
measured is kept as text, as it was typed.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

import rfc8785

LARGEST = 2**53 - 1  # whole numbers beyond it are not safe in JSON (RFC 8785 section 3.2.2.3, RFC 7493)


class NotAttestable(ValueError):
    """Something that a record may not hold; says where it stands."""

    def __init__(self, path: str, what: str) -> None:
        super().__init__(f"{path or 'the whole'}: {what}")
        self.path = path


def canonical(content: Any) -> bytes:
    """The one sequence of bytes for this content."""
    _refuse(content, "")
    if _has_plain_keys(content):
        return json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode("utf-8")
    return rfc8785.dumps(content)


def sha256_hex(content: bytes) -> str:
    """The SHA-256 of bytes, as 64 hexadecimal digits."""
    return hashlib.sha256(content).hexdigest()


def fingerprint(digest: str) -> str:
    """A hash set for print: groups of eight digits, to be compared by eye."""
    return " ".join(digest[start : start + 8] for start in range(0, len(digest), 8))


def _has_plain_keys(content: Any) -> bool:
    """Whether every key is ASCII. Then the standard library writes the same bytes, ten times as fast.

    It sorts keys by code points, which for ASCII is by UTF-16 code units too, and escapes the same characters in text.
    """
    if isinstance(content, dict):
        return all(key.isascii() and _has_plain_keys(value) for key, value in content.items())
    return all(map(_has_plain_keys, content)) if isinstance(content, list | tuple) else True


def _refuse(content: Any, path: str) -> None:
    """Raises NotAttestable at the first thing that is not text, a whole number, a boolean, null, a list or an object."""
    if content is None or (type(content) is str and content.isascii()):
        return  # nearly all that a record holds
    match content:
        case bool():
            return
        case str():
            if not _is_text(content):
                raise NotAttestable(path, "half a surrogate pair is not text")
        case int():
            if abs(content) > LARGEST:
                raise NotAttestable(path, "a whole number beyond 2**53 - 1 is kept as text")
        case dict():
            for key, value in content.items():
                if not isinstance(key, str) or not _is_text(key):
                    raise NotAttestable(path, f"the key {key!r} is not text")
                _refuse(value, f"{path}.{key}" if path else key)
        case list() | tuple():
            for index, value in enumerate(content):
                _refuse(value, f"{path}.{index}" if path else str(index))
        case _:
            raise NotAttestable(path, f"{type(content).__name__} has no place in a record; measured numbers are text")


def _is_text(content: str) -> bool:
    if content.isascii():
        return True
    try:
        content.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
