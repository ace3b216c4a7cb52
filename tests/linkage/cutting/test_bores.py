"""Bores: what is cut, what is finished, what is only marked, and the sentence for it."""

import pytest
from msgspec.structs import replace

from linkage.arm.processes import PROCESSES, Way
from linkage.cutting.bores import plan_bore, plan_bores
from linkage.faults import DesignError
from tests.linkage.arm.plans import HANGING

LASER, PLASMA = PROCESSES["laser"], PROCESSES["plasma"]


@pytest.mark.parametrize(
    ("bore", "plate", "cut"),
    [(25.0, 8.0, 24.6), (25.4, 8.0, 25.0), (10.0, 8.0, 9.6), (25.0, 3.0, 24.7)],
)
def test_laser_bores_are_cut_small_and_finished(
    bore: float, plate: float, cut: float
) -> None:
    """Common practice, no source: 0.3 to 0.5 under, and never over after the cut."""
    one = plan_bore("pivot", bore, plate=plate, process=LASER)
    assert one.way == "undersize"
    assert one.cut is not None
    assert one.cut == pytest.approx(cut)
    assert one.holds is not None
    assert one.cut + one.holds < one.bore
    assert 0.3 - 1e-9 <= bore - one.cut <= 0.5


def test_plasma_bores_are_drilled() -> None:
    """ISO 9013 class 2: a 10 mm hole in 8 mm plate holds 1.1 only."""
    one = plan_bore("pivot", 25.0, plate=8.0, process=PLASMA)
    assert (one.way, one.cut) == ("mark", None)
    assert plan_bore("pin", 10.0, plate=8.0, process=PLASMA).holds == 1.1


@pytest.mark.parametrize(
    ("bore", "plate", "loose", "way"),
    [
        (6.0, 8.0, False, "mark"),  # under one thickness
        (8.2, 8.0, False, "mark"),  # would be cut at 7.85
        (8.4, 8.0, False, "undersize"),
        (20.0, 8.0, True, "finished"),
        (7.9, 8.0, True, "mark"),
        (40.0, 16.0, False, "pilot"),  # plate beyond the table
        (20.0, 16.0, False, "mark"),  # a pilot of 14 is too small there
    ],
)
def test_usual_ways_by_laser(bore: float, plate: float, loose: bool, way: Way) -> None:
    one = plan_bore("hole", bore, plate=plate, process=LASER, loose=loose)
    assert one.way == way
    if one.cut is not None:
        assert plate <= one.cut <= bore


def test_a_loose_hole_is_used_as_cut() -> None:
    one = plan_bore("window", 16.0, plate=8.0, process=PLASMA, loose=True)
    assert (one.way, one.cut) == ("finished", 16.0)
    assert plan_bore("w", 11.0, plate=8.0, process=PLASMA, loose=True).cut is None


@pytest.mark.parametrize(
    ("way", "cut"), [("finished", 25.0), ("undersize", 23.4), ("pilot", 17.5)]
)
def test_a_way_asked_for(way: Way, cut: float) -> None:
    one = plan_bore("pivot", 25.0, plate=8.0, process=PLASMA, way=way)
    assert one.way == way
    assert one.cut == pytest.approx(cut)


def test_every_hole_of_an_arm_the_pivot_first() -> None:
    planned = plan_bores(replace(HANGING, ways={"clevis": "mark"}))
    assert [(one.name, one.way) for one in planned] == [
        ("pivot", "undersize"),
        ("clevis", "mark"),
    ]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            {"bores": {"pivot": 25.0, "clevis": 8.0}, "ways": {"clevis": "pilot"}},
            r"ways\.clevis: asks for a hole of 5\.60 mm .* 8 or more",
        ),
        ({"plate": 25.0}, r"arm\.plate: is 25 mm: laser cuts 0\.5 to 20 mm\. Choose"),
        ({"plate": 2.0, "process": "plasma"}, "plasma cuts 3 to 40"),
    ],
)
def test_what_the_process_cannot_cut(change: dict[str, object], words: str) -> None:
    with pytest.raises(DesignError, match=words):
        plan_bores(replace(HANGING, **change))
