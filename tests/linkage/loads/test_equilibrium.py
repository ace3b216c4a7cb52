"""Forces against free bodies and virtual work, on random trains of every kind."""

from typing import Any

import numpy as np
import pytest

from linkage.loads.burden import Burden, Rubbing
from linkage.loads.equilibrium import Forces, Load, forces
from linkage.motion.run import move
from linkage.second_road import simulate
from linkage.second_road.columns import View
from solvers.planar import cross
from tests.cases_count import many
from tests.linkage.loads.free_bodies import free_bodies
from tests.linkage.roads import every_train, good_trains, movement
from tests.trains import Train

END = 1700.0
#: Friction circles of the arm's and levers' pivots, and of rod pins, mm.
RUBBING = Rubbing(pivot=1.5, pin=0.9)
EACH = many(70)  # of 15 kinds: 1 050 trains with FOOTWELL_FULL=1
#: Pieces of a travel, each with its own Gauss points.
PIECES = 64


def load_for(train: Train, size: float = END) -> Load:
    """The load that a train's end takes: torque for what turns, else a force."""
    turns = train.kinds[-1].endswith(("lever", "quadrant"))
    return Load(of="torque" if turns else "end", size=size)


def rubbing_for(kinds: tuple[str, ...]) -> Rubbing:
    """What rubs: no pivot of a drum, whose cable leaves it nobody knows which way."""
    if any(kind.startswith("drum") for kind in kinds):
        return Rubbing(pin=RUBBING.pin)
    return RUBBING


def given(found: Forces, n: int) -> float:
    return float(np.ravel(found.ties[n])[0])


@every_train
@pytest.mark.parametrize("share", [0.6, 1.0])
def test_the_free_bodies_say_the_same(kinds: tuple[str, ...], share: float) -> None:
    for train, swept in good_trains(kinds, EACH):
        travel = share * train.travel
        road = simulate(swept.rest, travel)
        if road.phase(travel).loose:
            continue
        found = forces(move(swept.rest, np.array([travel])), Burden(), load_for(train))
        compare(found, free_bodies(View(road, travel), train, END), train)


@pytest.mark.parametrize("way", [1.0, -1.0], ids=["pressing", "returning"])
@every_train
def test_with_friction_too(kinds: tuple[str, ...], way: float) -> None:
    """Torques of friction put in by hand, from the reactions, until they settle."""
    rubbing = rubbing_for(kinds)
    for train, swept in good_trains(kinds, EACH):
        travel = train.travel
        road = simulate(swept.rest, travel)
        if road.phase(travel).loose:
            continue
        run = move(swept.rest, np.array([travel]))
        found = forces(run, Burden(rubbing=rubbing), load_for(train), way=way)
        want = free_bodies(
            View(road, travel),
            train,
            END,
            way=way,
            pivot=rubbing.pivot,
            pin=rubbing.pin,
        )
        compare(found, want, train)


def compare(found: Forces, want: dict[str, float], train: Train) -> None:
    close = pytest.approx
    gauge = max(map(abs, want.values()))
    assert float(np.ravel(found.effort)[0]) == close(
        want["effort"], rel=1e-9, abs=1e-9 * gauge
    )
    for n, tie in enumerate(found.links, 1):
        size = given(found, n - 1)
        if tie.kind == "cable":
            assert size == close(want[f"{n} cable"], rel=1e-9, abs=1e-9 * gauge)
        else:
            on_rod = complex(want[f"{n} near x"], want[f"{n} near z"])
            mine = complex(np.ravel(-size * tie.on_driver)[0])
            assert mine == close(on_rod, rel=1e-9, abs=1e-9 * gauge)
    pivot = complex(np.ravel(found.pivots[0])[0])
    if not train.kinds[0].startswith("drum"):
        assert pivot == close(
            complex(want["pivot x"], want["pivot z"]), rel=1e-9, abs=1e-9 * gauge
        )
    if found.sides:
        n = len(train.kinds)
        assert float(np.ravel(found.sides[0])[0]) == close(
            -want[f"{n} side"], rel=1e-9, abs=1e-9 * gauge
        )


@every_train
def test_power_in_is_power_out_at_every_place(kinds: tuple[str, ...]) -> None:
    """Effort x 1 mm of pad = end x what the end moves, by the exact derivative."""
    for train, swept in good_trains(kinds, EACH):
        run = move(swept.rest, np.linspace(0.0, train.travel, 9))
        load = load_for(train)
        found = forces(run, Burden(), load)
        rate = np.broadcast_to(np.asarray(movement(run, train).t, float), (9,))
        through = found.ties[-1] > 0.0
        assert np.any(through)
        assert found.effort == pytest.approx(
            np.where(through, END * rate, 0.0), rel=1e-9, abs=1e-9 * END
        )


@every_train
def test_the_reverse_gives_the_load_back(kinds: tuple[str, ...]) -> None:
    """From end to foot, and that foot's push to the end: with friction, both ways."""
    burden = Burden(rubbing=rubbing_for(kinds))
    for train, swept in good_trains(kinds, EACH):
        run = move(swept.rest, np.array([train.travel]))
        for way in (1.0, -1.0):
            there = forces(run, burden, load_for(train), way=way)
            effort = float(np.ravel(there.effort)[0])
            if not there.ties[-1] > 0.0 or not effort > 0.0:
                continue
            back = forces(run, burden, Load(of="foot", size=effort), way=way)
            turns = load_for(train).of == "torque"
            end = back.torque if turns else back.end
            assert float(np.ravel(end)[0]) == pytest.approx(END, rel=1e-9)


def pivots_rub(found: Forces, rubbing: Rubbing) -> Any:
    bodies = [found.run.arm, *(s.body for s in found.run.steps if s.body is not None)]
    pairs = zip(bodies, found.pivots, strict=True)
    return rubbing.pivot * sum(np.abs(p) * np.abs(b.turning.t) for b, p in pairs)


def rubbed(found: Forces, rubbing: Rubbing, n: int) -> Any:
    """What friction eats for each mm of pad, from reactions and turns, place by place."""
    run = found.run
    total = np.zeros(n)
    if rubbing.pivot:
        total = total + pivots_rub(found, rubbing)
    for size, tie, step, part in zip(
        found.ties, found.links, run.steps, run.rest.parts, strict=True
    ):
        if tie.kind != "rod":
            continue
        near = step.link.driver.carry(part.drive.hole)  # type: ignore[attr-defined]
        far: Any = step.link.far()
        rod, moving = far.v - near.v, far.t - near.t
        turn = cross(rod, moving) / np.abs(rod) ** 2
        total = total + rubbing.pin * size * np.abs(turn - step.link.driver.turning.t)
        if step.body is not None:
            total = total + rubbing.pin * size * np.abs(turn - step.body.turning.t)
    return total


@pytest.mark.parametrize("way", [1.0, -1.0], ids=["pressing", "returning"])
@every_train
def test_work_in_is_work_out_and_what_friction_eats(
    kinds: tuple[str, ...], way: float
) -> None:
    """At every place, and so over the travel: by quadrature to 1e-6 of the work.

    From where the last slack is taken up on: there the push begins with a jump. In
    many pieces: a lever that is nearly in line with its cable turns faster and faster.
    """
    rubbing = rubbing_for(kinds)
    nodes, weights = np.polynomial.legendre.leggauss(12)
    shares = (np.arange(PIECES)[:, None] + 0.5 * (nodes + 1.0)).ravel() / PIECES
    each = np.tile(0.5 * weights, PIECES) / PIECES
    for train, swept in good_trains(kinds, max(1, EACH // 4)):
        slack = [e.travel for e in swept.ends if e.what == "cable slack taken up"]
        start = max(slack, default=0.0)
        rest = train.travel - start
        places = start + rest * shares
        run = move(swept.rest, places)
        found = forces(run, Burden(rubbing=rubbing), load_for(train), way=way)
        through = found.ties[-1] > 0.0
        moved = np.where(through, END * np.asarray(movement(run, train).t), 0.0)
        eaten = rubbed(found, rubbing, len(places))
        assert np.all(eaten[through] >= 0.0)
        assert found.effort == pytest.approx(moved + way * eaten, rel=1e-9, abs=1e-6)
        if np.all(through):
            work = rest * float(np.sum(each * (found.effort - way * eaten)))
            ends = movement(move(swept.rest, np.array([start, train.travel])), train).v
            assert work == pytest.approx(END * float(ends[1] - ends[0]), rel=1e-6)
