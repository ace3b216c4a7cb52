"""Pads nearly level with their pivot: judged over all ranges, against brute force."""

import numpy as np
import pytest

from linkage.faults import DesignError, Fault
from linkage.loading import load_text
from linkage.words.level import judge
from tests.cases_count import many

PEDAL = """\
[pedal.brake]
pivot = {pivot}
pad = {pad}
travel = 80
{more}
"""


def _faults(pivot: str, pad: str, more: str = "") -> tuple[Fault, ...]:
    try:
        judge(load_text(PEDAL.format(pivot=pivot, pad=pad, more=more), "b.toml"))
    except DesignError as error:
        return error.faults
    return ()


@pytest.mark.parametrize(("degrees", "level"), [(29.9, True), (30.1, False), (0, True)])
@pytest.mark.parametrize("quarter", range(4))
def test_thirty_degrees_are_the_border(
    degrees: float, level: bool, quarter: int
) -> None:
    z = 200.0 * np.exp(1j * np.radians(degrees if quarter % 2 else -degrees))
    z = complex(z if quarter < 2 else -z)
    found = _faults("[0, 0]", f"[{z.real:.6f}, {z.imag:.6f}]")
    assert bool(found) is level
    if level:
        (fault,) = found
        assert (fault.line, fault.key) == (3, "brake: pad")
        assert 'press = "down", "up" or "forward"' in fault.right


@pytest.mark.parametrize("press", ["down", "up", "forward"])
def test_with_press_nothing_is_to_judge(press: str) -> None:
    assert not _faults("[0, 0]", "[-200, 10]", f'press = "{press}"')


def test_ranges_are_judged_against_brute_force() -> None:
    rng = np.random.default_rng(2)
    met = 0
    for _ in range(many(600)):
        low = rng.uniform(-300.0, 250.0, 4)
        high = low + rng.uniform(1.0, 150.0, 4)
        fixed = rng.random(4) < 0.4
        ends = [
            f"{a:.3f}" if still else f'"{a:.3f} to {b:.3f}"'
            for a, b, still in zip(low, high, fixed, strict=True)
        ]
        grid = [
            np.array([round(a, 3)]) if still else np.linspace(a, b, 41)
            for a, b, still in zip(low, high, fixed, strict=True)
        ]
        across = (grid[2][:, None] - grid[0][None, :]).ravel()
        up = (grid[3][:, None] - grid[1][None, :]).ravel()
        high_up = np.abs(up).min() if up.min() * up.max() > 0.0 else 0.0
        sine = high_up / np.hypot(np.abs(across).max(), high_up)
        if abs(sine - 0.5) < 1e-4 or (high_up == 0.0 and np.abs(across).min() < 1.0):
            continue
        found = _faults(f"[{ends[0]}, {ends[1]}]", f"[{ends[2]}, {ends[3]}]")
        assert bool(found) is bool(sine < 0.5), (low, high, fixed)
        met += bool(found)
    assert met > many(600) // 10


def test_a_range_that_crosses_level_between_its_places_is_met() -> None:
    """Both ends and the middle stand well off level; a place between does not."""
    (fault,) = _faults("[0, 0]", '[-5, "-300 to 180"]')
    assert "0 deg off level with its pivot somewhere in its ranges" in fault.wrong


def test_only_what_moves_pad_or_pivot_counts() -> None:
    more = 'clevis = ["-20 to 20", "-300 to 300"]'
    assert not _faults("[0, 300]", "[-80, 20]", more)


def test_choices_of_pads_and_shared_points_count() -> None:
    head = '[point]\nshaft = [0, "100 to 300"]\n'
    text = head + PEDAL.format(pivot='"shaft"', pad="[-200, 20]", more="")
    with pytest.raises(DesignError, match="somewhere in its ranges"):
        judge(load_text(text))
    more = "holes = { a = [-80, -200], b = [-200, -20] }"
    assert _faults("[0, 0]", '{ one_of = ["a", "b"] }', more)
    assert not _faults("[0, 0]", '{ one_of = ["a"] }', more)


def test_every_pedal_is_said_at_once() -> None:
    one = PEDAL.format(pivot="[0, 0]", pad="[-200, 5]", more="")
    with pytest.raises(DesignError) as error:
        judge(load_text(one + one.replace("brake", "clutch")))
    assert len(error.value.faults) == 2


@pytest.mark.parametrize("press", ["down", "up", "forward"])
@pytest.mark.parametrize("off", [0.0, 0.9, -0.9, 1.1, -1.1, 30.0])
def test_a_press_has_to_be_a_way_that_the_pad_goes(press: str, off: float) -> None:
    """A pad square to its word moves neither that way nor the other at first."""
    square = 180.0 if press == "forward" else -90.0
    z = 200.0 * np.exp(1j * np.radians(square + off))
    found = _faults("[0, 0]", f"[{z.real:.9f}, {z.imag:.9f}]", f'press = "{press}"')
    assert bool(found) is (abs(off) < 1.0)
    assert all((each.line, each.key) == (5, "brake: press") for each in found)
    assert all(f"neither {press} nor" in each.wrong for each in found)


def test_a_press_is_judged_over_ranges_too() -> None:
    (fault,) = _faults("[0, 0]", '["-9 to 40", -200]', 'press = "up"')
    assert "somewhere in its ranges" in fault.wrong
    assert not _faults("[0, 0]", '["9 to 40", -200]', 'press = "up"')


def test_a_tolerance_into_the_thirty_degrees_asks_too() -> None:
    pad = '{ from = "pivot", reach = 200, angle = "back, 31 +- %s deg down" }'
    assert not _faults("[0, 0]", pad % "0.9")
    (fault,) = _faults("[0, 0]", pad % "1.1")
    assert "30 deg off level" in fault.wrong
    assert not _faults("[0, 0]", '[-20, "-14 +- 2"]')
    assert _faults("[0, 0]", '[-20, "-14 +- 3"]')
