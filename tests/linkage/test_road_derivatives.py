"""Derivatives of every train: closed forms, constraints, 40 digits."""

import math
from typing import Any

import mpmath as mp
import numpy as np
import pytest

from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import move
from linkage.places import Places
from linkage.second_road import simulate
from linkage.second_road.simulation import ENDS
from solvers.jet import Jet, seed
from solvers.newton import mixed_rate, push
from tests import oracles
from tests.cases_count import many
from tests.linkage.roads import every_train, good_trains, high_movement, movement
from tests.trains import Train


@every_train
def test_derivatives_by_travel(kinds: tuple[str, ...]) -> None:
    """First (1e-9) and second (1e-8), of what ends the train."""
    for train, swept in good_trains(kinds, many(100)):
        with oracles.digits():
            x = mp.mpf(train.travel)
            want = [
                float(mp.diff(lambda s, t=train: high_movement(t, s), x, n))
                for n in (1, 2)
            ]
        for first, second in (
            by_constraints(train, swept.rest),
            by_jets(train, swept.rest),
        ):
            assert first == pytest.approx(want[0], rel=1e-9, abs=1e-13)
            assert second == pytest.approx(want[1], rel=1e-8, abs=1e-13)


def by_constraints(train: Train, rest: PedalRest) -> tuple[float, float]:
    """Implicit differentiation of the rows."""
    road = simulate(rest, train.travel)
    phase, q = road.phase(train.travel), road.state(train.travel)
    along = push(phase.system, travel=1.0)
    n, kind = len(train.kinds), train.kinds[-1].split()[-1]
    sense = road.scene.senses.get(n, 1.0)
    motions = phase.rates(q), mixed_rate(phase.system, q, along, along)
    first, second = (
        sense * phase.system.number(m, f"{n} {ENDS[kind]}") for m in motions
    )
    return first, second


def by_jets(train: Train, rest: PedalRest) -> tuple[float, float]:
    """The closed forms, the travel being a parameter as well."""
    run = move(rest, Jet(np.array([train.travel]), 1.0, np.ones((1, 1, 1))))
    moved = movement(run, train)
    second = 0.0 if moved.h is None else float(np.ravel(moved.h)[0])
    return float(np.ravel(moved.t)[0]), second


PLACES = ("pivot", "pad", "clevis")
NO_SWAY = (".turn", ".stroke", ".free_play")


def sways(train: Train) -> list[str]:
    """Numbers that the movement of the end depends on."""
    return [k for k in train.numbers if k != "travel" and not k.endswith(NO_SWAY)]


def path_of(train: Train, name: str) -> str:
    """The path of a number in the design file."""
    head, _, rest = name.partition(".")
    if head in PLACES:
        return f"brake.{name}"
    of_run = rest.split(".")[0] in ("ferrule", "end_ferrule", "slack", "drum")
    if of_run and not train.kinds[int(head) - 1].endswith("cable"):
        return f"brake.train.{head}.cable.{rest}"
    return f"brake.train.{head}.{rest}"


@every_train
def test_derivatives_by_every_number(kinds: tuple[str, ...]) -> None:
    """First, and mixed with the travel, against 40 digits: 1e-8."""
    for train, swept in good_trains(kinds, many(30)):
        names = sways(train)
        rest = jet_rest(train, swept.rest, names)
        run = move(rest, Jet(np.array([[train.travel]]), 1.0))
        jet = movement(run, train)
        g = np.broadcast_to(jet.g, (len(names), 1, 1)).ravel()
        h = np.broadcast_to(jet.h, (len(names), 1, 1)).ravel()
        for k, name in enumerate(names):
            one, two = high_sway(train, name)
            assert g[k] == pytest.approx(one, rel=1e-8, abs=1e-12), name
            assert h[k] == pytest.approx(two, rel=1e-8, abs=1e-13), name


def jet_rest(train: Train, rest: PedalRest, names: list[str]) -> PedalRest:
    """The same pedal with every number a parameter."""
    values: dict[str, Jet] = {}
    for k, name in enumerate(names):
        turn = name.endswith(".axis")
        number = math.radians(train.numbers[name]) if turn else train.numbers[name]
        values[path_of(train, name)] = seed(number, k, len(names))
    return at_rest(Places(rest.places.design, values), rest.pedal)


def high_sway(train: Train, name: str) -> tuple[float, float]:
    """Derivative by a number, and by it and the travel, at full travel."""
    with oracles.digits():

        def f(x: Any, p: Any) -> Any:
            return high_movement(train, x, {name: p})

        at = mp.mpf(train.travel), mp.mpf(train.numbers[name])
        scale = 180 / mp.pi if name.endswith(".axis") else 1  # degrees in the file
        one, two = mp.diff(f, at, (0, 1)), mp.diff(f, at, (1, 1))
        return float(one * scale), float(two * scale)
