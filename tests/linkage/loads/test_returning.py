"""A pedal that is let go: against a formula, an ODE solver, and what friction leaves."""

from functools import partial
from typing import Any

import numpy as np
import pytest
import shapely
from scipy.integrate import solve_ivp

import linkage
from linkage.loads.burden import Burden, Rubbing, burden_of
from linkage.loads.equilibrium import Load, forces
from linkage.loads.returning import returning, run_home
from linkage.loads.weight import weight_of
from linkage.motion.run import move
from linkage.sweeping import standing
from tests.linkage.loads.test_springs import SPRINGS, design
from tests.solvers.plane.outlines import faceted


def test_a_constant_torque() -> None:
    """0.5 N m on 0.002 kg m2 through 80 deg: t = sqrt(2 turn inertia / torque).

    Constructed from the formula: 0.1056887 s, a throttle that is let go; the law itself
    is any textbook's.
    """
    time, stops = run_home(lambda x: np.full(x.shape, 500.0), 2000.0, np.radians(80.0))
    assert time == pytest.approx(0.1056887, abs=5e-8)
    assert stops is None


def test_a_quarter_swing_of_a_spring() -> None:
    """Torque k x what is left: home after a quarter of the period, whatever the turn."""
    for turn in (0.1, 1.0):
        time, _ = run_home(partial(spring, turn), 2000.0, turn)
        assert time == pytest.approx(0.5 * np.pi * np.sqrt(2.0 / 700.0), rel=1e-4)


def spring(turn: float, x: Any) -> Any:
    return 700.0 * (turn - x)


@pytest.mark.parametrize("name", ["extension", "torsion"])
def test_against_an_ode_solver(name: str) -> None:
    """The equation of motion itself, step by step, to where the arm is home."""
    sprung = design(SPRINGS[name] + "[pedal.brake.friction]\npivot = 0.1\n")
    rest = standing(sprung, "brake")
    burden = burden_of(rest)
    assert burden.weight is not None
    inertia = burden.weight.inertia

    def slope(_: float, y: Any) -> Any:
        run = move(rest, np.array([300.0 * y[0]]))
        home = forces(run, burden, Load(of="end", size=0.0), way=-1.0)
        return [y[1], -1000.0 * 300.0 * float(home.effort[0]) / inertia]

    def home(_: float, y: Any) -> float:
        return float(y[0])

    home.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        slope, (0.0, 2.0), [0.4, 0.0], events=home, rtol=1e-10, atol=1e-12
    )
    want = float(found.t[-1])
    assert returning(rest, burden, 120.0).time == pytest.approx(want, rel=1e-6)


def test_a_stiff_pivot_leaves_the_pedal_down() -> None:
    rest = standing(design(SPRINGS["extension"]), "brake")
    free = burden_of(rest)
    stiff = Burden(
        springs=free.springs, weight=free.weight, rubbing=Rubbing(pivot=200.0)
    )
    left = returning(rest, stiff, 120.0)
    assert left.time is None
    assert left.stays == pytest.approx(120.0, abs=0.1)


def test_a_weaker_spring_takes_longer() -> None:
    times = [
        returning(rest, burden_of(rest), 120.0).time or 0.0
        for rest in (
            standing(design(SPRINGS["extension"].replace("40 N", force)), "brake")
            for force in ("60 N", "40 N", "20 N")
        )
    ]
    assert 0.0 < times[0] < times[1] < times[2]


def test_the_weight_of_an_arm_that_was_weighed() -> None:
    """The file's mass stands; the shape only spreads it."""
    text = linkage.load("examples/brake-hanging.toml").text
    light = linkage.load_text(text)
    heavy = linkage.load_text(text.replace('"steel"', '"steel"\nmass = "2 kg"', 1))
    one, two = (weight_of(standing(each, "brake")) for each in (light, heavy))
    assert one is not None
    assert two is not None
    assert two.mass == 2.0
    assert two.centre == pytest.approx(one.centre)
    assert two.inertia / two.mass == pytest.approx(one.inertia / one.mass)
    # An arm is between a point at its pivot and one at its pad.
    assert 0.0 < one.inertia < one.mass * 300.0**2


def test_weight_is_felt_as_its_height_changes() -> None:
    """Effort x travel = weight x rise, with nothing else on the pedal."""
    rest = standing(linkage.load("examples/brake-hanging.toml"), "brake")
    weight = weight_of(rest)
    assert weight is not None
    nodes, weights = np.polynomial.legendre.leggauss(16)
    run = move(rest, 75.0 * (nodes + 1.0))
    felt = forces(run, Burden(weight=weight), Load(of="end", size=0.0)).effort
    ends = weight.stored(move(rest, np.array([0.0, 150.0])))
    assert 75.0 * float(np.sum(weights * felt)) == pytest.approx(
        float(ends[1] - ends[0]), rel=1e-9
    )


def test_the_weight_of_a_plate_by_another_geometry() -> None:
    """Area, centre and inertia of the outline less its holes, faceted (shapely)."""
    file = linkage.load("examples/brake-hanging.toml")
    weight = weight_of(standing(file, "brake"))
    shape = linkage.outline(file, "brake")
    plate: Any = faceted(shape.contour)
    for at, bore in ((shape.centres["pivot"], 25.0), (shape.centres["clevis"], 8.2)):
        hole = shapely.Point(at.real, at.imag).buffer(0.5 * bore, quad_segs=2000)
        plate = plate.difference(hole)
    density = 8.0 * 7850e-9  # kg for each mm2: 8 mm of steel, EN 1991-1-1 Table A.4
    assert weight is not None
    assert weight.mass == pytest.approx(plate.area * density, rel=1e-5)
    pivot = shape.centres["pivot"]
    centre = complex(plate.centroid.x, plate.centroid.y) - pivot
    assert weight.centre == pytest.approx(centre, rel=1e-5)
    # Inertia by Steiner from a grid of points inside: half a per cent is enough to see.
    low, high = np.array(plate.bounds[:2]), np.array(plate.bounds[2:])
    x, z = np.meshgrid(
        *(np.arange(a, b, 0.5) + 0.25 for a, b in zip(low, high, strict=True))
    )
    inside = shapely.contains_xy(plate, x.ravel(), z.ravel())
    square = np.abs(x.ravel() + 1j * z.ravel() - pivot)[inside] ** 2
    grid = float(np.sum(square)) * 0.25 * density
    assert weight.inertia == pytest.approx(grid, rel=5e-3)
