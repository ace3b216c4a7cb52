"""Targets of every quantity can be placed by, and what a target may not say."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import NonlinearConstraint, minimize

from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.placing.place import place
from tests.cases_count import many

FREE = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = { from = "pivot", reach = "50 to 75", angle = "down, 5 to 20 deg back" }
travel = 100
[[pedal.brake.train]]
part = "cylinder"
axis = "forward"
bore = "3/4 in"
stroke = 40
free_play = 0.5
seat = [233, "470 to 500"]
"""


@pytest.mark.parametrize(
    "wish", ["most = 5", "is = 0\nwithin = 3", 'prefer = "small"', "least = -4"]
)
@pytest.mark.parametrize("at", ['at = "full"', 'at = "0 to 70 mm"', ""])
def test_ratio_change_is_placed_by(wish: str, at: str) -> None:
    target = f'[[pedal.brake.target]]\nof = "ratio change"\n{at}\n{wish}\n'
    found = place(load_text(FREE + target))
    assert found.status == "placed"
    assert all(judged.met for judged in found.answers[0].judged)


@pytest.mark.parametrize("which", ["7", '"front"'])
@pytest.mark.parametrize("of", ["rod angle", "stroke", "ratio", "crank angle"])
def test_a_rod_that_is_not_there_is_a_fault(of: str, which: str) -> None:
    target = f'[[pedal.brake.target]]\nof = "{of}"\nmost = 2\nwhich = {which}\n'
    with pytest.raises(DesignError, match=r"no branch|it has 1 rod or cable"):
        place(load_text(FREE + target))


def test_a_guess_within_a_choice_stays_a_guess() -> None:
    design = load_text(
        FREE.replace('"3/4 in"', '{ one_of = ["about 0.70 in", "3/4 in"] }')
    )
    assert [value.path for value in design.guesses] == ["brake.train.1.bore"]


NEAR = FREE.replace('"470 to 500"', '"470 to 500 near 487"') + (
    '[[pedal.brake.target]]\nof = "stroke"\nat = "full"\nis = 20\nwithin = 0.2\n'
    '[[pedal.brake.target]]\nof = "rod angle"\nmost = 2\n'
)


def _sums(reach: float, angle: float, z: float) -> tuple[float, float, float]:
    """Stroke at full, greatest rod angle and ratio at rest by plain trigonometry."""
    radius = math.hypot(85, 290)
    turn = np.linspace(0.0, 100.0 / radius, 401)
    start = math.radians(-90.0 - angle)
    x = 120 + reach * np.cos(start + turn)
    y = 545 + reach * np.sin(start + turn) - z
    rod = math.hypot(233 - x[0], y[0])
    end = x + np.sqrt(rod * rod - y * y)
    lean = np.degrees(np.arcsin(y / rod))
    slope = -(y[0] / (233 - x[0])) * (x[0] - 120)
    first = -(545 + reach * math.sin(start) - 545) + slope
    return end[-1] - 233 - 0.5, float(np.abs(lean).max()), radius / first


def test_a_family_shows_its_best_margin() -> None:
    """Against a fine grid of all layouts that leave the cylinder where it was."""
    found = place(load_text(NEAR))
    best = 0.0
    for reach in np.arange(61.0, 63.0, 0.1):
        for angle in np.arange(5.0, 20.0, 0.25):
            stroke, lean, _ = _sums(reach, angle, 487.0)
            best = max(best, min((0.2 - abs(stroke - 20.0)) / 0.2, (2.0 - lean) / 0.5))
    assert best > 0.35
    assert found.answers[0].values["brake.train.1.seat.z"] == 487.0
    assert found.answers[0].margin >= best - 0.05


def test_a_preference_comes_within_a_per_cent_of_its_best_though_near_pulls() -> None:
    wish = '[[pedal.brake.target]]\nof = "ratio"\nat = "rest"\nprefer = "small"\n'
    found = place(load_text(NEAR + wish))
    best = min(
        ratio
        for reach in np.arange(61.5, 64.0, 0.1)
        for angle in (5.0, 5.5, 6.0)
        for z in np.arange(478.0, 488.0, 0.5)
        for stroke, lean, ratio in [_sums(reach, angle, z)]
        if abs(stroke - 20.0) <= 0.2 and lean <= 2.0
    )
    assert found.answers[0].judged[-1].got is not None
    assert found.answers[0].judged[-1].got <= 1.01 * best


def _stroke(back: float, down: float) -> float:
    """Stroke at 120 mm of pad of a hole back of and below the pivot."""
    hole, end = 120 + 545j - back - 1j * down, 233 + 487j
    turned = 120 + 545j - (back + 1j * down) * np.exp(120j / math.hypot(85, 290))
    rod = abs(end - hole)
    off = turned - end
    return float(off.real + math.sqrt(rod * rod - off.imag**2) - 0.5)


def _stroke_of(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.array([_stroke(float(x[0]), float(x[1]))])


def test_a_question_stays_as_near_as_the_edge_of_its_targets_lets_it() -> None:
    """Least sum of squares of moves over widths, by SciPy's SLSQP on own trigonometry."""
    rng = np.random.default_rng(14)
    for _ in range(many(30)):
        near = np.round(rng.uniform((0.0, 45.0), (20.0, 65.0)), 1)
        wanted = round(float(rng.uniform(23.0, 25.0)), 1)
        held = NonlinearConstraint(_stroke_of, wanted - 0.5, wanted + 0.5)
        tries = [
            minimize(
                lambda x, near=near: float((((x - near) / 20.0) ** 2).sum()),
                start,
                method="SLSQP",
                bounds=[(0.0, 20.0), (45.0, 65.0)],
                constraints=held,
            )
            for start in (near, np.array([5.0, 60.0]), np.array([15.0, 60.0]))
        ]
        best = min(each.fun for each in tries if each.success)
        back, down = f'"0 to 20 near {near[0]}"', f'"45 to 65 near {near[1]}"'
        text = FREE.replace("travel = 100", "travel = 120").replace(
            '{ from = "pivot", reach = "50 to 75", angle = "down, 5 to 20 deg back" }',
            f'{{ from = "pivot", back = {back}, down = {down} }}',
        )
        text = text.replace('"470 to 500"', "487")
        text += f'[[pedal.brake.target]]\nof = "stroke"\nat = "full"\nis = {wanted}\n'
        answer = place(load_text(text)).answers[0]
        step = 0.01 / 20.0
        assert answer.moves <= best + 3.0 * step * math.sqrt(best) + step**2
