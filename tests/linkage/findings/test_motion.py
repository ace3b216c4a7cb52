"""Findings of the motion against a table worked out apart and plain trigonometry."""

import math

import pytest
from scipy.optimize import brentq

from tests.linkage.findings.designs import found, pedal, value

RATIO, RODS, PAST = (
    "Ratio change while working",
    "Rod leans, anywhere",
    "Rod past square at rest",
)
SQUARE, END, GAP = "Rod to arm while working", "Cylinder's end within reach", "Rod gap"

#: Worked sums: pad 305, crank 50.8, rod 130, 75 mm of pad, the axis halfway up the
#: hole's arc: ratio at rest and at full, and the rod's angle, to the digits of a
#: table (own sums).
TABLE = [
    (0.0, 6.00, 6.20, 0.3, "ok"),
    (-14.1, 6.18, 6.00, 0.3, "ok"),
    (-30.0, 6.86, 6.28, 1.1, "caution"),
    (-45.0, 8.25, 7.12, 1.7, "caution"),
    (15.0, 6.19, 6.94, 1.0, "caution"),
]


@pytest.mark.parametrize(("start", "first", "last", "lean", "verdict"), TABLE)
def test_the_worked_table(
    start: float, first: float, last: float, lean: float, verdict: str
) -> None:
    text = pedal(start=start)
    change = found(text, RATIO)
    assert change.measured is not None
    listed = 100.0 * (last / first - 1.0)
    # Two figures of three digits: half a unit of the last digit of each.
    assert change.measured.value == pytest.approx(listed, abs=0.17)
    assert change.verdict == verdict
    assert value(text, RODS) == pytest.approx(
        math.radians(lean), abs=math.radians(0.06)
    )


def angle_at_hole(start: float, level: float, turn: float) -> float:
    """Return the angle at the hole by plain trigonometry, deg."""
    a = math.radians(start) + turn
    hole = complex(50.8 * math.sin(a), -50.8 * math.cos(a))
    rise = level - hole.imag
    end = complex(hole.real + math.sqrt(130.0**2 - rise**2), level)
    to_pivot, to_end = -hole, end - hole
    cos = (to_pivot * to_end.conjugate()).real / abs(to_pivot) / abs(to_end)
    return math.degrees(math.acos(cos))


def test_square_by_trigonometry() -> None:
    """Starting 12 deg past straight down the rod is past square; at full more so."""
    level = -50.0
    text = pedal(start=12.0, level=level)
    past, corner = found(text, PAST), found(text, SQUARE)
    assert past.measured is not None
    assert past.measured.value is not None
    assert corner.measured is not None
    at_rest = angle_at_hole(12.0, level, 0.0)
    assert math.degrees(past.measured.value) == pytest.approx(at_rest - 90.0, abs=1e-9)
    assert past.verdict == "fail"
    full = angle_at_hole(12.0, level, 75.0 / 305.0)
    assert math.degrees(corner.measured.value or 0.0) == pytest.approx(full, abs=1e-6)
    assert corner.verdict == "caution"
    assert corner.measured.at == pytest.approx(75.0)


@pytest.mark.parametrize(
    ("past", "verdict"),
    [(-0.01, "ok"), (0.01, "caution"), (9.99, "caution"), (10.01, "fail")],
)
def test_past_square_at_its_edges(past: float, verdict: str) -> None:
    start = brentq(lambda a: angle_at_hole(a, -50.0, 0.0) - 90.0 - past, -10.0, 30.0)
    assert found(pedal(start=start, level=-50.0), PAST).verdict == verdict


@pytest.mark.parametrize(
    ("lean", "verdict"),
    [(4.99, "ok"), (5.01, "caution"), (7.99, "caution"), (8.01, "fail")],
)
def test_a_rod_at_its_edges(lean: float, verdict: str) -> None:
    """The hole goes up from straight down, so with a high axis rest is the worst."""
    level = -50.8 + 130.0 * math.sin(math.radians(lean))
    one = found(pedal(level=level, travel=30.0), RODS)
    assert one.measured is not None
    assert math.degrees(one.measured.value or 0.0) == pytest.approx(lean, abs=1e-6)
    assert one.verdict == verdict


def test_a_rod_that_leans_in_plan_too() -> None:
    """Side and plan in one budget: the root of both squares (own sum)."""
    text = pedal(level=-45.0, travel=30.0)
    aside = 130.0 * math.tan(math.radians(4.0))
    plan = text.replace(
        "travel = 30.0", f"travel = 30.0\nacross = {{ clevis = 0, seat = {aside} }}"
    )
    side = math.degrees(math.asin(5.8 / 130.0))
    assert math.degrees(value(text, RODS)) == pytest.approx(side, abs=1e-6)
    assert math.degrees(value(plan, RODS)) == pytest.approx(
        math.hypot(side, 4.0), abs=1e-6
    )


@pytest.mark.parametrize(
    ("gap", "verdict"),
    [
        *((0.0, "caution"), (0.29, "caution"), (0.3, "ok"), (1.0, "ok")),
        *((1.01, "caution"), (1.6, "caution"), (1.61, "fail")),
    ],
)
def test_the_gap_at_its_edges(gap: float, verdict: str) -> None:
    """0.3 to 1.0 mm, borne to 1.6: common practice, no source."""
    assert found(pedal(more=f"free_play = {gap}"), GAP).verdict == verdict


def stroke_by_hand(travel: float) -> float:
    """Return what the rod's end has moved, by Pythagoras."""
    turn = travel / 305.0
    level = -0.5 * 50.8 * (1.0 + math.cos(75.0 / 305.0))

    def end(a: float) -> float:
        rise = level + 50.8 * math.cos(a)
        return 50.8 * math.sin(a) + math.sqrt(130.0**2 - rise**2)

    return end(turn) - end(0.0)


def test_the_worked_stroke() -> None:
    """Square at rest, 75 mm of pad: 12.37 mm of stroke (own sum)."""
    assert stroke_by_hand(75.0) == pytest.approx(12.37, abs=0.005)
    one = found(pedal(more="stroke = 15"), END)
    assert one.measured is not None
    assert one.measured.value == pytest.approx(15.0 - stroke_by_hand(75.0), abs=1e-9)
    assert one.verdict == "fail"


@pytest.mark.parametrize(
    ("short", "verdict"),
    [(-0.01, "ok"), (0.01, "caution"), (1.99, "caution"), (2.01, "fail")],
)
def test_the_cylinders_end_at_its_edges(short: float, verdict: str) -> None:
    stroke = stroke_by_hand(75.0) + short
    assert found(pedal(more=f"stroke = {stroke:.6f}"), END).verdict == verdict


def test_a_pedal_that_locks_fails() -> None:
    """Crank 50, rod 60 and 60 mm away: the rod comes in line with its arm."""
    text = pedal(crank=50.0, rod=51.0, start=40.0, level=0.0, travel=300.0)
    one = found(text, "Makes its travel")
    assert one.verdict == "fail"
    assert one.measured is not None
    assert one.measured.note
