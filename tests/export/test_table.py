"""CSV and JSON read back by the standard readers, digit for digit."""

import csv
import io
import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.table import csv_text, json_text

FINITE = st.floats(allow_nan=False, allow_infinity=False)


@given(st.lists(FINITE, min_size=1, max_size=8))
def test_numbers_come_back_whole(values: list[float]) -> None:
    rows = list(csv.reader(io.StringIO(csv_text({"travel, mm": np.array(values)}))))
    assert rows[0] == ["travel, mm"]
    assert [float(row[0]) for row in rows[1:]] == values
    assert json.loads(json_text({"values": np.array(values)}))["values"] == values


def test_no_nan_and_no_minus_zero() -> None:
    values = np.array([math.nan, -0.0, 1.5])
    assert (
        csv_text({"a": values, "b": [None, 2, "x"]}) == "a,b\r\n,\r\n0.0,2\r\n1.5,x\r\n"
    )
    assert json_text([values, True, None]) == "[[null, 0.0, 1.5], true, null]\n"


def test_an_infinite_value_is_refused() -> None:
    with pytest.raises(ValueError, match="infinite"):
        csv_text({"a": [math.inf]})
    with pytest.raises(ValueError, match="infinite"):
        json_text({"a": -math.inf})


def test_unequal_columns_are_refused() -> None:
    with pytest.raises(ValueError):
        csv_text({"a": [1.0], "b": [1.0, 2.0]})


@pytest.mark.parametrize("text", ["=1+1", "@x", "+1", "-1", "\t=1"])
def test_a_name_is_never_a_formula(text: str) -> None:
    rows = list(csv.reader(io.StringIO(csv_text({"a": [text]}), newline="")))
    assert rows[1] == [f"'{text}"]


@given(st.text(st.characters(exclude_characters="\x00", exclude_categories=["Cs"])))
def test_text_comes_back_whole(text: str) -> None:
    out = csv_text({"a": ["'" + text]})
    assert list(csv.reader(io.StringIO(out, newline="")))[1] == ["'" + text]
