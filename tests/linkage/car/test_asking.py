"""What is asked of a brake is had, or it is said why not."""

import numpy as np
import pytest

from linkage.car.asking import Answer, ask, usual
from linkage.car.rig import rig_of
from linkage.faults import FootwellError
from linkage.loading import load_text
from linkage.words.budget import told
from linkage.words.effort import SCALES
from linkage.words.speech import Speech
from tests.linkage.car.test_rig import BOOSTED, TEXT, one, rig, rod_of

BARE = TEXT.partition("[vehicle]")[0] + TEXT[TEXT.index("[circuit.front]") :]


def got(answer: Answer) -> float:
    """What the answer gives of what was asked."""
    if answer.of == "foot":
        return one(answer.state.foot.effort)
    if answer.of == "pressure":
        return one(answer.state.fluid.pressures["front"])
    assert answer.state.car is not None
    return one(answer.state.car.z)


@pytest.mark.parametrize("text", [TEXT, BOOSTED])
@pytest.mark.parametrize(
    ("of", "size"),
    [
        ("foot", 60.0),
        ("foot", 350.0),
        ("pressure", 0.5),
        ("pressure", 6.0),
        ("deceleration", 0.3),
        ("deceleration", 0.85),
    ],
)
def test_what_is_asked_is_had(text: str, of: str, size: float) -> None:
    answer = ask(rig(text), of, size)  # type: ignore[arg-type]
    assert answer.missed == ""
    assert got(answer) == pytest.approx(size, rel=1e-9)
    travel = one(answer.state.foot.travel)
    assert sum(row.pad for row in answer.rows) == pytest.approx(travel, abs=1e-5)


@pytest.mark.parametrize(
    ("of", "size", "why"),
    [
        ("deceleration", 0.95, "the tyres hold 0.90 g0 and no more"),
        ("foot", 20_000.0, "pedal at its end before that"),
        ("pressure", 80.0, "pedal at its end before that"),
    ],
)
def test_what_cannot_be_had_says_why(of: str, size: float, why: str) -> None:
    answer = ask(rig(), of, size)  # type: ignore[arg-type]
    assert answer.missed == why
    assert np.isfinite(one(answer.state.foot.effort))
    assert 0.0 < got(answer) < size


def test_as_much_as_the_tyres_hold_is_both_axles_locked() -> None:
    answer = ask(rig(), "deceleration", 2.0)
    assert answer.level == pytest.approx(answer.locks[1].lock.level, rel=1e-6)


def test_a_foot_that_opens_no_valve() -> None:
    answer = ask(rig(BOOSTED), "foot", 3.0)
    assert "before there is any pressure" in answer.missed


def test_a_pedal_that_ends_before_any_pressure() -> None:
    answer = ask(rig(TEXT.replace("travel = 140", "travel = 20")), "pressure", 3.0)
    assert answer.missed == "pedal at its end before that"
    assert answer.level == 0.0
    assert one(answer.state.foot.travel) == pytest.approx(20.0)
    assert sum(row.pad for row in answer.rows) == pytest.approx(20.0, abs=1e-5)


def test_efforts_at_the_locks() -> None:
    """Each is what the foot does at that level; none beyond the pedal's end."""
    found = rig()
    answer = ask(found, "foot", 100.0)
    for each in answer.locks:
        state = found.state(np.array([each.lock.level]))
        assert each.effort == pytest.approx(one(state.foot.effort), rel=1e-9)
    short = ask(rig(TEXT.replace("travel = 140", "travel = 70")), "foot", 100.0)
    assert short.locks[-1].effort is None


def test_without_a_car_there_is_still_a_foot() -> None:
    found = rig_of(load_text(BARE), "brake")
    assert usual(found) == ("pressure", 7.0)
    answer = ask(found, *usual(found))
    assert answer.state.car is None
    assert answer.locks == ()
    assert one(answer.state.fluid.rod) == pytest.approx(rod_of(7.0))
    assert usual(rig()) == ("deceleration", 0.8)
    with pytest.raises(FootwellError, match="needs the car"):
        ask(found, "deceleration", 0.5)


def test_a_hip_is_where_the_leg_pushes_from() -> None:
    """Off the pad's path the foot needs more for the same pressure: 1 / cosine."""
    hip = TEXT.replace("[vehicle]", "[driver]\nhip = [-800, 200]\n[vehicle]")
    found = rig(hip)
    state = found.state(np.array([rod_of(3.0)]))
    path = rig_of(load_text(hip), "brake", push="path").state(np.array([rod_of(3.0)]))
    x = one(state.foot.travel)
    pad = -300j * np.exp(1j * x / 300.0)
    leg = pad - complex(-800, 200)
    along = (1j * pad / abs(pad) * np.conj(leg / abs(leg))).real
    ratio = one(path.foot.effort) / one(state.foot.effort)
    assert ratio == pytest.approx(along, rel=1e-9)


def test_stops_without_an_engine_by_counting_air() -> None:
    """Each stop lets the diaphragm's sweep of outside air in: p V before and after.

    Of the rod's way 0.5 close its gap, 1.2 open the valve, and the mount gives.
    """
    rooms = 'vacuum = "18 inHg"\nfront_room = "2000 cc"\nrear_room = "120 cc"'
    found = rig(BOOSTED.replace('vacuum = "18 inHg"', rooms))
    answer = ask(found, "foot", 80.0)
    area = 0.85 * np.pi / 4.0 * (7 * 25.4) ** 2
    given = one(answer.state.fluid.rod) / 5000.0
    swept = area * (one(answer.state.fluid.moved) - 0.5 - 1.2 - given)
    vacuum = 18 * 3386.38864034e-6
    for left in answer.vacuums:
        let_in = 0.101325 * (120e3 + swept) + (0.101325 - vacuum) * 2000e3
        vacuum = max(0.101325 - let_in / 2120e3, 0.0)
        assert left == pytest.approx(vacuum, rel=1e-6)
    assert len(answer.vacuums) == 4
    assert answer.vacuums[0] > answer.vacuums[1]
    assert ask(rig(BOOSTED), "foot", 80.0).vacuums == ()
    dead = rig(BOOSTED.replace('vacuum = "18 inHg"', rooms), dead=True)
    assert ask(dead, "foot", 80.0).vacuums == ()


def test_what_the_locks_lean_on_is_told() -> None:
    """A grip that nobody stated: 0.7 to 1.0 moves the first lock and a stop at 0.8."""
    found = rig(TEXT.replace("grip = 0.9\n", ""))
    answer = ask(found, "deceleration", 0.8)
    design = found.rest.places.design
    said = dict(told(design, answer, Speech(design.units), SCALES[design.units]))
    assert said["Lock"].startswith("leans most on vehicle grip: the first at ")
    assert "and this stop at " in said["Lock"]
