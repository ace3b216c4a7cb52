"""Densities: found under the names people write, refused with the known ones."""

import pytest

from linkage.design.metals import DENSITY, density
from linkage.faults import DesignError
from linkage.loading import load_text
from tests.linkage.design.samples import BRAKE


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("steel", "steel"),
        ("Mild  Steel", "steel"),
        ("S355", "s355"),
        ("aluminum", "aluminium"),
        ("6061-T6", "6061"),
        ("7075 - T6", "7075"),
    ],
)
def test_names_as_people_write_them(written: str, name: str) -> None:
    assert density(written) == DENSITY[name]


def test_metals_lie_where_handbooks_put_them() -> None:
    """Steels near 7.85 and light alloys near 2.7 kg/dm3 (any handbook)."""
    for name, value in DENSITY.items():
        light = name in ("aluminium", "6061", "6082", "5083", "7075")
        assert value == pytest.approx(2700 if light else 7850, rel=0.045)


def test_an_unknown_metal_names_the_known_ones() -> None:
    with pytest.raises(DesignError, match=r'"cheese".*Known: steel, s235'):
        density("cheese")


def test_a_misspelt_metal_names_the_nearest() -> None:
    with pytest.raises(DesignError, match=r'Nearest: "steel"\. Known: '):
        density("stele")


def test_an_unknown_metal_is_a_fault_of_the_file_beside_the_others() -> None:
    text = BRAKE.replace("travel = 120", "travel = true")
    text += '[pedal.brake.arm]\nmaterial = "alumnium"\n'
    with pytest.raises(DesignError) as refusal:
        load_text(text, "brake.toml")
    first, second = map(str, refusal.value.faults)
    assert first.startswith("brake.toml:8: travel")
    assert second.startswith('brake.toml:24: arm.material: "alumnium" is no material')
    assert 'Nearest: "aluminium". Known: steel,' in second
    assert second.endswith("name the one that weighs most like it.")
