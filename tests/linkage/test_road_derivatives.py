"""Derivatives of every column of every train: closed forms, constraints, 40 digits."""

import math
from typing import Any

import mpmath as mp
import numpy as np
import pytest
from numpy.typing import NDArray

from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import move
from linkage.places import Places
from linkage.quantities.register import columns
from linkage.second_road import simulate
from linkage.second_road.simulation import ENDS
from linkage.sweeping import Sweep, sweep
from solvers.jet import Jet, seed, seed_driver
from solvers.newton import mixed_rate, push
from tests import oracles
from tests.cases_count import many
from tests.linkage.roads import (
    ends_in_cable,
    every_form,
    good_trains,
    high_columns,
    high_movement,
    movement,
)
from tests.trains import Train, rodded

#: Shares of the travel at which derivatives are looked at.
SHARES = (0.2, 0.6, 1.0)


@every_form
def test_derivatives_by_travel(kinds: tuple[str, ...]) -> None:
    """First (1e-9) and second (1e-8), of what ends the train."""
    for train, swept in good_trains(kinds, many(100)):
        for at in SHARES:
            travel = at * train.travel
            with oracles.digits():
                want = [
                    float(mp.diff(lambda s, t=train: high_movement(t, s), travel, n))
                    for n in (1, 2)
                ]
            for first, second in (
                by_constraints(train, swept.rest, travel),
                by_jets(train, swept.rest, travel),
            ):
                assert first == pytest.approx(want[0], rel=1e-9, abs=1e-13)
                assert second == pytest.approx(want[1], rel=1e-8, abs=1e-13)


def by_constraints(train: Train, rest: PedalRest, travel: float) -> tuple[float, float]:
    """Implicit differentiation of the rows."""
    road = simulate(rest, train.travel)
    phase, q = road.phase(travel), road.state(travel)
    along = push(phase.system, travel=1.0)
    n, kind = len(train.kinds), train.kinds[-1].split()[-1]
    sense = road.scene.senses.get(n, 1.0)
    motions = phase.rates(q), mixed_rate(phase.system, q, along, along)
    first, second = (
        sense * phase.system.number(m, f"{n} {ENDS[kind]}") for m in motions
    )
    return first, second


def by_jets(train: Train, rest: PedalRest, travel: float) -> tuple[float, float]:
    """The closed forms, the travel being a parameter as well."""
    run = move(rest, Jet(np.array([travel]), 1.0, np.ones((1, 1, 1))))
    moved = movement(run, train)
    if not ends_in_cable(train) and not np.all(run.taut(run.last)):
        return 0.0, 0.0  # the jet says where the motion will go once the slack is up
    second = 0.0 if moved.h is None else float(np.ravel(moved.h)[0])
    return float(np.ravel(moved.t)[0]), second


PLACES = ("pivot", "pad", "clevis")
NO_SWAY = (".turn", ".stroke", ".bore", ".gland")
#: mm or degrees; at 40 digits differences of it are good to 18.
STEP = mp.mpf("1e-10")
#: These are first derivatives by the travel already.
RATES = ("ratio", "lever_rate")


def sways(train: Train) -> list[str]:
    """Numbers that columns depend on."""
    return [k for k in train.numbers if k != "travel" and not k.endswith(NO_SWAY)]


def path_of(train: Train, name: str) -> str:
    """The path of a number in the design file."""
    head, _, rest = name.partition(".")
    if head in PLACES:
        return f"brake.{name}"
    if rest == "reach":
        return f"brake.train.{head}.input.reach"
    of_run = rest.split(".")[0] in ("ferrule", "end_ferrule", "slack", "drum")
    if of_run and not train.kinds[int(head) - 1].endswith("cable"):
        return f"brake.train.{head}.cable.{rest}"
    return f"brake.train.{head}.{rest}"


def is_kink(train: Train, swept: Sweep, name: str, x: float) -> bool:
    """No play, and a slack cable ahead: the piston is just met, and sways one way."""
    if not name.endswith("free_play") or train.numbers[name]:
        return False
    return swept_at(swept, "stroke", x) == 0.0


@every_form
def test_derivatives_of_every_column(kinds: tuple[str, ...]) -> None:
    """By travel and by each number, and mixed, against 40 digits: 1e-8.

    The ratio and a lever's rate are first derivatives by the travel: theirs by the
    numbers are the mixed ones of the movement.
    """
    for train, swept in good_trains(kinds, many(20)):
        names = sways(train)
        for at in SHARES:
            x = at * train.travel
            own = jets_of(train, swept.rest, names, x)
            assert set(own) == set(swept.columns) - {"travel"}
            pace, _ = high_sways(train, "travel", x)
            for k, name in enumerate([*names, "travel"]):
                if is_kink(train, swept, name, x):
                    continue
                firsts, mixed = high_sways(train, name, x)
                for column, (g, h) in own.items():
                    if math.isnan(firsts[column]):
                        assert np.isnan(swept_at(swept, column, x)), column
                        continue
                    said = f"{column} by {name} at {at}"
                    want = pytest.approx(firsts[column], rel=1e-8, abs=1e-12)
                    assert g[k] == want, said
                    # In slack a column that stands still has no mixed one of its own.
                    if column not in RATES and pace[column] != 0.0:
                        want = pytest.approx(mixed[column], rel=1e-8, abs=1e-12)
                        assert h[k] == want, said


def swept_at(swept: Sweep, column: str, travel: float) -> float:
    return float(sweep(swept.rest.places.design, "brake", at=[travel])[column][0])


Series = tuple[NDArray[np.float64], NDArray[np.float64]]


def jets_of(
    train: Train, rest: PedalRest, names: list[str], travel: float
) -> dict[str, Series]:
    """Each column's derivatives by the numbers and, last, the travel; and mixed."""
    count = len(names) + 1
    run = move(
        jet_rest(train, rest, names),
        seed_driver(np.array([[travel]]), len(names), count),
    )
    found = {}
    with np.errstate(divide="ignore", invalid="ignore"):
        for column in columns(rest.pedal)[1:]:
            jet = column.law(run)
            found[column.name] = spread(jet.g, count), spread(jet.h, count)
    return found


def spread(part: Any, count: int) -> NDArray[np.float64]:
    """Parts of a jet at one place; None is zero."""
    whole = 0.0 if part is None else part
    return np.broadcast_to(np.asarray(whole, float), (count, 1, 1)).ravel()


def jet_rest(train: Train, rest: PedalRest, names: list[str]) -> PedalRest:
    """The same pedal with every number a parameter, and room for the travel."""
    values: dict[str, Jet] = {}
    for k, name in enumerate(names):
        turn = name.endswith(".axis")
        number = math.radians(train.numbers[name]) if turn else train.numbers[name]
        path = path_of(train, name)
        assert path in rest.places.design.values
        values[path] = seed(number, k, len(names) + 1)
    return at_rest(Places(rest.places.design, values), rest.pedal)


def high_sways(
    train: Train, name: str, travel: float
) -> tuple[dict[str, float], dict[str, float]]:
    """Every column's derivative by a number, and by it and the travel."""
    with oracles.digits():
        at, h = mp.mpf(travel), STEP
        if name == "travel":
            back, here, ahead = (high_columns(train, at + k * h) for k in (-1, 0, 1))
            first = {k: (ahead[k] - back[k]) / (2 * h) for k in here}
            second = {k: (ahead[k] - 2 * here[k] + back[k]) / h**2 for k in here}
            return settled(train, first, second, first)
        number = mp.mpf(train.numbers[name])
        sides: dict[tuple[int, int], dict[str, Any]] = {
            (i, j): high_columns(train, at + i * h, {name: number + j * h})
            for i, j in ((0, -1), (0, 1), (-1, -1), (-1, 1), (1, -1), (1, 1))
        }
        first = {k: (sides[0, 1][k] - sides[0, -1][k]) / (2 * h) for k in sides[0, 1]}
        mixed = {
            k: (sides[1, 1][k] - sides[1, -1][k] - sides[-1, 1][k] + sides[-1, -1][k])
            / (4 * h**2)
            for k in first
        }
        along = {k: (sides[1, 1][k] - sides[-1, 1][k]) / (2 * h) for k in first}
        scale = 180 / mp.pi if name.endswith(".axis") else 1  # degrees in the file
        first, mixed = ({k: v * scale for k, v in d.items()} for d in (first, mixed))
        return settled(train, first, mixed, along)


def settled(
    train: Train, first: dict[str, Any], mixed: dict[str, Any], along: dict[str, Any]
) -> tuple[dict[str, float], dict[str, float]]:
    """As numbers, with the ratio (nan in slack) or the rate by the chain rule."""
    rate, sway = along["end"], mixed["end"]
    if rodded(train.kinds[-1]):
        first["lever_rate"] = sway
    else:
        first["ratio"] = -sway / rate**2 if rate else mp.nan
    return (
        {k: float(v) for k, v in first.items()},
        {k: float(v) for k, v in mixed.items()},
    )
