"""Findings of throttle, clutch, room and arm, against sums by hand."""

import math
from pathlib import Path

import pytest
from msgspec.structs import replace

from linkage.cutting.check import Verdict
from linkage.findings.check import finding
from linkage.findings.facts import facts_of
from linkage.findings.register import checks_of
from linkage.limits.sets import rule_set
from linkage.loading import load, load_text
from tests.documents import ROOT
from tests.linkage.findings.designs import found, pedal, report

EXAMPLES = ROOT / "examples"
THROTTLE = (EXAMPLES / "throttle-quadrant.toml").read_text()
CLUTCH = (EXAMPLES / "clutch-cable.toml").read_text()
THREE = (EXAMPLES / "three-on-one-shaft.toml").read_text()
STOP, SPRINGS, HOME = (
    "Pedal's stop comes first",
    "Each spring closes it alone",
    "Runs home in time",
)


@pytest.mark.parametrize(
    ("more", "verdict"),
    [(-0.1, "fail"), (0.01, "ok"), (0.99, "ok"), (1.01, "caution"), (5.0, "caution")],
)
def test_the_throttles_stop_at_its_edges(more: float, verdict: str) -> None:
    """What the quadrant has left at full, times its radius of 17, is cable."""
    before = found(THROTTLE, STOP).measured
    assert before is not None
    left = before.value or 0.0
    turn = 80.0 + math.degrees((more - left) / 17.0)
    text = THROTTLE.replace("turn = 80", f"turn = {turn:.9f}")
    one = found(text, STOP)
    assert one.measured is not None
    assert one.measured.value == pytest.approx(more, abs=1e-6)
    assert one.verdict == verdict


def sprung(first: float, second: float) -> str:
    """Return a throttle without weight: two springs about its pivot, N mm each."""
    springs = "".join(
        f'[[pedal.throttle.spring]]\nkind = "torsion"\nrate = "0.0001 N m/deg"\n'
        f'preload = "{size} N mm"\n'
        for size in (first, second)
    )
    friction = "[pedal.throttle.friction]\npivot = 0.5\npivot_pin = 20\npins = 0\n"
    return f"""
[pedal.throttle]
pivot = [0, 0]
pad = [0, -200]
travel = 40
arm = {{ mass = "1 g" }}
{springs}{friction}"""


def test_springs_without_weight_or_train_rub_little() -> None:
    one = found(sprung(300.0, 400.0), SPRINGS)
    assert one.measured is not None
    assert one.measured.note.startswith("spring 1 alone")
    assert one.verdict == "ok"


def test_springs_are_asked_for() -> None:
    one = found(THROTTLE, SPRINGS)
    assert one.lack is not None
    assert one.lack.give == "both as [[pedal.throttle.spring]]"
    bare = sprung(300.0, 400.0).split("[pedal.throttle.friction]")[0]
    other = found(bare, SPRINGS)
    assert other.lack is not None
    assert "[pedal.throttle.friction]" in other.lack.give
    assert found(THROTTLE, HOME).verdict == "not checked"


@pytest.mark.parametrize(
    ("over", "verdict"),
    [
        *((-1.0, "fail"), (0.01, "ok"), (9.9, "ok")),
        *((10.1, "caution"), (24.9, "caution"), (25.1, "fail")),
    ],
)
def test_a_clutchs_cable_at_its_edges(over: float, verdict: str) -> None:
    name = "Clutch overtravel at the stop"
    lines = [line for line in CLUTCH.splitlines() if not line.startswith("pull")]
    bare = "\n".join(lines)
    with_need = bare.replace('part = "cable"', 'part = "cable"\npull = 10')
    first = found(with_need, name).measured
    assert first is not None
    pulled = 10.0 * (1.0 + (first.value or 0.0) / 100.0)
    need = pulled / (1.0 + over / 100.0)
    one = found(
        bare.replace('part = "cable"', f'part = "cable"\npull = {need:.9f}'), name
    )
    assert one.measured is not None
    assert one.measured.value == pytest.approx(over, abs=1e-5)
    assert one.verdict == verdict


@pytest.mark.parametrize(
    ("apart", "verdict"),
    [
        *((34.9, "fail"), (35.1, "caution"), (49.9, "caution")),
        *((50.1, "ok"), (99.9, "ok"), (100.1, "caution")),
    ],
)
def test_pads_side_by_side_at_their_edges(apart: float, verdict: str) -> None:
    """Both 60 wide where nothing is said: edge to edge it is 60 less than their middles."""
    text = THREE.replace("across = { pad = 95", f"across = {{ pad = {60.0 + apart}")
    one = found(text, "Brake to throttle, edges")
    assert one.measured is not None
    assert one.measured.value == pytest.approx(apart)
    assert one.verdict == verdict


@pytest.mark.parametrize(
    ("gap", "verdict"),
    [(4.9, "fail"), (5.1, "caution"), (14.9, "caution"), (15.1, "ok")],
)
def test_clearance_at_its_edges(gap: float, verdict: str) -> None:
    """A floor straight under the pad: a plate 64 high about its point hangs 32 below."""
    floor = f"[footwell]\nfloor = {-305.0 - 32.0 - gap}\n"
    one = found(pedal(travel=30.0, top=floor), "Clear of what is fixed")
    assert one.measured is not None
    assert one.measured.value == pytest.approx(gap, abs=0.01)
    assert one.verdict == verdict


def test_a_shoe_that_nearly_touches_fails() -> None:
    """A tube of 38 at 22 instead of one of 25 at 14: its face is 14.5 mm nearer."""
    name = "Clear of what is fixed"
    for tube in (
        "back = 14, up = 190, diameter = 25",
        "back = 22, up = 190, diameter = 38",
    ):
        text = THREE.replace("back = 14, up = 190, diameter = 25", tube)
        by = {each.pedal: each for each in report(text).findings if each.name == name}
        one = by["brake"].measured
        assert one is not None
        assert one.note == "shoe to frame tube"
        assert by["brake"].verdict == ("ok" if "25" in tube else "fail")


def test_what_a_shoe_meets_ends_the_travel() -> None:
    """A post ahead of the heel, far below arm, pad and rod."""
    post = '[[footwell.fixed]]\nname = "post"\ncircle = { ahead = 60, down = 480, diameter = 20 }\n'
    shoe = "[driver]\nshoe = { length = 310, width = 120, sole = 14, height = 66 }\n"
    design = load_text(pedal(travel=75.0, top=post + shoe))
    facts = facts_of(design, "brake", rule_set(design.rules))
    assert facts.touch is not None
    assert facts.touch.part == "shoe"
    assert facts.reach < facts.travel


def test_student_racing_measures_hip_and_bulkhead() -> None:
    """FSAE Rules 2026 V1.0 F.8 and F.5.6: 25 mm to the bulkhead, 915 to the hip."""
    top = '[rules]\nset = "student"\n[footwell]\nbulkhead = 400\n[driver]\nhip = [{}, -305]\n'
    near = pedal(top=top.format(-914.0))
    assert found(near, "Hip to pad").verdict == "fail"
    assert found(pedal(top=top.format(-915.0)), "Hip to pad").verdict == "ok"
    assert found(near, "Clear of the bulkhead").verdict == "ok"
    tight = near.replace("bulkhead = 400", "bulkhead = 90")
    assert found(tight, "Clear of the bulkhead").verdict == "fail"


def test_the_arm_is_judged_as_it_would_be_cut() -> None:
    hanging = (EXAMPLES / "brake-hanging.toml").read_text()
    cut = found(hanging, "Cut file")
    assert cut.verdict == "ok"
    edge = found(hanging, "Hole to edge")
    assert edge.measured is not None
    assert (edge.measured.value or 0.0) > 1.5
    near = hanging.replace("along = 50.5, ahead = 6.4", "along = 24, ahead = 0")
    bad = found(near, "Holes and metal between them")
    assert bad.verdict == "fail"
    assert bad.measured is not None
    assert "mm of metal is left" in bad.measured.note


def test_a_rule_of_the_cut_check_that_does_not_hold_fails() -> None:
    design = load(EXAMPLES / "brake-hanging.toml")
    facts = facts_of(design, "brake", rule_set(design.rules))
    assert facts.cut is not None
    bad = Verdict(name="metal", ok=False, sentence="2 mm of metal")
    kept = tuple(bad if v.name == "metal" else v for v in facts.cut.verdicts)
    spoilt = replace(facts, cut=replace(facts.cut, verdicts=kept))
    checks = {each.name: each for each in checks_of(spoilt)}
    for name in ("Holes and metal between them", "Cut file"):
        one = finding(checks[name], spoilt)
        assert one.verdict == "fail"
        assert one.measured is not None
        assert one.measured.note == "2 mm of metal"


def test_a_question_has_no_arm_yet() -> None:
    asked = (EXAMPLES / "brake-to-place.toml").read_text()
    assert found(asked, "Cut file").verdict == "not checked"


def test_targets_are_judged() -> None:
    hanging = (EXAMPLES / "brake-hanging.toml").read_text()
    name = "Target: ratio, 0 to 60 mm"
    assert found(hanging, name).verdict == "ok"
    assert found(hanging.replace("most = 6", "most = 5.9"), name).verdict == "fail"


def test_what_leans_on_a_guess_says_so() -> None:
    """A rod's gap that is guessed is all that its finding is; nothing else leans on it."""
    text = pedal(more='free_play = "about 0.5"\nstroke = 11')
    found_ = report(text)
    said, leaning = found_.guesses["brake.train.1.free_play"]
    assert said == '"about 0.5"'
    assert "Rod gap" in leaning
    assert "Rod past square at rest" not in leaning


#: Examples that ask: what `place` answers, and wishes that no layout fits.
QUESTIONS = ("brake-to-place", "brake-wishes-fight")
FITTED = [f for f in sorted(EXAMPLES.glob("*.toml")) if f.stem not in QUESTIONS]


@pytest.mark.parametrize("file", FITTED, ids=lambda file: file.stem)
def test_no_example_fails(file: Path) -> None:
    """An example is a pedal that a builder would fit."""
    failing = [f.name for f in report(file.read_text()).findings if f.verdict == "fail"]
    assert failing == []
