"""Thin regions: where a written layout holds, by trying every one, `place` has one."""

import re

import numpy as np
import pytest

from linkage.loading import load_text
from linkage.placing.document import placement_json
from linkage.placing.layouts import Layouts
from linkage.placing.place import place
from tests.cases_count import many
from tests.linkage.placing.asked import asked, problem_of
from tests.linkage.placing.planted import (
    KINDS,
    drawn,
    filled,
    measured,
    target,
)

#: Stroke and ratio leave a wedge, thin towards the end of a range.
WEDGE = """
[pedal.brake]
pivot  = { back = 95, up = "580 to 640 near 610" }
pad    = { back = 170, up = 305, thick = 13 }
clevis = { line = ["pivot", "pad"], along = "50 to 70", ahead = 5 }
travel = 153
[[pedal.brake.train]]
part      = "cylinder"
face      = { back = 40, up = 546 }
depth     = "about 12"
axis      = "forward"
stroke    = "1.1 in"
free_play = 0.5
"""

#: Numbers of every arm that may be left free.
FREED = ("pivot.x", "pivot.z", "clevis.x", "clevis.z")


def wedge(ratio: float, stroke: float = 27.0, travel: float = 153.0) -> str:
    return (
        WEDGE.replace("153", f"{travel:.9f}")
        + target("ratio", "60 mm", f"is = {ratio:.9f}\nwithin = 0.05")
        + target("stroke", "full", f"most = {stroke:.9f}")
    )


def every(problem: Layouts, step: float) -> np.ndarray:
    """Return every layout at a step of the ranges, (n, k)."""
    ticks = [
        np.arange(np.ceil(f.low / step - 1e-6), np.floor(f.high / step + 1e-6) + 1.0)
        for f in problem.frees
    ]
    mesh = np.meshgrid(*(step * tick for tick in ticks), indexing="ij")
    return np.stack([each.ravel() for each in mesh], axis=1)


def some_holds(text: str, step: float) -> bool:
    problem = problem_of(load_text(text))
    x = every(problem, step)
    return bool(problem.bands.met(problem(problem.unit(x))).any())


@pytest.mark.parametrize("ratio", [5.36, 5.38, 5.39, 5.40])
def test_a_wedge_that_whole_millimetres_meet(ratio: float) -> None:
    """Up 634 and along 63 (or the like) hold: hundredths, halves and wholes do."""
    text = wedge(ratio)
    for mark in (None, 0.5, 1.0):
        holds = some_holds(text, mark or 1.0)
        status = place(load_text(text), mark=mark).status
        assert (status == "placed") >= holds


#: So many steps wide is each range, by the number of free values.
SPANS = {2: 60, 3: 40, 4: 16}


def thin(
    rng: np.random.Generator, step: float, name: str = "direct", size: int = 2
) -> tuple[str, dict[str, float]]:
    """Plant a written layout in a region some steps wide, one limit active at it."""
    kind, span = KINDS[name], SPANS[size]
    layout = drawn(kind, rng)
    keys = rng.choice([*FREED, *(k for k in kind.numbers if "." in k)], size, False)
    for key in keys:
        layout[key] = round(round(layout[key] / step) * step, 2)
    plain = filled(kind, {key: f"{v}" for key, v in layout.items()})
    ratio, stroke = measured(plain, [("ratio", "60 %"), ("stroke", "full")])
    texts = {key: f"{v}" for key, v in layout.items()}
    for key in keys:
        low = layout[key] - span * step * rng.uniform(0.1, 0.9)
        texts[key] = f'"{low:.2f} to {low + span * step:.2f}"'
    within = 10.0 ** rng.uniform(-4.0, -2.0)
    off = within * rng.uniform(-0.95, 0.95)
    text = (
        filled(kind, texts)
        + target("ratio", "60 %", f"is = {ratio + off:.9f}\nwithin = {within:.9f}")
        + target("stroke", "full", f"most = {stroke + 1e-6:.9f}")
    )
    return text, {key: layout[key] for key in keys}


@pytest.mark.parametrize("step", [0.01, 0.5, 1.0])
def test_what_was_planted_in_steps_is_placed(step: float) -> None:
    rng = np.random.default_rng(27)
    for _ in range(many(60)):
        text, layout = thin(rng, step)
        assert some_holds(text, step), text
        mark = None if step == 0.01 else step
        assert place(load_text(text), mark=mark).status == "placed", (text, layout)


@pytest.mark.parametrize("name", ["direct", "pull", "rod", "crank", "two levers"])
@pytest.mark.parametrize("size", [3, 4])
def test_a_planted_layout_of_more_values_is_placed(size: int, name: str) -> None:
    rng = np.random.default_rng(size)
    for step in (0.5, 1.0):
        for _ in range(many(10)):
            text, layout = thin(rng, step, name, size)
            assert some_holds(text, step), text
            assert place(load_text(text), mark=step).status == "placed", (text, layout)


@pytest.mark.parametrize("mark", [None, 0.5])
def test_what_gives_way_is_the_nearest_that_can_be_written(mark: float | None) -> None:
    """Against every layout at a step; what is named is answered as named."""
    text = wedge(5.2)
    (conflict,) = asked(text, mark).conflicts
    ratio, stroke = conflict.clashes
    problem = problem_of(load_text(text))
    x = every(problem, mark or 0.05)
    y = problem(problem.unit(x))
    sound = (y[:, problem.owner < 0] >= 0.0).all(axis=1)
    of_ratio, of_stroke = (y[:, problem.owner == i][:, 0] for i in (0, 1))
    least_ratio = of_ratio[sound & (of_stroke <= 27.0)].min() - 0.05
    least_stroke = of_stroke[sound & (np.abs(of_ratio - 5.2) <= 0.05)].min()
    assert ratio.would_do is not None
    assert stroke.would_do is not None
    assert ratio.would_do - 5.2 == pytest.approx(least_ratio - 5.2, rel=0.02)
    assert stroke.would_do - 27.0 == pytest.approx(least_stroke - 27.0, rel=0.02)
    (travel,) = (g for g in placement_json(asked(text, mark))["give"])
    for given in (
        wedge(ratio.would_do),
        wedge(5.2, stroke=stroke.would_do),
        wedge(5.2, travel=travel["would_do"]),
    ):
        assert place(load_text(given), mark=mark).status == "placed"


def test_answers_that_read_alike_are_one() -> None:
    """A stretch met at either end by one written number is no two answers."""
    text = re.sub(r'"580 to 640 near 610"', "610", WEDGE).replace("153", "122")
    text = text.replace("50 to 70", "58 to 66")
    text += target("mean ratio", "", "is = 5.14\nwithin = 0.02")
    found = place(load_text(text))
    texts = [answer.text for answer in found.answers]
    assert len(texts) == len(set(texts)) == 1
    (exact,), (got,) = found.answers[0].exactly, found.answers[0].judged
    assert exact.travel == got.travel
    assert exact.got == pytest.approx(got.got, abs=2e-3)
