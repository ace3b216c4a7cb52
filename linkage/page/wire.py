"""Messages between page and server: what may stand in one, and how one is spelt.

A message is JSON text. What comes in is checked against the table here before anything
else sees it: known kinds and keys only, whole and finite numbers within what a car can
hold, strings of bounded length that are text. A message that does not fit is `Unfit`,
and nothing has happened. Which paths and pedals there are is for the session to know.
"""

import json
import math
import re
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any

import msgspec

from linkage.faults import Fault

SCHEMA = 1
#: Bytes: of a message, and of a whole file (the one thing that may be longer).
MOST_MESSAGE, MOST_FILE = 64_000, 1_000_000
#: Larger numbers are no place in a car, mm or deg.
FAR = 100_000.0
MOST_CHANGES = 64
_PATH = re.compile(r"[A-Za-z0-9_-]+(?:\.[A-Za-z0-9_-]+)*")
_LONGEST_PATH = 200


class Unfit(Exception):  # noqa: N818 - it says what the message is
    """A message that is refused unread, with the reason.

    Attributes
    ----------
    seq : int or None
        The page's own number of the message, where it could be read.
    fault : Fault
        ``key`` names the spot in the message.
    """

    def __init__(self, key: str, wrong: str, right: str = "") -> None:
        super().__init__(f"{key}: {wrong} {right}")
        self.seq: int | None = None
        self.fault = Fault(key=key, wrong=wrong, right=right)


class Message(msgspec.Struct, frozen=True, kw_only=True):
    """What a page asks for.

    Attributes
    ----------
    kind : str
        A key of `KINDS`.
    seq : int
        The page's own number of it.
    body : mapping
        The other keys of that kind, checked.
    """

    kind: str
    seq: int
    body: Mapping[str, Any]


Check = Callable[[str, Any], Any]


def read(text: str | bytes) -> Message:
    """Return the message that a text holds.

    Raises
    ------
    Unfit
    """
    size = len(text if isinstance(text, bytes) else text.encode("utf-8", "replace"))
    if size > MOST_FILE + MOST_MESSAGE:
        raise Unfit("message", "is larger than 1 MB.")
    found = document(text)
    try:
        seq = _whole("seq", found.get("seq"))
    except Unfit:
        raise Unfit("seq", "is missing or no number.", "Count from 1.") from None
    try:
        return _checked(found, seq, size)
    except Unfit as unfit:
        unfit.seq = seq
        raise


def _checked(found: dict[str, Any], seq: int, size: int) -> Message:
    kind = found.get("kind")
    if found.get("schema") != SCHEMA or isinstance(found.get("schema"), bool):
        right = "Load the page anew."
        raise Unfit("schema", "the page speaks another version.", right)
    if not isinstance(kind, str) or kind not in KINDS:
        raise Unfit("kind", "is none that this server knows.")
    if size > MOST_MESSAGE and kind != "text":
        raise Unfit("message", "is larger than 64 kB.")
    rest = {key: each for key, each in found.items() if key not in _HEAD}
    return Message(
        kind=kind, seq=seq, body=_table(KINDS[kind], MAY.get(kind, ()))(kind, rest)
    )


_HEAD = ("schema", "kind", "seq")


def document(text: str | bytes) -> dict[str, Any]:
    """Return the JSON object that a text holds: no key twice, no nan, no infinity.

    Raises
    ------
    Unfit
    """
    try:
        found = json.loads(text, parse_constant=_refuse_name, object_pairs_hook=_once)
    except (ValueError, RecursionError):
        raise Unfit("message", "is no JSON.") from None
    if not isinstance(found, dict):
        raise Unfit("message", "is no JSON object.")
    return found


def _refuse_name(name: str) -> float:
    raise ValueError(name)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key twice")
    return found


# ------------------------------------------------------------------ what may stand


def _whole(key: str, said: Any) -> int:
    if isinstance(said, int) and not isinstance(said, bool) and 0 <= said < 2**53:
        return said
    raise Unfit(key, "is no whole number from 0 up.")


def _within(low: float, high: float) -> Check:
    def check(key: str, said: Any) -> float:
        if isinstance(said, int | float) and not isinstance(said, bool):
            # Compared first: a whole number may be too long for a float.
            if low <= said <= high and math.isfinite(said):
                return float(said)
            raise Unfit(key, f"is not between {low:g} and {high:g}.")
        raise Unfit(key, "is no number.")

    return check


_number = _within(-FAR, FAR)


def _flag(key: str, said: Any) -> bool:
    if isinstance(said, bool):
        return said
    raise Unfit(key, "is neither true nor false.")


def _true(key: str, said: Any) -> bool:
    if said is True:
        return True
    raise Unfit(key, "is not true.")


def _text(most: int, *, one_line: bool) -> Check:
    def check(key: str, said: Any) -> str:
        if not isinstance(said, str):
            raise Unfit(key, "is no text.")
        try:
            size = len(said.encode())
        except UnicodeEncodeError:  # half a sign
            raise Unfit(key, "holds what is no sign.") from None
        if size > most:
            raise Unfit(key, f"is longer than {most} bytes.")
        if one_line and not said.isprintable():
            raise Unfit(key, "holds signs that cannot be shown.", "Write one line.")
        return said

    return check


_line = _text(400, one_line=True)
_file = _text(MOST_FILE, one_line=False)


def _path(key: str, said: Any) -> str:
    if isinstance(said, str) and len(said) <= _LONGEST_PATH and _PATH.fullmatch(said):
        return said
    raise Unfit(key, "is no path of a value.", "Write brake.pivot, say.")


def _one_of(*words: str) -> Check:
    def check(key: str, said: Any) -> str:
        if isinstance(said, str) and said in words:
            return said
        raise Unfit(key, f"is none of {', '.join(words)}.")

    return check


def _maybe(inner: Check) -> Check:
    return lambda key, said: None if said is None else inner(key, said)


def _pair(first: Check, second: Check) -> Check:
    def check(key: str, said: Any) -> list[Any]:
        if not isinstance(said, list) or len(said) != 2:
            raise Unfit(key, "is no pair.")
        return [first(f"{key}.0", said[0]), second(f"{key}.1", said[1])]

    return check


def _keyed(inner: Check) -> Check:
    """Return the check of a small table."""

    def check(key: str, said: Any) -> dict[str, Any]:
        if not isinstance(said, dict) or not 0 < len(said) <= 20:
            raise Unfit(key, "is no table of 1 to 20 keys.")
        return {
            _path(f"{key} key", name): inner(f"{key}.{name[:40]}", each)
            for name, each in said.items()
        }

    return check


def _table(checks: Mapping[str, Check], may: Collection[str] = ()) -> Check:
    """Return the check of a table that has these keys, all of them and no other.

    Those that it ``may`` have can be left out.
    """

    def check(key: str, said: Any) -> dict[str, Any]:
        if not isinstance(said, dict):
            raise Unfit(key, "is no table.")
        if said.keys() | set(may) != checks.keys():
            wrong = "lacks a key, or has one too many."
            raise Unfit(key, wrong, f"It takes: {', '.join(checks) or 'nothing'}.")
        return {
            name: inner(f"{key}.{name}", said[name])
            for name, inner in checks.items()
            if name in said
        }

    return check


def _change(*forms: Mapping[str, Check]) -> Check:
    """Return the check of one change; its keys say which of the forms it is."""

    def check(key: str, said: Any) -> dict[str, Any]:
        names = said.keys() if isinstance(said, dict) else ()
        for form in forms:
            if names == form.keys():
                return _table(form)(key, said)  # type: ignore[no-any-return]
        raise Unfit(key, "is no change that can be made here.")

    return check


def _changes(*forms: Mapping[str, Check]) -> Check:
    one = _change(*forms)

    def check(key: str, said: Any) -> list[dict[str, Any]]:
        if not isinstance(said, list) or not 0 < len(said) <= MOST_CHANGES:
            raise Unfit(key, f"is no list of 1 to {MOST_CHANGES} changes.")
        return [one(f"{key}.{count}", each) for count, each in enumerate(said)]

    return check


_MOVES: tuple[Mapping[str, Check], ...] = (
    {"point": _path, "to": _pair(_number, _number)},
    {"point": _path, "to": _pair(_number, _number), "near": _within(0.0, 1000.0)},
    {"value": _path, "number": _number},
)
_EDITS: tuple[Mapping[str, Check], ...] = (
    {"value": _path, "text": _line},
    {"target": _pair(_path, _whole), "set": _keyed(_maybe(_line))},
    {"target": _pair(_path, _maybe(_whole)), "add": _keyed(_line)},
    {"target": _pair(_path, _whole), "remove": _true},
    {"lock": _path, "on": _flag},
    {"title": _line},
)
_BASE: Mapping[str, Check] = {"base_rev": _whole}

#: What each kind of message holds, besides schema, kind and seq.
KINDS: Mapping[str, Mapping[str, Check]] = {
    "preview": {**_BASE, "changes": _changes(*_MOVES), "whole": _flag},
    "commit": {**_BASE, "changes": _changes(*_MOVES, *_EDITS), "label": _line},
    "text": {**_BASE, "text": _file, "label": _line},
    "undo": {},
    "redo": {},
    "show": {
        "units": _maybe(_one_of("mm", "in")),
        "door": _one_of("left", "right"),
        "also": _keyed(_within(0.0, FAR)),
    },
    "place": {
        **_BASE,
        "pedal": _maybe(_path),
        "mark": _maybe(_within(0.0, 10.0)),
        "seed": _whole,
    },
    "take": {**_BASE, "answer": _whole},
    "check": {},
    "stop": {},
    "save": {"force": _flag},
    "reload": {},
    "recover": {"take": _flag},
}

#: What may be left out of a message.
MAY: Mapping[str, Collection[str]] = {"preview": ("whole",), "show": ("also",)}


def read_loading(text: str | bytes) -> tuple[str, str | None]:
    """Return name and text of a file that a page sends; an example has its name alone.

    Raises
    ------
    Unfit
    """
    found = document(text)
    if found.keys() == {"example"}:
        return _path("example", found["example"]), None
    checked = _table({"name": _line, "text": _file})("file", found)
    return checked["name"], checked["text"]


# ------------------------------------------------------------------ what goes out


def spell(kind: str, **keys: Any) -> str:
    """Return a message to the page as JSON text; what is no number becomes null."""
    message = {"schema": SCHEMA, "kind": kind, **keys}
    return msgspec.json.encode(message).decode()


def rows(faults: Iterable[Fault]) -> list[dict[str, Any]]:
    """Return faults as a message tells them."""
    return [
        {
            "line": each.line or None,
            "key": each.key,
            "wrong": each.wrong,
            "right": each.right,
        }
        for each in faults
    ]


def inert(text: str) -> str:
    """Return JSON text that can stand inside a page and ends no block of it."""
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text
