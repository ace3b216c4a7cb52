"""A bar's two cylinders move as if each were alone; its bearing by the weighed mean."""

import numpy as np
import pytest

from linkage.loading import load_text
from linkage.second_road import simulate
from linkage.second_road.columns import simulated_columns
from linkage.sweeping import Sweep, sweep
from tests.cases_count import many

ALONE = """\
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
clevis = [{x}, -50]
travel = 90
"""
END = """\
part = "cylinder"
seat = [{0}, {1}]
axis = {2}
free_play = {3}
stroke = {4}
"""


def cases(count: int) -> list[tuple[str, list[str], float]]:
    """Return (file with a bar, files with each cylinder alone, front share)."""
    rng, found = np.random.default_rng(31), []
    for _ in range(count):
        head = ALONE.format(x=rng.uniform(-12.0, 4.0))
        ends = [
            END.format(
                rng.uniform(110.0, 160.0),
                rng.uniform(-56.0, -42.0),
                rng.uniform(-4.0, 4.0),
                rng.uniform(0.2, 1.0),
                rng.uniform(8.0, 30.0),
            )
            for _ in range(2)
        ]
        shift = rng.uniform(-9.0, 9.0)
        side = "front" if shift > 0.0 else "rear"
        bar = f'part = "balance_bar"\nspacing = 60\nshift = "{abs(shift)} towards {side}"\n'
        text = f"{head}[[pedal.brake.train]]\n{bar}"
        for name, end in zip(("front", "rear"), ends, strict=True):
            text += f"[[pedal.brake.train.{name}]]\n{end}"
        alone = [f"{head}[[pedal.brake.train]]\n{end}" for end in ends]
        found.append((text, alone, 0.5 + shift / 60.0))
    return found


def swept(text: str) -> Sweep:
    return sweep(load_text(text), "brake", positions=25)


def test_each_cylinder_moves_as_if_alone() -> None:
    for text, alone, _ in cases(many(100)):
        found = swept(text)
        for name, each in zip(("front", "rear"), map(swept, alone), strict=True):
            for column in ("stroke", "ratio", "rod_angle", "crank_angle"):
                assert found[f"{name}_{column}"] == pytest.approx(
                    each[column], abs=1e-9
                )


def test_the_bearing_moves_by_the_weighed_mean() -> None:
    """d(travel) over d(mean of the rods): 1/ratio is the weighed mean of both."""
    for text, _, share in cases(many(100)):
        found = swept(text)
        mean = share / found["front_ratio"] + (1.0 - share) / found["rear_ratio"]
        assert 1.0 / found["ratio"] == pytest.approx(mean, rel=1e-12)


def test_what_is_used_up_is_told_of_each() -> None:
    for text, alone, _ in cases(many(60)):
        ends = {end.part: end.travel for end in swept(text).ends}
        for name, each in zip(("front", "rear"), map(swept, alone), strict=True):
            own = [end.travel for end in each.ends]
            got = [ends[f"train.1.{name}.1"]] if f"train.1.{name}.1" in ends else []
            assert got == pytest.approx(own, abs=1e-9)


def test_a_lever_may_drive_the_bar() -> None:
    lever = (
        '[[pedal.brake.train]]\npart = "lever"\npivot = [120, 0]\ninput = [120, -50]\n'
        "output = [120, -40]\n"
    )
    text, _, _ = cases(1)[0]
    head, _, rest = text.partition("[[pedal.brake.train]]\n")
    moved = rest.replace("seat = [1", "seat = [2")
    found = swept(f"{head}{lever}[[pedal.brake.train]]\n{moved}")
    assert "crank_1_angle" in found.columns
    assert "transmission_1_angle" in found.columns
    assert found["front_stroke"][-1] > 5.0


def test_a_dead_centre_of_either_rod_ends_the_motion() -> None:
    """Swung so far that the hole comes in line with a rod: the first one counts."""
    head = ALONE.format(x=20).replace("travel = 90", "travel = 430")
    ends = [END.format(170, z, 0, 0.5, 80) for z in (-50, -20)]
    text = f'{head}[[pedal.brake.train]]\npart = "balance_bar"\nspacing = 60\n'
    for name, end in zip(("front", "rear"), ends, strict=True):
        text += f"[[pedal.brake.train.{name}]]\n{end}"
    limit = swept(text).limit
    alone = [swept(f"{head}[[pedal.brake.train]]\n{end}").limit for end in ends]
    at = [each.travel for each in alone if each is not None]
    assert len(at) == 2
    assert abs(at[0] - at[1]) > 1.0
    assert limit is not None
    assert limit.kind == "dead centre"
    assert limit.travel == pytest.approx(min(at), abs=1e-9)


def test_the_constraint_solver_moves_a_bar_alike() -> None:
    """Every column by the general solver, whose mechanism has no closed form in it."""
    for text, _, _ in cases(many(40)):
        found = swept(text)
        road = simulate(found.rest, 90.0)
        columns = simulated_columns(road, found["travel"].tolist())
        assert set(columns) == set(found.columns)
        for name, values in columns.items():
            assert found[name] == pytest.approx(values, abs=1e-7), name
