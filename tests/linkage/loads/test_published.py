"""Figures that people know: bores, pressure, what a rod's lean costs."""

import math
from typing import Any

import numpy as np
import pytest

import linkage
from linkage.loads.burden import Burden, area_of
from linkage.loads.equilibrium import Forces, Load, forces
from linkage.motion.run import move
from linkage.pressing.press import bore_areas
from linkage.sweeping import standing
from linkage.units import out_of

#: NIST SP 811: 1 lbf in N.
LBF = 4.4482216152605

#: Bore in inches, area mm2, by pi/4 d2 with 1 in = 25.4 mm.
BORES = [
    (9 / 16, 160.3254133),
    (5 / 8, 197.9326090),
    (11 / 16, 239.4984569),
    (0.700, 248.2866648),
    (3 / 4, 285.0229570),
    (13 / 16, 334.5061092),
    (7 / 8, 387.9479137),
    (15 / 16, 445.3483703),
    (1.0, 506.7074791),
    (1 + 1 / 16, 572.0252401),
    (1 + 1 / 8, 641.3016532),
]


def lever(bore: str, ratio: float) -> str:
    """A pedal square at rest: its pad ``ratio`` times as far out as its hole."""
    return f"""
[pedal.brake]
pivot = [0, 0]
pad = [0, {-60.0 * ratio!r}]
clevis = [0, -60]
travel = 60
[[pedal.brake.train]]
part = "cylinder"
seat = [1060, -60]
axis = "forward"
bore = "{bore}"
"""


def at_rest(text: str, load: Load) -> Forces:
    """Forces at rest with no weight, spring or friction."""
    rest = standing(linkage.load_text(text), "brake")
    return forces(move(rest, np.zeros(1)), Burden(), load)


def pressure(bore: str, ratio: float, newtons: float) -> float:
    """Pressure at rest, by the program."""
    text = lever(bore, ratio)
    found = at_rest(text, Load(of="foot", size=newtons))
    (area,) = bore_areas(standing(linkage.load_text(text), "brake"))
    return one(found.end) / (area or 0.0)


def one(x: Any) -> float:
    return float(np.ravel(x)[0].real)


@pytest.mark.parametrize(("inches", "area"), BORES)
def test_bores(inches: float, area: float) -> None:
    """Areas of stock bores, exact; pressure = effort x ratio / area, at 500 N x 5."""
    assert area_of(inches * 25.4) == pytest.approx(area, rel=1e-9)
    assert pressure(f"{inches} in", 5.0, 500.0) == pytest.approx(
        2500.0 / area, rel=1e-9
    )


def test_65_lbf_at_5_to_1_on_an_inch() -> None:
    """414 psi: common practice, no source."""
    found = out_of(pressure("1 in", 5.0, 65.0 * LBF), "psi")
    assert found == pytest.approx(414.0, abs=0.5)


@pytest.mark.parametrize(
    ("bore", "psi"),
    [
        ("5/8 in", 1956),
        ("0.70 in", 1559),
        ("3/4 in", 1358),
        ("7/8 in", 998),
        ("1 in", 764),
    ],
)
def test_100_lbf_at_6_to_1(bore: str, psi: float) -> None:
    """Own arithmetic: 600 lbf over the bore's area."""
    found = out_of(pressure(bore, 6.0, 100.0 * LBF), "psi")
    assert found == pytest.approx(psi, abs=0.6)


@pytest.mark.parametrize(
    ("degrees", "newtons"), [(2, 105), (3, 157), (5, 262), (10, 529)]
)
def test_side_force_of_a_leaning_rod(degrees: float, newtons: float) -> None:
    """3000 N of piston behind a rod that leans: x tan of the lean (own arithmetic)."""
    lean = math.radians(degrees)
    seat = [130.0 * math.cos(lean), -60.0 - 130.0 * math.sin(lean)]
    text = lever("1 in", 6.0).replace("[1060, -60]", repr(seat))
    found = at_rest(text, Load(of="end", size=3000.0))
    assert abs(one(found.sides[0])) == pytest.approx(newtons, abs=0.6)
    assert one(found.ties[0]) == pytest.approx(3000.0 / math.cos(lean), rel=1e-9)


@pytest.mark.parametrize(("side", "newtons"), [(1.0, 10_000.0), (-1.0, 14_000.0)])
def test_the_load_of_a_pivot(side: float, newtons: float) -> None:
    """2000 N x 6: 10 kN with the hole on the pad's side, 14 kN across (own arithmetic)."""
    text = lever("1 in", 6.0)
    if side < 0.0:
        text = text.replace("clevis = [0, -60]", "clevis = [0, 60]")
        text = text.replace("[1060, -60]", "[-1000, 60]").replace('"forward"', '"back"')
    found = at_rest(text, Load(of="foot", size=2000.0))
    assert abs(np.ravel(found.pivots[0])[0]) == pytest.approx(newtons, rel=1e-12)
