"""Forces through a balance bar, against virtual work and sums of moments."""

import numpy as np
import pytest

from linkage.loading import load_text
from linkage.loads.burden import Burden, Rubbing
from linkage.loads.equilibrium import Forces, Load, forces
from linkage.motion.run import move
from linkage.sweeping import standing
from solvers.jet import value
from tests.cases_count import many
from tests.linkage.motion.test_bars import cases

AT = np.linspace(15.0, 80.0, 9)


def held(
    text: str, load: Load, rubbing: Rubbing | None = None, way: float = 1.0
) -> Forces:
    rest = standing(load_text(text), "brake")
    burden = Burden(rubbing=rubbing or Rubbing())
    return forces(move(rest, AT), burden, load, way=way)


def test_work_in_is_work_out() -> None:
    """Foot times travel is both pistons' forces times their strokes, to 1e-9."""
    for text, _, _ in cases(many(100)):
        found = held(text, Load(of="foot", size=500.0))
        out = sum(
            force * step.end().t
            for force, step in zip(found.ends, found.run.steps, strict=True)
        )
        assert out == pytest.approx(np.full(len(AT), 500.0), rel=1e-9)


def test_shares_are_those_of_the_bearing() -> None:
    for text, _, share in cases(many(100)):
        front, rear = held(text, Load(of="foot", size=500.0)).ends
        assert front / (front + rear) == pytest.approx(share, rel=1e-12)


def test_moments_on_the_arm_add_up() -> None:
    """Each rod's force along its own line, about the pivot, against the foot's."""
    for text, _, _ in cases(many(60)):
        found = held(text, Load(of="end", size=2000.0))
        run = found.run
        hole = value(run.arm.carry(run.rest.places.point("brake.clevis")))
        pad = value(run.arm.carry(run.rest.pad))
        turned = (np.conj(pad) * found.foot).imag
        for size, step in zip(found.ties, run.steps, strict=True):
            rod = value(step.link.far()) - hole
            turned = turned - size * (np.conj(hole) * rod / np.abs(rod)).imag
        assert turned == pytest.approx(np.zeros(len(AT)), abs=1e-6)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_stated_front_pressure_is_had(way: float) -> None:
    """Seals hold back N and a share at each piston, while pressing and on the way home."""
    rubbing = Rubbing(seal=20.0, seal_share=0.03)
    for text, _, share in cases(many(40)):
        found = held(text, Load(of="front", size=1500.0), rubbing, way)
        front, rear = found.ends
        assert front == pytest.approx(np.full(len(AT), 1500.0))
        push = (1500.0 * (1.0 + 0.03 * way) + 20.0 * way) / share
        want = ((1.0 - share) * push - 20.0 * way) / (1.0 + 0.03 * way)
        assert rear == pytest.approx(np.full(len(AT), want))


def test_both_ends_together_are_what_is_stated() -> None:
    rubbing = Rubbing(seal=20.0, seal_share=0.03)
    for text, _, _ in cases(many(40)):
        found = held(text, Load(of="end", size=3000.0), rubbing)
        assert sum(found.ends) == pytest.approx(np.full(len(AT), 3000.0))
