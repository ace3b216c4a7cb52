"""The car's brakes in the file: read as written, and one clear line for each mistake."""

from typing import Any

import pytest

from linkage.faults import DesignError
from linkage.loading import load_text

CAR = """\
[pedal.brake]
pivot = [0, 0]
pad = [0, -240]
clevis = [0, -60]
travel = 120
[[pedal.brake.train]]
part = "cylinder"
seat = [130, -60]
axis = "forward"
bore = "7/8 in"
stroke = 36
circuits = ["front", "rear"]
cut_off = 1.3
first_stroke = 20
second_bore = "13/16 in"
cylinder_spring = "60 N"
mount = "4000 N/mm"
[pedal.brake.train.booster]
gain = 4
diaphragm = "8 in"
diaphragms = 2
effective = "88 %"
vacuum = "20 inHg"
threshold = "80 N"
jump_in = "300 N"
dead_travel = 1.5
gap = 0.4
return_spring = "100 N"
front_room = "2500 cc"
rear_room = "200 cc"
[vehicle]
mass = "820 kg"
wheelbase = 2350
front_weight = "52 %"
cg_height = 460
grip = "about 0.9"
tyre = 285
rear_tyre = 290
[circuit.front]
fluid = "80 cc"
bulk = "1.8 GPa"
air = "0.1 cc"
[[circuit.front.brake]]
kind = "fixed disc"
piston = 38.1
pistons = 4
radius = 105
friction = 0.4
clearance = 0.12
squash = [["2 MPa", "0.4 cc"], ["7 MPa", "0.9 cc"]]
[[circuit.front.hose]]
length = 380
count = 2
kind = "low"
bore = "1/8 in"
[circuit.rear]
residual = "10 psi"
valve = { knee = "300 psi", slope = 0.43 }
[circuit.rear.brake]
kind = "drum"
count = 2
piston = "3/4 in"
radius = 100
leading = 1.7
trailing = 0.55
shoe_springs = "60 psi"
squash = "0.05 cc/MPa"
[circuit.rear.hose]
length = 300
swell = "0.2 cc/ft"
at = "1000 psi"
"""


def test_everything_is_read() -> None:
    design = load_text(CAR)
    vehicle: Any = design.vehicle
    assert vehicle.mass.nominal == 820.0
    assert vehicle.grip.guess
    front, rear = design.circuits["front"], design.circuits["rear"]
    assert front.brakes[0].squash[1][1].nominal == 900.0  # type: ignore[index]
    assert (front.brakes[0].axle, rear.brakes[0].axle) == ("front", "rear")
    assert rear.brakes[0].path == "circuit.rear.brake.1"
    assert rear.valve is not None
    assert rear.valve.slope.nominal == 0.43
    cylinder: Any = design.pedals["brake"].train[0]
    assert cylinder.circuits == ("front", "rear")
    assert cylinder.booster.vacuum.nominal == pytest.approx(0.0677278, rel=1e-5)
    assert design.values["circuit.front.hose.1.length"].nominal == 380.0
    assert design.values["brake.train.1.booster.gain"].nominal == 4.0


def test_a_file_without_a_car_has_none() -> None:
    design = load_text(CAR.partition("[vehicle]")[0].replace(_CIRCUITS, ""))
    assert design.vehicle is None
    assert not design.circuits


_CIRCUITS = 'circuits = ["front", "rear"]\ncut_off = 1.3\nfirst_stroke = 20\nsecond_bore = "13/16 in"\n'


def told(text: str) -> list[str]:
    with pytest.raises(DesignError) as caught:
        load_text(text, "car.toml")
    return str(caught.value).splitlines()


@pytest.mark.parametrize(
    ("old", "new", "want"),
    [
        ('"820 kg"', '"-820 kg"', "vehicle.mass: -820 is not more than 0."),
        ('"820 kg"', "820", "needs its unit"),
        ("wheelbase = 2350\n", "", "wheelbase is missing. Write wheelbase = 2350."),
        ("cg_height = 460", "cg_height = 0", "0 is not more than 0"),
        (
            'front_weight = "52 %"',
            "cg_back = 2400",
            "2400 mm behind the front axle is outside the wheelbase. It lies between 0 "
            "and 2350 mm",
        ),
        ('front_weight = "52 %"', "cg_back = -10", "is outside the wheelbase"),
        ('"52 %"', '"100 %"', "all of the weight on one axle"),
        ('front_weight = "52 %"\n', "", "nothing says where the weight lies"),
        ("cg_height", "cg_back = 1200\ncg_height", "say the same thing twice"),
        ('grip = "about 0.9"', "grip = 9", "too great for what a tyre holds"),
        ("cg_height", "cg_hight", "is not a key that is known here. Nearest: cg_height."),
        (
            '["7 MPa", "0.9 cc"]',
            '["7 MPa", "0.3 cc"]',
            "pressure and volume have to rise from each pair to the next",
        ),
        ('["7 MPa", "0.9 cc"]', '["1 MPa", "0.9 cc"]', "have to rise"),
        ('["7 MPa", "0.9 cc"]', '["7 MPa"]', "holds pairs of a pressure and a volume"),
        ('["7 MPa", "0.9 cc"]', '["0.9 cc", "7 MPa"]', "a pressure belongs here"),
        ("pistons = 4\n", "", "says how many pistons a caliper has"),
        ("pistons = 4", "pistons = 3", "as many pistons on one side as on the other"),
        ("pistons = 4", "pistons = 4.5", "4.5 is no whole number"),
        ("leading = 1.7", "friction = 0.4", "belongs to a disc, and this brake is a drum"),
        ("friction = 0.4", "leading = 2", "belongs to a drum"),
        ('"fixed disc"', '"disc"', '"disc" is none of its words'),
        ('kind = "drum"\n', "", "kind is missing."),
        ('at = "1000 psi"\n', "", "nothing says at what pressure"),
        ('swell = "0.2 cc/ft"\n', "", "it stands without a swell"),
        ('swell = "0.2', 'kind = "low"\nswell = "0.2', "a hose needs no kind"),
        ("slope = 0.43", "slope = 1.43", "too great for the share of each"),
        (", slope = 0.43", "", "slope is missing"),
        ('residual = "10 psi"', 'residual = "10 bar"', "is too great"),
        (
            'vacuum = "20 inHg"\n',
            "",
            "a booster without vacuum helps nobody: nothing says what drives it. Write "
            'vacuum = "20 inHg"',
        ),
        ('vacuum = "20 inHg"', 'vacuum = "31 inHg"', "is too great"),
        ("gain = 4", 'gain = 4\nassist = "6 bar"', "both say what drives the booster"),
        ('diaphragm = "8 in"\n', "", "nothing says how large its diaphragm is"),
        ("diaphragms = 2", "diaphragms = 1.5", "no whole number of diaphragms"),
        ("gain = 4", "gain = 1", "too small for newtons out"),
        ("dead_travel", "dead_travl", "Nearest: dead_travel."),
        ('["front", "rear"]', '["front", "back"]', 'there is no circuit "back"'),
        ('["front", "rear"]', '["front", "front"]', "a tandem two that differ"),
        ('["front", "rear"]', '"front"', "first_stroke belongs to a tandem"),
        ('["front", "rear"]', "7", "7 stands where names belong"),
        ("first_stroke = 20", "first_stroke = 36", "leaves nothing of the stroke"),
        ('"13/16 in"', '"1 in"', "the smaller one"),
        ("[circuit.rear]", '[circuit."re ar"]', '"re ar" cannot name a circuit'),
    ],
)  # fmt: skip
def test_a_mistake_gets_one_clear_line(old: str, new: str, want: str) -> None:
    assert CAR.count(old) >= 1
    lines = told(CAR.replace(old, new, 1))
    assert any(want in line for line in lines), lines
    assert all(line.startswith("car.toml:") for line in lines)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"820 kg"', '"-820 kg"'),
        ('front_weight = "52 %"', "cg_back = 2400"),
        ('vacuum = "20 inHg"\n', ""),
        ('["7 MPa", "0.9 cc"]', '["7 MPa", "0.3 cc"]'),
        ("wheelbase = 2350\n", ""),
    ],
)
def test_nothing_else_is_told(old: str, new: str) -> None:
    assert len(told(CAR.replace(old, new, 1))) == 1


def test_a_circuit_of_another_name_says_its_axle() -> None:
    """Split crosswise: each circuit has a brake of either axle."""
    named = CAR.replace("circuit.front", "circuit.one").replace('["front', '["one')
    assert any("axle is missing" in line for line in told(named))
    right = named.replace('kind = "fixed disc"', 'axle = "front"\nkind = "fixed disc"')
    assert load_text(right).circuits["one"].brakes[0].axle == "front"


def test_a_key_of_the_car_under_another_heading() -> None:
    (line,) = told(CAR.replace("[vehicle]\n", "[vehicle]\nradius = 100\n"))
    assert "radius: belongs to" in line


def test_all_at_once() -> None:
    bad = CAR.replace('"820 kg"', '"-820 kg"').replace('kind = "drum"', 'kind = "dum"')
    bad = bad.replace('vacuum = "20 inHg"\n', "")
    assert len(told(bad)) == 3


@pytest.mark.parametrize("name", ["vehicle", "circuit"])
def test_a_pedal_is_not_named_like_the_car(name: str) -> None:
    duty = f'[pedal.{name}]\nduty = "brake"\n'
    (line,) = told(
        CAR.replace("pedal.brake", f"pedal.{name}").replace(
            f"[pedal.{name}]\n", duty, 1
        )
    )
    assert f'"{name}" cannot name a pedal' in line
