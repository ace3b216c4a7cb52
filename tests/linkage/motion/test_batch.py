"""Many layouts in blocks against each of them alone."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.loading import load_text
from linkage.motion.batch import BLOCK, sweep_layouts
from linkage.motion.rest import at_rest
from linkage.motion.run import Run, move
from linkage.places import Places
from linkage.quantities.register import columns
from solvers.jet import Jet, value
from tests.cases_count import many
from tests.linkage.roads import every_form, good_trains

COUNT = 101
LAYOUTS = 2 * BLOCK // COUNT + 3  # three blocks, the last one short
LENGTHS = ("travel", "stroke", "cable_pull")
Laws = dict[str, Callable[[Run], Jet]]
Values = dict[str, NDArray[np.float64]]


def _spread(design: Design, wide: float) -> Values:
    rng = np.random.default_rng(4)
    return {
        path: number.nominal + rng.uniform(-wide, wide, (LAYOUTS, 1))
        for path, number in design.values.items()
        if path.endswith((".x", ".z", ".travel"))
    }


def _alone(design: Design, values: Values, row: int, laws: Laws) -> Values:
    one = {path: float(column[row, 0]) for path, column in values.items()}
    rest = at_rest(Places(design, one), design.pedals["brake"])
    run = move(rest, np.linspace(0.0, float(value(rest.travel)), COUNT))
    with np.errstate(divide="ignore", invalid="ignore"):
        return {name: np.broadcast_to(law(run).v, COUNT) for name, law in laws.items()}


def _compare(design: Design, values: Values, laws: Laws, rel: float = 1e-12) -> Values:
    """Each row as it is alone: to ``rel`` of it, or 1e-12 of what it comes from.

    That is some 100 mm, or 1 rad.
    """
    got = sweep_layouts(design, design.pedals["brake"], values, COUNT, laws)
    edges = {0, 1, BLOCK // COUNT - 1, BLOCK // COUNT, LAYOUTS - 1}
    spread = np.linspace(0, LAYOUTS - 1, many(300)).astype(int).tolist()
    for row in sorted(edges | set(spread)):
        for name, want in _alone(design, values, row, laws).items():
            floor = 1e-10 if name in LENGTHS else 1e-12
            np.testing.assert_allclose(
                got[name][row], want, rtol=rel, atol=floor, err_msg=name
            )
    return got


@every_form
def test_every_column_of_every_form(kinds: tuple[str, ...]) -> None:
    """Forwards and backwards: a value may be worked out for itself or on the way."""
    ((_, swept),) = good_trains(kinds, 1)
    design = swept.rest.places.design
    laws: Laws = {column.name: column.law for column in columns(design.pedals["brake"])}
    values = _spread(design, 0.3)
    there = _compare(design, values, laws)
    back = _compare(design, values, dict(reversed(laws.items())))
    for name, column in there.items():
        np.testing.assert_allclose(column, back[name], rtol=1e-12, err_msg=name)


SHORT = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = [106, 484.5]
travel = 200
[[pedal.brake.train]]
part = "cylinder"
seat = [116, 525]
axis = "forward"
free_play = 0.5
"""


@pytest.mark.filterwarnings("error")
def test_what_a_rod_cannot_reach_is_nan_there_and_nowhere_else() -> None:
    design = load_text(SHORT)
    laws: Laws = {column.name: column.law for column in columns(design.pedals["brake"])}
    values = _spread(design, 3.0)
    stroke = _compare(design, values, laws, rel=1e-9)["stroke"]  # to its dead centre
    lost = np.isnan(stroke)
    assert lost.any()
    assert not lost.all(axis=1).any()


def test_a_free_play_of_its_own_for_each_layout() -> None:
    design = load_text(SHORT)
    play = np.linspace(0.0, 2.0, LAYOUTS)[:, None]
    values = {"brake.train.1.free_play": play, "brake.travel": np.full_like(play, 40.0)}
    laws: Laws = {
        column.name: column.law
        for column in columns(design.pedals["brake"])
        if column.name == "stroke"
    }
    got = _compare(design, values, laws)["stroke"]
    free = got[0]
    late = free > play[-1]
    np.testing.assert_allclose(got[-1][late], free[late] - play[-1], rtol=1e-12)
