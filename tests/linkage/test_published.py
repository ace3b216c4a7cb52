"""Published mechanisms and own tables, run as pedals through the whole motion.

Norton, Design of Machinery, Example 4-2; the in-line slider-crank's greatest piston
speed (any machine-design text); Hartenberg and Denavit's function generator by
Freudenstein's equation: inputs FROM MEMORY, digits recomputed by hand formulas of those
texts. The table of ratio through the arc is own arithmetic (a fixed crank, rod and pad;
"square" there means the crank square to the cylinder's axis).
"""

import math

import numpy as np
import pytest

from linkage.design.records import Design
from linkage.loading import load_text
from linkage.motion.rest import at_rest
from linkage.motion.run import move
from linkage.places import Places
from linkage.quantities import laws
from linkage.sweeping import sweep
from solvers.jet import seed_driver, value
from solvers.root import first_zero


def _direct(
    pad: complex, hole: complex, height: float, rod: float, travel: float
) -> Design:
    return load_text(
        f"""
[pedal.brake]
pivot = [0, 0]
pad = [{pad.real!r}, {pad.imag!r}]
clevis = [{hole.real!r}, {hole.imag!r}]
travel = {travel!r}
[[pedal.brake.train]]
part = "cylinder"
on = [0, {height!r}]
axis = "forward"
rod = {rod!r}
"""
    )


def test_norton_offset_slider_crank_as_a_pedal() -> None:
    """Example 4-2: a = 40, b = 120, c = -20, theta2 = 60 deg, open branch."""
    hole = 40.0 * complex(math.cos(math.pi / 3.0), math.sin(math.pi / 3.0))
    design = _direct(200j, hole, -20.0, 120.0, 20.0)
    rest = at_rest(Places(design), design.pedals["brake"])
    seat = complex(value(rest.places.point("brake.train.1.seat")))
    assert seat.real == pytest.approx(126.8380051945, abs=5e-11)
    assert round(seat.real, 2) == 126.84  # as the book prints it
    swept = sweep(design, "brake", at=[0.0])
    assert swept["rod_angle"][0] == pytest.approx(-27.0869284785, abs=5e-11)
    assert round(180.0 + swept["rod_angle"][0], 2) == 152.91  # the book's theta3
    assert swept["ratio"][0] == pytest.approx(4.4573433785, abs=5e-11)
    # Ratio by force: perpendicular from the pivot to the rod line, rod angle.
    perpendicular = abs((np.conj(seat - hole) * hole).imag) / 120.0
    assert perpendicular == pytest.approx(39.9483115546, abs=5e-11)
    force = 200.0 * math.cos(math.radians(swept["rod_angle"][0])) / perpendicular
    assert swept["ratio"][0] == pytest.approx(force, rel=1e-10)


@pytest.mark.parametrize(
    ("ratio", "angle", "speed"),
    [
        (3, 73.1752966362, 1.05463954654),
        (4, 76.7209779186, 1.03088269851),
        (5, 79.1001352992, 1.01983308009),
    ],
)
def test_greatest_piston_speed_of_the_in_line_slider_crank(
    ratio: int, angle: float, speed: float
) -> None:
    """Rod / crank = 3, 4, 5: where d(ratio)/d(travel), exact, is zero."""
    start = math.radians(120.0)  # before the top, turning towards it
    hole = 50.0 * complex(math.cos(start), math.sin(start))
    design = _direct(200j, hole, 0.0, 50.0 * ratio, 250.0)
    rest = at_rest(Places(design), design.pedals["brake"])

    def slope(x: np.ndarray) -> np.ndarray:
        run = move(rest, seed_driver(x[None, :], 0, 1))
        slopes: np.ndarray = -np.asarray(laws.ratio(run).g, float)[0, 0]
        return slopes

    found = first_zero(slope, 0.0, 250.0)
    assert found is not None
    turned = 120.0 - math.degrees(found / 200.0)
    assert turned == pytest.approx(angle, abs=1e-6)
    least = sweep(design, "brake", at=[found])["ratio"][0]
    assert 200.0 / 50.0 / least == pytest.approx(speed, abs=5e-12)


def test_freudenstein_generator_hits_its_three_points() -> None:
    """y = sin x, 0 to 90 deg; phi 97 + 120, psi 60 + 60 deg (Hartenberg, Denavit)."""
    phi = np.radians([105.0384757729, 157.0, 208.9615242271])
    psi = np.radians([66.3017602590, 102.4264068712, 119.6681474292])
    rows = np.stack([np.cos(psi), -np.cos(phi), np.ones(3)], axis=1)
    k = np.linalg.solve(rows, np.cos(phi - psi))
    np.testing.assert_allclose(
        k, [1.8029608490, 1.3800183799, -0.3026859009], atol=5e-10
    )
    d = 100.0
    a, c = d / k[0], d / k[1]
    b = math.sqrt(a * a + c * c + d * d - 2.0 * a * c * k[2])
    np.testing.assert_allclose(
        np.array([a, b, c]) / d, [0.5546432140, 1.4408399874, 0.7246280300], atol=5e-10
    )
    hole = complex(a * np.exp(1j * phi[0]))
    arm = complex(d + c * np.exp(1j * psi[0]))
    text = f"""
[pedal.other]
pivot = [0, 0]
pad = [0, -200]
clevis = [{hole.real!r}, {hole.imag!r}]
travel = 380
[[pedal.other.train]]
part = "lever"
pivot = [100, 0]
input = [{arm.real!r}, {arm.imag!r}]
"""
    design = load_text(text)
    swept = sweep(design, "other", at=((phi - phi[0]) * 200.0).tolist())
    got = swept["lever_turn"]
    np.testing.assert_allclose(got, np.degrees(psi - psi[0]), atol=1e-8)


#: Case, crank's angle past square at rest (deg), then for 75 and 150 mm of pad: the
#: ratio at 0, 25, 50, 75 and 100 % as printed, and the stroke in mm.
ARC = [
    (
        "square at rest",
        0.0,
        "6.00 6.01 6.05 6.11 6.20",
        12.37,
        "6.00 6.03 6.17 6.44 6.90",
        23.99,
    ),
    (
        "square at mid",
        None,
        "6.05 6.02 6.00 6.02 6.05",
        12.46,
        "6.18 6.05 6.00 6.05 6.20",
        24.73,
    ),
    ("30 before", -30.0, "6.86 6.28", 11.47, "6.83 6.01", 23.79),
    ("45 before", -45.0, "8.25 7.12", 9.82, "8.09 6.37", 21.22),
    ("15 past", 15.0, "6.19 6.94", 11.55, "6.14 8.61", 21.61),
]


@pytest.mark.parametrize("case", ARC, ids=lambda case: case[0])
@pytest.mark.parametrize("travel", [75.0, 150.0])
def test_ratio_through_the_arc(
    case: tuple[str, float | None, str, float, str, float], travel: float
) -> None:
    """Pad 305, crank 50.8, rod 130; axis midway between the arc's top and bottom."""
    _, past, small, small_stroke, large, large_stroke = case
    printed, stroke = (small, small_stroke) if travel == 75 else (large, large_stroke)
    turn = travel / 305.0
    start = -0.5 * turn if past is None else math.radians(past)
    angles = np.linspace(start, start + turn, 10_001)
    heights = -50.8 * np.cos(angles)
    axis = float(0.5 * (heights.min() + heights.max()))
    hole = 50.8 * complex(math.sin(start), -math.cos(start))
    design = _direct(-305j, hole, axis, 130.0, travel)
    ends = [float(x) for x in printed.split()]
    at = np.linspace(0.0, travel, len(ends)).tolist()
    swept = sweep(design, "brake", at=at)
    np.testing.assert_allclose(swept["ratio"], ends, atol=0.0051)
    assert swept["stroke"][-1] == pytest.approx(stroke, abs=0.0051)
