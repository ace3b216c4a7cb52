"""Answers put into a starting file: the numbers asked for, and nothing else.

An answer is whatever the file itself would take for a number; "3 back" where the file
says ahead turns the word as well, and so does a minus. What is not answered stays as it is.
"""

import json
import re
from collections.abc import Mapping

from linkage.design.records import Design
from linkage.design.signs import without_minus
from linkage.design.splice import Patch, splice
from linkage.design.values import Value
from linkage.design.ways import OPPOSITE
from linkage.faults import DesignError, Fault
from linkage.loading import load_text
from linkage.templates import Template
from linkage.units import plain

_PLAIN_NUMBER = re.compile(r"[+-]?(?:0|[1-9]\d*)(?:\.\d+)?")
#: One number below 0: no range, and no word behind it.
_MINUS = re.compile(r"(?:about\s+)?-(?!.*\bto\b)[^A-Za-z]*(?:mm|cm|m|in|ft|inch)?")
_WORD = re.compile(rf"\s*\b({'|'.join(OPPOSITE)})\s*$", re.IGNORECASE)


def answered(template: Template, answers: Mapping[str, str], file: str = "") -> Design:
    """Return the starting file with answers in it.

    Parameters
    ----------
    template : Template
    answers : mapping of str to str
        By path of the `Ask`, as typed.
    file : str
        What the design is to be called.

    Raises
    ------
    DesignError
        Where an answer cannot be used.
    """
    file = file or f"{template.kind}.toml"
    start = load_text(template.text, file)
    patches = [
        _patch(start.text, start.values[path], answer)
        for path, answer in answers.items()
    ]
    return load_text(splice(start.text, patches), file)


def refused(template: Template, path: str, answer: str) -> tuple[Fault, ...]:
    """Return why an answer cannot be used; empty where it can."""
    try:
        answered(template, {path: answer})
    except DesignError as error:
        line = load_text(template.text).values[path].line
        own = tuple(fault for fault in error.faults if fault.line == line)
        return own or error.faults  # what follows from a slip is no news
    return ()


def default(template: Template, path: str) -> str:
    """Return what stands in the starting file for an `Ask`."""
    return load_text(template.text).values[path].text


def _patch(text: str, value: Value, answer: str) -> Patch:
    """Return how an answer takes the place of a value, and of its word if it must."""
    answer = " ".join("".join(c if c.isprintable() else " " for c in answer).split())
    key = value.path.rpartition(".")[2]
    if key in OPPOSITE and _MINUS.fullmatch(plain(answer)):
        answer = f"{without_minus(answer)} {OPPOSITE[key]}"
    word = _WORD.search(answer)
    if word is None:
        return Patch(*value.span, _written(answer))
    said = word[1].lower()
    rest = answer[: word.start()]
    if said == key:
        return Patch(*value.span, _written(rest))
    if OPPOSITE.get(key) != said:
        raise DesignError([_astray(answer, key, value.text)])
    found = re.search(rf"\b{key}(\s*=\s*)$", text[: value.span[0]])
    if found is None:
        raise DesignError([_astray(answer, key, value.text)])
    return Patch(found.start(), value.span[1], f"{said}{found[1]}{_written(rest)}")


def _astray(answer: str, key: str, stands: str) -> Fault:
    ways = f"{key} or {OPPOSITE[key]}" if key in OPPOSITE else "a number alone"
    wrong = f'"{answer[:40]}" is not {ways}.'
    return Fault(wrong=wrong, right=f"Write {stands}, say, the number alone.")


def _written(answer: str) -> str:
    """Return an answer as the file spells it: a bare number, else quoted."""
    if _PLAIN_NUMBER.fullmatch(answer):
        return answer
    return json.dumps(answer, ensure_ascii=False)
