"""Densities: found under the names people write, refused with the known ones."""

import pytest

from linkage.arm.metals import DENSITY, density
from linkage.faults import DesignError


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
    with pytest.raises(DesignError, match=r"'cheese'.*Known: steel, s235"):
        density("cheese")


def test_a_misspelt_metal_names_the_nearest() -> None:
    with pytest.raises(DesignError, match=r"Nearest: steel\. Known: "):
        density("stele")
