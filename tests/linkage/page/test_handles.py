"""Handles: every point once, where it is, with the room that its values leave it."""

import math
from typing import Any

import numpy as np
import pytest

from linkage.motion.rest import at_rest
from linkage.page.aims import place_of, resolve
from linkage.page.document import Document, Refused
from linkage.page.edits import apply
from linkage.page.handles import handles
from linkage.places import Places
from solvers.jet import value
from tests.linkage.page.cases import documents, names, where

DOCUMENTS = documents()
FORMED = DOCUMENTS[-1]


def shown(document: Document, **more: Any) -> dict[str, dict[str, Any]]:
    assert document.opened is not None
    rows = handles(Places(document.opened), **more)
    found = {row["id"]: row for row in rows}
    assert len(found) == len(rows)
    return found


def put(document: Document, name: str, x: float, z: float) -> dict[str, dict[str, Any]]:
    return shown(apply(document, [{"point": name, "to": [x, z], "near": 0.0}]))


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda each: each.file)
def test_every_point_has_one_handle_at_its_place(document: Document) -> None:
    assert document.opened is not None
    places, found = Places(document.opened), shown(document)
    assert set(found) == {resolve(places, name) for name in names(document)}
    for name, row in found.items():
        assert abs(complex(*row["at"]) - where(document, name)) < 1e-4
        assert row["line"] > 0
        assert row["moves"]
        assert row["values"]


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda each: each.file)
def test_the_pad_ends_after_its_travel(document: Document) -> None:
    """Arc, chord or place: where the handle is, the pad is after the swept travel."""
    assert document.design is not None
    for name, pedal in document.design.pedals.items():
        rest: Any = at_rest(Places(document.design), pedal)
        arm = rest.pad - rest.pivot
        turn = rest.sense * value(rest.travel) / abs(arm)
        end = rest.pivot + arm * np.exp(1j * turn)
        assert abs(complex(*shown(document)[f"{name}.full"]["at"]) - end) < 1e-3


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda each: each.file)
def test_those_that_rest_on_no_moved_number_stay_as_they_are(
    document: Document,
) -> None:
    """Each number of the file alone, a little off: what is left out has not changed."""
    assert document.opened is not None
    still, left_out = shown(document), 0
    for path, number in document.opened.values.items():
        places = Places(document.opened, {path: 1.001 * number.nominal + 1e-3})
        whole = {row["id"]: row for row in handles(places)}
        some = {row["id"]: row for row in handles(places, moved=frozenset([path]))}
        assert {**still, **some} == {**still, **whole}
        left_out += len(whole) - len(some)
    assert left_out > 0


def test_states_and_words() -> None:
    found = shown(FORMED)
    states = {name: row["state"] for name, row in found.items()}
    assert states["brake.holes.lower"] == "free"
    assert states["brake.pad"] == "guess"
    assert states["point.post"] == "free"
    assert states["point.shaft"] == "fixed"
    assert found["brake.pad"]["band"] == 1.5
    assert found["point.shaft"]["says"] == "118 back, 548 up"
    assert found["point.shaft"]["role"] == "shared"
    assert found["brake.holes.side"]["role"] == "hole"
    assert found["brake.full"]["says"] == "62 back"
    assert found["clutch.full"]["says"] == "118.5 straight, rest to full"
    assert found["brake.train.2.axis"]["says"] == "forward, 2 deg up"
    assert shown(FORMED, units="in")["clutch.pad"]["says"] == "8.268 back, 9.449 up"


def test_floor_and_bulkhead_have_handles() -> None:
    """A number has one, below or before the rearmost pad; two points have one each."""
    found = shown(FORMED)
    floor = found["footwell.floor"]
    assert (floor["label"], floor["role"], floor["says"]) == ("floor", "floor", "0 up")
    assert floor["at"] == [-210.0, 0.0]
    assert floor["pedal"] is None
    ends = [found[f"footwell.bulkhead.{number}"] for number in (1, 2)]
    assert [end["says"] for end in ends] == ["40 back, 0 up", "25 ahead, 640 up"]
    assert [end["label"] for end in ends] == ["bulkhead, end 1", "bulkhead, end 2"]
    moved = put(FORMED, "footwell.floor", 33.0, -12.0)["footwell.floor"]
    assert moved["says"] == "12 down"
    bulkhead = shown(DOCUMENTS[0])["footwell.bulkhead"]
    assert (bulkhead["role"], bulkhead["says"]) == ("bulkhead", "0 ahead")


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda each: each.file)
def test_what_can_be_welded_says_so(document: Document) -> None:
    """Just that can be locked, and unlocked again, to the byte of the list."""
    for name, row in shown(document).items():
        change = {"lock": name, "on": True}
        if not row["locks"]:
            with pytest.raises(Refused):
                apply(document, [change])
            continue
        locked = apply(document, [change])
        assert shown(locked)[name]["state"] == "locked"
        again = shown(apply(locked, [{"lock": name, "on": False}]))
        assert again[name]["state"] == row["state"]


def test_a_tolerance_is_a_state() -> None:
    inches = next(each for each in DOCUMENTS if each.file == "brake-inches.toml")
    found = shown(inches, units="in")
    assert found["brake.pivot"]["state"] == "tolerance"
    assert found["brake.pivot"]["says"] == "4 5/8 back, 21 9/16 up"
    assert found["brake.pivot"]["band"] == pytest.approx(25.4 / 16, abs=1e-4)


def test_ways_are_those_that_free_numbers_move_it() -> None:
    """Each number a little off, and the point looked for where it then is."""
    seen = 0
    for document in DOCUMENTS:
        assert document.opened is not None
        for name, row in shown(document).items():
            numbers = [document.opened.values.get(path) for path in row["values"]]
            free = [each for each in numbers if each and each.kind == "free"]
            assert len(row["ways"]) == len(free)
            for each, way in zip(free, row["ways"], strict=True):
                moved = Places(document.opened, {each.path: each.nominal + 1e-3})
                step = place_of(moved, name) - place_of(Places(document.opened), name)
                along = complex(*way)
                assert abs(along) == pytest.approx(1.0, abs=1e-3)
                assert step / abs(step) == pytest.approx(along, abs=2e-3)
                seen += 1
    assert seen > 10


def test_ways_of_known_forms() -> None:
    """Plain geometry: a coordinate, a reach and an angle, the end of an arc."""
    found = shown(FORMED)
    assert found["point.post"]["ways"] == [[0.0, 1.0]]
    assert found["point.shaft"]["ways"] == []
    hole = found["brake.holes.lower"]
    arm = complex(*hole["at"]) - where(FORMED, "brake.pivot")
    reach, turn = (complex(*way) for way in hole["ways"])
    assert reach == pytest.approx(arm / abs(arm), abs=1e-3)
    assert turn == pytest.approx(1j * arm / abs(arm), abs=1e-3) or (
        turn == pytest.approx(-1j * arm / abs(arm), abs=1e-3)
    )


def test_a_box_is_what_a_point_can_be_dragged_over() -> None:
    document = next(each for each in DOCUMENTS if each.file == "brake-to-place.toml")
    for name, row in shown(document).items():
        if row["box"] is None:
            continue
        x0, z0, x1, z1 = row["box"]
        free = row["values"][0], row["values"][1]
        corner = put(document, name, x0 - 30.0, z0 - 30.0)[name]["at"]
        other = put(document, name, x1 + 30.0, z1 + 30.0)[name]["at"]
        assert document.design is not None
        for axis, path in enumerate(free):
            if document.design.values[path].kind == "free":
                assert corner[axis] == pytest.approx((x0, z0)[axis], abs=1e-3)
                assert other[axis] == pytest.approx((x1, z1)[axis], abs=1e-3)


def test_an_arc_ends_where_its_angle_does() -> None:
    arc = shown(FORMED)["brake.holes.lower"]["arc"]
    assert (arc["from"], arc["to"], arc["r"]) == (-110.0, -95.0, 57.0)
    pivot = complex(*arc["centre"])
    for way in (-1.0, 1.0):
        at = put(
            FORMED, "brake.holes.lower", pivot.real + way * 57.0, pivot.imag - 20.0
        )
        angle = complex(*at["brake.holes.lower"]["at"]) - pivot
        end = arc["to"] if way > 0.0 else arc["from"]
        assert math.degrees(math.atan2(angle.imag, angle.real)) == pytest.approx(
            end, abs=1e-3
        )


def test_a_free_travel_and_a_free_axis_have_arcs() -> None:
    document = next(each for each in DOCUMENTS if each.file == "brake-hanging.toml")
    changes = [
        {"value": "brake.travel", "text": "100 to 150 near 120"},
        {"value": "brake.train.1.axis", "text": "forward, -3 to 5 deg up"},
    ]
    found = shown(apply(document, changes))
    axis = found["brake.train.1.axis"]["arc"]
    assert (axis["from"], axis["to"], axis["r"]) == (-3.0, 5.0, 80.0)
    full = found["brake.full"]["arc"]
    pad = complex(*found["brake.pad"]["at"]) - complex(*full["centre"])
    swept = (full["from"] - math.degrees(math.atan2(pad.imag, pad.real))) % 360.0
    assert math.radians(swept) * full["r"] == pytest.approx(100.0, abs=1e-2)
    assert math.radians(full["to"] - full["from"]) * full["r"] == pytest.approx(
        50.0, abs=1e-2
    )


def test_a_ring_is_round_the_own_pivot() -> None:
    found = shown(FORMED)
    for name, pivot in (
        ("brake.holes.side", "point.shaft"),
        ("brake.train.1.output", "brake.train.1.pivot"),
    ):
        ring = found[name]["ring"]
        assert ring["centre"] == found[pivot]["at"]
        gap = complex(*found[name]["at"]) - complex(*ring["centre"])
        assert abs(gap) == pytest.approx(ring["r"], abs=1e-3)
    assert found["point.post"]["ring"] is None


def test_what_is_welded_does_not_move_nor_what_carries_it() -> None:
    found = shown(apply(FORMED, [{"lock": "brake.holes.side", "on": True}]))
    assert found["brake.holes.side"]["state"] == "locked"
    assert found["brake.holes.side"]["why"] == "welded (locked)"
    held = {name for name, row in found.items() if not row["moves"]}
    assert held == {"brake.holes.side", "brake.pad", "point.shaft"}
    assert found["brake.pad"]["why"] == 'hole "side" is welded'


def test_frames_beyond_a_cable() -> None:
    document = next(each for each in DOCUMENTS if each.file == "throttle-lever.toml")
    frames = {name: row["frame"] for name, row in shown(document).items()}
    assert frames["throttle.train.1.cable.ferrule"] == 0
    assert frames["throttle.train.1.cable.end_ferrule"] == 1
    assert frames["throttle.train.1.pivot"] == frames["throttle.train.1.input"] == 1
    assert frames["throttle.pivot"] == 0
