"""Springs: their states against plain arithmetic, and their energy against their work."""

from itertools import product
from typing import Any

import numpy as np
import pytest

import linkage
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loads.burden import Burden
from linkage.loads.equilibrium import Load, forces
from linkage.loads.marks import marks_of
from linkage.loads.springs import springs_of
from linkage.motion.run import Run, move
from linkage.sweeping import standing

ARM = """
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
clevis = [0, -60]
travel = 120
[[pedal.brake.train]]
part = "cylinder"
seat = [130, -60]
axis = "forward"
bore = "1 in"
"""
SPRINGS = {
    "extension": """
kind = "extension"
on_arm = [20, -90]
fixed = [-80, -140]
rate = "1.2 N/mm"
preload = "40 N"
""",
    "compression": """
kind = "compression"
on_arm = [10, -100]
fixed = [110, -90]
rate = "6 lbf/in"
free_length = 120
""",
    "tension first": """
kind = "extension"
on_arm = [0, -110]
fixed = [-60, -110]
rate = "0.8 N/mm"
free_length = 70
initial_tension = "9 N"
""",
    "over-centre": """
kind = "extension"
on_arm = [15, 70]
fixed = [8, -190]
rate = "2 N/mm"
preload = "90 N"
""",
    "torsion": """
kind = "torsion"
rate = "0.1 N m/deg"
preload = "3 N m"
""",
}


def design(*springs: str) -> Design:
    text = ARM + "".join(f"[[pedal.brake.spring]]{spring}" for spring in springs)
    return linkage.load_text(text)


def carried(sprung: Design, *places: float) -> tuple[Run, Burden]:
    rest = standing(sprung, "brake")
    return move(rest, np.array(places)), Burden(springs=springs_of(rest))


def effort(run: Run, burden: Burden) -> Any:
    return forces(run, burden, Load(of="end", size=0.0)).effort


@pytest.mark.parametrize("name", SPRINGS)
def test_the_foot_works_against_each_spring_what_it_stores(name: str) -> None:
    """Gauss quadrature between the marks, where nothing jumps: 1e-9 of the energy."""
    sprung = design(SPRINGS[name])
    rest = standing(sprung, "brake")
    burden = Burden(springs=springs_of(rest))
    marks = [mark.travel for mark in marks_of(rest, burden, 120.0)]
    nodes, weights = np.polynomial.legendre.leggauss(32)
    for low, high in zip([0.0, *marks], [*marks, 120.0], strict=True):
        half = 0.5 * (high - low)
        run, _ = carried(sprung, *(low + half * (nodes + 1.0)))
        work = half * float(np.sum(weights * effort(run, burden)))
        ends, _ = carried(sprung, low + 1e-12, high - 1e-12)
        stored = np.diff(burden.springs[0].stored(ends))[0]
        assert work == pytest.approx(stored, rel=1e-9, abs=1e-7)
    assert np.any(effort(carried(sprung, 0.0, 60.0, 120.0)[0], burden) != 0.0)


def test_an_extension_spring_by_hand() -> None:
    run, burden = carried(design(SPRINGS["extension"]), 0.0, 120.0)
    line = burden.springs[0]
    turn = 120.0 / 300.0
    eye = (20 - 90j) * np.exp(1j * turn)
    rest = abs(20 - 90j - (-80 - 140j))
    want = [40.0, 40.0 + 1.2 * (abs(eye - (-80 - 140j)) - rest)]
    assert line.shown(run)[2] == pytest.approx(want, rel=1e-12)


def test_a_compression_spring_is_slack_beyond_its_free_length() -> None:
    """Pressing brings its ends together: it starts to work where they are 120 apart."""
    slack = SPRINGS["compression"].replace("free_length = 120", "free_length = 95")
    rest = standing(design(slack), "brake")
    burden = Burden(springs=springs_of(rest))
    (mark,) = marks_of(rest, burden, 120.0)
    assert mark.what == "spring starts to work"
    at = mark.travel
    run, _ = carried(design(slack), 0.5 * at, at, at + 10.0)
    line: Any = burden.springs[0]
    assert line.length(run)[1] == pytest.approx(95.0, abs=1e-9)
    assert line.shown(run)[2][0] == 0.0
    rate = 6.0 * 4.4482216152605 / 25.4
    assert line.shown(run)[2][2] == pytest.approx(rate * (95.0 - line.length(run)[2]))


def test_a_solid_spring_stops_the_pedal() -> None:
    solid = SPRINGS["compression"] + "solid = 80\n"
    rest = standing(design(solid), "brake")
    burden = Burden(springs=springs_of(rest))
    marks = marks_of(rest, burden, 120.0)
    assert [mark.what for mark in marks] == ["spring solid"]
    run, _ = carried(design(solid), marks[0].travel - 0.01, marks[0].travel + 0.01)
    found = effort(run, burden)
    assert np.isfinite(found[0])
    assert np.isnan(found[1])


def test_initial_tension_is_a_jump_at_the_free_length() -> None:
    sprung = design(SPRINGS["tension first"])
    rest = standing(sprung, "brake")
    burden = Burden(springs=springs_of(rest))
    (mark,) = marks_of(rest, burden, 120.0)
    run, _ = carried(sprung, mark.travel - 1e-6, mark.travel + 1e-6)
    assert burden.springs[0].shown(run)[2] == pytest.approx([0.0, 9.0], abs=1e-5)


def test_an_over_centre_spring_helps_beyond_its_line() -> None:
    """The sign turns where eye, pivot and fixed end are in one line."""
    sprung = design(SPRINGS["over-centre"])
    run, burden = carried(sprung, *np.linspace(0.0, 120.0, 13))
    felt = effort(run, burden)
    assert felt[0] > 0.0 > felt[-1]
    eye = (15 + 70j) * np.exp(1j * np.linspace(0.0, 120.0, 13) / 300.0)
    before = np.angle(eye) < np.angle(-8 + 190j)  # seen from the pivot, opposite
    assert np.array_equal(felt > 0.0, before)


def test_a_torsion_spring_by_hand() -> None:
    run, burden = carried(design(SPRINGS["torsion"]), 0.0, 120.0)
    want = [3000.0 / 300.0, (3000.0 + 100.0 * np.degrees(0.4)) / 300.0]
    assert effort(run, burden) == pytest.approx(want, rel=1e-12)


def test_springs_add_up() -> None:
    each = [effort(*carried(design(s), 10.0, 90.0)) for s in SPRINGS.values()]
    whole = effort(*carried(design(*SPRINGS.values()), 10.0, 90.0))
    assert whole == pytest.approx(sum(each), rel=1e-12)


def test_layouts_and_positions_together() -> None:
    """Two fixed ends at once are the same as one after the other."""
    from linkage.motion.rest import at_rest
    from linkage.places import Places

    sprung = design(SPRINGS["extension"])
    path, places = "brake.spring.1.fixed.x", np.linspace(0.0, 120.0, 5)

    def felt(x: Any) -> Any:
        held = Places(sprung, {path: x})
        rest = at_rest(held, sprung.pedals["brake"])
        return effort(move(rest, places), Burden(springs=springs_of(rest)))

    both = felt(np.array([[-80.0], [-60.0]]))
    assert both.shape == (2, 5)
    for row, x in zip(both, (-80.0, -60.0), strict=True):
        assert row == pytest.approx(felt(x), rel=1e-14)


@pytest.mark.parametrize(
    ("of", "old", "new", "wrong"),
    [
        ("extension", "1.2 N/mm", "-1.2 N/mm", "spring.rate: -1.2 is not more than 0."),
        ("extension", "fixed = [-80, -140]", "fixed = [20, -90]", "one place"),
        ("extension", "on_arm = [20, -90]", 'on_arm = "pivot"', "turns nothing"),
        ("extension", "40 N", "4000 N", "no length left"),
        ("extension", '"40 N"', '"40 N"\nfree_length = 90', "same thing twice"),
        ("extension", 'preload = "40 N"\n', "", "nothing says how hard"),
        ("extension", '"40 N"', '"4 N"\ninitial_tension = "5 N"', "coils stay closed"),
        ("extension", '"extension"', '"torsion"', "belongs to an extension spring"),
        ("extension", '"extension"', '"gas"', '"gas" is none of its words'),
        ("compression", "120", "120\nsolid = 130", "solid at its free length of 120"),
        ("compression", "120", "120\nsolid = 101", "at rest it is solid"),
        ("compression", '"6 lbf/in"', "6", "needs its unit"),
        ("torsion", "0.1 N m/deg", "0.1 N/mm", "a torque per turn belongs here"),
    ],
)
def test_a_spring_that_cannot_be_gets_one_line(
    of: str, old: str, new: str, wrong: str
) -> None:
    spring = SPRINGS[of]
    assert old in spring
    with pytest.raises(DesignError) as caught:
        design(spring.replace(old, new))
    told = [str(fault) for fault in caught.value.faults]
    assert any(wrong in line for line in told), told
    assert all(fault.line for fault in caught.value.faults)
    assert all("\n" not in line for line in told)


def test_many_faults_at_once() -> None:
    bad = [s.replace("rate = ", "rat = ") for s, _ in product(SPRINGS.values(), "ab")]
    with pytest.raises(DesignError) as caught:
        design(*bad)
    assert len(caught.value.faults) >= len(bad)
