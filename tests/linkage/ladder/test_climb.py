"""Every pair of hole and bore against its own file, and against published sums."""

import math
import re

import numpy as np
import pytest

from linkage.car.asking import ask
from linkage.car.rig import rig_of
from linkage.car.stopping import GRAVITY, RULES
from linkage.design.stock import BORES
from linkage.faults import DesignError
from linkage.findings.check import check
from linkage.findings.facts import stop_at, stroke_used
from linkage.ladder.climb import Ladder, ladder_of
from linkage.ladder.judging import judge
from linkage.limits.sets import rule_set
from linkage.loading import load_text
from tests.documents import ROOT
from tests.linkage.findings.designs import TANDEM, car, pedal
from tests.linkage.findings.test_stopping import GRAM, PER_MPA, WEIGHT, ratio_by_hand

BOOSTER = TANDEM + '[pedal.brake.train.booster]\ndiaphragm = 180\nvacuum = "20 inHg"\n'
PLAIN = pedal(travel=130.0, more=TANDEM) + car(0.72)
BOOSTED = pedal(travel=130.0, more=BOOSTER) + car(0.72)


def ladder(text: str, **options: object) -> Ladder:
    return ladder_of(load_text(text), "brake", **options)  # type: ignore[arg-type]


def pair_text(text: str, found: Ladder, i: int, j: int) -> str:
    """Return the file with one hole and one bore written into it."""
    at, size = found.holes[i].at, found.bores[j].size
    text = re.sub(r"clevis = .*", f"clevis = [{at.real!r}, {at.imag!r}]", text)
    return text.replace('bore = "3/4 in"', f"bore = {size!r}")


#: mm2 of each bore (own sums to 10 digits, apart from this project).
AREAS = {
    "9/16 in": 160.3254133,
    "5/8 in": 197.9326090,
    "11/16 in": 239.4984569,
    "0.700 in": 248.2866648,
    "3/4 in": 285.0229570,
    "13/16 in": 334.5061092,
    "7/8 in": 387.9479137,
    "15/16 in": 445.3483703,
    "1 in": 506.7074791,
    "1 1/16 in": 572.0252401,
    "1 1/8 in": 641.3016532,
}


def test_the_bores_that_are_sold() -> None:
    """0.7 in is not 11/16: 3.7 % of area lie between them."""
    assert set(BORES) == set(AREAS)
    for name, area in AREAS.items():
        assert math.pi / 4.0 * BORES[name] ** 2 == pytest.approx(area, rel=1e-9)


def test_the_lines_follow_foot_ratio_and_bore() -> None:
    """Pressure = foot x ratio / area: common practice, no source. 65 lbf at 5:1 on 1 in
    gives 414 psi; here the ratio is that of the place where the pad then is."""
    found = ladder(PLAIN, foot=289.134405)
    j = [bore.name for bore in found.bores].index("1 in")
    i = [hole.present for hole in found.holes].index(True)
    rig = rig_of(load_text(pair_text(PLAIN, found, i, j)), "brake")
    level = np.array([float(rig.level_of_foot(found.foot))])
    travel = float(rig.state(level).foot.travel[0])
    want = (found.foot - GRAM) * ratio_by_hand(travel) / 506.7074791
    assert found.at_foot[i, j] == pytest.approx(want, rel=1e-3)
    psi = found.at_foot[i, j] / 0.006894757293168361 * 5.0 / ratio_by_hand(travel)
    assert psi == pytest.approx(414.0, abs=1.0)


def test_the_foot_of_the_present_hole_by_hand() -> None:
    """p = z W / (N a MPa); rod = p x area; foot = rod / ratio."""
    found = ladder(PLAIN)
    i = [hole.present for hole in found.holes].index(True)
    assert [bore.name for bore in found.bores if bore.present] == ["3/4 in"]
    pressure = 0.8 * WEIGHT / PER_MPA
    for j, bore in enumerate(found.bores):
        if found.ends[i, j]:
            continue
        assert found.pressure[i, j] == pytest.approx(pressure, rel=1e-9)
        ratio = ratio_by_hand(found.travel[i, j])
        assert found.ratio[i, j] == pytest.approx(ratio, rel=1e-9)
        want = pressure * math.pi / 4.0 * bore.size**2 / ratio
        assert found.effort[i, j] == pytest.approx(want, abs=GRAM)


#: The second piston of this one has 8 mm, and comes to its end first.
SHORT = PLAIN.replace("first_stroke = 18", "first_stroke = 28")


@pytest.mark.parametrize(
    "text", [PLAIN, BOOSTED, SHORT], ids=["plain", "boosted", "short second piston"]
)
def test_each_pair_is_what_its_own_file_says(text: str) -> None:
    found = ladder(text)
    z = RULES["booster dead"].deceleration / GRAVITY
    made = 0
    for i in (0, 2, 4):
        for j in (0, 2, 5, 10):
            design = load_text(pair_text(text, found, i, j))
            rig = rig_of(design, "brake")
            answer = ask(rig, "deceleration", 0.8, swayed=False)
            assert bool(answer.missed) == bool(found.ends[i, j])
            level = float(rig.level_of_foot(found.foot))
            pressure = rig.driven.pressures(level)[0]
            assert found.at_foot[i, j] == pytest.approx(float(pressure), rel=1e-8)
            assert found.short[i, j] == (level >= rig.top * (1.0 - 1e-12))
            if found.dead is not None:
                dead = stop_at(rig_of(design, "brake", dead=True), z)
                assert found.dead[i, j] == pytest.approx(dead.effort, rel=1e-9)
            if answer.missed:
                assert answer.missed.startswith(str(found.ends[i, j]))
                assert np.isnan(found.effort[i, j])
                continue
            made += 1
            foot = answer.state.foot
            assert found.effort[i, j] == pytest.approx(foot.effort[0], rel=1e-9)
            assert found.travel[i, j] == pytest.approx(foot.travel[0], rel=1e-9)
            used = stroke_used(rig, answer.level)
            assert found.used[i, j] == pytest.approx(used, rel=1e-9)
            assert found.left[i, j] == pytest.approx(130.0 - foot.travel[0], rel=1e-9)
    assert made >= 3
    assert (found.dead is None) == (text != BOOSTED)


#: What the check calls that which a ladder judges.
CHECKED = (
    *("Foot force at 0.8 g0", "Pad travel at a hard stop", "Pad left at a hard stop"),
    *("Stroke used at a hard stop", "Foot force, booster dead"),
)


@pytest.mark.parametrize("text", [PLAIN, BOOSTED], ids=["plain", "boosted"])
def test_the_verdict_of_a_pair_is_that_of_the_check(text: str) -> None:
    design = load_text(text)
    found = ladder(text)
    judged = judge(found, rule_set(design.rules).limits)
    assert judged is not None
    assert {"ok", "fail"} <= set(judged.verdicts.ravel())
    for i, j in ((2, 1), (2, 4), (2, 6), (2, 8), (2, 10), (0, 5), (4, 5)):
        report = check(load_text(pair_text(text, found, i, j)), ("brake",))
        said = {each.verdict for each in report.findings if each.name in CHECKED}
        worst = next(each for each in ("fail", "caution", "ok") if each in said)
        assert judged.verdicts[i, j] == worst


def test_another_stop_is_not_judged() -> None:
    design = load_text(PLAIN)
    found = ladder(PLAIN, stated=("pressure", 3.0))
    assert np.nanmax(found.pressure) == pytest.approx(3.0)
    assert judge(found, rule_set(design.rules).limits) is None


def test_a_stepped_tandem_keeps_its_second_bore() -> None:
    text = PLAIN.replace("first_stroke", 'second_bore = "5/8 in"\nfirst_stroke')
    found = ladder(text)
    i = [hole.present for hole in found.holes].index(True)
    j = [bore.name for bore in found.bores].index("15/16 in")
    rig = rig_of(load_text(pair_text(text, found, i, j)), "brake")
    answer = ask(rig, "deceleration", 0.8, swayed=False)
    assert bool(answer.missed) == bool(found.ends[i, j])
    if not answer.missed:
        travel = answer.state.foot.travel[0]
        assert found.travel[i, j] == pytest.approx(travel, rel=1e-9)


#: The hole above its pivot goes back, and pulls the rod out of a cylinder ahead of it.
PULLED = """
clevis = { back = 118, up = 598 }
[[pedal.brake.train]]
part = "cylinder"
seat = { back = 0, up = 598 }
pull = true
gland = "5/8 in"
axis = "back"
bore = "13/16 in"
"""


def test_a_rod_that_pulls_leaves_out_the_bores_that_it_would_fill() -> None:
    text = (ROOT / "examples" / "brake-manual.toml").read_text(encoding="utf-8")
    head, rest = text.split("clevis =", maxsplit=1)
    rest = rest[rest.index("stroke = ") :]
    travel = "travel = 150\n"
    cylinder = PULLED.replace("[[pedal", f"{travel}[[pedal", 1)
    found = ladder(head + cylinder.strip() + "\n" + rest)
    sizes = [bore.size for bore in found.bores]
    assert min(sizes) > 0.625 * 25.4
    assert len(sizes) == len(BORES) - 2  # 9/16 and 5/8 in
    assert np.nanmin(found.at_foot) >= 0.0


def test_a_hole_from_which_the_rod_turns_back() -> None:
    """A crank that passes its dead centre on the way has no stop to ask about."""
    text = pedal(start=60.0, crank=50.8, travel=180.0, more=TANDEM) + car(0.72)
    try:
        found = ladder(text, holes=("50.8", "20"))
    except DesignError:
        pytest.fail("the present hole swings, or is told as one that does not")
    assert np.all((found.ends == "the pedal locks or turns back").any(axis=1))
    assert np.all(np.isnan(found.effort))


def test_a_deceleration_needs_the_car() -> None:
    bare = PLAIN.split("[vehicle]")[0] + "[circuit.front]"
    bare += PLAIN.split("[circuit.front]")[1]
    assert np.nanmax(ladder(bare).pressure) == pytest.approx(7.0)
    with pytest.raises(DesignError, match="needs the car"):
        ladder(bare, stated=("deceleration", 0.5))
