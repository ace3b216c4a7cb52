"""Two cylinders on a bar against the bar's free body, solved by a general solver."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize, root

from linkage.car.bar import Bar, Side
from linkage.car.fluid import Circuit
from linkage.car.lines import Line
from linkage.car.master import Master
from linkage.car.pistons import Piston
from linkage.car.twin import Alone, Twin
from linkage.car.valves import Proportioning
from solvers.monotone import Broken
from tests.cases_count import many

SIDES: tuple[Side, ...] = ("front", "rear")
#: N/mm, of what stands for walls.
STIFF = 1e9


class Body:
    """A bar whose rods stay parallel, each against a gap and then a spring.

    Its two unknowns are where the bearing is and the sine of the tilt, front ahead.
    """

    def __init__(self, rng: np.random.Generator) -> None:
        spacing = rng.uniform(50.0, 76.0)
        self.bar = Bar(
            spacing=spacing,
            shift=rng.uniform(-0.2, 0.2) * spacing,
            tilt=math.radians(rng.uniform(8.0, 20.0)),
            longer=rng.uniform(-3.0, 6.0),
        )
        self.gaps = rng.uniform(1.0, 4.0, 2)
        self.rates = rng.uniform(100.0, 500.0, 2)
        self.ends = rng.uniform(8.0, 40.0, 2)

    def moved(self, unknown: Any) -> Any:
        """What both pistons' rods have moved: a longer one is farther ahead.

        The bar is set with its bearing where it was, so both rods share what one is
        longer by.
        """
        at, sine = unknown
        front = 0.5 * self.bar.spacing - self.bar.shift
        rear = 0.5 * self.bar.spacing + self.bar.shift
        longer = self.bar.longer / self.bar.spacing
        return np.array([at + front * (sine + longer), at - rear * (sine + longer)])

    def springs(self, unknown: Any) -> Any:
        return self.rates * np.maximum(self.moved(unknown) - self.gaps, 0.0)

    def residual(self, unknown: Any, push: float) -> Any:
        """Forces along the axis, and their moments about the bearing."""
        forces = self.springs(unknown)
        arms = 0.5 * self.bar.spacing - self.bar.shift * np.array([1.0, -1.0])
        return [push - forces.sum(), forces[0] * arms[0] - forces[1] * arms[1]]

    def twin(self) -> Twin:
        """The same as cylinders: fluid takes so much for each MPa that it is a spring."""
        pistons = []
        for gap, rate, end in zip(self.gaps, self.rates, self.ends, strict=True):
            area = 285.0
            taken = Broken((1.0,), (area * area / rate,))
            circuit = Circuit(clearance=0.5 * gap * area, squash=((1.0, taken),))
            line = Line(name="x", circuit=circuit, valve=Proportioning(), wheels=())
            play, cut_off = 0.2 * gap, 0.3 * gap
            master = Master(first=area, cut_off=cut_off, stroke=end - play)
            pistons.append(Piston(master=master, lines=(line,), play=play))
        return Twin(bar=self.bar, front=pistons[0], rear=pistons[1])


def test_both_sides_hold_as_the_free_body_does() -> None:
    rng = np.random.default_rng(71)
    for _ in range(many(300)):
        body, push = Body(rng), rng.uniform(400.0, 3000.0)
        twin, start = body.twin(), [30.0, 0.0]
        solved = root(body.residual, start, args=(push,), tol=1e-12).x
        assert body.residual(solved, push) == pytest.approx([0.0, 0.0], abs=1e-6)
        moved, forces = body.moved(solved), body.springs(solved)
        assert [float(x) for x in twin.ends(push)] == pytest.approx(moved, abs=1e-8)
        assert np.ravel(twin.pressures(push)) * 285.0 == pytest.approx(forces, rel=1e-9)
        assert math.sin(float(twin.tilt(push))) == pytest.approx(solved[1], abs=1e-9)
        whole = sum(float(each.moved) for each in twin.shares(push))
        assert whole == pytest.approx(solved[0], abs=1e-8)


def without(body: Body, lost: Side, push: float) -> Any:
    """The free body without one spring, but with its piston's end and the bar's stop.

    The work in it has one lowest place; walls are stiff springs.
    """
    dead = SIDES.index(lost)
    limit = math.sin(body.bar.tilt)

    def parts(unknown: Any) -> tuple[Any, Any, Any]:
        moved = body.moved(unknown)
        live = np.maximum(moved[1 - dead] - body.gaps[1 - dead], 0.0)
        wall = np.maximum(moved[dead] - body.ends[dead], 0.0)
        stop = np.maximum(abs(unknown[1]) - limit, 0.0)
        return live, wall, stop

    def work(unknown: Any, stiff: float) -> Any:
        live, wall, stop = parts(unknown)
        spring = 0.5 * body.rates[1 - dead] * live**2
        held = 0.5 * stiff * (wall**2 + (body.bar.spacing * stop) ** 2)
        return spring + held - push * unknown[0]

    found = np.array([60.0, 0.0])
    for stiff in (1e3, 1e5, 1e7):
        found = minimize(
            work,
            found,
            args=(stiff,),
            method="Nelder-Mead",
            options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 4000},
        ).x
    return found, parts(found)[0] * body.rates[1 - dead]


@pytest.mark.parametrize("lost", SIDES)
def test_a_lost_circuit_is_where_the_work_is_least(lost: Side) -> None:
    """Bar at its stop, piston at its end, or both at once: all three come up."""
    rng = np.random.default_rng(72)
    seen = set()
    for _ in range(many(150)):
        body, push = Body(rng), rng.uniform(400.0, 3000.0)
        alone = body.twin().without(lost)
        solved, live = without(body, lost, push)
        assert float(alone.live(push)) == pytest.approx(live, abs=0.01 * push)
        whole = sum(float(each.moved) for each in alone.shares(push))
        assert whole == pytest.approx(solved[0], abs=0.02)
        swung = alone.swung(push)
        assert math.sin(swung.tilt) == pytest.approx(solved[1], abs=1e-3)
        assert whole == pytest.approx(swung.middle, abs=1e-9)
        seen.add(state(alone, push))
    assert len(seen) >= 2


def state(alone: Alone, push: float) -> str:
    live = float(alone.live(push))
    if live == push:
        return "stop"
    return "both" if live == pytest.approx(alone.meets) else "end"


@pytest.mark.parametrize("lost", SIDES)
def test_a_level_gives_back_its_pressure(lost: Side) -> None:
    rng = np.random.default_rng(73)
    for _ in range(many(100)):
        alone = Body(rng).twin().without(lost)
        index = 1 if lost == "front" else 0
        for pressure in rng.uniform(0.1, 12.0, 3):
            level = alone.level_for(pressure)
            assert float(alone.pressures(level)[index]) == pytest.approx(pressure)
            assert float(alone.pressures(level)[1 - index]) == 0.0


def test_pressing_harder_moves_the_bearing_on_and_no_pressure_falls() -> None:
    rng = np.random.default_rng(74)
    levels = np.linspace(1.0, 6000.0, 500)
    for _ in range(many(60)):
        for lost in SIDES:
            alone = Body(rng).twin().without(lost)
            moved = sum(each.moved for each in alone.shares(levels))
            assert np.all(np.diff(moved) >= -1e-9)
            for pressure in alone.pressures(levels):
                assert np.all(np.diff(pressure) >= -1e-9)


def test_a_rod_that_is_longer_moves_no_share_and_no_bearing() -> None:
    """Rods set the bar square, its bearing sets the bias (common practice)."""
    rng = np.random.default_rng(75)
    body = Body(rng)
    twins = []
    for longer in (0.0, 7.0):
        body.bar = Bar(spacing=60.0, shift=3.0, tilt=0.3, longer=longer)
        twins.append(body.twin())
    for name in ("pressures", "ends"):
        one, other = (getattr(twin, name)(1500.0) for twin in twins)
        assert np.ravel(one) == pytest.approx(np.ravel(other))
    leans = [math.sin(float(twin.tilt(1500.0))) for twin in twins]
    assert 60.0 * (leans[0] - leans[1]) == pytest.approx(7.0)
