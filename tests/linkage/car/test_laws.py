"""Laws of whole brakes, on random cars: energy, order, and no answer that is none."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from linkage.car.asking import Answer, ask
from linkage.car.budget import budget
from linkage.car.pistons import Piston
from linkage.car.rig import Rig, rig_of
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.motion.run import move
from linkage.words.budget import told
from linkage.words.effort import SCALES
from linkage.words.speech import Speech
from tests.cases_count import many

KINDS = ("fixed disc", "floating disc", "drum")


def brake(rng: np.random.Generator) -> str:
    kind = rng.choice(KINDS)
    keys = {"kind": f'"{kind}"', "radius": f"{rng.uniform(80, 130):.3f}"}
    keys["piston"] = (
        f"{rng.uniform(17, 24) if kind == 'drum' else rng.uniform(30, 55):.3f}"
    )
    if kind == "fixed disc":
        keys["pistons"] = rng.choice(["2", "4", "6"])
    if rng.random() < 0.5:
        keys["clearance"] = f"{rng.uniform(0.02, 0.4):.3f}"
    if rng.random() < 0.5:
        keys["squash"] = (
            '[["1 MPa", "0.15 cc"], ["4 MPa", "0.4 cc"], ["9 MPa", "0.7 cc"]]'
        )
    return ", ".join(f"{key} = {put}" for key, put in keys.items())


def circuit(rng: np.random.Generator, name: str) -> str:
    lines = [f"[circuit.{name}]", f'fluid = "{rng.uniform(30, 120):.2f} cc"']
    if rng.random() < 0.5:
        lines.append(f'air = "{rng.uniform(0, 0.5):.3f} cc"')
    if rng.random() < 0.4:
        knee, slope = rng.uniform(1, 5), rng.uniform(0.1, 0.9)
        lines.append(f'valve = {{ knee = "{knee:.3f} MPa", slope = {slope:.3f} }}')
    if rng.random() < 0.3:
        lines.append('residual = "2 psi"')
    lines.append(f"brake = {{ {brake(rng)} }}")
    if rng.random() < 0.7:
        kind = rng.choice(["regular", "low", "braided"])
        lines.append(
            f'hose = {{ length = {rng.uniform(150, 700):.1f}, kind = "{kind}" }}'
        )
    return "\n".join(lines)


def some_text(rng: np.random.Generator) -> str:
    bore, play = rng.uniform(17, 27), rng.uniform(0, 1)
    lines = [
        "[pedal.brake]\npivot = [0, 0]",
        f"pad = [0, {-rng.uniform(230, 340):.2f}]",
        f"clevis = [{rng.uniform(-12, 0):.2f}, {-rng.uniform(42, 75):.2f}]",
        f"travel = {rng.uniform(90, 150):.1f}",
        '[[pedal.brake.train]]\npart = "cylinder"\naxis = "forward"',
        f"seat = [{rng.uniform(110, 170):.1f}, {-rng.uniform(50, 60):.1f}]",
        f"bore = {bore:.3f}\nfree_play = {play:.2f}\nstroke = {rng.uniform(24, 44):.1f}",
        'circuits = ["front", "rear"]',
        f'cylinder_spring = "{rng.uniform(0, 120):.1f} N"',
    ]
    if rng.random() < 0.5:
        lines.append(f'mount = "{rng.uniform(1000, 9000):.0f} N/mm"')
    if rng.random() < 0.5:
        lines += [
            "[pedal.brake.train.booster]",
            'diaphragm = "8 in"',
            'vacuum = "18 inHg"',
        ]
        lines.append(f"gain = {rng.uniform(2, 6):.2f}")
    lines += [
        "[vehicle]",
        f'mass = "{rng.uniform(500, 1800):.0f} kg"',
        f"wheelbase = {rng.uniform(2000, 2900):.0f}",
        f'front_weight = "{rng.uniform(38, 62):.1f} %"',
        f"cg_height = {rng.uniform(350, 650):.0f}",
        f"grip = {rng.uniform(0.3, 1.1):.2f}",
        circuit(rng, "front"),
        circuit(rng, "rear"),
    ]
    return "\n".join(lines) + "\n"


def some(seed: int, **options: Any) -> Rig:
    rng = np.random.default_rng(seed)
    return rig_of(load_text(some_text(rng)), "brake", **options)


SEEDS = range(100, 100 + many(120))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_foot_works_what_the_rod_does(seed: int) -> None:
    """Power at every place: effort dx = force de, the pad's own weight left out."""
    found = some(seed)
    levels = np.linspace(0.02, 0.98, 9) * found.top
    fluid = found.state(levels).fluid
    step = 1e-4
    travel = found.pad(fluid.moved)
    ends = [move(found.rest, travel + by).last.end().v for by in (step, -step)]
    slope = (ends[0] - ends[1]) / (2.0 * step)
    felt = found.felt(fluid.moved, fluid.rod).effort
    own = found.felt(fluid.moved, np.zeros_like(fluid.rod)).effort
    assert felt - own == pytest.approx(fluid.rod * slope, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_the_piston_works_goes_into_the_fluid(seed: int) -> None:
    """Over the whole press: work of the piston = sum of p dV + its spring's work.

    Gauss quadrature between the knees; a mount and a booster stand outside of it.
    """
    found = some(seed)
    driven = found.driven
    assert isinstance(driven, Piston)
    knees = sorted({k for k in driven.knees() if 0.0 < k < found.top})
    squash = [driven.level_for(p) for p in (1.0, 4.0, 9.0)]  # the bends of the tables
    hoses = [driven.level_for(0.006894757293168361 * p) for p in (1000.0, 1500.0)]
    behind = [
        driven.level_for(float(line.valve.into(p)))
        for line in driven.lines
        for p in (1.0, 4.0, 9.0, 6.894757293168361, 10.342135939752542)
    ]
    held = [driven.level_for(line.circuit.held) for line in driven.lines]
    places = [*knees, *squash, *hoses, *behind, *held, driven.master.spring]
    inner = sorted({float(x) for x in places if 0.0 < x < found.top})
    nodes, weights = np.polynomial.legendre.leggauss(24)
    work = stored = 0.0
    for low, high in zip([0.0, *inner], [*inner, found.top], strict=True):
        half = 0.5 * (high - low)
        at = low + half * (nodes + 1.0)
        step = 1e-6 * max(high - low, 1e-9)
        pressures = driven.pressures(at)
        stroke = (driven.stroke(at + step) - driven.stroke(at - step)) / (2.0 * step)
        volume = [
            (
                line.taken(driven.pressures(at + step)[i])
                - line.taken(driven.pressures(at - step)[i])
            )
            / (2.0 * step)
            for i, line in enumerate(driven.lines)
        ]
        push = np.minimum(at, driven.master.spring)
        work += half * float(weights @ ((at - push) * stroke))
        stored += half * float(
            weights @ sum(p * v for p, v in zip(pressures, volume, strict=True))
        )
    assert work == pytest.approx(stored, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_everything_rises_with_the_level(seed: int) -> None:
    found = some(seed)
    state = found.state(np.linspace(0.0, found.top, 60))
    assert state.car is not None
    for rising in (
        state.fluid.moved,
        state.fluid.rod,
        state.foot.travel,
        state.car.z,
        *state.fluid.pressures.values(),
    ):
        assert np.all(np.diff(rising) >= -1e-9)
    if found.top > 0.0:  # else clearance alone is more than pedal or piston have
        assert np.all(state.fluid.left >= -1e-9)
    assert np.all(state.foot.travel <= found.travel + 1e-9)


def finite(answer: Answer) -> bool:
    car = answer.state.car
    assert car is not None
    numbers = [
        *(answer.state.foot.effort, answer.state.foot.travel, answer.state.fluid.moved),
        *(car.z, car.front, car.rear, car.used_front, car.used_rear),
        *(np.array([row.pad, row.moved]) for row in answer.rows),
        *(np.array([*sway.travel, *sway.effort]) for sway in answer.sways),
    ]
    return all(bool(np.all(np.isfinite(each))) for each in numbers)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    "case", [{}, {"dead": True}, {"lost": "front"}, {"lost": "rear"}]
)
def test_every_question_has_an_answer_in_numbers(
    seed: int, case: dict[str, Any]
) -> None:
    found = some(seed, **case)
    for of, size in (("foot", 300.0), ("pressure", 4.0), ("deceleration", 0.5)):
        answer = ask(found, of, size)  # type: ignore[arg-type]
        assert finite(answer)
        assert answer.level <= found.top


@pytest.mark.parametrize("seed", SEEDS)
def test_a_budget_is_all_of_the_travel(seed: int) -> None:
    found = some(seed)
    for level in (0.1 * found.top, found.top):
        rows = budget(found, level)
        travel = found.state(np.array([level])).foot.travel[0]
        assert sum(row.pad for row in rows) == pytest.approx(travel, abs=2e-5)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_axle_uses_more_than_the_grip(seed: int) -> None:
    """0 <= used <= grip; what is said to lock is what would drag with more than that.

    Told from the brakes on endless grip, at the loads of the deceleration that is had.
    """
    found = some(seed)
    assert found.road is not None
    car, driven = found.road.vehicle, found.driven
    asked = ask(found, "pressure", 1.0)
    for level in np.linspace(0.0, found.top, 7):
        state = found.state(np.array([level]))
        answer = replace(asked, level=float(level), state=state)
        braked = answer.state.car
        assert braked is not None
        used = [float(x[0]) for x in (braked.used_front, braked.used_rear)]
        assert all(0.0 <= each <= car.grip for each in used)
        wanted = found.road.brakes(driven, level)
        loads = car.loads(float(braked.z[0]))
        slides = [
            axle
            for axle, push, load in zip(("front", "rear"), wanted, loads, strict=True)
            if push > car.grip * load * (1.0 + 1e-9)
        ]
        assert sorted(answer.locked) == slides
        assert said_to_lock(answer) == slides


def said_to_lock(answer: Answer) -> list[str]:
    design = answer.rig.rest.places.design
    scale = SCALES[design.units]
    said = dict(told(design, answer, Speech(design.units), scale))["Car"]
    head, locked, _ = said.partition(" wheels locked")
    return [axle for axle in ("front", "rear") if locked and axle in head]


def answered(text: str) -> tuple[Rig | None, list[str]]:
    try:
        return rig_of(load_text(text), "brake"), []
    except DesignError as error:
        return None, [str(fault) for fault in error.faults]


def test_spoilt_files_are_told_in_one_line_a_fault() -> None:
    """A number of the car or its brakes turned, blown up or struck out."""
    rng = np.random.default_rng(77)
    refused = 0
    for _ in range(many(2000)):
        lines = some_text(rng).splitlines()
        at = int(rng.integers(4, len(lines)))
        old = lines[at]
        head, _, put = old.partition(" = ")
        spoilt = rng.choice(
            ["-1", "0", '"1e9 kg"', '"about x"', "[]", "{}", "true", '""']
        )
        lines[at] = "" if rng.random() < 0.2 else f"{head} = {spoilt}" if put else old
        found, told = answered("\n".join(lines))
        refused += bool(told)
        assert all("\n" not in line for line in told)
        assert found is None or np.isfinite(found.top)
    assert refused > many(2000) // 10
