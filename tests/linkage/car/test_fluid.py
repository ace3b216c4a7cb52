"""What fluid, air and hoses take up: handbook figures, and inverses."""

from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from linkage.car.fluid import (
    ATMOSPHERE,
    CAUSES,
    QUICK,
    Circuit,
    squeezed,
    squeezed_air,
)
from linkage.car.hoses import stated_swell, swell_of, swell_range
from solvers.monotone import Broken
from tests.cases_count import many

FOOT, PSI, CC = 304.8, 0.006894757293168361, 1000.0


def test_fluid_of_50_cc_at_10_mpa() -> None:
    """V p/K and V (1 - exp(-p/K)) with K = 1.8 GPa (from memory: 1.5 to 2.0)."""
    assert squeezed(50.0, 10.0, 1800.0) == pytest.approx(0.277008, abs=5e-7)
    straight = 50.0 * 10.0 / 1800.0
    assert straight == pytest.approx(0.277778, abs=5e-7)


@pytest.mark.parametrize(
    ("gigapascal", "share"), [(1.5, 0.6667), (1.7, 0.5882), (1.8, 0.5556), (2.0, 0.5)]
)
def test_fluid_a_share_at_10_mpa(gigapascal: float, share: float) -> None:
    """Per cent of the volume by p/K; the exponential is less by half its square."""
    found = 100.0 * float(squeezed(1.0, 10.0, 1000.0 * gigapascal))
    assert found == pytest.approx(share - share**2 / 200.0, abs=1e-4)


def test_fluid_by_its_own_law() -> None:
    """K is what the volume shrinks by: dV = -V dp/K, summed by quadrature."""
    bulk, top = 1700.0, 12.0
    left = 80.0 - squeezed(80.0, top, bulk)
    shrunk, _ = quad(lambda p: (80.0 - squeezed(80.0, p, bulk)) / bulk, 0.0, top)
    assert 80.0 - shrunk == pytest.approx(left, rel=1e-12)


def test_free_air_at_10_mpa() -> None:
    """1 cm3 leaves 0.01003086 at its temperature, 0.03735807 with its heat kept."""
    assert 1.0 - squeezed_air(1.0, 10.0) == pytest.approx(0.01003086, abs=5e-9)
    assert 1.0 - squeezed_air(1.0, 10.0, QUICK) == pytest.approx(0.03735807, abs=5e-9)
    left = 1.0 - squeezed_air(1.0, 3.0)
    assert left * (3.0 + ATMOSPHERE) == pytest.approx(ATMOSPHERE, rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "inches", "at_1000", "at_1500"),
    [
        ("regular", 0.125, 0.66, 0.79),
        ("regular", 0.1875, 0.86, 1.02),
        ("regular", 0.25, 1.04, 1.30),
        ("low", 0.125, 0.33, 0.42),
        ("low", 0.1875, 0.55, 0.72),
        ("low", 0.25, 0.82, 1.17),
    ],
)
def test_hoses_of_the_rule(
    kind: Any, inches: float, at_1000: float, at_1500: float
) -> None:
    """FMVSS 106 Table I, cc/ft, from memory."""
    hose = swell_of(kind, inches * 25.4)
    found = FOOT * hose.at(np.array([1000.0, 1500.0]) * PSI) / CC
    assert found == pytest.approx([at_1000, at_1500], rel=1e-12)


def test_half_a_metre_of_hose() -> None:
    """0.5 m of 1/8 in regular hose at 1000 psi: 1.0826772 cc (FMVSS 106, from memory)."""
    circuit = Circuit(hoses=((500.0, swell_of("regular", 3.175)),))
    taken = circuit.demands(6.8947573)["hoses"]
    assert taken / CC == pytest.approx(1.0826772, abs=1e-6)


def test_a_braided_hose_is_within_what_is_said_of_it() -> None:
    """0.1 to 0.2 cc/ft at 1000 psi (from memory)."""
    found = FOOT * swell_of("braided", 3.2).at(1000.0 * PSI) / CC
    assert 0.1 < found < 0.2


def test_no_hose_is_as_wide_as_a_hand() -> None:
    with pytest.raises(ValueError, match="a hose of 120 mm bore is none"):
        swell_of("regular", 120.0)


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [("regular", 0.264, 0.66), ("low", 0.132, 0.33), ("braided", 0.1, 0.2)],
)
def test_a_hose_of_a_table_may_swell_less(kind: Any, low: float, high: float) -> None:
    """No more than FMVSS 106 allows; two fifths of it common practice, no source."""
    least, most, _ = swell_range(kind, swell_of(kind, 3.175))
    assert (least * FOOT / CC, most * FOOT / CC) == pytest.approx((low, high))


def some_circuit(rng: np.random.Generator) -> Circuit:
    x, y = np.cumsum(rng.uniform(0.1, 3.0, (2, 3)), axis=1)
    return Circuit(
        clearance=rng.uniform(0.0, 2000.0),
        squash=((2.0, Broken(tuple(x.tolist()), tuple((y * 100.0).tolist()))),),
        hoses=((rng.uniform(100.0, 1500.0), stated_swell(rng.uniform(0.2, 3.0), 6.9)),),
        fluid=rng.uniform(2e4, 2e5),
        bulk=rng.uniform(1200.0, 2200.0),
        air=rng.uniform(0.0, 500.0),
        held=rng.choice([0.0, 0.07]),
    )


def test_pressure_is_the_inverse_of_what_is_taken() -> None:
    rng = np.random.default_rng(8)
    pressures = np.array([0.1, 0.5, 2.0, 7.0, 14.0])
    for _ in range(many(100)):
        circuit = some_circuit(rng)
        found = circuit.pressure(circuit.taken(pressures))
        assert found == pytest.approx(pressures, rel=1e-9)


def test_causes_add_up_and_rise() -> None:
    rng = np.random.default_rng(9)
    pressures = np.linspace(0.0, 15.0, 31)
    for _ in range(many(100)):
        circuit = some_circuit(rng)
        demands = circuit.demands(pressures)
        assert tuple(demands) == CAUSES
        assert sum(demands.values()) == pytest.approx(circuit.taken(pressures))
        assert all(np.all(np.diff(each) >= -1e-12) for each in demands.values())


def test_below_the_clearance_there_is_no_pressure() -> None:
    circuit = Circuit(clearance=900.0, fluid=5e4)
    assert circuit.pressure(np.array([0.0, 500.0, 900.0])) == pytest.approx(0.0)
    assert circuit.pressure(900.1) > 0.0


def test_a_residual_valve_saves_what_it_holds() -> None:
    """At the pressure that it keeps nothing but the clearance has been taken."""
    bare = Circuit(clearance=700.0, fluid=8e4, air=100.0)
    held = Circuit(clearance=700.0, fluid=8e4, air=100.0, held=10.0 * PSI)
    assert held.taken(10.0 * PSI) == pytest.approx(700.0)
    saved = bare.taken(6.0) - held.taken(6.0)
    assert saved == pytest.approx(bare.taken(10.0 * PSI) - 700.0, rel=1e-12)
    assert saved > 0.3 * 100.0
