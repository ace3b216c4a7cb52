"""Laws that every train keeps: power, symmetry, arrays as scalars."""

from typing import Any

import numpy as np
import pytest

from linkage.loading import load_text
from linkage.motion.run import move
from linkage.second_road import simulate
from linkage.second_road.columns import View
from linkage.sweeping import sweep
from tests.cases_count import many
from tests.linkage.roads import ends_in_cable, every_form, good_trains, movement
from tests.trains import Train, rodded


@every_form
def test_power_in_is_power_out(kinds: tuple[str, ...]) -> None:
    """Statics by hand, from the end back to the pad: force x rate at both ends."""
    for train, swept in good_trains(kinds, many(100)):
        road = simulate(swept.rest, train.travel)
        travels = swept["travel"]
        rates = end_rates(swept, train)
        for travel, rate in zip(travels.tolist(), rates, strict=True):
            view = View(road, travel)
            assert pad_force(view, train) == pytest.approx(rate, rel=1e-9, abs=1e-12)


def end_rates(swept: Any, train: Train) -> list[float]:
    """What the end moves per mm of pad (mm or rad; 0 in slack), by the closed forms."""
    run = move(swept.rest, swept["travel"])
    tight = True if ends_in_cable(train) else run.taut(run.last)
    moving = np.where(tight, movement(run, train).t, 0.0)
    rates: list[float] = np.broadcast_to(moving, swept["travel"].shape).tolist()
    return rates


def pad_force(view: View, train: Train) -> float:
    """Force at the pad that holds 1 N (or 1 N mm) against the end's motion."""
    force: complex = 0.0  # on the hole that drives the part, from the part
    moment = 0.0  # on the driving body, where a drum pulls
    for n in range(len(train.kinds), 0, -1):
        load = load_of(view, train, n, force, moment)
        if n in view.phase.loose:
            load = 0.0  # a slack cable carries nothing
        force, moment = hole_load(view, train, n, load)
    pivot = view.at("pivot")
    arm = view.at("1 hole") - pivot if train.kinds[0].split()[0] != "drum" else 0.0
    whole = moment + cross(arm, force)
    radius = abs(train.point("pad") - train.point("pivot"))
    return -whole * train.sense / radius


def load_of(view: View, train: Train, n: int, force: complex, moment: float) -> float:
    """Force in the rod or cable that drives part n (as a length), from its load."""
    kind = train.kinds[n - 1]
    if kind.endswith("cylinder"):
        axis = view.road.scene.axes[n]
        rod = view.at(f"{n} end") - view.at(f"{n} hole")
        return 1.0 / (rod / abs(rod) * axis.conjugate()).real
    if kind.endswith("cable"):
        return 1.0
    if kind.endswith("quadrant"):
        return 1.0 / train.numbers[f"{n}.radius"]
    pivot, held = view.at(f"{n} pivot"), view.at(f"{n} input")
    if n == len(train.kinds):
        moment = -view.road.scene.senses[n]
    elif f"{n + 1} hole" in view.phase.system.points:
        moment += cross(view.at(f"{n + 1} hole") - pivot, force)
    link = held - (
        view.at(f"{n} hole") if rodded(kind) else view.at(f"{n} end ferrule")
    )
    # The link's force on the input, along it, undoes the moment.
    along = -moment / cross(held - pivot, link / abs(link))
    return along if rodded(kind) else -along


def hole_load(view: View, train: Train, n: int, load: float) -> tuple[complex, float]:
    """What the rod or cable of part n does to the body that drives it."""
    kind = train.kinds[n - 1]
    if kind.startswith("drum"):
        sense = train.sense if n == 1 else train.senses[n - 1]
        return 0.0, -sense * load * train.numbers[f"{n}.drum"]
    hole = view.at(f"{n} hole")
    if kind.endswith("cylinder") or rodded(kind):
        rod = view.at(f"{n} end" if kind.endswith("cylinder") else f"{n} input") - hole
        return -load * rod / abs(rod), 0.0
    run = view.at(f"{n} ferrule") - hole
    return load * run / abs(run), 0.0


def cross(a: complex, b: complex) -> float:
    return (complex(a).conjugate() * b).imag


@every_form
@pytest.mark.parametrize("law", ["mirror", "scale"])
def test_symmetry(kinds: tuple[str, ...], law: str) -> None:
    """Upside down, or at 0.7 of the size: the same motion, so changed."""
    for train, swept in good_trains(kinds, many(50)):
        other = mirrored(train) if law == "mirror" else scaled(train, 0.7)
        k = 1.0 if law == "mirror" else 0.7
        at = (k * swept["travel"]).tolist()
        again = sweep(load_text(other.toml()), "brake", at=at)
        assert again.limit is None
        for name, series in swept.columns.items():
            want = series.values * (k if series.unit == "mm" else 1.0)
            want = want / k if series.unit == "deg/mm" else want
            want = -want if law == "mirror" and name == "rod_angle" else want
            np.testing.assert_allclose(
                again[name], want, rtol=1e-10, atol=1e-9, err_msg=name
            )


MIRROR = {
    '"cw"': '"ccw"',
    '"ccw"': '"cw"',
    '"above"': '"below"',
    '"below"': '"above"',
}


def mirrored(train: Train) -> Train:
    """Heights change sign, and so does every turn."""
    flipped = {k: -v for k, v in train.numbers.items() if k.endswith((".z", ".axis"))}
    words = {k: MIRROR.get(v, v) for k, v in train.words.items()}
    return Train(
        kinds=train.kinds,
        numbers={**train.numbers, **flipped},
        words=words,
        sense=-train.sense,
        senses={n: -s for n, s in train.senses.items()},
    )


def scaled(train: Train, k: float) -> Train:
    lengths = {
        name: k * v
        for name, v in train.numbers.items()
        if not name.endswith((".axis", ".turn"))
    }
    return train.with_numbers(**lengths)


@every_form
def test_an_array_call_is_the_scalar_calls(kinds: tuple[str, ...]) -> None:
    for train, swept in good_trains(kinds, many(50)):
        design = swept.rest.places.design
        for k, x in enumerate(swept["travel"].tolist()):
            one = sweep(design, "brake", at=[x])
            for name, series in swept.columns.items():
                np.testing.assert_allclose(
                    one[name],
                    series.values[k : k + 1],
                    rtol=4e-16 * len(train.kinds),
                    atol=1e-12,
                    err_msg=name,
                )
