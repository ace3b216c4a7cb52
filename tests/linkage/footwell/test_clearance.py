"""Clearance through the swing: brute force by another geometry, laws, derivatives.

Second roads: shapely's distances of finely faceted outlines at many travels; finite
differences for the derivatives; the true outlines against the convex hulls.
"""

import re
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from linkage.footwell.clearance import clearances, closest, least_gap, pairs_of
from linkage.footwell.things import share
from linkage.motion.rest import at_rest
from linkage.motion.run import Run, move
from linkage.places import Places
from linkage.placing.place import place
from linkage.quantities.laws import pad_height
from solvers.jet import seed, seed_driver, value
from solvers.search import QUICK
from tests.cases_count import many
from tests.linkage.footwell.rooms import FULL, by_facets, design, named, resting


def test_every_least_gap_is_that_of_a_brute_force() -> None:
    rest = resting()
    pairs = named(rest)
    travels = np.linspace(0.0, 120.0, 121)
    seen = clearances(rest, 120.0)
    assert len(seen) == len(pairs) > 12
    for each in seen:
        want = by_facets(rest, pairs[each.part, each.thing], travels)
        assert max(each.gap, 0.0) == pytest.approx(want.min(), abs=0.05)
        if each.gap > 0.0:
            there = by_facets(
                rest, pairs[each.part, each.thing], np.array([each.travel])
            )
            assert each.gap == pytest.approx(float(there[0]), abs=2e-3)
            assert abs(each.on_thing - each.on_part) == pytest.approx(each.gap)


@pytest.mark.parametrize(
    "text",
    [
        FULL,
        *(
            FULL.replace(a, b)
            for a, b in (
                ("back = 207, up = 262", "back = 300, up = 250"),
                ("floor = 0", "floor = 190"),
                ("travel = 120", "travel = 40"),
            )
        ),
    ],
    ids=["full", "far", "high", "short"],
)
def test_the_closest_is_the_first_of_all(text: str) -> None:
    rest = resting(text)
    upto = float(np.ravel(value(rest.travel))[0])
    first, found = clearances(rest, upto)[0], closest(rest, upto)
    assert found is not None
    assert (found.part, found.thing) == (first.part, first.thing)
    assert (found.gap, found.travel) == (first.gap, first.travel)


def test_a_touch_is_where_the_brute_force_first_has_one() -> None:
    rest = resting(
        FULL.replace("[[-190, 700], [-420, 540]]", "[[-40, 300], [-60, 330]]")
    )
    travels = np.linspace(0.0, 120.0, 481)
    touched = [each for each in clearances(rest, 120.0) if each.touch]
    assert touched
    for each in touched:
        gaps = by_facets(rest, named(rest)[each.part, each.thing], travels)
        first = travels[np.argmax(gaps <= 1e-3)]
        assert each.touch == pytest.approx(first, abs=0.3)
        assert each.gap < 0.0


def test_what_does_not_have_to_be_kept_clear() -> None:
    pairs = named(resting())
    assert ("rod", "floor") not in pairs
    assert ("rod", "bulkhead") not in pairs
    assert ("rod", "cylinder") not in pairs
    assert ("shoe", "floor") not in pairs
    assert {("rod", "steering column"), ("shoe", "bulkhead"), ("arm", "floor")} <= {
        *pairs
    }


def test_an_arm_goes_through_the_floor_under_which_its_pivot_is() -> None:
    low = FULL.replace("floor = 0", "floor = 550")
    assert ("arm", "floor") not in named(resting(low))
    assert ("pad", "floor") in named(resting(low))


def test_things_that_share_no_place_across_the_car_never_meet() -> None:
    """The tunnel is 20 to 200 to the right; arm and rod of the brake are in the middle."""
    pairs = named(resting())
    assert ("arm", "tunnel") not in pairs
    assert ("pad", "tunnel") in pairs
    assert ("shoe", "throttle pad") in pairs
    assert ("pad", "throttle pad") in pairs
    assert ("arm", "throttle arm") not in pairs
    apart = FULL.replace("pad = 50, clevis = 60", "pad = 150, clevis = 150")
    assert ("shoe", "throttle pad") not in named(resting(apart))
    unknown = FULL.replace("across = { pad = 0, clevis = 0, seat = 0 }\n", "")
    assert ("arm", "tunnel") in named(resting(unknown))
    assert ("pad", "throttle pad") not in named(resting(unknown))


def test_to_share_a_place() -> None:
    assert share((0, 10), (9, 20), known=True)
    assert not share((0, 10), (10, 20), known=False)
    assert share(None, (10, 20), known=False)
    assert not share((0, 10), None, known=True)


def moved_text(x: float, z: float) -> str:
    """Every place of the file elsewhere by as much."""

    def shifted(text: str) -> str:
        def pair(found: re.Match[str]) -> str:
            return f"[{float(found[1]) + x}, {float(found[2]) + z}]"

        return re.sub(r"\[(-?[\d.]+), (-?[\d.]+)\]", pair, text)

    kept = FULL.replace("across = [20, 200]", "across = KEPT")
    text = (
        shifted(kept).replace("KEPT", "[20, 200]").replace("floor = 0", f"floor = {z}")
    )
    return text.replace("back = 207, up = 262", f"back = {207 - x}, up = {262 + z}")


def test_gaps_keep_when_the_whole_car_is_elsewhere() -> None:
    one = clearances(resting(), 120.0)
    other = clearances(resting(moved_text(37.5, -12.25)), 120.0)
    for a, b in zip(one, other, strict=True):
        assert (a.part, a.thing) == (b.part, b.thing)
        assert a.gap == pytest.approx(b.gap, abs=1e-6)


def test_with_a_heel_the_shoe_turns_about_it() -> None:
    text = FULL.replace("[driver]\n", "[driver]\nheel = { back = 330, up = 0 }\n")
    rest = resting(text)
    pair = named(rest)["shoe", "bulkhead"]
    least = next(
        e for e in clearances(rest, 120.0) if (e.part, e.thing) == ("shoe", "bulkhead")
    )
    # The toe's disc, radius 33, its middle 300 - 33 along the sole and 33 off it.
    pad = complex(value(move(rest, np.array([least.travel])).arm.carry(rest.pad))[0])
    along = (pad + 330.0) / abs(pad + 330.0)
    toe = -330.0 + along * complex(300.0 - 33.0, 33.0)
    wall = complex(-80.0, 700.0) / abs(complex(-80.0, 700.0))
    off = ((toe - 60.0) * wall.conjugate()).imag - 33.0
    assert least.gap == pytest.approx(off, abs=1e-6)
    assert pair.thing.kind == "bulkhead"


FREE = {
    "brake.pivot.x": -118.0,
    "brake.pivot.z": 548.0,
    "brake.pad.back": 207.0,
    "brake.pad.up": 262.0,
    "brake.clevis.back": 24.0,
    "brake.clevis.down": 50.0,
    "brake.train.1.face.z": 490.0,
    "brake.travel": 120.0,
}


def run_at(values: Mapping[str, Any], travel: Any, text: str = FULL) -> Run:
    made = design(text)
    return move(at_rest(Places(made, values), made.pedals["brake"]), travel)


ONLY = {
    "column": FULL,
    "floor": FULL.replace("floor = 0", "floor = [[-400, 190], [100, 230]]"),
    "bulkhead": FULL.replace("[[60, 0], [-20, 700]]", "-70"),
    "tunnel": FULL.replace("[-60, 100], [-20, 60]", "[-130, 120], [-20, 60]"),
    "heel": FULL.replace("[driver]\n", "[driver]\nheel = { back = 330, up = 0 }\n"),
    "arm": FULL.replace("shoe = { length = 300, height = 66 }", "").replace(
        "[[-190, 700], [-420, 540]]", "[[-90, 420], [-60, 330]]"
    ),
}


@pytest.mark.parametrize("text", ONLY.values(), ids=ONLY)
def test_the_derivative_is_that_of_finite_differences(text: str) -> None:
    """Of the least gap by every number of the pedal, and by the travel itself."""
    travels = np.array([[0.0, 31.0, 77.0, 118.0]])
    seeds = {
        path: seed(np.array([[size]]), k, len(FREE))
        for k, (path, size) in enumerate(FREE.items())
    }
    got = least_gap(run_at(seeds, seed_driver(travels), text))
    for k, (path, size) in enumerate(FREE.items()):
        up, down = (
            least_gap(run_at({**FREE, path: np.array([[size + h]])}, travels, text)).v
            for h in (1e-4, -1e-4)
        )
        want = (up - down) / 2e-4
        np.testing.assert_allclose(
            np.broadcast_to(got.g[k], want.shape), want, atol=2e-6
        )
    plain = {path: np.array([[size]]) for path, size in FREE.items()}
    up, down = (least_gap(run_at(plain, travels + h, text)).v for h in (1e-4, -1e-4))
    np.testing.assert_allclose(
        np.broadcast_to(got.t, up.shape), (up - down) / 2e-4, atol=2e-6
    )


def test_hulls_and_true_outlines_agree() -> None:
    """But in an inside corner of an arm, and on chords: 0.1 within their arcs."""
    rng = np.random.default_rng(61)
    for _ in range(many(40)):
        values = {path: size + rng.uniform(-8.0, 8.0) for path, size in FREE.items()}
        travels = np.linspace(0.0, 110.0, 5)
        true = least_gap(run_at(values, travels)).v
        grid = {path: np.array([[size]]) for path, size in values.items()}
        hulls = least_gap(run_at(grid, travels[None])).v
        np.testing.assert_allclose(np.ravel(hulls), true, atol=0.11)


def test_many_layouts_are_the_same_as_one_after_another() -> None:
    rng = np.random.default_rng(62)
    values = {path: size + rng.uniform(-20, 20, (6, 1)) for path, size in FREE.items()}
    travels = np.linspace(0.0, 110.0, 5)[None]
    got = least_gap(run_at(dict(values), travels)).v
    for k in range(6):
        one = {path: sizes[k : k + 1] for path, sizes in values.items()}
        np.testing.assert_allclose(
            got[k], least_gap(run_at(one, travels)).v[0], atol=1e-9
        )


def test_the_pad_s_height_above_level_and_sloping_floors() -> None:
    rest = resting()
    pad = complex(value(rest.pad))
    assert value(pad_height(move(rest, np.zeros(1))))[0] == pytest.approx(pad.imag)
    run = move(resting(ONLY["floor"]), np.array([40.0]))
    at = complex(value(run.arm.carry(run.rest.pad))[0])
    ground = 190.0 + (at.real + 400.0) / 500.0 * 40.0
    assert value(pad_height(run))[0] == pytest.approx(at.imag - ground)


AIM = """
[[pedal.brake.target]]
of = "clearance"
least = 31

[[pedal.brake.target]]
of = "pad height"
at = "full"
is = 250
"""


SIMPLE = """
[footwell]
floor = 0
bulkhead = 0

[[footwell.fixed]]
name = "column"
circle = { back = 110, up = 300, diameter = 50 }

[pedal.brake]
pivot = [-118, 548]
pad = { back = "190 to 300", up = "240 to 300" }
clevis = { from = "pivot", back = 20, down = 50 }
travel = 60
"""


def test_place_aims_at_clearance_and_pad_height() -> None:
    text = f"{SIMPLE}{AIM}"
    asked = clearances(resting(text), 60.0)[0]
    assert asked.gap < 31.0
    placed = place(design(text), effort=QUICK)
    assert not placed.conflicts
    rest = resting(text, placed.answers[0].values)
    got = clearances(rest, 60.0)[0]
    assert got.thing == "column"
    assert got.gap >= 31.0 - 1e-6
    assert pad_height(move(rest, np.array([60.0]))).v[0] == pytest.approx(
        250.0, abs=0.5
    )


def test_pairs_keep_their_order() -> None:
    names = [(p.moving.name, p.thing.name) for p in pairs_of(resting())]
    assert names == list(named(resting()))
    assert names[0] == ("arm", "floor")
