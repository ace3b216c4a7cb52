"""Which holes of an arm are tried."""

import pytest

from linkage.faults import DesignError
from linkage.ladder.holes import holes_of
from linkage.loading import load_text
from linkage.motion.rest import at_rest
from linkage.places import Places
from tests.linkage.findings.designs import TANDEM, car, pedal

PLAIN = pedal(travel=130.0, more=TANDEM) + car(0.72)


def reaches(text: str, *stated: str) -> list[tuple[str, float, bool]]:
    design = load_text(text)
    rest = at_rest(Places(design), design.pedals["brake"])
    found = holes_of(design, rest, stated)
    return [(each.name, round(each.reach, 6), each.present) for each in found]


def named() -> str:
    lines = []
    for line in PLAIN.split("\n"):
        if line.startswith("clevis"):
            lines.append('clevis = "low"')
            lines.append(
                "holes = { low = [0, -50.8], high = [0, -44], odd = [3, -40] }"
            )
        else:
            lines.append(line)
    return "\n".join(lines)


def test_steps_along_the_arm_each_side() -> None:
    assert reaches(PLAIN) == [
        ("", 44.8, False),
        ("", 47.8, False),
        ("", 50.8, True),
        ("", 53.8, False),
        ("", 56.8, False),
    ]


def test_steps_of_an_eighth_in_a_file_in_inches() -> None:
    text = 'units = "in"\n' + "\n".join(
        f"{key} = {value}"
        for key, value in (
            ("title", '"x"'),
            ("pedal.brake.pivot", "[0, 0]"),
            ("pedal.brake.pad", "[0, -12]"),
            ("pedal.brake.clevis", "[0, -2]"),
            ("pedal.brake.travel", "5"),
        )
    )
    assert [round(r / 25.4, 6) for _, r, _ in reaches(text)] == [
        1.75,
        1.875,
        2.0,
        2.125,
        2.25,
    ]


def test_the_holes_that_a_file_names() -> None:
    assert reaches(named()) == [
        ("odd", round((9.0 + 1600.0) ** 0.5, 6), False),
        ("high", 44.0, False),
        ("low", 50.8, True),
    ]


def test_stated_holes_stand_beside_the_present_one() -> None:
    assert reaches(PLAIN, "57", "2 1/4 in", "50.8") == [
        ("", 50.8, True),
        ("", 57.0, False),
        ("", 57.15, False),
    ]
    assert reaches(named(), "high", "40") == [
        ("", 40.0, False),
        ("high", 44.0, False),
        ("low", 50.8, True),
    ]


@pytest.mark.parametrize(
    ("stated", "wrong"),
    [
        ("5", "is no distance of a hole"),
        ("400", "is no distance of a hole"),
        ("30 to 60", "is no distance of a hole"),
        ("mid", '"mid":'),
        ("-20", "is no distance of a hole"),
    ],
)
def test_what_is_no_hole(stated: str, wrong: str) -> None:
    with pytest.raises(DesignError) as raised:
        reaches(named(), stated)
    (fault,) = raised.value.faults
    assert wrong in fault.wrong
    assert fault.key == "--hole"


def test_all_faults_at_once() -> None:
    with pytest.raises(DesignError) as raised:
        reaches(PLAIN, "5", "mid")
    assert len(raised.value.faults) == 2
