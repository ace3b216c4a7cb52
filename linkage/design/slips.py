"""One sentence for each slip in a value: what is wrong, what would be right.

Texts in, sentences out; where they stand is the business of `linkage.design.lines`.
"""

import re

from linkage.design.terms import NUMBER
from linkage.units import plain

Sentence = tuple[str, str]

_QUOTES = re.compile("[“”„‟‘’«»]")
_REMARK = re.compile(r"^(?P<value>[^;]*?)\s*(?:;|//)")
_SPELT = re.compile(r"true|false|-?\d+(?:\.\d+)?|\"[^\"]*\"|\[.*\]|\{.*\}")
_SWITCH = {"true": "true", "yes": "true", "on": "true"}
_SWITCH |= {"false": "false", "no": "false", "off": "false"}
_INCH = re.compile(r"\"(?P<size>[^\"]*\d)\"\s*(?:\"|(?P<unit>[A-Za-z%°]+))")
_NUMBER = r"[+-]?\d+(?:\.\d+)?"
_COMMA = re.compile(r"([+-]?\d+),(\d+)")
_PAIR = re.compile(rf"({_NUMBER})\s*,\s*({_NUMBER})")
_ROW = re.compile(rf"({_NUMBER})\s*[;\s]\s*({_NUMBER})")
_LONG_MINUS = re.compile("[−–—]\\s*[\\d.]")


def value(raw: str, key: str = "") -> Sentence:
    """Return what is wrong with a value that no reader of TOML takes.

    Parameters
    ----------
    raw : str
        All that stands there, without spaces around it.
    key : str
        The key before it; empty within brackets and braces.
    """
    raw = without_remark(raw)
    for rule in (
        _nothing,
        _curly,
        _remark,
        _switch,
        _in_marks,
        _twice,
        _round,
        _row_of_two,
        _two_pairs,
        _tail,
        _dot,
        _zeros,
        _minus,
        _decimal_comma,
        _pair,
        _degrees,
        _inch_mark,
        _letter,
        _no_number,
    ):
        sentence = rule(raw, key)
        if sentence:
            return sentence
    return (
        f"{short(raw)} is text, and text needs quotation marks.",
        f"Write {_put(key, _quoted(raw))}.",
    )


def without_remark(raw: str) -> str:
    """Return a line without its remark, whatever marks stand in that."""
    if re.match("[^\"'#]*#", raw):
        raw = raw.partition("#")[0].strip()
    return raw


def _put(key: str, right: str) -> str:
    return f"{key} = {right}" if key else right


def _quoted(raw: str) -> str:
    inner = raw.strip("\"'").replace('"', " in").replace("\\", "/")
    return f'"{short(inner)}"'


def short(raw: str) -> str:
    """Return a piece of a line as a sentence may quote it."""
    return raw if len(raw) <= 60 else f"{raw[:60]}..."


def _nothing(raw: str, key: str) -> Sentence | None:
    if raw:
        return None
    if not key:
        return "a value is missing here.", "Put it in, or take out the comma."
    return (
        "nothing stands behind the equals sign.",
        "Write the value, or drop the line.",
    )


def _curly(raw: str, key: str) -> Sentence | None:
    if not _QUOTES.match(raw):
        return None
    inner = _QUOTES.sub("", raw.partition("#")[0]).strip().strip("\"'")
    return (
        "these are curly quotation marks, as a document has them.",
        f"Type straight ones: {_put(key, _quoted(inner))}.",
    )


def _remark(raw: str, key: str) -> Sentence | None:
    found = _REMARK.match(raw) if key else None
    if not found or not _SPELT.fullmatch(found["value"]):
        return None
    return (
        "a remark at the end of a line starts with #.",
        f"Write {_put(key, found['value'])}  # ...",
    )


def _switch(raw: str, key: str) -> Sentence | None:
    right = _SWITCH.get(raw.lower())
    if right is None:
        return None
    return f"{raw} is not known here.", f"In small letters: {_put(key, right)}."


def _in_marks(raw: str, key: str) -> Sentence | None:
    if raw[0] not in "\"'":
        return None
    mark = raw[0]
    if mark not in raw[1:]:
        text = raw.partition("#")[0].strip()
        text, rest = (text, "") if key else _until_bracket(text)
        right = f"{_quoted(text)}{rest}"
        return "the quotation mark is never closed.", f"Write {_put(key, right)}."
    found = _INCH.match(raw)
    if found:
        unit = found["unit"] or "in"
        return (
            "the text ends at its second quotation mark, and something stands behind.",
            f"Write {_put(key, chr(34) + found['size'] + ' ' + unit + chr(34))}.",
        )
    if "\\" in raw:
        return (
            "a backslash in text stands for something else.",
            "Write / in place of it, or two of them.",
        )
    return (
        "the text ends at its second quotation mark, and something stands behind.",
        "Put all of it between the marks, or a # before a remark.",
    )


def _until_bracket(text: str) -> tuple[str, str]:
    """Return a text within brackets that never ends, and what is no part of it.

    >>> _until_bracket('"22 1/4 }')
    ('"22 1/4', ' }')
    """
    found = re.search(r"\s*[,}\]]", text)
    return (text[: found.start()], text[found.start() :]) if found else (text, "")


def _round(raw: str, key: str) -> Sentence | None:
    if raw[0] not in _OTHER_BRACKETS:
        return None
    kind, close = _OTHER_BRACKETS[raw[0]]
    inner = raw[1:].partition(close)[0]
    wrong = f"{kind} brackets are not known here."
    return wrong, f"Write {_put(key, f'[{inner}]')}."


_OTHER_BRACKETS = {"(": ("round", ")"), "<": ("pointed", ">")}


def _twice(raw: str, key: str) -> Sentence | None:
    """Two equals signs, as programs have them."""
    if raw[0] != "=":
        return None
    right = f"Write {_put(key, short(raw.lstrip('= ')))}."
    return "two equals signs stand here.", right


def _row_of_two(raw: str, key: str) -> Sentence | None:
    """A row of two numbers whose first bracket was forgotten."""
    found = re.fullmatch(rf"({_NUMBER})\s*,\s*({_NUMBER})\s*\]", raw)
    if not found:
        return None
    right = f"Write {_put(key, f'[{found[1]}, {found[2]}]')}."
    return "a ] closes what nothing opened.", right


def _two_pairs(raw: str, key: str) -> Sentence | None:
    """Two pairs between braces without a comma."""
    found = re.fullmatch(r"(\S+)\s+([A-Za-z_]+\s*=\s*.*)", raw)
    if key or not found:
        return None
    return "a comma is missing.", f"Write {found[1]}, {short(found[2])}."


def _tail(raw: str, key: str) -> Sentence | None:
    """A number with a comma behind it, as lists of other programs have it."""
    found = re.fullmatch(rf"({_NUMBER})\s*,", raw)
    if not found or not key:
        return None
    return "a comma stands at the end of the line.", f"Write {_put(key, found[1])}."


def _inch_mark(raw: str, key: str) -> Sentence | None:
    """A number with the mark of inches, and no text marks round both."""
    found = re.fullmatch(r"([\d ./-]*\d)\s*(?:\"|'')", raw)
    if not found:
        return None
    wrong = f"{raw} is text, and text needs quotation marks."
    return wrong, f"Write {_put(key, _quoted(found[1] + ' in'))}."


def _letter(raw: str, key: str) -> Sentence | None:
    """A number with a letter that looks like one of its digits."""
    right = raw.translate(_LIKE)
    if not re.fullmatch(r"\d+(?:\.\d+)?", right) or not re.search(r"\d", raw):
        return None
    wrong = f"{raw} has a letter where a digit belongs."
    return wrong, f"Write {_put(key, right)}."


_LIKE = str.maketrans("OoIl", "0011")


def _no_number(raw: str, key: str) -> Sentence | None:
    """Digits and signs that are neither a number nor a fraction."""
    if not re.fullmatch(
        r"(?!\d{4}-\d\d-)[-+*/^.,\d\s]*\d[-+*/^.,\d\s]*", raw
    ) or NUMBER.fullmatch(raw):
        return None
    right = f"Write one number: {_put(key, '120.5')}, say."
    return f"{short(raw)} is no number.", right


def _dot(raw: str, key: str) -> Sentence | None:
    found = re.match(r"([+-]?)(\.\d+)", raw)
    if found:
        right = f"{found[1]}0{found[2]}"
        return (
            f"{raw} starts with a dot.",
            f"Put a 0 in front of the dot, and the unit: {_put(key, _quoted(right + ' in'))}"
            f" ({right} alone is in the file's own unit).",
        )
    if re.fullmatch(r"[+-]?\d+\.", raw):
        return f"{raw} ends with a dot.", f"Write {_put(key, raw + '0')}."
    return None


def _zeros(raw: str, key: str) -> Sentence | None:
    if not re.fullmatch(r"[+-]?0\d+(?:\.\d+)?", raw):
        return None
    sign = raw[0] if raw[0] in "+-" else ""
    digits = raw.lstrip("+-0")
    digits = digits if digits[:1].isdigit() else f"0{digits}"
    return (
        f"{raw} has an idle 0 in front.",
        f"Write {_put(key, sign + digits)}.",
    )


def _minus(raw: str, key: str) -> Sentence | None:
    if not _LONG_MINUS.match(raw):
        return None
    right = plain(raw).replace("- ", "-")
    if not re.fullmatch(_NUMBER, right):
        right = _quoted(right)
    return (
        "this is a long minus, as a document has it.",
        f"Type a plain one: {_put(key, right)}.",
    )


def _decimal_comma(raw: str, key: str) -> Sentence | None:
    found = _COMMA.fullmatch(raw)
    if not found:
        return None
    right = f"{found[1]}.{found[2]}"
    also = f" A point needs brackets: {key} = [{found[1]}, {found[2]}]." if key else ""
    return f"{raw} has a comma.", f"A decimal needs a dot: {_put(key, right)}.{also}"


def _pair(raw: str, key: str) -> Sentence | None:
    found = _PAIR.fullmatch(raw)
    if found:
        return (
            "two numbers stand here without brackets.",
            f"A point goes into brackets: {_put(key, f'[{found[1]}, {found[2]}]')}.",
        )
    found = _ROW.fullmatch(raw)
    if found and not key:
        return "a comma is missing.", f"Write {found[1]}, {found[2]}."
    return None


def _degrees(raw: str, key: str) -> Sentence | None:
    found = re.fullmatch(rf"({_NUMBER})\s*(?:°|º|deg)", raw)
    if not found:
        return None
    return (
        f"{raw} is text, and text needs quotation marks.",
        f"Write {_put(key, found[1])} (degrees), or {_put(key, _quoted(found[1] + ' deg'))}.",
    )
