"""Questions without an answer: a planted one with a target that cannot be had beside it."""

import re
from dataclasses import replace

import numpy as np

from tests.linkage.placing.planted import (
    KINDS,
    Planted,
    filled,
    measured,
    plant,
    target,
)

TROUBLES = ("bound", "twice", "triangle", "bend", "short")


def impossible(trouble: str, rng: np.random.Generator) -> Planted:
    """Return a question that nothing answers.

    ``bound``: a stroke that the ratio does not leave (the rod end moves at most
    travel / least ratio). ``twice``: one quantity, two values. ``triangle``: two sides
    shorter than the third. ``bend``: a crank angle that turns by far more than the
    arm does. ``short``: a stroke that the cylinder does not have.
    """
    kind = {"bend": "cable", "twice": "crank"}.get(trouble, "direct")
    planted = plant(kind, rng, free=int(rng.integers(4, 7)), wants=2)
    return replace(planted, text=planted.text + EXTRA[trouble](planted, rng))


def _bound(planted: Planted, rng: np.random.Generator) -> str:
    travel = _most_travel(planted)
    ratio = rng.uniform(4.0, 6.0)
    stroke = travel / ratio + rng.uniform(1.0, 8.0)
    return target("stroke", "full", f"is = {stroke:.2f}\nwithin = 0.3") + target(
        "ratio", "", f"least = {ratio:.2f}"
    )


def _twice(planted: Planted, rng: np.random.Generator) -> str:
    value = _of(planted, "crank angle", "25 %", degrees=True)
    gap = rng.uniform(2.0, 6.0)
    return target(
        "crank angle", "25 %", f"is = {value + gap:.2f}\nwithin = 0.4"
    ) + target("crank angle", "25 %", f"most = {value:.2f}")


def _triangle(planted: Planted, rng: np.random.Generator) -> str:
    layout = planted.layout
    away = np.hypot(
        layout["pad.x"] - layout["pivot.x"], layout["pad.z"] - layout["pivot.z"]
    )
    one = 0.2 * away - rng.uniform(15.0, 25.0)
    return target(
        "distance", "rest", f'between = ["pivot", "clevis"]\nmost = {one:.2f}'
    ) + target(
        "distance", "rest", f'between = ["pad", "clevis"]\nmost = {0.75 * away:.2f}'
    )


def _bend(planted: Planted, rng: np.random.Generator) -> str:
    start = _of(planted, "crank angle", "rest", degrees=True)
    return target("crank angle", "rest", f"is = {start:.2f}\nwithin = 1") + target(
        "crank angle",
        "50 mm",
        f"is = {start + rng.uniform(60.0, 80.0):.2f}\nwithin = 1",
    )


def _short(_: Planted, rng: np.random.Generator) -> str:
    return target("stroke", "80 %", f"least = {rng.uniform(61.0, 70.0):.2f}")


EXTRA = {
    "bound": _bound,
    "twice": _twice,
    "triangle": _triangle,
    "bend": _bend,
    "short": _short,
}


def _most_travel(planted: Planted) -> float:
    found = re.search(r'travel = "?(?:[\d.]+ to )?([\d.]+)"?', planted.text)
    assert found is not None
    return float(found[1])


def _of(planted: Planted, what: str, at: str, *, degrees: bool) -> float:
    plain = filled(
        KINDS[planted.kind], {key: f"{v}" for key, v in planted.layout.items()}
    )
    value = measured(plain, [(what, at)])[0]
    return float(np.degrees(value)) if degrees else value
