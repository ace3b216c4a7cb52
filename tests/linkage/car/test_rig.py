"""A whole brake against a second road: plain trigonometry, hand sums, a general solver."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import brentq

from linkage.car.bar import Bar, Side
from linkage.car.brakes import Disc, Drum, pistons_area
from linkage.car.budget import budget, measured_first, sways
from linkage.car.fluid import Circuit
from linkage.car.guesses import GUESSES, Ledger
from linkage.car.hoses import stated_swell
from linkage.car.lines import Line, Wheels
from linkage.car.master import Master
from linkage.car.pistons import Piston
from linkage.car.rig import Rig, rig_of, rigged
from linkage.car.twin import Twin
from linkage.car.valves import Proportioning
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.sweeping import standing
from solvers.monotone import Broken

G0, PSI, INCH = 9.80665, 0.006894757293168361, 25.4
TEXT = """\
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
clevis = [0, -60]
travel = 140
[[pedal.brake.train]]
part = "cylinder"
seat = [150, -58]
axis = "forward"
bore = "7/8 in"
stroke = 40
free_play = 0.5
circuits = ["front", "rear"]
cut_off = 1.3
first_stroke = 22
cylinder_spring = "60 N"
mount = "5000 N/mm"
[vehicle]
mass = "900 kg"
wheelbase = 2400
cg_back = 1150
cg_height = 480
grip = 0.9
tyre = 285
rear_tyre = 295
[circuit.front]
fluid = "60 cc"
bulk = "1.7 GPa"
air = "0.2 cc"
brake = { kind = "floating disc", piston = 48, radius = 108, friction = 0.4, clearance = 0.15, squash = "0.09 cc/MPa" }
hose = { length = 400, swell = "0.5 cc/ft", at = "1000 psi" }
[circuit.rear]
fluid = "70 cc"
bulk = "1.7 GPa"
air = "0 cc"
valve = { knee = "2 MPa", slope = 0.3 }
brake = { kind = "drum", piston = "3/4 in", radius = 100, clearance = 1, squash = "0.04 cc/MPa", leading = 1.6, trailing = 0.5, shoe_springs = "0.35 MPa" }
"""
BOOSTER = """\
[pedal.brake.train.booster]
gain = 3.5
diaphragm = "7 in"
effective = "85 %"
vacuum = "18 inHg"
threshold = "70 N"
jump_in = "250 N"
dead_travel = 1.2
gap = 0.3
return_spring = "90 N"
[vehicle]
"""
BOOSTED = TEXT.replace("[vehicle]\n", BOOSTER)


def rig(text: str = TEXT, **options: Any) -> Rig:
    return rig_of(load_text(text), "brake", **options)


def one(x: Any) -> float:
    return float(np.ravel(x)[0])


# ------------------------------------------------------------- the second road


def disc(d: float) -> float:
    return math.pi * d * d / 4.0


def front_volume(p: float) -> float:
    air = 200.0 * (1.0 - 0.101325 / (0.101325 + p))
    return (
        2 * disc(48.0) * 0.15
        + 2 * 90.0 * p
        + 2 * 400.0 * (0.5 * 1000.0 / 304.8) * p / (1000.0 * PSI)
        + 60e3 * (1.0 - math.exp(-p / 1700.0))
        + air
    )


def behind_valve(p: float) -> float:
    return p if p < 2.0 else 2.0 + 0.3 * (p - 2.0)


def rear_volume(p: float) -> float:
    w = behind_valve(p)
    return (
        2 * 2 * disc(19.05) * 1.0 + 2 * 40.0 * w + 70e3 * (1.0 - math.exp(-w / 1700.0))
    )


def drags(p: float) -> tuple[float, float]:
    """Both axles on endless grip."""
    front = 2 * 2 * 0.4 * p * disc(48.0) * 108.0 / 285.0
    pressing = max(behind_valve(p) - 0.35, 0.0)
    rear = 2 * pressing * disc(19.05) * (1.6 + 0.5) * 100.0 / 295.0
    return front, rear


def rod_of(p: float) -> float:
    return p * disc(22.225) + 60.0


def moved_of(p: float, rod: float) -> float:
    strokes = (front_volume(p) + rear_volume(p)) / disc(22.225)
    return 0.5 + 1.3 + strokes + rod / 5000.0


def slid(x: float) -> float:
    """The rod's end along its level axis, by Pythagoras."""
    hole = -60j * complex(math.cos(x / 300.0), math.sin(x / 300.0))
    length = abs(150 - 58j + 60j)
    return hole.real + math.sqrt(length**2 - (-58.0 - hole.imag) ** 2) - 150.0


def pad_of(moved: float) -> float:
    return float(brentq(lambda x: slid(x) - moved, 0.0, 200.0, xtol=1e-13))


def slope(f: Callable[[float], float], x: float, h: float = 1e-3) -> float:
    return (8 * (f(x + h) - f(x - h)) - (f(x + 2 * h) - f(x - 2 * h))) / (12 * h)


def bare_effort(found: Rig, moved: float, rod: float) -> float:
    """The foot's push less what arm and springs take at that place."""
    both = found.felt(np.array([moved, moved]), np.array([rod, 0.0])).effort
    return one(both[:1]) - one(both[1:])


# ------------------------------------------------------------------------ tests


@pytest.mark.parametrize("p", [0.01, 0.4, 1.9, 2.1, 5.0, 9.0])
def test_everything_at_a_pressure_by_hand(p: float) -> None:
    found = rig()
    level = rod_of(p)
    state = found.state(np.array([level]))
    assert one(state.fluid.pressures["front"]) == pytest.approx(p, rel=1e-12)
    assert one(state.fluid.pressures["rear"]) == pytest.approx(p, rel=1e-12)
    moved = moved_of(p, rod_of(p))
    assert one(state.fluid.moved) == pytest.approx(moved, rel=1e-12)
    assert one(state.foot.travel) == pytest.approx(pad_of(moved), rel=1e-10)
    work = rod_of(p) * slope(slid, pad_of(moved))
    assert bare_effort(found, moved, rod_of(p)) == pytest.approx(work, rel=1e-9)
    front, rear = drags(p)
    assert found.road is not None
    brakes = found.road.brakes(found.driven, level)
    assert brakes == pytest.approx((front, rear), rel=1e-12)


def test_the_deceleration_of_a_push_by_a_search() -> None:
    """The level at 400 N of foot, found again by scanning the hand model finely."""
    found = rig()
    level = float(found.level_of_foot(400.0))
    state = found.state(np.array([level]))
    assert one(state.foot.effort) == pytest.approx(400.0, rel=1e-10)
    weightless = 400.0 - one(found.felt(state.fluid.moved, np.zeros(1)).effort)

    def short(p: float) -> float:
        x = pad_of(moved_of(p, rod_of(p)))
        return rod_of(p) * slope(slid, x) - weightless

    p = brentq(short, 0.01, 12.0, xtol=1e-12)
    assert one(state.fluid.pressures["front"]) == pytest.approx(p, rel=1e-7)


def searched_locks(grip: float = 0.9) -> list[tuple[str, float]]:
    """Who locks at what pressure: by pressing in small steps, by hand."""
    weight, share, rise = 900.0 * G0, 1.0 - 1150.0 / 2400.0, 480.0 / 2400.0
    locked: dict[str, float] = {}
    for p in np.arange(0.0, 25.0, 1e-3):
        brakes = dict(zip(("front", "rear"), drags(float(p)), strict=True))
        z = 0.0
        for _ in range(200):
            loads = {
                "front": weight * (share + rise * z),
                "rear": weight * (1.0 - share - rise * z),
            }
            held = {
                axle: grip * loads[axle] if axle in locked else brakes[axle]
                for axle in brakes
            }
            was, z = z, sum(held.values()) / weight
            if abs(z - was) < 1e-12:
                break
        for axle in brakes:
            if axle not in locked and held[axle] >= grip * loads[axle]:
                locked[axle] = float(p)
    return list(locked.items())


def test_who_locks_first_by_a_search_over_pressure() -> None:
    found = rig()
    want = searched_locks()
    assert [lock.axle for lock in found.locks()] == [axle for axle, _ in want]
    for lock, (_, p) in zip(found.locks(), want, strict=True):
        at = one(found.driven.pressures(lock.level)[0])
        assert at == pytest.approx(p, abs=1.1e-3)


def test_at_the_first_lock_the_grip_is_just_used() -> None:
    found = rig()
    lock = found.locks()[0]
    car = found.state(np.array([lock.level])).car
    assert car is not None
    assert max(one(car.used_front), one(car.used_rear)) == pytest.approx(0.9)
    assert one(car.z) == pytest.approx(lock.z, rel=1e-12)


def test_a_deceleration_and_back() -> None:
    found = rig()
    assert found.road is not None
    for z in (0.2, 0.5, 0.8):
        level = found.road.level_for(found.driven, z)
        assert one(found.road.braked(found.driven, level).z) == pytest.approx(z)


# ----------------------------------------------------------------------- boosters


def boosted(output: float) -> float:
    """Input for an output: gain 3.5 from 70 N and 250 N on, up to all of the assist."""
    assist = 0.85 * disc(7 * INCH) * 18 * 3386.38864034e-6 - 90.0
    assisted = 70.0 + (output - 250.0) / 3.5
    return max(assisted, output - assist, 70.0)


@pytest.mark.parametrize("p", [0.2, 1.0, 4.0, 9.0])
def test_a_booster_between_by_hand(p: float) -> None:
    found = rig(BOOSTED)
    state = found.state(np.array([rod_of(p)]))
    rod = boosted(rod_of(p))
    assert one(state.fluid.rod) == pytest.approx(rod, rel=1e-6)
    moved = moved_of(p, rod) + 1.2 + 0.3
    assert one(state.fluid.moved) == pytest.approx(moved, rel=1e-6)
    work = one(state.fluid.rod) * slope(slid, pad_of(one(state.fluid.moved)))
    effort = bare_effort(found, one(state.fluid.moved), one(state.fluid.rod))
    assert effort == pytest.approx(work, rel=1e-9)


def test_a_dead_booster_takes_the_whole_push() -> None:
    """Straight through, less what its spring holds back: 90 N more at the rod."""
    state = rig(BOOSTED, dead=True).state(np.array([rod_of(4.0)]))
    assert one(state.fluid.rod) == pytest.approx(rod_of(4.0) + 90.0, rel=1e-12)


def test_the_assist_ratio() -> None:
    """Pressure with assist / without, at one push: common practice, no source."""
    alive, dead = rig(BOOSTED), rig(BOOSTED, dead=True)
    at = [
        one(r.state(np.array([r.level_of_foot(120.0)])).fluid.pressures["front"])
        for r in (alive, dead)
    ]
    assert 2.5 < at[0] / at[1] < 6.0


def test_a_foot_below_the_threshold_brakes_nothing() -> None:
    found = rig(BOOSTED)
    level = float(found.level_of_foot(5.0))
    assert one(
        found.state(np.array([level])).fluid.pressures["front"]
    ) == pytest.approx(0.0, abs=1e-6)


# ------------------------------------------------------------- a circuit is lost


@pytest.mark.parametrize("p", [0.5, 3.0, 8.0])
def test_without_the_first_circuit_by_hand(p: float) -> None:
    """Its 22 mm are closed up, then the pistons push on each other."""
    found = rig(lost="front")
    state = found.state(np.array([rod_of(p)]))
    assert one(state.fluid.pressures["front"]) == 0.0
    assert one(state.fluid.pressures["rear"]) == pytest.approx(p, rel=1e-12)
    moved = 0.5 + 22.0 + 1.3 + rear_volume(p) / disc(22.225) + rod_of(p) / 5000.0
    assert one(state.fluid.moved) == pytest.approx(moved, rel=1e-12)
    second = 1.3 + rear_volume(p) / disc(22.225)
    assert one(state.fluid.left) == pytest.approx(18.0 - second, rel=1e-9)
    assert found.road is not None
    brakes = found.road.brakes(found.driven, rod_of(p))
    assert brakes == pytest.approx((0.0, drags(p)[1]), rel=1e-12)


@pytest.mark.parametrize("p", [0.5, 3.0, 8.0])
def test_without_the_second_circuit_by_hand(p: float) -> None:
    """Its piston stands at its end, 18 mm on."""
    found = rig(lost="rear")
    state = found.state(np.array([rod_of(p)]))
    assert one(state.fluid.pressures["rear"]) == 0.0
    x1 = 18.0 + front_volume(p) / disc(22.225)
    assert one(state.fluid.moved) == pytest.approx(0.5 + x1 + rod_of(p) / 5000.0)
    assert one(state.fluid.left) == pytest.approx(40.0 - x1, rel=1e-9)
    assert found.road is not None
    brakes = found.road.brakes(found.driven, rod_of(p))
    assert brakes == pytest.approx((drags(p)[0], 0.0), rel=1e-12)
    rows = budget(found, rod_of(p))
    assert sum(row.moved for row in rows) == pytest.approx(one(state.fluid.moved))


def test_a_stepped_tandem_presses_harder_on_what_is_left() -> None:
    text = TEXT.replace(
        "first_stroke = 22", 'first_stroke = 22\nsecond_bore = "3/4 in"'
    )
    level = rod_of(3.0)
    whole = rig(text).state(np.array([level])).fluid.pressures["rear"]
    alone = rig(text, lost="front").state(np.array([level])).fluid.pressures["rear"]
    assert one(alone) / one(whole) == pytest.approx((7 / 8) ** 2 / (3 / 4) ** 2)
    driven = rig(text, lost="front").driven
    assert isinstance(driven, Piston)
    assert one(driven.pressures(driven.level_for(2.0))[1]) == pytest.approx(2.0)


@pytest.mark.parametrize("lost", ["front", "rear"])
def test_what_locks_with_a_circuit_lost(lost: str) -> None:
    """One axle brakes, so it alone can lock: where its drag is grip x its load."""
    found = rig(lost=lost)
    (lock,) = found.locks()
    left = "rear" if lost == "front" else "front"
    assert lock.axle == left
    share, rise = 1.0 - 1150.0 / 2400.0, 480.0 / 2400.0
    if left == "front":
        want = 0.9 * share / (1.0 - 0.9 * rise)
    else:
        want = 0.9 * (1.0 - share) / (1.0 + 0.9 * rise)
    assert lock.z == pytest.approx(want, rel=1e-9)


@pytest.mark.parametrize(
    ("old", "new", "lost", "wrong"),
    [
        ("", "", "middle", 'fills no circuit "middle". It fills front and rear'),
        ("stroke = 40\n", "", "front", "nothing says how long that is"),
        (
            'circuits = ["front", "rear"]',
            'circuits = "front"',
            "front",
            "without its one circuit nothing is left",
        ),
    ],
)
def test_what_cannot_be_lost(old: str, new: str, lost: str, wrong: str) -> None:
    text = TEXT.replace("first_stroke = 22\n", "").replace(old, new)
    with pytest.raises(DesignError, match=wrong):
        rig(text, lost=lost)


# ------------------------------------------------------------------ seals, ends


def test_seals_hold_back_before_the_fluid_does() -> None:
    rubs = '[pedal.brake.friction]\npivot = 0\npins = 0\nseal = "30 N"\nseal_share = "2 %"\n'
    found = rig(TEXT.replace("[vehicle]\n", rubs + "[vehicle]\n"))
    rod = found.state(np.array([rod_of(3.0)])).fluid.rod
    assert one(rod) == pytest.approx(1.02 * rod_of(3.0) + 30.0, rel=1e-12)
    assert isinstance(found.driven, Piston)
    assert one(found.driven.level(rod)) == pytest.approx(rod_of(3.0), rel=1e-12)
    moved = moved_of(3.0, one(rod))
    work = one(rod) * slope(slid, pad_of(moved))
    assert bare_effort(found, moved, one(rod)) == pytest.approx(work, rel=1e-9)


def test_the_pedal_ends_first() -> None:
    found = rig(TEXT.replace("travel = 140", "travel = 70"))
    assert found.ends == "pedal at its end"
    state = found.state(np.array([found.top]))
    assert one(state.foot.travel) == pytest.approx(70.0, abs=1e-9)


def test_the_cylinder_ends_first() -> None:
    """The rear drums empty the second chamber: 40 - 22 = 18 mm less the cut-off."""
    found = rig(TEXT.replace("first_stroke = 22", "first_stroke = 34"))
    assert found.ends == "cylinder at its end"
    state = found.state(np.array([found.top]))
    p = one(state.fluid.pressures["rear"])
    assert 1.3 + rear_volume(p) / disc(22.225) == pytest.approx(6.0, rel=1e-9)
    assert one(state.fluid.left) == pytest.approx(0.0, abs=1e-9)


def test_the_first_chamber_ends_first() -> None:
    found = rig(TEXT.replace("first_stroke = 22", "first_stroke = 5"))
    assert found.ends == "cylinder at its end"
    p = one(found.state(np.array([found.top])).fluid.pressures["front"])
    assert front_volume(p) / disc(22.225) == pytest.approx(5.0, rel=1e-9)


def test_a_fixed_disc_clamps_with_one_side() -> None:
    """Four pistons of 34 mm: two of them press each pad."""
    text = TEXT.replace(
        '"floating disc", piston = 48', '"fixed disc", pistons = 4, piston = 34'
    )
    found = rig(text)
    assert found.road is not None
    front, _ = found.road.brakes(found.driven, rod_of(3.0))
    clamped = 3.0 * 2 * disc(34.0)
    assert one(front) == pytest.approx(2 * 2 * 0.4 * clamped * 108.0 / 285.0, rel=1e-12)
    wide = 2 * 4 * disc(34.0) * 0.15
    taken = found.state(np.array([rod_of(3.0)])).fluid.shares
    (cleared,) = [
        s.volume for s in taken if s.cause == "clearance" and s.circuit == "front"
    ]
    assert one(cleared) == pytest.approx(wide, rel=1e-12)


def test_states_of_many_levels_are_those_of_each() -> None:
    found = rig(BOOSTED)
    levels = np.array([0.0, 150.0, 900.0, 2500.0])
    whole = found.state(levels)
    for i, level in enumerate(levels):
        alone = found.state(np.array([level]))
        assert one(alone.foot.travel) == pytest.approx(whole.foot.travel[i], abs=1e-10)
        assert one(alone.foot.effort) == pytest.approx(whole.foot.effort[i], rel=1e-9)


# ------------------------------------------------------------------------ budgets


def test_a_budget_adds_up_and_follows_its_causes() -> None:
    found = rig(BOOSTED)
    level = rod_of(5.0)
    rows = budget(found, level)
    state = found.state(np.array([level]))
    assert sum(row.pad for row in rows) == pytest.approx(
        one(state.foot.travel), abs=1e-5
    )
    assert sum(row.moved for row in rows) == pytest.approx(one(state.fluid.moved))
    assert [row.cause for row in rows] == [
        *("rod gap", "booster", "port cut-off"),
        *("clearance", "pads and calipers", "hoses", "fluid", "air"),
        *("clearance", "pads and calipers", "fluid"),
        "mounting",
    ]
    front = sum(row.volume or 0.0 for row in rows if row.circuit == "front")
    assert front == pytest.approx(front_volume(5.0), rel=1e-12)
    gap = rows[0]
    assert gap.pad == pytest.approx(pad_of(0.5), rel=1e-6)


def plain_line(name: str, piston: float, squash: float, fluid: float) -> Line:
    circuit = Circuit(
        clearance=2 * pistons_area(piston, 4) * 0.12,
        squash=((2.0, Broken((7.0,), (squash * 1000.0,))),),
        hoses=((914.4, stated_swell(0.33 * 1000.0 / 304.8, 1000 * PSI)),),
        fluid=fluid * 1000.0,
        bulk=1800.0,
    )
    return Line(name=name, circuit=circuit, valve=Proportioning(), wheels=())


def twin() -> Twin:
    """3/4 in at 7 MPa and 0.70 in at 5 MPa on one bar (own arithmetic). Its shift
    follows from the two forces: statics."""
    areas = disc(0.75 * INCH), disc(0.70 * INCH)
    share = 7.0 * areas[0] / (7.0 * areas[0] + 5.0 * areas[1])
    front, rear = (
        Piston(master=Master(first=area, cut_off=1.3), lines=(line,))
        for area, line in zip(
            areas,
            (
                plain_line("front", 41.3, 0.9, 95.0),
                plain_line("rear", 31.75, 0.5, 72.5),
            ),
            strict=True,
        )
    )
    bar = Bar(spacing=63.5, shift=63.5 * (share - 0.5))
    return Twin(bar=bar, front=front, rear=rear)


FAR = """\
[pedal.brake]
pivot = [0, 0]
pad = [0, -330]
clevis = [0, -60]
travel = 130
[[pedal.brake.train]]
part = "cylinder"
seat = [5000, -60]
axis = "forward"
"""


def test_twin_cylinders_on_a_bar() -> None:
    """Own arithmetic: 16.95 and 10.94 mm, tilt 5.42 deg; the pad at 5.5 to 1."""
    design = load_text(FAR)
    rest = standing(design, "brake")
    found = rigged(rest, twin(), Ledger(rest.places))
    level = 7.0 * disc(0.75 * INCH) + 5.0 * disc(0.70 * INCH)
    state = found.state(np.array([level]))
    assert one(state.fluid.pressures["front"]) == pytest.approx(7.0, rel=1e-12)
    assert one(state.fluid.pressures["rear"]) == pytest.approx(5.0, rel=1e-12)
    assert isinstance(found.driven, Twin)
    ends = [one(end) for end in found.driven.ends(np.array([level]))]
    assert ends == pytest.approx([16.95, 10.94], abs=0.02)
    tilt = math.degrees(one(found.driven.tilt(np.array([level]))))
    assert tilt == pytest.approx(5.42, abs=0.02)
    share = found.driven.bar.share
    middle = share * ends[0] + (1.0 - share) * ends[1]
    assert one(state.fluid.moved) == pytest.approx(middle, rel=1e-12)
    # 60 mm of arm on a long rod: e = 60 sin(x/330), nearly
    pad = 330.0 * math.asin(middle / 60.0)
    assert one(state.foot.travel) == pytest.approx(pad, rel=2e-3)
    rows = budget(found, level)
    assert sum(row.pad for row in rows) == pytest.approx(one(state.foot.travel))
    front = sum(row.moved for row in rows if row.circuit == "front")
    assert front == pytest.approx(share * ends[0], rel=1e-12)


def test_rods_that_find_the_bar_square_at_its_load() -> None:
    """The front rod longer by 6 mm: 6 to 10 is usual (common practice, no source)."""
    level = 7.0 * disc(0.75 * INCH) + 5.0 * disc(0.70 * INCH)
    driven = twin()
    longer = one(driven.square(level))
    assert longer == pytest.approx(6.0, abs=0.03)
    set_up = replace(driven, bar=replace(driven.bar, longer=longer))
    assert one(set_up.tilt(level)) == pytest.approx(0.0, abs=1e-12)
    assert one(set_up.tilt(0.5 * level)) != pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("lost", ["front", "rear"])
def test_a_bar_without_one_circuit(lost: Any) -> None:
    """Its piston has 28 mm; the bar meets it before 40 degrees: the share stays."""
    driven = twin()
    bar = replace(driven.bar, tilt=math.radians(40.0))
    dead = getattr(driven, lost)
    short = replace(dead, play=0.4, master=replace(dead.master, stroke=28.0))
    driven = replace(driven, bar=bar, **{lost: short})
    alone = driven.without(lost)
    push = float(alone.level_for(4.0))
    swung = alone.swung(push)
    live = driven.rear if lost == "front" else driven.front
    moved = 1.3 + live.lines[0].taken(4.0) / live.master.first
    share = bar.share_of("rear" if lost == "front" else "front")
    assert swung.stops == "piston"
    assert swung.dead == pytest.approx(28.4)
    assert push * share == pytest.approx(4.0 * live.master.first, rel=1e-12)
    assert swung.middle == pytest.approx(share * moved + (1.0 - share) * 28.4)
    tight = replace(driven, bar=replace(bar, tilt=math.radians(5.0)))
    alone = tight.without(lost)
    push = float(alone.level_for(4.0))
    swung = alone.swung(push)
    assert swung.stops == "bar"
    assert push == pytest.approx(4.0 * live.master.first, rel=1e-12)


def test_knees_of_a_twin_are_levels_of_its_pressures() -> None:
    driven = twin()
    sides: tuple[Side, ...] = ("front", "rear")
    for index, side in enumerate(sides):
        level = driven.level_for(3.0, side)
        assert one(driven.pressures(level)[index]) == pytest.approx(3.0, rel=1e-12)


def braked_twin(seal: float) -> Twin:
    """Discs in front, drums behind; seals alone hold the rods back."""
    front, rear = twin().front, twin().rear
    disc_brake = Disc(clamping=disc(41.3) * 2, friction=0.4, radius=110.0)
    drum = Drum(area=disc(19.05), factor=2.1, radius=110.0)
    wheels = {"front": disc_brake, "rear": drum}
    front, rear = (
        replace(
            side,
            seal=seal,
            seal_share=0.05,
            lines=(
                replace(
                    side.lines[0],
                    wheels=(Wheels(axle=axle, count=2.0, brake=wheels[axle]),),  # type: ignore[arg-type]
                ),
            ),
        )
        for axle, side in (("front", front), ("rear", rear))
    )
    return replace(twin(), front=front, rear=rear)


@pytest.mark.parametrize("seal", [0.0, 200.0])
def test_seals_on_a_bar_put_off_the_locks(seal: float) -> None:
    """The first lock is where pressing in small steps comes to the grip."""
    driven = braked_twin(seal)
    road = rig().road
    assert road is not None
    levels = np.arange(0.0, 9000.0, 0.5)
    front, rear = road.brakes(driven, levels)
    _, *used = road.vehicle.used(front, rear)
    want = levels[np.argmax(np.maximum(*used) >= 0.9)]
    assert road.locks(driven)[0].level == pytest.approx(want, abs=0.51)


# ------------------------------------------------------------------------- guesses

GUESSED = TEXT.replace('air = "0 cc"\n', "").replace("clearance = 1, ", "")


def test_what_is_left_out_is_guessed_and_told() -> None:
    doubts = rig(GUESSED).doubts
    assert set(doubts) == {"circuit.rear.air", "circuit.rear.brake.1.clearance"}
    clearance = doubts["circuit.rear.brake.1.clearance"]
    assert clearance.nominal == GUESSES["drum clearance"].nominal == 1.5
    assert clearance.source
    assert rig(TEXT).doubts == {}


SWELL = 'hose = { length = 400, swell = "0.5 cc/ft", at = "1000 psi" }'


@pytest.mark.parametrize(
    ("said", "key", "ends"),
    [
        ("", "kind", ('kind = "braided"', 'swell = "0.66 cc/ft", at = "1000 psi"')),
        (
            ', kind = "low"',
            "swell",
            (
                'swell = "0.132 cc/ft", at = "1000 psi"',
                'swell = "0.33 cc/ft", at = "1000 psi"',
            ),
        ),
    ],
)
def test_a_hose_of_a_table_is_a_guess(
    said: str, key: str, ends: tuple[str, str]
) -> None:
    """Its sway is what a file with either end of it written out says."""
    hose = f"hose = {{ length = 400, bore = 3{said} }}"
    found = rig(TEXT.replace(SWELL, hose))
    assert list(found.doubts) == [f"circuit.front.hose.1.{key}"]
    level = rod_of(5.0)  # below the 1000 psi at which the table bends
    (sway,) = measured_first(sways(found, level))
    for travel, end in zip(sway.travel, ends, strict=True):
        other = rig(TEXT.replace(SWELL, f"hose = {{ length = 400, {end} }}"))
        state = other.state(np.array([level]))
        assert travel == pytest.approx(one(state.foot.travel), rel=1e-9)


def test_about_is_a_guess_too() -> None:
    doubts = rig(TEXT.replace("friction = 0.4", 'friction = "about 0.4"')).doubts
    found = doubts["circuit.front.brake.1.friction"]
    assert (found.low, found.high) == pytest.approx((0.32, 0.48))
    assert found.text == "about 0.4"


def test_a_sway_is_what_another_file_says() -> None:
    """The same stop with the guess written out at each end of its range."""
    found = rig(GUESSED)
    assert found.road is not None
    level = float(found.road.level_for(found.driven, 0.7))
    first = sways(found, level)[0]
    assert first.doubt.path == "circuit.rear.brake.1.clearance"
    for travel, effort, size in zip(
        first.travel, first.effort, (0.8, 2.5), strict=True
    ):
        other = rig(TEXT.replace("clearance = 1,", f"clearance = {size},"))
        assert other.road is not None
        state = other.state(np.array([other.road.level_for(other.driven, 0.7)]))
        assert travel == pytest.approx(one(state.foot.travel), rel=1e-9)
        assert effort == pytest.approx(one(state.foot.effort), rel=1e-9)
    assert [s.doubt.path for s in measured_first(sways(found, level), 0.9)] == [
        first.doubt.path
    ]


def test_a_guess_of_the_pads_sways_the_effort() -> None:
    text = TEXT.replace("friction = 0.4, ", "")
    found = rig(text)
    assert found.road is not None
    level = float(found.road.level_for(found.driven, 0.5))
    (sway,) = sways(found, level)
    assert sway.effort[0] > sway.effort[1] > 0.0


def test_sways_beyond_the_grip_are_those_of_endless_grip() -> None:
    """More push than the road can use: the same drag of the brakes, other pads."""
    found = rig(TEXT.replace("friction = 0.4, ", ""))
    level = rod_of(9.0)
    (sway,) = sways(found, level)
    assert found.road is not None
    drag = sum(found.road.brakes(found.driven, level))
    for effort, friction in zip(sway.effort, (0.30, 0.45), strict=True):
        other = rig(TEXT.replace("friction = 0.4", f"friction = {friction}"))
        assert other.road is not None
        same = other.state(np.array([brentq_level(other, one(drag))]))
        assert effort == pytest.approx(one(same.foot.effort), rel=1e-8)


def brentq_level(found: Rig, drag: float) -> float:
    road = found.road
    assert road is not None

    def short(level: float) -> float:
        return one(sum(road.brakes(found.driven, level))) - drag

    return float(brentq(short, 0.0, 2e4, xtol=1e-10))


def test_a_guessed_grip_sways_the_locks_and_the_stop() -> None:
    """Its pedal stays where it is; locks and stop are those of files with either grip."""
    text = TEXT.replace("grip = 0.9\n", "")
    found = rig(text.replace("friction = 0.4, ", ""))
    assert found.road is not None
    level = float(found.road.level_for(found.driven, 0.8))
    pads, grip = sways(found, level)  # the one with effort ahead
    assert [pads.doubt.path[-8:], grip.doubt.path] == ["friction", "vehicle.grip"]
    assert grip.travelled == grip.pushed == 0.0
    assert grip.stop is not None
    assert grip.lock is not None
    for size, stop, lock in zip((0.7, 1.0), grip.stop, grip.lock, strict=True):
        other = rig(
            TEXT.replace("grip = 0.9", f"grip = {size}").replace("0.4,", "0.38,")
        )
        car = other.state(np.array([level])).car
        assert car is not None
        assert stop == pytest.approx(one(car.z), rel=1e-9)
        assert lock == pytest.approx(other.locks()[0].z, rel=1e-9)
    assert grip.slowed > 0.1
    assert grip.locked > 0.1


def test_without_a_car_no_stop_is_swayed() -> None:
    start, end = GUESSED.index("[vehicle]"), GUESSED.index("[circuit.front]")
    for sway in sways(rig(GUESSED[:start] + GUESSED[end:]), rod_of(3.0)):
        assert (sway.stop, sway.lock, sway.slowed, sway.locked) == (
            None,
            None,
            0.0,
            0.0,
        )


def test_nothing_guessed_sways_nothing() -> None:
    assert sways(rig(), 500.0) == ()
    assert list(measured_first(())) == []


# -------------------------------------------------------------------------- faults


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ('circuits = ["front", "rear"]\nc', "c", "nothing says which circuits"),
        ('bore = "7/8 in"\n', "", "nothing says how large its bore is"),
        ("cg_height = 480", "cg_height = 1500", "the rear wheels leave the road"),
    ],
)
def test_what_cannot_be_asked_gets_one_line(old: str, new: str, wrong: str) -> None:
    text = TEXT.replace(old, new)
    assert text != TEXT
    if "circuits" in old:
        text = text.replace("first_stroke = 22\n", "")
    with pytest.raises(DesignError, match=wrong) as caught:
        rig(text)
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].line > 0


def test_a_pedal_without_a_cylinder_has_no_fluid() -> None:
    text = TEXT.replace("[vehicle]", _CLUTCH + "[vehicle]")
    design: Design = load_text(text)
    with pytest.raises(DesignError, match="no cylinder stands at the end"):
        rig_of(design, "clutch")


_CLUTCH = """\
[pedal.clutch]
pivot = [0, 0]
pad = [0, -300]
clevis = [0, 60]
travel = 100
[[pedal.clutch.train]]
part = "cable"
ferrule = [200, 60]
"""
