"""A balance bar in the file: read as written, and one clear line for each mistake."""

import math

import pytest

from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.parts.balance_bar import BalanceBar

BAR = """\
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
clevis = [0, -50]
travel = 110
[[pedal.brake.train]]
part = "balance_bar"
spacing = "2.5 in"
shift = "3 towards front"
tilt = "about 12 deg"
front_longer = 6
[[pedal.brake.train.front]]
part = "cylinder"
seat = [130, -50]
axis = "forward"
bore = "3/4 in"
stroke = 28
circuits = ["front"]
[[pedal.brake.train.rear]]
part = "cylinder"
seat = [130, -50]
axis = "forward"
bore = "0.70 in"
stroke = 28
circuits = ["rear"]
[circuit.front]
brake = { kind = "floating disc", piston = 40, radius = 100 }
[circuit.rear]
brake = { kind = "floating disc", piston = 34, radius = 100 }
"""


def test_it_is_read_as_written() -> None:
    pedal = load_text(BAR).pedals["brake"]
    bar = pedal.bar
    assert isinstance(bar, BalanceBar)
    assert bar.spacing.nominal == pytest.approx(63.5)
    assert bar.shift is not None
    assert (bar.shift.sign, bar.shift.value.nominal) == (1.0, 3.0)
    assert bar.tilt is not None
    assert bar.tilt.guess
    assert bar.tilt.nominal == pytest.approx(math.radians(12.0))
    assert [part.path for part in pedal.train] == [
        "brake.train.1.front.1",
        "brake.train.1.rear.1",
    ]
    assert [part.branch for part in pedal.train] == ["front", "rear"]


@pytest.mark.parametrize(
    ("said", "sign", "size"),
    [
        ('"3 towards front"', 1.0, 3.0),
        ('"1/8 in towards the rear"', -1.0, 3.175),
        ('"about 2 mm towards rear"', -1.0, 2.0),
        ("0", 1.0, 0.0),
        ('"-2 to 4 towards front"', 1.0, 1.0),
    ],
)
def test_a_shift_has_a_side(said: str, sign: float, size: float) -> None:
    text = BAR.replace('"3 towards front"', said)
    bar = load_text(text).pedals["brake"].bar
    assert isinstance(bar, BalanceBar)
    assert bar.shift is not None
    assert bar.shift.sign == sign
    assert bar.shift.value.nominal == pytest.approx(size)


def told(text: str) -> list[str]:
    with pytest.raises(DesignError) as caught:
        load_text(text)
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("old", "new", "line", "wrong"),
    [
        ('"3 towards front"', "3", 9, "does not say towards which side"),
        ('"3 towards front"', '"-3 towards front"', 9, "has a minus"),
        ('"3 towards front"', '"32 towards rear"', 9, "outside the bar"),
        ('"3 towards front"', '"20 to 33 towards front"', 9, "outside the bar"),
        ('"3 towards front"', '"towards front"', 9, "shift"),
        ('spacing = "2.5 in"', "spacing = 0", 8, "spacing"),
        ('spacing = "2.5 in"', "spacing = -60", 8, "spacing"),
        ('spacing = "2.5 in"\n', "", 6, "spacing"),
        ('tilt = "about 12 deg"', "tilt = 0", 10, "tilt"),
        ("front_longer = 6", "front_longer = 20", 11, "lean the bar on its stop at rest"),
        ('circuits = ["rear"]', 'circuits = ["front"]', 25, "both cylinders of the bar"),
        ('circuits = ["rear"]', 'circuits = ["front", "rear"]', 25, "fills one circuit"),
        ('circuits = ["rear"]', 'circuits = ["aft"]', 25, 'no circuit "aft"'),
        ('["rear"]\n', '["rear"]\nbooster = { diaphragm = 200, vacuum = "20 inHg" }\n', 26, "booster"),
        ('bore = "0.70 in"', "bore = -3", 23, "bore"),
        ("tilt =", "tilts =", 10, "Nearest: tilt"),
    ],
)  # fmt: skip
def test_one_clear_line_for_each(old: str, new: str, line: int, wrong: str) -> None:
    said = told(BAR.replace(old, new))
    assert len(said) == 1, said
    assert wrong in said[0]
    assert f":{line}: " in said[0]


def test_a_side_that_is_missing_is_told() -> None:
    start, end = BAR.index("[[pedal.brake.train.rear]]"), BAR.index("[circuit.front]")
    (said,) = told(BAR[:start] + BAR[end:])
    assert "rear is missing" in said
    assert "[[pedal.brake.train.rear]]" in said


def test_a_side_drives_one_cylinder() -> None:
    more = '[[pedal.brake.train.rear]]\npart = "cable"\nferrule = [90, -60]\n'
    (said,) = told(BAR.replace("[circuit.front]\n", more + "[circuit.front]\n"))
    assert "one cylinder in rear" in said


def test_nothing_stands_behind_a_bar() -> None:
    more = '[[pedal.brake.train]]\npart = "cable"\nferrule = [90, -60]\n'
    (said,) = told(BAR.replace("[circuit.front]\n", more + "[circuit.front]\n"))
    assert "behind a balance_bar, which ends the train" in said


def test_points_of_a_side_go_by_its_path() -> None:
    text = BAR.replace(
        'seat = [130, -50]\naxis = "forward"\nbore = "0.70 in"',
        'seat = { from = "train.1.front.1.seat", up = 20 }\naxis = "forward"\n'
        'bore = "0.70 in"',
    )
    from linkage.places import Places

    places = Places(load_text(text))
    assert places.point("brake.train.1.rear.1.seat") == 130 - 30j
