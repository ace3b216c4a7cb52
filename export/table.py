"""Columns and records as text for other programs: CSV (RFC 4180) and JSON (RFC 8259).

Numbers are written with all their digits. What has no value is an empty cell in CSV and
null in JSON; a value that is no number never reaches the text. No minus zero.
"""

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Cells: TypeAlias = Sequence[float | int | str | None] | NDArray[np.float64]

#: First letters that a spreadsheet takes for the start of a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(columns: Mapping[str, Cells]) -> str:
    """Return columns of equal length as CSV text with one head line.

    Parameters
    ----------
    columns : mapping of str to sequence
        By head, such as ``"travel, mm"``; nan and None are empty cells.

    Raises
    ------
    ValueError
        For columns of unequal length, or an infinite value.
    """
    rows = zip(*columns.values(), strict=True)
    lines = [map(_cell, columns), *(map(_cell, row) for row in rows)]
    return "".join(",".join(line) + "\r\n" for line in lines)


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        # A name that a spreadsheet would run is kept as text by an apostrophe.
        return _quoted(f"'{value}" if value.startswith(_FORMULA) else value)
    plain = _plain(value)
    return "" if plain is None else repr(plain)


def _quoted(text: str) -> str:
    if not any(c in text for c in ',"\r\n'):
        return text
    doubled = text.replace('"', '""')
    return f'"{doubled}"'


def json_text(value: Any) -> str:
    """Return mappings, sequences, arrays, numbers and text as one JSON document.

    nan becomes null.

    Raises
    ------
    ValueError
        For an infinite value.
    TypeError
        For anything that JSON cannot say.
    """
    return json.dumps(_plain(value), ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    if isinstance(value, np.ndarray | np.generic):
        return _plain(value.tolist())
    if isinstance(value, float):
        if math.isinf(value):
            raise ValueError("an infinite value has no place in a table")
        return None if math.isnan(value) else value + 0.0
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, Iterable) and not isinstance(value, str | bytes):
        return [_plain(item) for item in value]
    return value
