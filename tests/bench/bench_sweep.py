"""Sweeps against compiled loops and against a root solver at each position.

Every figure is a ratio of medians taken in turn in one run. "C limit" is `limit.c` with
``-O3 -march=native -ffast-math`` (vectorised, own inverse sine); "plain C" the same
source with ``-O3`` alone.
"""

import math
import platform
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.loading import load_text
from linkage.motion.batch import sweep_layouts
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.parts.cylinder import CylinderRest
from linkage.places import Places
from linkage.quantities import laws
from solvers.jet import Jet, value
from tests.bench import climit
from tests.bench.timing import ROOM, medians, report

pytestmark = pytest.mark.bench

LAYOUTS, POSITIONS = 20_000, 101
Array = NDArray[np.float64]

HEAD = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = [106, 484.5]
travel = 110
"""
DIRECT = (
    HEAD
    + """
[[pedal.brake.train]]
part = "cylinder"
seat = [233, 487]
axis = "forward"
"""
)
CRANK = (
    HEAD
    + """
[[pedal.brake.train]]
part = "lever"
pivot = [250, 500]
input = [245, 440]
output = [300, 505]
[[pedal.brake.train]]
part = "cylinder"
seat = [298, 640]
axis = "up"
"""
)
CABLE = (
    HEAD.replace("[106, 484.5]", "[128, 615]")
    + """
[[pedal.brake.train]]
part = "lever"
pivot = [0, 0]
input = [10, 60]
cable = { ferrule = [330, 640], end_ferrule = [-70, 45], slack = 1.5 }
"""
)
CYLINDER_LAWS: dict[str, Callable[[Run], Jet]] = {
    "stroke": laws.stroke,
    "ratio": laws.ratio,
    "rod_angle": laws.rod_angle,
    "crank_angle": laws.crank_angle,
}
CABLE_LAWS: dict[str, Callable[[Run], Jet]] = {
    "cable_pull": laws.cable_pull,
    "ratio": laws.ratio,
    "lever_turn": laws.lever_turn,
    "crank_angle": laws.crank_angle,
}
CHAINS = {
    "direct": (DIRECT, CYLINDER_LAWS, climit.direct_rows, 5.0),
    "crank": (CRANK, CYLINDER_LAWS, climit.crank_rows, 6.0),
    "cable": (CABLE, CABLE_LAWS, climit.cable_rows, 7.0),
}


def _layouts(design: Design, count: int) -> dict[str, Array]:
    """Spread every typed coordinate and the travel of a design evenly at random."""
    rng = np.random.default_rng(11)
    return {
        path: value.nominal + rng.uniform(-4.0, 4.0, (count, 1))
        for path, value in design.values.items()
        if path.endswith((".x", ".z", ".travel"))
    }


def _rest(design: Design, values: dict[str, Array]) -> PedalRest:
    return at_rest(Places(design, values), design.pedals["brake"])


@pytest.mark.parametrize("chain", CHAINS)
def test_batch_against_compiled_loops(chain: str, tmp_path: Path) -> None:
    if climit.compiler() is None:
        pytest.skip("no C compiler here: the compiled limit cannot be measured")
    text, wanted, rows_of, target = CHAINS[chain]
    design = load_text(text)
    values = _layouts(design, LAYOUTS)
    fastest = climit.build(tmp_path, climit.FASTEST)
    plain = climit.build(tmp_path, climit.PLAIN)
    rows = rows_of(_rest(design, values), POSITIONS)

    def ours() -> dict[str, Array]:
        return sweep_layouts(design, design.pedals["brake"], values, POSITIONS, wanted)

    got = list(ours().values())
    for mine, theirs in zip(
        got, climit.call(fastest, chain, rows, POSITIONS), strict=True
    ):
        np.testing.assert_allclose(mine, theirs, rtol=1e-9, atol=1e-9)
    took = medians(
        {
            "ours": ours,
            "limit": lambda: climit.call(fastest, chain, rows, POSITIONS),
            "plain": lambda: climit.call(plain, chain, rows, POSITIONS),
        }
    )
    to_limit, to_plain = took["ours"] / took["limit"], took["ours"] / took["plain"]
    each = took["limit"] / (LAYOUTS * POSITIONS) * 1e9
    report(
        f"{chain}: {to_limit:.2f} x C limit ({each:.1f} ns a position), "
        f"{to_plain:.2f} x plain C; {platform.libc_ver()}"
    )
    assert to_limit <= target * ROOM
    if chain == "direct":
        assert to_plain <= 1.0 * ROOM


def _root_solver_sweep(rest: PedalRest, travels: Array) -> Array:
    """Return the four columns as most people write it first: a root a position.

    The movement of the rod end is the root, started from that of the last position;
    ratio, rod angle and crank angle follow from it with plain ``math``.
    """
    from scipy.optimize import root

    (part,) = rest.parts
    assert isinstance(part, CylinderRest)
    pivot, seat = complex(value(rest.pivot)), complex(value(part.seat))
    arm = complex(value(part.drive.hole)) - pivot
    px, pz, ax, az = pivot.real, pivot.imag, arm.real, arm.imag
    sx, sz, rod = seat.real, seat.imag, float(value(part.rod))
    per_mm = float(rest.sense) / float(value(rest.radius))
    out, guess = [], 0.0
    for travel in travels:
        c, s = math.cos(per_mm * float(travel)), math.sin(per_mm * float(travel))
        dx, dz = ax * c - az * s, ax * s + az * c
        hx, hz = px + dx, pz + dz

        def gap(e: Array, hx: float = hx, hz: float = hz) -> float:
            return math.hypot(sx + e[0] - hx, sz - hz) - rod

        guess = float(root(gap, guess).x[0])
        rx, rz = sx + guess - hx, sz - hz
        moved = per_mm * (rz * dx - rx * dz) / rx
        corner = math.atan2(abs(dx * rz - dz * rx), -dx * rx - dz * rz)
        out.append((max(0.0, guess), 1.0 / moved, math.atan2(rz, rx), corner))
    return np.array(out).T


def test_one_sweep_and_the_batch_against_a_root_solver() -> None:
    design = load_text(DIRECT)
    rest = _rest(design, {})
    travels = np.linspace(0.0, 110.0, POSITIONS)

    def ours() -> tuple[Array, ...]:
        run = move(rest, travels)
        return tuple(law(run).v for law in CYLINDER_LAWS.values())

    values = _layouts(design, LAYOUTS)

    def batch() -> dict[str, Array]:
        pedal = design.pedals["brake"]
        return sweep_layouts(design, pedal, values, POSITIONS, CYLINDER_LAWS)

    slow = _root_solver_sweep(rest, travels)
    np.testing.assert_allclose(ours(), slow, atol=1e-6)
    took = medians(
        {
            "one": lambda: [ours() for _ in range(100)],
            "batch": batch,
            "root": lambda: _root_solver_sweep(rest, travels),
        }
    )
    single = took["root"] / (took["one"] / 100)
    many = took["root"] * LAYOUTS / took["batch"]
    report(f"one sweep: root solver {single:.0f} x slower; batch: {many:.0f} x")
    assert single >= 40.0 / ROOM
    assert many >= 1000.0 / ROOM
