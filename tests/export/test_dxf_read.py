"""The strict reader: agrees with another library's, refuses what is broken."""

import contextlib
import io

import numpy as np
import pytest
from ezdxf.filemanagement import new
from hypothesis import given
from hypothesis import strategies as st

from export.dxf import dxf_bytes
from export.dxf_read import DxfError, read_dxf
from tests.export.test_dxf import CORPUS

WHOLE = dxf_bytes(CORPUS["waist"])


def other_file(version: str) -> bytes:
    """A file by another writer, with much that does not belong into a cut file."""
    doc = new(version, setup=True)
    space = doc.modelspace()
    space.add_circle((1, 2, 5), 3, dxfattribs={"layer": "holes"})
    space.add_arc((0, 0), 2, 10, 80)
    space.add_text("hello")
    space.add_point((4, 4))
    space.add_polyline3d([(0, 0, 0), (1, 1, 1)])
    space.add_polyline2d([(0, 0), (9, 0), (9, 9)], close=False)
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode()


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_everything_in_a_foreign_file_is_seen(version: str) -> None:
    file = read_dxf(other_file(version))
    assert [item.kind for item in file.items] == [
        "CIRCLE",
        "ARC",
        "TEXT",
        "POINT",
        "POLYLINE of another sort",
        "POLYLINE",
    ]
    assert [item.flat for item in file.items[:2]] == [False, True]
    assert file.items[0].layer == "holes"
    assert file.items[5].closed is False
    assert len(file.items[5].rows) == 3


def test_windows_line_ends_are_the_same_file() -> None:
    assert read_dxf(WHOLE.replace(b"\n", b"\r\n")) == read_dxf(WHOLE)


def test_a_file_cut_off_anywhere_is_refused() -> None:
    """Some readers take a part for the whole; ours must not."""
    lines = WHOLE.split(b"\n")
    for stop in range(0, len(lines) - 1, 7):
        with pytest.raises(DxfError):
            read_dxf(b"\n".join(lines[:stop]))
    with pytest.raises(DxfError, match="cut off"):
        read_dxf(WHOLE[: -len("  0\nEOF\n")])


BREAKS = [
    (b"EOF\n", b"EOF\n  0\nLINE\n", "after the end mark"),
    (b"\n 10\n", b"\n ten\n", "is no group code"),
    (b"\nAC1009\n", b"\nAC1009\xff\n", "not plain text"),
    (b"  2\nENTITIES\n", b"  2\nBLOCKS\n", "new section's name"),
    (b"  2\nENTITIES\n", b"  2\nOTHERS\n", "lacks its HEADER or its ENTITIES"),
    (b"  0\nSEQEND\n", b"  0\nLINE\n", "polyline is not ended"),
    (b"  0\nENDSEC\n  0\nEOF\n", b"  0\nEOF\n", "section is not ended"),
    (
        b"  0\nSECTION\n  2\nENTITIES",
        b"  0\nPART\n  2\nENTITIES",
        "section should start",
    ),
    (b"\n 20\n", b"\n 20\nnan\n 20\n", "no number"),
]


@pytest.mark.parametrize(("old", "new_bytes", "words"), BREAKS, ids=range(len(BREAKS)))
def test_broken_files(old: bytes, new_bytes: bytes, words: str) -> None:
    head, found, tail = WHOLE.rpartition(old)
    assert found
    with pytest.raises(DxfError, match=words):
        read_dxf(head + new_bytes + tail)


def test_a_polyline_fitted_with_curves_is_of_another_sort() -> None:
    """Flag 4 asks for a spline through the corners: bulges then mean nothing."""
    head, tail = WHOLE.split(b"ENTITIES", 1)
    fitted = head + b"ENTITIES" + tail.replace(b"\n 70\n1\n", b"\n 70\n5\n", 1)
    assert fitted != WHOLE
    assert read_dxf(WHOLE).items[0].kind == "POLYLINE"
    assert read_dxf(fitted).items[0].kind == "POLYLINE of another sort"


def test_a_wrong_vertex_count_is_refused() -> None:
    data = dxf_bytes(CORPUS["waist"], form="r2010")
    assert data.count(b"\n 90\n6\n") == 1
    with pytest.raises(DxfError, match="count of vertices"):
        read_dxf(data.replace(b"\n 90\n6\n", b"\n 90\n7\n"))


@given(st.binary(max_size=200), st.integers(0, len(WHOLE)))
def test_any_bytes_are_read_or_refused(scrap: bytes, at: int) -> None:
    for data in (scrap, WHOLE[:at] + scrap + WHOLE[at:]):
        with contextlib.suppress(DxfError):
            file = read_dxf(data)
            assert all(np.isfinite(item.contour()).all() for item in file.items)
