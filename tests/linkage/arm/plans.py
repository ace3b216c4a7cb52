"""Arms for the tests: one like a builder's, and random ones of every layout."""

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from linkage.arm.outline import shape_arm
from linkage.arm.plan import ArmPlan
from linkage.faults import DesignError

HANGING = ArmPlan(
    title="Quillet two-seater: brake arm",
    pivot=120 + 545j,
    pad=35 + 255j,
    holes={"clevis": 106 + 484.5j},
    plate=8.0,
    bores={"pivot": 25.0, "clevis": 25.4},
    pad_stand=4.0,
)
LAYOUTS = {
    "tube in the bar": HANGING,
    "pin in the bar": replace(HANGING, bores={"pivot": 25.0}),
    "lobe ahead": replace(HANGING, holes={"clevis": 140 + 480j}, bores={}),
    "both arms": replace(HANGING, holes={"clevis": 135 + 600j}, bores={}),
    "bell crank": replace(HANGING, holes={"clevis": 180 + 560j}, bores={}),
    "far lobe": replace(HANGING, holes={"spring": 95 + 340j}, bores={}),
    "past the pad": replace(HANGING, holes={"stop": 20 + 215j}, bores={}),
    "three holes": replace(
        HANGING, holes={"a": 150 + 500j, "b": 70 + 450j, "c": 60 + 330j}, bores={}
    ),
    "plasma": replace(HANGING, process="plasma", plate=10.0),
    "throttle": ArmPlan(
        pivot=0,
        pad=-20 - 150j,
        holes={"cable": 30 + 40j},
        plate=5.0,
        bores={"pivot": 12.0, "cable": 6.2},
    ),
}


def random_arms(count: int, seed: int) -> Iterator[ArmPlan]:
    """Arms with one to three holes anywhere about the pivot, at any angle."""
    rng = np.random.default_rng(seed)
    made = 0
    while made < count:
        reach = rng.uniform(120.0, 350.0)
        turn = np.exp(1j * rng.uniform(0.0, 2.0 * np.pi))
        pivot = complex(*rng.uniform(-200.0, 600.0, 2))
        holes = {
            f"hole {k}": pivot
            + turn * complex(rng.uniform(-90, 0.8 * reach), rng.uniform(-60, 60))
            for k in range(1, int(rng.integers(2, 5)))
        }
        plan = ArmPlan(
            pivot=pivot,
            pad=pivot + reach * turn,
            holes=holes,
            plate=float(rng.choice([4.0, 6.0, 8.0, 10.0])),
            process=str(rng.choice(["laser", "plasma"])),
            bores={"pivot": float(rng.uniform(10.0, 30.0))},
            pad_stand=[None, 4.0][int(rng.integers(2))],
        )
        try:
            shape_arm(plan)
        except DesignError:
            continue
        made += 1
        yield plan
