"""Reading JSON strictly, and asking a document whether it has the shape that was agreed.

Numbers come as text, so floats, NaN and duplicate keys are refused while reading; every refusal names its place.
"""

import json
from collections.abc import Iterator, Mapping
from typing import Any

from surveys.core.messages import Message, Problem, WrongShape
from surveys.core.said import day_or_none
from surveys.core.units import NotANumber, Quantity
from surveys.core.units import quantity as parse_quantity

_KINDS = {str: "text", bool: "yes or no", type(None): "nothing", list: "a list", dict: "a group of keys"}


class _Refused(ValueError):
    def __init__(self, code: str, **values: str) -> None:
        self.message = Message(code, values)
        super().__init__(code)


def loads(content: str | bytes) -> Any:
    """JSON as plain values. Raises WrongShape for broken JSON, a key that stands twice, a number that is not text."""
    try:
        return json.loads(
            content,
            parse_float=_refuse_number,
            parse_int=_refuse_number,
            parse_constant=_refuse_number,
            object_pairs_hook=_once,
        )
    except _Refused as refused:
        raise WrongShape([Problem("", refused.message)]) from None
    except RecursionError:
        raise WrongShape([Problem("", Message("json-broken", {"what": "it is nested too deeply"}))]) from None
    except (json.JSONDecodeError, UnicodeDecodeError) as broken:
        what = f"line {broken.lineno}, {broken.msg}" if isinstance(broken, json.JSONDecodeError) else "not UTF-8"
        raise WrongShape([Problem("", Message("json-broken", {"what": what}))]) from None


def _refuse_number(text: str) -> Any:
    raise _Refused("number-as-text")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        keys = [key for key, _ in pairs]
        raise _Refused("key-twice", key=next(key for key in keys if keys.count(key) > 1))
    return made


def _kind(given: Any) -> str:
    return _KINDS.get(type(given), "a number" if isinstance(given, int | float) else type(given).__name__)


class Shape:
    """Asks a document for its parts, and collects a problem for each that is not as agreed."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def wrong(self, path: str, code: str, **values: str) -> None:
        self.problems.append(Problem(path, Message(code, values)))

    def refuse_if_wrong(self) -> None:
        if self.problems:
            raise WrongShape(self.problems)

    def _not(self, path: str, given: Any, wanted: str) -> None:
        if isinstance(given, int | float) and not isinstance(given, bool):
            self.wrong(path, "number-as-text")
        else:
            self.wrong(path, "shape-wrong", found=_kind(given), wanted=wanted)

    def table(self, path: str, given: Any, keys: tuple[str, ...]) -> Mapping[str, Any]:
        """A group of keys, all of them known."""
        if not isinstance(given, Mapping):
            self._not(path, given, "a group of keys")
            return {}
        for key in given:
            if key not in keys:
                self.wrong(f"{path}.{key}".lstrip("."), "key-unknown", key=str(key)[:60], known=", ".join(keys))
        return given

    def table_or_none(self, path: str, given: Any, keys: tuple[str, ...]) -> Mapping[str, Any] | None:
        return None if given is None else self.table(path, given, keys)

    def items(self, path: str, given: Any, most: int) -> Iterator[tuple[str, Any]]:
        """The parts of a list, each with its path; nothing where there is none."""
        if given is None:
            return
        if not isinstance(given, list | tuple):
            self._not(path, given, "a list")
            return
        if len(given) > most:
            self.wrong(path, "too-many", number=str(len(given)), most=str(most))
            return
        for index, item in enumerate(given):
            yield f"{path}.{index}", item

    def text(self, path: str, given: Any, most: int) -> str | None:
        if given is None:
            return None
        if not isinstance(given, str):
            self._not(path, given, "text")
            return None
        if len(given) > most:
            self.wrong(path, "text-too-long", length=str(len(given)), most=str(most))
        if any(_is_unstorable(character) for character in given):
            self.wrong(path, "text-control")
        return given

    def needed_text(self, path: str, given: Any, most: int) -> str:
        text = self.text(path, given, most)
        if given is None or text == "":
            self.wrong(path, "key-missing", key=path.rpartition(".")[2])
        return text or ""

    def flag(self, path: str, given: Any) -> bool | None:
        if given is not None and not isinstance(given, bool):
            self._not(path, given, "true or false")
            return None
        return given

    def text_or_flag(self, path: str, given: Any, most: int) -> str | bool | None:
        return given if isinstance(given, bool) else self.text(path, given, most)

    def code(self, path: str, given: Any, known: tuple[str, ...]) -> str | None:
        if given is None:
            return None
        if not isinstance(given, str):
            self._not(path, given, "text")
            return None
        if given not in known:
            self.wrong(path, "code-unknown", text=given[:60], known=", ".join(known))
            return None
        return given

    def quantity(self, path: str, given: Any, kind: str | None = None) -> Quantity | None:
        """A quantity that must be well written: of criteria and facts, never of what is typed on the survey page."""
        text = self.text(path, given, 40)
        if text is None:
            if given is None:
                self.wrong(path, "key-missing", key=path.rpartition(".")[2])
            return None
        try:
            return parse_quantity(text, kind)
        except NotANumber as refused:
            self.problems.append(Problem(path, refused.message))
            return None

    def day(self, path: str, given: Any) -> None:
        """A day that must be well written, as year, month and day."""
        text = self.text(path, given, 40)
        if text is not None and day_or_none(text) is None:
            self.wrong(path, "day-plain", text=text)

    def needed_quantity(self, path: str, given: Any, kind: str) -> Quantity:
        """A quantity that must be there. What stands for a wrong one is never read: its document is refused."""
        return self.quantity(path, given, kind) or Quantity("0", "")


def _is_unstorable(character: str) -> bool:
    """NUL and other control characters but tab and line ends; halves of surrogate pairs."""
    return (character < " " and character not in "\t\n\r") or "\ud800" <= character <= "\udfff" or character == "\x7f"
