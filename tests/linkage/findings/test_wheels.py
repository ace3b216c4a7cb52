"""Which axle locks first, against a search over pressure: two axles, by hand."""

import numpy as np
import pytest

from linkage.car.rig import rig_of
from linkage.loading import load_text
from tests.cases_count import many
from tests.linkage.findings.designs import found
from tests.linkage.findings.test_stopping import BORE, PER_MPA, WEIGHT, brake

#: Steps of the search; what one of them is of the level at a lock bounds its error.
STEPS = 4000


def searched(share: float, grip: float, top: float) -> dict[str, float]:
    """Return at which pressure each axle locks, pressing harder in small steps.

    The car of `designs.car`: 0.56 of its weight in front, shifted by 0.2 for each g0.
    A locked axle drags with grip x load: the deceleration is a plain sum then.
    """
    locked: dict[str, float] = {}
    for p in np.linspace(top / STEPS, top, STEPS):
        front, rear = (part * PER_MPA * p / WEIGHT for part in (share, 1.0 - share))
        z = front + rear
        if "front" in locked:
            z = (grip * 0.56 + rear) / (1.0 - 0.2 * grip)
        if "rear" in locked:
            z = (front + grip * 0.44) / (1.0 + 0.2 * grip)
        if "front" not in locked and front >= grip * (0.56 + 0.2 * z):
            locked["front"] = p
        if "rear" not in locked and rear >= grip * (0.44 - 0.2 * z):
            locked["rear"] = p
        if len(locked) == 2:
            break
    return locked


def test_the_order_of_the_axles_by_a_search_over_pressure() -> None:
    rng = np.random.default_rng(570)
    seen = {0: 0, 1: 0, 2: 0}
    for _ in range(many(200)):
        share, grip = rng.uniform(0.45, 0.85), rng.uniform(0.5, 1.3)
        text = brake(share, grip=grip, travel=rng.uniform(36.0, 90.0))
        top = rig_of(load_text(text), "brake").top / BORE
        locked = searched(share, grip, top)
        seen[len(locked)] += 1
        one = found(text, "Front locks first")
        if not locked:
            assert one.verdict == "not checked"
            assert one.lack is not None
            assert "at its end before that" in one.lack.what
            continue
        first = min(locked, key=lambda axle: locked[axle])
        second = max(locked.values()) if len(locked) == 2 else top
        sign = 1.0 if first == "front" else -1.0
        want = sign * 100.0 * (second / locked[first] - 1.0)
        off = 300.0 * second / locked[first] * top / STEPS / locked[first]
        assert one.measured is not None
        assert one.measured.value == pytest.approx(want, abs=off)
        bound = {1.0: "at least", -1.0: "at most"}[sign]
        assert one.measured.bound == ("" if len(locked) == 2 else bound)
    assert min(seen.values()) > 0


def test_an_axle_alone_has_the_room_up_to_the_hardest_push() -> None:
    """Share 0.85, grip 0.9: the front locks where 0.85 z = 0.9 (0.56 + 0.2 z); the rear
    would at twice the level, and the pedal ends before."""
    text = brake(0.85, travel=75.0)
    top = rig_of(load_text(text), "brake").top / BORE * PER_MPA / WEIGHT
    one = found(text, "Front locks first")
    assert one.measured is not None
    front = 0.9 * 0.56 / (0.85 - 0.18)
    assert one.measured.value == pytest.approx(100.0 * (top / front - 1.0), rel=1e-9)
    assert one.measured.bound == "at least"
    assert 0.9 * 0.26 / 0.15 > top > front
