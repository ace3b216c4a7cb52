"""Targets of a balance bar: of one rod, or without ``which`` of both."""

import numpy as np
import pytest

from linkage.loading import load_text
from linkage.placing.place import place
from linkage.sweeping import sweep

FREE = """\
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
clevis = [-8, "-60 to -40"]
travel = 100
[[pedal.brake.train]]
part = "balance_bar"
spacing = 63.5
shift = "2 towards rear"
[[pedal.brake.train.front]]
part = "cylinder"
seat = [130, "-62 to -38"]
axis = "forward"
stroke = 30
[[pedal.brake.train.rear]]
part = "cylinder"
seat = [150, "-62 to -38"]
axis = "forward"
stroke = 25
[[pedal.brake.target]]
of = "ratio"
at = "50 mm"
is = 5.8
within = 0.01
"""
LEAN = """
[[pedal.brake.target]]
of = "rod angle"
at = "50 mm"
{which}
{wish}
"""


def answer(*more: str) -> dict[str, float]:
    found = place(load_text(FREE + "".join(more)))
    assert found.status == "placed"
    return dict(found.answers[0].values)


def leans(values: dict[str, float]) -> tuple[float, float]:
    design = load_text(FREE)
    inside = {
        path if path.startswith("brake.") else f"brake.{path}": x
        for path, x in values.items()
    }
    run = sweep(design, "brake", at=[50.0], values=inside)
    return float(run["front_rod_angle"][0]), float(run["rear_rod_angle"][0])


def test_without_which_a_target_holds_for_both_rods() -> None:
    front, rear = leans(answer(LEAN.format(which="", wish="is = 0\nwithin = 0.05")))
    assert front == pytest.approx(0.0, abs=0.0501)
    assert rear == pytest.approx(0.0, abs=0.0501)


def test_with_which_it_holds_for_that_one() -> None:
    both = [
        LEAN.format(which=f'which = "{side}"', wish=f"is = {wanted}\nwithin = 0.05")
        for side, wanted in (("front", 1.0), ("rear", -1.0))
    ]
    front, rear = leans(answer(*both))
    assert front == pytest.approx(1.0, abs=0.0501)
    assert rear == pytest.approx(-1.0, abs=0.0501)


def test_a_rod_goes_by_its_number_too() -> None:
    front, _ = leans(
        answer(LEAN.format(which="which = 1", wish="is = 1\nwithin = 0.05"))
    )
    assert front == pytest.approx(1.0, abs=0.0501)


def test_most_looks_at_the_rod_that_leans_more() -> None:
    front, rear = leans(answer(LEAN.format(which="", wish="most = 0.3")))
    assert np.abs([front, rear]).max() <= 0.3001


def test_more_stroke_than_either_has_is_refused_with_its_reason() -> None:
    more = '\n[[pedal.brake.target]]\nof = "stroke"\nat = "full"\nleast = 26\n'
    found = place(load_text(FREE + more))
    assert found.status == "conflict"
