"""Two axles on a road: textbook tables, and lock order by a brute-force search."""

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.car.axles import Vehicle, locks, order_room
from linkage.car.valves import Proportioning
from tests.cases_count import many

#: Own numbers on UN R13-H annex 5: 1200 kg, 2.5 m, 1.1 m behind the front axle, 0.5 m.
WEIGHT = 1200.0 * 9.81
CAR = Vehicle(weight=WEIGHT, front=0.56, rise=0.2)

#: Gillespie, Fundamentals of Vehicle Dynamics (1992), ch. 3, example 2; inputs from
#: memory, recomputed: p_a psi, p_rear, Ff lb, Fr lb, Dx g, mu_f, mu_r, efficiency.
TABLE = [
    (100, 100, 330.3055, 231.2139, 0.137830, 0.142613, 0.131528, 0.966460),
    (200, 200, 660.6111, 462.4277, 0.275660, 0.272733, 0.279952, 0.984670),
    (300, 293, 990.9166, 677.4566, 0.409517, 0.392408, 0.437414, 0.936224),
    (400, 323, 1321.2221, 746.8208, 0.507620, 0.508019, 0.506916, 0.999215),
    (500, 353, 1651.5277, 816.1850, 0.605722, 0.617105, 0.583928, 0.981554),
    (600, 383, 1981.8332, 885.5491, 0.703825, 0.720205, 0.669736, 0.977257),
    (700, 413, 2312.1387, 954.9133, 0.801927, 0.817797, 0.765939, 0.980595),
]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row[0]}psi")
def test_the_proportioning_table(row: tuple[float, ...]) -> None:
    """Pressure -> axle force -> load -> utilisation, F = 2 G p / r, in lb and in."""
    applied, rear_pressure, want_f, want_r, z, mu_f, mu_r, efficiency = row
    whole = 2210.0 + 1864.0
    car = Vehicle(weight=whole, front=2210.0 / whole, rise=20.5 / 108.5)
    behind = Proportioning(knee=290.0, slope=0.3).out(applied)
    assert behind == pytest.approx(rear_pressure)
    front, rear = 2 * 20.0 * applied / 12.11, 2 * 14.0 * behind / 12.11
    assert (front, rear) == pytest.approx((want_f, want_r), abs=1e-4)
    assert car.used(front, rear) == pytest.approx((z, mu_f, mu_r), abs=1e-6)
    made, *used = car.used(front, rear)
    assert made / max(used) == pytest.approx(efficiency, abs=1e-6)


def test_the_rear_passes_the_front_where_the_table_says() -> None:
    passed = [row[0] for row in TABLE if row[6] > row[5]]
    assert passed == [200, 300]


@pytest.mark.parametrize(
    ("share", "crossover", "f1", "f2"),
    [
        (0.65, 0.45, 0.4924242424, 0.5147058824),
        (0.72, 0.80, 0.5454545455, 0.4117647059),
        (0.80, 1.20, 0.6060606061, 0.2941176471),
    ],
)
def test_adhesion_used(share: float, crossover: float, f1: float, f2: float) -> None:
    """f = T / (P +- z h P / E): UN R13-H annex 5's form, own numbers, at z = 0.5.

    Where the share is that of the load both axles use the road alike."""
    total = crossover * WEIGHT
    alike = CAR.used(share * total, (1.0 - share) * total)
    assert alike == pytest.approx((crossover, crossover, crossover), abs=1e-12)
    total = 0.5 * WEIGHT
    used = CAR.used(share * total, (1.0 - share) * total)
    assert used == pytest.approx((0.5, f1, f2), abs=1e-10)


def test_the_wrong_order_is_seen() -> None:
    """Front share 0.65: the rear uses more from z just over 0.45, and is spared below
    (71/320/EEC annex II appendix 3.1.1); 0.72 holds up to 0.8."""
    z = np.array([0.1, 0.2, 0.44, 0.46, 0.6, 0.79, 0.9])
    for share, bad in ((0.65, [3, 4, 5]), (0.72, [])):
        total = z * WEIGHT
        room = order_room(*CAR.used(share * total, (1.0 - share) * total))
        assert np.flatnonzero(room < 0.0).tolist() == bad
        assert np.isinf(room[[0, 6]]).all()


def test_a_passing_inversion_is_spared() -> None:
    """z 0.3 to 0.45, rear up to z + 0.05 (71/320/EEC, read); not at 0.29."""
    z = np.array([0.29, 0.35, 0.35])
    front = np.array([0.28, 0.34, 0.34])
    rear = np.array([0.30, 0.39, 0.41])
    room = order_room(z, front, rear)
    assert room == pytest.approx([-0.02, 0.01, -0.01])


@pytest.mark.parametrize(
    ("a", "front", "rear"),
    [
        (0.2, 1497.6, 902.4),
        (0.4, 3206.4, 1593.6),
        (0.6, 5126.4, 2073.6),
        (0.8, 7257.6, 2342.4),
        (1.0, 9600.0, 2400.0),
    ],
)
def test_the_ideal_distribution(a: float, front: float, rear: float) -> None:
    """Limpert, ch. 7 (formula from memory; own numbers): both axles use a of the road."""
    car = Vehicle(weight=12_000.0, front=0.58, rise=0.22)
    assert car.used(front, rear) == pytest.approx((a, a, a), abs=1e-12)


def some_car(rng: np.random.Generator) -> Vehicle:
    return Vehicle(
        weight=rng.uniform(5000.0, 20_000.0),
        front=rng.uniform(0.35, 0.65),
        rise=rng.uniform(0.12, 0.28),
        grip=rng.uniform(0.3, 1.1),
    )


def test_lock_order_by_a_search_over_pressure() -> None:
    """Press harder in small steps, follow each axle by itself, note who locks when."""
    rng = np.random.default_rng(21)
    level = np.linspace(0.0, 20.0, 2001)
    seen = {0: 0, 1: 0, 2: 0}
    for _ in range(many(200)):
        car = some_car(rng)
        gains = rng.uniform(0.03, 0.12, 2) * car.weight
        valve = Proportioning(knee=rng.uniform(1.0, 6.0), slope=rng.uniform(0.0, 0.6))
        knots = np.array([0.0, float(valve.knee), 20.0])
        found = locks(car, knots, gains[0] * knots, gains[1] * valve.out(knots))
        searched = _searched(car, level, gains[0] * level, gains[1] * valve.out(level))
        seen[len(found)] += 1
        assert [lock.axle for lock in found] == [axle for axle, _, _ in searched]
        for lock, (_, at, z) in zip(found, searched, strict=True):
            assert lock.level == pytest.approx(at, abs=1.01e-2)
            assert lock.z == pytest.approx(z, abs=5e-3)
    assert seen[2] > 0
    assert seen[1] + seen[0] > 0


def _searched(
    car: Vehicle, level: np.ndarray, front: np.ndarray, rear: np.ndarray
) -> list[tuple[str, float, float]]:
    """Press in small steps; an axle that has locked slides from the next step on."""
    locked: dict[str, tuple[float, float]] = {}
    for at, *forces in zip(level, front, rear, strict=True):
        z, drags, loads = _settled(car, forces, set(locked))
        for axle, drag, load in zip(("front", "rear"), drags, loads, strict=True):
            if axle not in locked and drag >= car.grip * load:
                locked[axle] = (float(at), z)
        if len(locked) == 2:
            break
    return [(axle, *found) for axle, found in locked.items()]


def _settled(
    car: Vehicle, forces: list[float], sliding: set[str]
) -> tuple[float, list[float], list[float]]:
    """Deceleration for which loads and drags agree: two equations, a linear solver.

    Unknown: both drags. A sliding axle's is grip x its load, which leans on the sum.
    """
    signs = {"front": 1.0, "rear": -1.0}
    rest = {"front": car.front, "rear": 1.0 - car.front}
    a, b = np.eye(2), np.array(forces)
    for i, (axle, sign) in enumerate(signs.items()):
        if axle in sliding:
            a[i] -= car.grip * sign * car.rise
            b[i] = car.grip * car.weight * rest[axle]
    drags = np.linalg.solve(a, b)
    z = float(drags.sum() / car.weight)
    loads = [car.weight * (rest[x] + signs[x] * car.rise * z) for x in signs]
    return z, drags.tolist(), loads


def test_what_the_road_lets_the_brakes_do() -> None:
    """One equation in z, solved by another root finder."""
    rng = np.random.default_rng(22)
    for _ in range(many(300)):
        car = some_car(rng)
        front, rear = rng.uniform(0.0, 0.9, 2) * car.weight

        def left(
            z: float, car: Vehicle = car, f: float = front, r: float = rear
        ) -> float:
            loads = car.loads(z)
            drags = min(f, car.grip * loads[0]) + min(r, car.grip * loads[1])
            return float(drags / car.weight - z)

        want = brentq(left, 0.0, 2.0, xtol=1e-14)
        z, *drags = car.held(front, rear)
        assert z == pytest.approx(want, abs=1e-12)
        assert sum(drags) == pytest.approx(car.weight * z, rel=1e-12)
        assert np.all(np.array(drags) <= car.grip * np.array(car.loads(z)) + 1e-9)


def test_held_broadcasts_and_never_passes_the_grip() -> None:
    car = Vehicle(weight=1e4, front=0.5, rise=0.2, grip=0.9)
    force = np.linspace(0.0, 2e4, 101)
    z, front, rear = car.held(force, 0.5 * force)
    assert z.shape == front.shape == rear.shape == (101,)
    assert np.all(np.diff(z) >= -1e-12)
    assert z[-1] == pytest.approx(0.9)


def test_the_first_lock_is_where_the_grip_is_used_up() -> None:
    car = Vehicle(weight=1e4, front=0.5, rise=0.2, grip=0.8)
    first, second = locks(car, [0.0, 10.0], [0.0, 1e4], [0.0, 5e3])
    used = car.used(1e3 * first.level, 5e2 * first.level)
    assert max(used[1:]) == pytest.approx(0.8, rel=1e-12)
    assert first.axle == "front"
    assert second.level * 500.0 == pytest.approx(0.8 * car.loads(0.8)[1], rel=1e-12)


def test_nobody_locks_where_the_brakes_are_too_weak() -> None:
    assert locks(CAR, [0.0, 5.0], [0.0, 100.0], [0.0, 50.0]) == ()


def test_the_rear_lifts_where_its_load_is_gone() -> None:
    car = Vehicle(weight=1e4, front=0.5, rise=0.4)
    assert car.loads(car.lifts)[1] == pytest.approx(0.0, abs=1e-9)
