"""Whatever is asked, a change is made and can be read, or is refused in words."""

from typing import Any

import numpy as np
import pytest

from linkage.faults import Fault
from linkage.page.document import Document, Refused
from linkage.page.edits import apply, numbers, touched
from linkage.page.handles import handles
from linkage.places import Places
from tests.cases_count import many
from tests.linkage.page.cases import documents, names

WORDS = [
    *("about", "to", "near", "+-", "in", "mm", "deg", "3/4", "12", "-7.5", "0", "1e3"),
    *("forward", "back,", "2 deg up", "lower", "upper", "pivot", "{", "}", "one_of ="),
    *('["pad"]', '"', "'", '"""', "\\", "#", "=", "\u00be", "\u2212", "true", "", ","),
    *('{ one_of = ["0.7 in"] }', "\u2028", "\U0001f527", "full", "ratio", "60 %"),
]
KEYS = ["of", "at", "is", "within", "least", "most", "prefer", "which", "between", "x"]


def words(rng: np.random.Generator) -> str:
    return " ".join(rng.choice(WORDS) for _ in range(rng.integers(0, 4)))


def any_change(document: Document, rng: np.random.Generator) -> dict[str, Any]:
    assert document.design is not None
    points = list(names(document))
    paths = [*document.design.values, *document.design.choices, "footwell.marks.up"]
    paths += ["brake.train.1.name", "brake.pad", "units", "brake.arm", "pedal", "x.y.z"]
    pedal = str(rng.choice([*document.design.pedals, "nobody"]))
    place = [float(each) for each in rng.normal(0.0, 10.0 ** rng.integers(0, 5), 2)]
    number, key = int(rng.integers(0, 4)), str(rng.choice(KEYS))
    changes: list[dict[str, Any]] = [
        {"point": str(rng.choice(points)), "to": place, "near": float(number)},
        {"value": str(rng.choice(paths)), "text": words(rng)},
        {"value": str(rng.choice(paths)), "number": place[0]},
        {"target": [pedal, number], "set": {key: words(rng)}},
        {"target": [pedal, number], "set": {key: None}},
        {"target": [pedal, None], "add": {"of": "ratio", key: words(rng)}},
        {"target": [pedal, number], "remove": True},
        {"lock": str(rng.choice(points)), "on": bool(number % 2)},
        {"title": words(rng)},
    ]
    return changes[rng.integers(len(changes))]


def made_or_refused(document: Document, change: dict[str, Any]) -> Document | None:
    faults: tuple[Fault, ...] = ()
    try:
        if "to" in change or "number" in change:
            numbers(document, [change])
        touched(document, [change])
        return apply(document, [change])
    except Refused as refused:
        faults = refused.faults
    assert faults
    assert all(each.wrong and each.right for each in faults), faults
    return None


@pytest.mark.parametrize("document", documents(), ids=lambda each: each.file)
def test_any_change(document: Document) -> None:
    rng, start, made = np.random.default_rng(11), document, 0
    for _ in range(many(1500)):
        change = any_change(document, rng)
        after = made_or_refused(document, change)
        if after is not None:
            made += after is not document
            assert after.opened is not None
            assert handles(Places(after.opened))
            document = after if rng.random() < 0.9 else start
    assert made > many(1500) / 10
