"""The second road to forces: every body cut free, all equations solved at once.

Arm, levers, quadrants, rods and pistons each have their three equations; the places of
the points come from the constraint solver. Friction at pins and pivots is put in as a
torque of the reactions found last, until nothing changes. No closed form is shared.
"""

import cmath
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linkage.second_road.columns import View
from tests.trains import Train


class Cut:
    """A train at one place, cut into free bodies.

    Unknowns are named; ``names`` keeps their order. ``turns`` holds, for each joint
    that rubs, the two unknowns of its force, the friction radius and the sense of the
    relative turn, with the rows of the moments on both sides.
    """

    def __init__(self, view: View, train: Train, pivot: float, pin: float) -> None:
        self.view, self.train = view, train
        self.names: list[str] = []
        self.rows: list[dict[str, float]] = []
        self.loads: list[float] = []
        self.joints: list[tuple[str, float, float, int, int | None]] = []
        self.bodies: dict[int, tuple[int, complex]] = {}
        self.pivot, self.pin = pivot, pin

    # ------------------------------------------------------------------ equations

    def body(self) -> int:
        """Start a body: three equations; returns the first, for its moment + 2."""
        self.rows += [{}, {}, {}]
        self.loads += [0.0, 0.0, 0.0]
        return len(self.rows) - 3

    def put(self, body: int, name: str, force: complex, moment: float) -> None:
        """Add an unknown's part to the equations of a body."""
        if name not in self.names:
            self.names.append(name)
        for row, part in enumerate((force.real, force.imag, moment)):
            held = self.rows[body + row]
            held[name] = held.get(name, 0.0) + part

    def load(self, body: int, force: complex, moment: float) -> None:
        """Add a known force to the equations of a body."""
        for row, part in enumerate((force.real, force.imag, moment)):
            self.loads[body + row] += part

    def joint(self, name: str, at: complex, one: int, other: int | None) -> None:
        """Pin two bodies (or a body to the car): two unknown forces on ``one``."""
        for way, unit in (("x", 1.0 + 0j), ("z", 1j)):
            self.put(one, f"{name} {way}", unit, cross(at, unit))
            if other is not None:
                self.put(other, f"{name} {way}", -unit, -cross(at, unit))

    def rubs(
        self, name: str, radius: float, sense: float, one: int, other: int | None
    ) -> None:
        """A joint's torque on ``one``: ``sense`` is that of its turn against the other."""
        if radius:
            self.joints.append((name, radius, sense, one, other))

    # ----------------------------------------------------------------------- solve

    def solve(self) -> dict[str, float]:
        """Return every unknown; a list of equations that must all hold."""
        matrix = np.zeros((len(self.rows), len(self.names)))
        for i, row in enumerate(self.rows):
            for name, part in row.items():
                matrix[i, self.names.index(name)] = part
        found = self._once(matrix, {})
        for _ in range(200 if self.joints else 0):
            before, found = found, self._once(matrix, found)
            if all(abs(found[k] - before[k]) < 1e-12 * scale(found) for k in found):
                return found
        if self.joints:
            raise ArithmeticError("friction did not settle")
        return found

    def _once(
        self, matrix: NDArray[np.float64], last: Mapping[str, float]
    ) -> dict[str, float]:
        known = -np.array(self.loads)
        for name, radius, sense, one, other in self.joints:
            size = abs(complex(last.get(f"{name} x", 0.0), last.get(f"{name} z", 0.0)))
            known[one + 2] += sense * radius * size
            if other is not None:
                known[other + 2] -= sense * radius * size
        found, _, rank, _ = np.linalg.lstsq(matrix, known, rcond=None)
        if rank < len(self.names):
            raise ArithmeticError("the free bodies leave something open")
        gap = float(np.max(np.abs(matrix @ found - known)))
        if gap > 1e-7 * float(np.max(np.abs(found))) * 1e3:
            raise ArithmeticError(f"the equations do not hold: {gap}")
        return dict(zip(self.names, found.tolist(), strict=True))


def scale(found: Mapping[str, float]) -> float:
    return max(abs(v) for v in found.values())


def free_bodies(
    view: View,
    train: Train,
    end: float,
    *,
    way: float = 1.0,
    pivot: float = 0.0,
    pin: float = 0.0,
    on_arm: tuple[complex, complex] | None = None,
) -> dict[str, float]:
    """Return effort, the force in every link and every pivot's, by name.

    Parameters
    ----------
    end : float
        On the piston along its axis, in the last cable, or N mm on the last lever.
    way : float
        +1 pressing, -1 on the way home.
    pivot, pin : float
        Friction radii, mm.
    on_arm : (complex, complex), optional
        A further force on the arm, and where.
    """
    cut = Cut(view, train, pivot, pin)
    arm = cut.body()
    pad = carried_pad(view, train)
    home = view.at("pivot")
    tangent = 1j * train.sense * (pad - home) / abs(pad - home)
    cut.put(arm, "effort", tangent, cross(pad, tangent))
    cut.joint("pivot", home, arm, None)
    cut.rubs("pivot", pivot, way * np.sign(view.rate("arm turn")), arm, None)
    if on_arm is not None:
        cut.load(arm, on_arm[0], cross(on_arm[1], on_arm[0]))
    driver: tuple[int, complex, float] = (arm, home, view.rate("arm turn"))
    for n, kind in enumerate(train.kinds, 1):
        driver = link(cut, n, kind, driver, end, way)
    return cut.solve()


def carried_pad(view: View, train: Train) -> complex:
    """Where the pad is now."""
    turn = cmath.exp(1j * view.number("arm turn"))
    return view.at("pivot") + turn * (train.point("pad") - train.point("pivot"))


def link(
    cut: Cut,
    n: int,
    kind: str,
    driver: tuple[int, complex, float],
    end: float,
    way: float,
) -> tuple[int, complex, float]:
    """Add link n and what it drives; return the next driver: body, pivot, turn rate."""
    view, train = cut.view, cut.train
    last = n == len(train.kinds)
    if kind.endswith("cylinder"):
        rod(cut, n, driver, None, way)
        axis = view.road.scene.axes[n]
        piston = cut.bodies[n][0]
        cut.put(piston, f"{n} side", 1j * axis, 0.0)
        cut.put(piston, f"{n} tilt", 0j, 1.0)
        cut.load(piston, -end * axis, -end * cross(view.at(f"{n} end"), axis))
        return driver
    if kind.endswith("cable"):
        near_end(cut, n, kind, driver)
        stop = cut.body()
        cut.put(stop, f"{n} cable", 1.0 + 0j, 0.0)
        cut.load(stop, -end + 0j, 0.0)
        return driver
    own = cut.body()
    rate = view.rate(f"{n} turn")
    if kind.endswith("quadrant"):
        near_end(cut, n, kind, driver)
        radius, sense = train.numbers[f"{n}.radius"], view.road.scene.senses[n]
        # From anywhere: which way it comes changes no size.
        cut.put(own, f"{n} cable", 1j, sense * radius)
        cut.joint(f"{n} pivot", 0j, own, None)
        cut.rubs(f"{n} pivot", cut.pivot, way * np.sign(rate), own, None)
        cut.load(own, 0j, -sense * end)
        return own, 0j, rate
    pivot = view.at(f"{n} pivot")
    cut.joint(f"{n} pivot", pivot, own, None)
    cut.rubs(f"{n} pivot", cut.pivot, way * np.sign(rate), own, None)
    if kind == "lever":
        rod(cut, n, driver, (own, rate), way)
    else:
        near_end(cut, n, kind, driver)
        held, guide = view.at(f"{n} input"), view.at(f"{n} end ferrule")
        along = (guide - held) / abs(guide - held)
        cut.put(own, f"{n} cable", along, cross(held, along))
    if last:
        cut.load(own, 0j, -view.road.scene.senses[n] * end)
    return own, pivot, rate


def rod(
    cut: Cut,
    n: int,
    driver: tuple[int, complex, float],
    driven: tuple[int, float] | None,
    way: float,
) -> None:
    """A rod as a body of its own, pinned to what drives it and to what it drives."""
    view = cut.view
    own = cut.body()
    near = view.at(f"{n} hole")
    far_name = f"{n} end" if driven is None else f"{n} input"
    far = view.at(far_name)
    moving = view.phase.system.place(view.motion, far_name) - (
        view.phase.system.place(view.motion, f"{n} hole")
    )
    turn = cross(far - near, moving) / abs(far - near) ** 2
    cut.joint(f"{n} near", near, own, driver[0])
    cut.rubs(f"{n} near", cut.pin, way * np.sign(turn - driver[2]), own, driver[0])
    if driven is None:
        piston = cut.body()
        cut.bodies[n] = piston, far
        cut.joint(f"{n} far", far, own, piston)
        return
    cut.joint(f"{n} far", far, own, driven[0])
    cut.rubs(f"{n} far", cut.pin, way * np.sign(turn - driven[1]), own, driven[0])


def near_end(cut: Cut, n: int, kind: str, driver: tuple[int, complex, float]) -> None:
    """A cable's pull on what draws it: towards its ferrule, or a bare torque."""
    view, train = cut.view, cut.train
    if kind.startswith("drum"):
        sense = train.sense if n == 1 else train.senses[n - 1]
        cut.put(driver[0], f"{n} cable", 0j, -sense * train.numbers[f"{n}.drum"])
        return
    hole = view.at(f"{n} hole")
    line = view.at(f"{n} ferrule") - hole
    along = line / abs(line)
    cut.put(driver[0], f"{n} cable", along, cross(hole, along))


def cross(a: Any, b: Any) -> float:
    return float((complex(a).conjugate() * b).imag)
