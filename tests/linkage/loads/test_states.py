"""States of a loaded pedal: slack, jumps, a foot too weak, many layouts, drums."""

from typing import Any

import numpy as np
import pytest

import linkage
from linkage.faults import DesignError
from linkage.loads.burden import Burden, Rubbing, friction_faults
from linkage.loads.equilibrium import Load, forces
from linkage.loads.marks import marks_of
from linkage.loads.springs import springs_of
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import move
from linkage.places import Places
from linkage.pressing.press import load_pedal
from linkage.sweeping import standing
from tests.cases_count import many
from tests.linkage.loads.test_equilibrium import RUBBING, load_for, rubbing_for
from tests.linkage.loads.test_springs import SPRINGS, carried, design
from tests.linkage.roads import every_train, good_trains

NAMES = ("effort", "end", "torque")


@every_train
def test_forces_are_continuous_but_for_stated_jumps(kinds: tuple[str, ...]) -> None:
    """A step 1000 times shorter changes all forces 1000 times less, marks left out."""
    burden = Burden(rubbing=rubbing_for(kinds))
    for train, swept in good_trains(kinds, many(20)):
        marks = [m.travel for m in marks_of(swept.rest, burden, train.travel)]
        middles = np.linspace(0.0, train.travel, 42)[1:-1]
        far = [x for x in middles if all(abs(x - m) > 0.1 for m in marks)]
        places = np.array(far)[:, None]
        for way in (1.0, -1.0):
            fine, coarse = (
                largest_step(swept.rest, burden, load_for(train), way, places, step)
                for step in (1e-5, 1e-2)
            )
            assert fine < 1e-2 * coarse + 1e-6


def largest_step(
    rest: PedalRest, burden: Burden, load: Load, way: float, places: Any, step: float
) -> float:
    """Return the most that any force changes across ``step`` mm of travel, N."""
    run = move(rest, places + step * np.array([-0.5, 0.5]))
    found = forces(run, burden, load, way=way)
    held = [getattr(found, name) for name in NAMES]
    held += [*found.ties, *found.sides, *map(np.abs, found.pivots)]
    both = [np.diff(each, axis=-1) for each in held if each is not None]
    return float(np.nanmax(np.abs(np.concatenate(both))))


#: Until the last of these is past, nothing bears.
LOOSE = ("gap closed", "cable slack taken up")


@every_train
def test_nothing_goes_through_before_slack_and_play_are_taken_up(
    kinds: tuple[str, ...],
) -> None:
    for train, swept in good_trains(kinds, many(30)):
        burden = Burden(rubbing=rubbing_for(kinds))
        marks = marks_of(swept.rest, burden, train.travel)
        until = [m.travel for m in marks if m.what in LOOSE]
        taken_up = max(until, default=0.0)
        if taken_up < 0.1:
            continue
        run = move(swept.rest, np.array([0.0, taken_up - 1e-6, taken_up + 1e-6]))
        for load in (load_for(train), Load(of="foot", size=300.0)):
            found = forces(run, burden, load)
            for size in found.ties:
                assert np.all(size[:2] == 0.0)
                assert size[2] > 0.0
            assert np.all(np.abs(found.effort[:2]) < 1e-9)
            assert found.effort[2] > 1.0


def test_a_foot_weaker_than_its_spring_moves_nothing() -> None:
    """The effort said is what the place needs; the piston gets nothing."""
    run, burden = carried(design(SPRINGS["extension"]), 30.0, 60.0)
    needs = forces(run, burden, Load(of="end", size=0.0)).effort
    weak = forces(run, burden, Load(of="foot", size=float(needs[0]) * 0.9))
    assert np.all(weak.end == 0.0)
    assert weak.effort == pytest.approx(needs, rel=1e-12)
    strong = forces(run, burden, Load(of="foot", size=float(needs[1]) + 50.0))
    assert np.all(strong.end > 0.0)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_layouts_and_positions_together(way: float) -> None:
    """Two holes at once are the same as one after the other; friction in all."""
    file = linkage.load("examples/brake-floor.toml")
    places = np.linspace(0.0, 40.0, 5)
    path = next(p for p in file.values if p.endswith("pivot.x") or "pivot.back" in p)
    start = file.values[path].nominal

    def felt(x: Any) -> Any:
        rest = at_rest(Places(file, {path: x}), file.pedals["brake"])
        burden = Burden(springs=springs_of(rest), rubbing=RUBBING)
        return forces(move(rest, places), burden, Load(of="end", size=900.0), way=way)

    both = felt(np.array([[start], [start + 2.0]]))
    assert both.effort.shape == (2, 5)
    for row, x in enumerate((start, start + 2.0)):
        one = felt(x)
        assert both.effort[row] == pytest.approx(one.effort, rel=1e-12)
        assert both.sides[0][row] == pytest.approx(one.sides[0], rel=1e-12)
        assert both.pivots[1][row] == pytest.approx(one.pivots[1], rel=1e-12)


DRUM = """
[pedal.throttle]
pivot = [0, 0]
pad = [0, -200]
travel = 50
[[pedal.throttle.train]]
part = "cable"
drum = 45
ferrule = [-300, 20]
"""


def test_a_drum_s_cable_leaves_it_straight_for_its_ferrule() -> None:
    """The pull lies along the tangent: it turns the arm by force x radius."""
    rest = standing(linkage.load_text(DRUM), "throttle")
    found = forces(move(rest, np.zeros(1)), Burden(), Load(of="end", size=100.0))
    pull = -complex(found.pivots[0][0]) - complex(found.foot[0])
    assert abs(pull) == pytest.approx(100.0, rel=1e-12)
    ferrule = -300 + 20j
    # Moment about the pivot, with the force anywhere on its line: at the ferrule.
    moment = (ferrule.conjugate() * pull).imag
    assert moment == pytest.approx(-100.0 * 45.0, rel=1e-12)  # against the press
    assert (pull * ferrule.conjugate()).real > 0.0  # towards the ferrule
    assert float(found.effort[0]) == pytest.approx(100.0 * 45.0 / 200.0, rel=1e-12)


def test_a_pivot_that_rubs_needs_to_know_the_way_of_its_cable() -> None:
    rubs = DRUM + "[pedal.throttle.friction]\n"
    assert not list(friction_faults(standing(linkage.load_text(rubs), "throttle")))
    blind = rubs.replace("ferrule = [-300, 20]\n", "")
    with pytest.raises(DesignError, match="nothing says which way the cable leaves"):
        load_pedal(linkage.load_text(blind), "throttle", "end", 100.0)


def test_friction_larger_than_the_lever_holds_by_itself() -> None:
    """A bush so stiff that no push moves it: no number, and no false one."""
    run, _ = carried(design(), 30.0)
    stuck = Burden(rubbing=Rubbing(pivot=400.0))
    found = forces(run, stuck, Load(of="end", size=1000.0))
    assert np.all(np.isnan(found.effort))


def test_seals_hold_back_both_ways() -> None:
    """Pressing: force x (1 + share) + drag at the rod; on the way home the reverse."""
    run, _ = carried(design(), 30.0)
    burden = Burden(rubbing=Rubbing(seal=30.0, seal_share=0.02))
    there, home = (
        forces(run, burden, Load(of="end", size=1000.0), way=way) for way in (1.0, -1.0)
    )
    plain = forces(run, Burden(), Load(of="end", size=1000.0))
    assert there.ties[0] == pytest.approx(plain.ties[0] * 1.05, rel=1e-12)
    assert home.ties[0] == pytest.approx(plain.ties[0] * 0.95, rel=1e-12)
    none = forces(run, burden, Load(of="end", size=20.0), way=-1.0)
    assert np.all(none.ties[0] == 0.0)  # its seals hold the piston where it is
