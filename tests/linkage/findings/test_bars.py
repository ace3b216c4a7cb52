"""What is checked of a balance bar: against figures worked out by hand."""

import math
from pathlib import Path
from typing import Any

import pytest

from linkage.car.asking import ask
from linkage.car.rig import rig_of
from linkage.car.twin import Alone, Twin
from linkage.findings.check import check
from linkage.findings.records import Finding
from linkage.loading import load_text

EXAMPLE = Path(__file__).parents[3] / "examples" / "brake-bar.toml"
TEXT = EXAMPLE.read_text(encoding="utf-8")
NAMES = (
    "Bar leans at a hard stop",
    "Bar leans, on any day",
    "Bar's bearing off its middle",
)


def finding(name: str, text: str = TEXT) -> Finding:
    report = check(load_text(text), ["brake"])
    return next(each for each in report.findings if each.name == name)


def size(found: Finding) -> float:
    assert found.measured is not None
    assert found.measured.value is not None
    return found.measured.value


def changed(**keys: str) -> str:
    lines = TEXT.splitlines()
    for key, value in keys.items():
        at = next(i for i, line in enumerate(lines) if line.startswith(f"{key} ="))
        lines[at] = f"{key} = {value}"
    return "\n".join(lines)


def test_the_shift_is_told_in_its_spacing() -> None:
    """2:1 is a sixth of the spacing (common practice, no source): 16 % and over fails."""
    assert size(finding(NAMES[2])) == pytest.approx(100.0 * 5.0 / 101.6)
    assert finding(NAMES[2]).verdict == "ok"
    far = changed(shift='"17 towards rear"')
    assert finding(NAMES[2], far).verdict == "fail"


def test_the_lean_at_a_hard_stop_is_that_of_both_strokes() -> None:
    answer: Any = ask(rig_of(load_text(TEXT), "brake"), "deceleration", 0.8)
    assert isinstance(answer.rig.driven, Twin)
    front, rear = (float(x) for x in answer.rig.driven.strokes(answer.level))
    want = math.asin((front - rear - 0.6) / 101.6)
    assert size(finding(NAMES[0])) == pytest.approx(want, rel=1e-9)


def test_rods_as_the_budget_says_make_it_square() -> None:
    rig = rig_of(load_text(TEXT), "brake")
    assert isinstance(rig.driven, Twin)
    answer = ask(rig, "deceleration", 0.8, swayed=False)
    longer = float(rig.driven.square(answer.level))
    text = changed(front_longer=f"{longer:.9f}")
    assert size(finding(NAMES[0], text)) == pytest.approx(0.0, abs=1e-9)


def test_a_bar_that_touches_with_a_circuit_lost_fails() -> None:
    """The clevis must never touch the tube, one circuit lost included (common practice)."""
    assert finding(NAMES[1]).verdict == "ok"
    tight = finding(NAMES[1], changed(tilt="8"))
    assert tight.verdict == "fail"
    assert math.degrees(size(tight)) == pytest.approx(8.0)
    assert tight.measured is not None
    assert "it is at its stop" in tight.measured.note


def test_a_bar_that_touches_under_a_light_foot_fails() -> None:
    """It swings farthest before the circuit that holds has any pressure.

    Then the dead rod is at its end, and the live one where its pads begin to press.
    """
    text = changed(spacing='"3 in"', tilt="40")
    turned = []
    for lost, sign in (("front", 1.0), ("rear", -1.0)):
        driven = rig_of(load_text(text), "brake", lost=lost).driven
        assert isinstance(driven, Alone)
        apart = driven.end - float(driven.held.moved(0.0)) - sign * 0.6
        turned.append(math.degrees(math.asin(apart / 76.2)))
    most = max(turned)
    assert math.degrees(size(finding(NAMES[1], text))) == pytest.approx(most, rel=1e-6)
    for tilt, touches in ((most - 0.05, True), (most + 0.05, False)):
        narrow = finding(NAMES[1], changed(spacing='"3 in"', tilt=f"{tilt:.4f}"))
        assert narrow.measured is not None
        assert ("at its stop" in narrow.measured.note) == touches
        assert narrow.verdict == "fail"  # by the limit of 12 deg, or by its stop


def test_a_lost_side_is_checked() -> None:
    for name in ("Foot force, one circuit lost", "Pad left, one circuit lost"):
        assert finding(name).verdict == "ok"


def test_no_other_pedal_has_a_bar() -> None:
    text = (EXAMPLE.parent / "brake-manual.toml").read_text(encoding="utf-8")
    report = check(load_text(text), ["brake"])
    assert not {each.name for each in report.findings} & set(NAMES)
