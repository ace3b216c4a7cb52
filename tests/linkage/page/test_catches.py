"""What catches a dragged point holds when the pedal is swept, by the motion's own laws."""

import math
from collections.abc import Iterator
from itertools import islice
from typing import Any

import pytest

from linkage.page.aims import aims, plain
from linkage.page.catches import catch
from linkage.page.document import Document
from linkage.page.edits import apply, numbers
from linkage.places import Places
from linkage.sweeping import sweep
from tests.linkage.page.cases import documents, where

DOCUMENTS = {document.file.removesuffix(".toml"): document for document in documents()}


def dragged(name: str, to: complex, near: float = 3.0) -> list[dict[str, Any]]:
    return [{"point": name, "to": [to.real, to.imag], "near": near}]


def at_rest(document: Document, pedal: str, column: str) -> float:
    assert document.design is not None
    return float(sweep(document.design, pedal, at=[0.0])[column][0])


def hunts(file: str, name: str, word: str, off: complex = 0j) -> Iterator[complex]:
    """Yield where, of a field of places with ``off`` its own, ``word`` catches a point."""
    document = DOCUMENTS[file]
    start = where(document, name) + off
    for way in range(2601):
        to = start + complex(way % 51 - 25, way // 51 - 25) * 0.9
        if numbers(document, dragged(name, to)).caught == word:
            yield to


def hunted(file: str, name: str, word: str) -> tuple[Document, complex, Document]:
    """Drag a point over a field of places until ``word`` catches it."""
    to = next(hunts(file, name, word))
    document = DOCUMENTS[file]
    return document, to, apply(document, dragged(name, to))


@pytest.mark.parametrize(
    ("file", "name", "word", "column", "degrees"),
    [
        ("brake-hanging", "brake.clevis", "rod square", "crank_angle", 90.0),
        ("brake-hanging", "brake.train.1.face", "rod square", "crank_angle", 90.0),
        ("brake-hanging", "brake.train.1.face", "rod in line", "rod_angle", 0.0),
        ("brake-hanging", "brake.clevis", "rod in line", "rod_angle", 0.0),
        ("brake-floor", "brake.train.1.output", "rod square", "crank_angle", 90.0),
        ("brake-floor", "brake.train.1.output", "rod in line", "rod_angle", 0.0),
        ("three-on-one-shaft", "point.shaft", "rod in line", "rod_angle", 0.0),
        ("throttle-lever", "throttle.clevis", "cable square", "crank_angle", 90.0),
        ("clutch-cable", "clutch.train.1.ferrule", "cable square", "crank_angle", 90.0),
    ],
)
def test_what_catches_holds(
    file: str, name: str, word: str, column: str, degrees: float
) -> None:
    _, to, after = hunted(file, name, word)
    assert after.design is not None
    found = [
        at_rest(after, pedal, column)
        for pedal in after.design.pedals
        if pedal != "throttle" or file.startswith("throttle")
    ]
    assert min(abs(each - degrees) for each in found) < 0.015
    assert abs(where(after, name) - to) < 3.1


@pytest.mark.parametrize(
    ("file", "name", "word"),
    [
        ("brake-hanging", "brake.pivot", "rod square"),
        ("brake-hanging", "brake.clevis", "rod square"),
        ("brake-hanging", "brake.clevis", "reach kept"),
        ("brake-floor", "brake.train.1.output", "rod in line"),
        ("clutch-cable", "clutch.train.1.ferrule", "cable square"),
    ],
)
def test_what_catches_leaves_one_number_round(file: str, name: str, word: str) -> None:
    """A curve has one freedom left: a number of the point's own form is in tenths.

    The hand is never at a tenth, which a level or upright curve would keep; and at one
    place it may come out so by chance, at five hardly.
    """
    document = DOCUMENTS[file]
    assert document.opened is not None
    before = Places(document.opened)
    places = [*islice(hunts(file, name, word, 0.0371 + 0.0437j), 5)]
    assert len(places) == 5
    for to in places:
        told = numbers(document, dragged(name, to))
        now = Places(document.opened, told.values)
        tenths = [
            10.0
            * plain(now, aim.value)
            * (math.degrees(1.0) if aim.value.unit == "deg" else 1.0)
            for aim in aims(before, name, to)
        ]
        assert min(abs(each - round(each)) for each in tenths) < 1e-6


def test_a_curve_is_met_before_anything_is_rounded() -> None:
    document, to, _ = hunted("brake-hanging", "brake.clevis", "rod square")
    assert document.opened is not None
    places = Places(document.opened)
    caught = catch(places, "brake.clevis", to, 3.0)
    wanted = aims(places, "brake.clevis", caught.to)
    values = {aim.value.path: aim.number for aim in wanted}
    swept = sweep(document.opened, "brake", at=[0.0], values=values)
    assert swept["crank_angle"][0] == pytest.approx(90.0, abs=1e-5)


@pytest.mark.parametrize("name", ["brake.clevis", "brake.pad"])
def test_a_reach_is_kept(name: str) -> None:
    document, to, after = hunted("brake-hanging", name, "reach kept")
    pivot = where(document, "brake.pivot")
    before, now = (abs(where(each, name) - pivot) for each in (document, after))
    assert abs(now - before) < 0.02
    assert abs(where(after, name) - to) < 1.6


def test_nothing_catches_from_afar_or_unasked() -> None:
    document, to, _ = hunted("brake-hanging", "brake.clevis", "rod square")
    assert numbers(document, dragged("brake.clevis", to, 0.0)).caught is None
    assert numbers(document, dragged("brake.clevis", to, 0.001)).caught is None
    far = where(document, "brake.clevis") + (9.0 + 9.0j)
    assert numbers(document, dragged("brake.clevis", far, 0.5)).caught is None


def test_a_range_end_is_no_catch() -> None:
    """A place on a curve outside the ranges is not said to be caught."""
    document = DOCUMENTS["brake-to-place"]
    to = where(document, "brake.clevis") - 40.0
    told = numbers(document, dragged("brake.clevis", to, 100.0))
    assert told.caught is None
    assert told.values["brake.clevis.back"] == 20.0
